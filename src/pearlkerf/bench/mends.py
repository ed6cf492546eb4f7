"""Hints that are values become mends: what a button says, and the edits that it makes.

    "use at most 5.23 mm, or leave fret 21 out of face_dots.frets"
       ─> [use 5.23 mm]  [leave 21 out]

A hint that asks the maker for more than a value (a wider blank, a measured figure) stays words.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.bench.editing import Edit, Path
from pearlkerf.bench.tickets import Tables
from pearlkerf.bench.values import bare, written_out
from pearlkerf.errors import Problem

# to its end, whatever follows: half a figure is another
FIGURE: Final = r"(-?[0-9]++(?:\.[0-9]++)?+)(?: (mm|in))?"
NAME: Final = r"([a-z][a-z_]*(?:\.[a-z_]+)?)"
MOST: Final = 3  # buttons at one mistake


@dataclass(frozen=True, slots=True)
class Mend:
    """What a button says, and the edits that it makes."""

    label: str
    edits: tuple[Edit, ...]


@dataclass(frozen=True, slots=True)
class Wrong:
    """A problem in its file: where its key stands, and what the file holds."""

    problem: Problem
    data: Mapping[str, Any]
    tables: Tables

    @property
    def at(self) -> Path:
        """Give the place of its key."""
        return place_of(self.problem.key)

    @property
    def field(self) -> Path:
        """Give the place of the key whose value it is: of a list, not of one in it."""
        at = self.at
        while at and isinstance(at[-1], int):
            at = at[:-1]
        return at

    def named(self, name: str) -> Path | None:
        """Give the place of a key that a hint names, alone or with its table; None for a name that is none."""
        table, dot, key = name.rpartition(".")
        home = (table,) if dot else self.field[:-1]
        where = str(home[0]) if home else ""
        return (*home, key) if key in self.tables.get(where, {}) else None

    def value(self, at: Path) -> Any:
        """Give what the file holds there; None where that is nothing."""
        here: Any = self.data
        for part in at:
            try:
                here = here[part]
            except (KeyError, IndexError, TypeError):
                return None
        return here


def place_of(key: str) -> Path:
    """Give the place that a dotted key says.

    >>> place_of("face_dots.frets.2"), place_of("")
    (('face_dots', 'frets', 2), ())
    """
    return tuple(int(part) if part.isdecimal() else part for part in key.split(".")) if key else ()


def mends_of(problem: Problem, data: Mapping[str, Any], tables: Tables) -> tuple[Mend, ...]:
    """Give what the buttons at a problem do: nothing where its hint asks for more than a value."""
    wrong = Wrong(problem, data, tables)
    found: dict[str, Mend] = {}
    for pattern, make in MAKERS:
        for match in re.finditer(pattern, problem.hint):
            for mend in make(wrong, match):
                found.setdefault(mend.label, mend)
    return tuple(found.values())[:MOST]


def _put(at: Path, value: Any, label: str) -> Mend:
    return Mend(label, (Edit("put", at, value),))


def _meant(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """An unknown key gets the name that was meant; a value the word, the unit or the length."""
    word = match[1]
    if wrong.problem.found.startswith("unknown key"):
        yield Mend(f"call it {word}", (Edit("rename", wrong.at, word),))
    elif wrong.problem.found.startswith("unknown unit"):
        written = wrong.value(wrong.at)
        figure = re.match(r"[\s0-9./+-]*", written) if isinstance(written, str) else None
        if figure and isinstance(written, str) and not any(sign.isnumeric() for sign in written[figure.end() :]):
            text = f"{figure[0].strip()} {word}"
            yield _put(wrong.at, text, f"take {text}")
    else:
        yield _put(wrong.at, word, f"take {word}")


def _bound(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """The most or least that is allowed, of the key itself or of one that the hint names."""
    name, figure, unit = match[1], match[2], match[3]
    at = wrong.named(name) if name else wrong.field
    if at:
        text = f"{figure} {unit}" if unit else bare(figure)
        key = "" if at == wrong.field else f" for {str(at[-1]).replace('_', ' ')}"
        yield _put(at, text, f"use {text}{key}")


def _fewer_frets(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """As many frets as there is room for."""
    if wrong.field == ("scale", "frets"):
        yield _put(wrong.field, int(match[1]), f"use {match[1]} frets")


def _word(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """A key and the value that it is to have."""
    at = wrong.named(match[1])
    if at:
        value = written_out(match[2])
        label = f"use {value}" if at == wrong.field else f"use {value} for {match[1].replace('_', ' ')}"
        yield _put(at, value, label)


def _unusual(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """An unusual figure is meant."""
    named = wrong.data.get("unusual", [])
    if isinstance(named, list):
        yield _put(("unusual",), [*named, match[1]], "it is meant so")


def _listed(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """A list in the right order."""
    value = written_out(match[1])
    if isinstance(value, list) and "..." not in match[1]:
        yield _put(wrong.field, value, f"take {match[1].strip('[]')}")


def _text(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """A length with its unit, or with its decimal point."""
    value = match[1]
    yield _put(wrong.at, bare(value), f"take {value}")


def _left_out(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """Something that is not to be in a list."""
    at = wrong.named(match[2])
    held = wrong.value(at) if at else None
    item = bare(match[1].strip('"'))
    if at and isinstance(held, list) and item in held:
        yield Mend(f"leave {item} out", (Edit("without", at, [item]),))


def _keys_left_out(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """Keys or tables of which one is to go."""
    for name in re.split(r" or |, ", match[1]):
        plain = name.strip("[]")
        at: Path | None = (plain,) if name.startswith("[") else wrong.named(plain)
        if at and wrong.value(at) is not None:
            yield Mend(f"leave {plain.replace('_', ' ')} out", (Edit("remove", at),))


def _unquoted(wrong: Wrong, _match: re.Match[str]) -> Iterator[Mend]:
    """A number or a truth value that stands in quotation marks."""
    written = wrong.value(wrong.at)
    value = written_out(written.strip()) if isinstance(written, str) else written
    if isinstance(value, bool | int | float):
        yield _put(wrong.at, value, f"take {str(value).lower()}")


def _quoted(wrong: Wrong, _match: re.Match[str]) -> Iterator[Mend]:
    """Text that stands without quotation marks."""
    written = wrong.value(wrong.at)
    if isinstance(written, bool | int | float):
        yield _put(wrong.at, str(written), f"take “{written}”")


def _table(wrong: Wrong, match: re.Match[str]) -> Iterator[Mend]:
    """A table that is missing."""
    if match[1] in wrong.tables:
        yield Mend(f"add {match[1].replace('_', ' ')}", (Edit("add", (match[1],)),))


Make = Callable[[Wrong, re.Match[str]], Iterator[Mend]]
MAKERS: Final[tuple[tuple[str, Make], ...]] = (
    (r'did you mean "([^"]+?)"\?', _meant),
    (rf"\buse an? {NAME} of at (?:most|least) {FIGURE}", _bound),
    (rf"\b(?:set|make) {NAME} (?:to )?at (?:most|least) {FIGURE}", _bound),
    (rf"\buse ()at (?:most|least) {FIGURE}(?! frets)", _bound),
    (r"\buse at most ([0-9]++) frets", _fewer_frets),
    (rf'\b(?:use|write|or) {NAME} = ("[^"]*"|[0-9.]+|true|false)', _word),
    (r'unusual = \["([a-z_.]+)"\]', _unusual),
    (r"\b(?:use|write) (\[[^\]]*\])", _listed),
    (r"write a decimal point: \"?([^\"\s][^\"]*?)\"?$", _text),
    (r'\bwrite "([^"]+)"(?:,|$)', _text),
    (r"\bleave (?:the second )?(?:fret )?(\"[^\"]+\"|[\w+-]+) out of ([a-z_.]+[a-z_])", _left_out),
    (r"\bleave (\[?[a-z_.]+\]?(?:(?:, | or )\[?[a-z_.]+\]?)*) out(?! of)", _keys_left_out),
    (r"leave the quotation marks out", _unquoted),
    (r"put it in quotation marks", _quoted),
    (r"add the table \[([a-z_]+)\]", _table),
)  # fmt: skip
