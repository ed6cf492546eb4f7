"""A part of a job: from one cut on, or some cuts only; what is left out counts as cut before.

What a part may rely on.  A part is written and proved as if nothing were cut before, because that
is never the easier way: rapids may go down only into what the part itself has opened, bites are
counted from the raw wood, nothing outside the part's own features may be cut, and each of them is
cut to its full depth and width by the part alone.  So a part is safe whether the earlier cuts were
made, half made or not made, and it is complete either way; a slot that is cut once more, deeper or
wider, begins with passes in the air.  That the earlier cuts may have been made is known where it
asks for care: pockets beside open slots chip, which is told.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS, NAMED
from pearlkerf.layout.names import in_ranges, nearest_word
from pearlkerf.setups.lying import PartOfJob
from pearlkerf.setups.model import Clampings, Setup

Key = tuple[str, int]  # a feature's group and number

# wood between a pocket and an open slot that may chip (common practice, no source)
MAY_CHIP_MM: Final = 3.0
_NAMED: Final = re.compile(r"([^\d]*)([\d\s,-]*)")
_NUMBERS: Final = re.compile(r"(\d{1,3})(?:-(\d{1,3}))?")


@dataclass(frozen=True, slots=True)
class Choice:
    """What of a job is asked for, in the words of features; all of it where nothing is said.

    ``start`` is the first cut ("fret 11"), None for the first of all; ``only`` names groups and cuts
    ("frets", "face dot 12"), empty for all.
    """

    start: str | None = None
    only: tuple[str, ...] = ()

    @property
    def asked(self) -> dict[str, object]:
        """What is asked for as plain data, as the job's record keeps it."""
        return {
            **({} if self.start is None else {"from": self.start}),
            **({"only": list(self.only)} if self.only else {}),
        }


EVERYTHING: Final = Choice()


def choose_part(clampings: Clampings, orders: Sequence[Sequence[Feature]], choice: Choice) -> Clampings:
    """Give the clampings whose setups hold the chosen part; the other features count as cut before.

    ``orders`` holds each setup's features in the order in which they are done.  The two holes of a
    double go together.  Setups of which nothing is left are left out.

    Raises Refusal for every name that the job does not have.
    """
    if choice == EVERYTHING:
        return clampings
    keys = [[_key(feature) for feature in order] for order in orders]
    there = list(dict.fromkeys(key for order in keys for key in order))
    asked = [_named(name, "--only", there) for name in choice.only]
    only = {key for each in asked if not isinstance(each, Problem) for key in each} or set(there)
    start = _start(choice.start, [key for key in there if key in only])
    problems = [each for each in (*asked, start) if isinstance(each, Problem)]
    if problems or isinstance(start, Problem):
        raise Refusal(problems)
    wanted = [set(order) for order in keys] if start is None else _from_on(keys, start)
    parts = [_part(setup, only & kept, choice) for setup, kept in zip(clampings.setups, wanted, strict=True)]
    setups = tuple(part for part in parts if part.features)
    return replace(clampings, setups=setups, warnings=(*clampings.warnings, *_chips(setups, choice)))


def _from_on(keys: Sequence[Sequence[Key]], start: Key) -> list[set[Key]]:
    """Give what each setup still has to do from one cut on."""
    first = next(number for number, order in enumerate(keys) if start in order)
    rest = keys[first][keys[first].index(start) :]
    return [set[Key]() for _ in range(first)] + [set(rest)] + [set(order) for order in keys[first + 1 :]]


def _part(setup: Setup, kept: set[Key], choice: Choice) -> Setup:
    features = tuple(feature for feature in setup.features if _key(feature) in kept)
    left_out = tuple(feature for feature in setup.features if _key(feature) not in kept)
    part = PartOfJob(tuple(map(_in_words, choice.only)), _in_words(choice.start) if choice.start is not None else "")
    return replace(
        setup,
        features=features,
        cut_before=(*setup.cut_before, *left_out),
        lying=replace(setup.lying, part=part),
    )


def _in_words(name: str) -> str:
    """Give a name of cuts in words of our own."""
    group, ranges = _read(name)
    ends = [f"{each[0]}" if len(each) == 1 else f"{each[0]}-{each[-1]}" for each in ranges]
    one_cut = len(ranges) == 1 and len(ranges[0]) == 1
    return " ".join([GROUPS[group].one if one_cut else group, *ends])


def _key(feature: Feature) -> Key:
    return feature.group, feature.number


def _name(key: Key) -> str:
    return f"{GROUPS[key[0]].one} {key[1]}"


def _read(name: str) -> tuple[str, list[range]]:
    """Give the group and the ranges of numbers that a name says, group "" for a name that says neither."""
    found = _NAMED.fullmatch(re.sub(r", *[a-z].*", "", name.strip().lower()))  # what follows a comma is its side
    words, listed = found.groups() if found else ("", "")
    parts = [_NUMBERS.fullmatch(part) for part in listed.replace(",", " ").split()]
    ranges = [range(int(part[1]), int(part[2] or part[1]) + 1) for part in parts if part]
    if len(ranges) != len(parts) or not all(ranges):
        return "", []
    return NAMED.get(" ".join(words.split()), ""), ranges


def _start(name: str | None, there: Sequence[Key]) -> Key | Problem | None:
    """Give the one cut that a name stands for; None where none is named."""
    if name is None:
        return None
    found = _named(name, "--from", there)
    if isinstance(found, Problem):
        return found
    if len(found) > 1:
        return Problem(key="--from", found=f'"{name}" names {len(found)} cuts', allowed="one cut",
                       hint=f'did you mean "{_name(found[0])}"?')  # fmt: skip
    return found[0]


def _named(name: str, option: str, there: Sequence[Key]) -> list[Key] | Problem:
    """Give what a name stands for; of a range both ends must be there.  A name that stands for nothing is a problem."""
    group, ranges = _read(name)
    of_group = [key for key in there if key[0] == group]
    keys = [key for key in of_group if not ranges or any(key[1] in each for each in ranges)]
    missing = [end for each in ranges for end in (each[0], each[-1]) if (group, end) not in of_group]
    if keys and not missing:
        return keys
    near = _nearest(name, of_group, missing, there)
    found = f'there is no "{name[:80].strip()}" to cut here'
    hint = f'did you mean "{near}"?' if near else ""
    if not name.strip():
        hint = "name it, or leave the option out"
    return Problem(found, _all_names(there), hint, option)


def _all_names(there: Sequence[Key]) -> str:
    groups = dict.fromkeys(group for group, _ in there)
    parts = [" ".join([group, *in_ranges(sorted(n for each, n in there if each == group))]) for group in groups]
    return ", ".join(parts)


def _nearest(name: str, of_group: Sequence[Key], missing: Sequence[int], there: Sequence[Key]) -> str:
    """Give the right name nearest to one that there is not: the nearest number of its group, or the nearest word."""
    if of_group and missing:
        return _name(min(of_group, key=lambda key: (abs(key[1] - missing[0]), key[1])))
    names = [*dict.fromkeys(group for group, _ in there), *(_name(key) for key in there)]
    return nearest_word(name, names)


def _chips(setups: Sequence[Setup], choice: Choice) -> Iterator[Problem]:
    """Warn of pockets beside slots that are open already."""
    for setup in setups:
        opened = [each for each in setup.cut_before if each.after_pockets]
        near = [
            each
            for each in setup.features
            if not each.after_pockets and any(_between_mm(each, slot) < MAY_CHIP_MM for slot in opened)
        ]
        if near:
            yield Problem(
                key="--only" if choice.only else "--from",
                found=f"{near[0].name} is cut beside a slot that may be open already, with less than "
                f"{MAY_CHIP_MM:g} mm of wood between: it may chip",
                hint="press a snug strip of wood into the slot first",
            )


def _between_mm(pocket: Feature, slot: Feature) -> float:
    return slot.distance_mm(pocket.anchor) - (pocket.width_mm + slot.width_mm) / 2
