"""Pieces put on blanks by hand, and blanks that are cut, as edits of a board file: all else stays as it is."""

import math
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.bench.editing import BY_HAND, Edit
from pearlkerf.bench.photographs import MOST_MM, Blank, blank_of
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.files.lengths import LengthError, Unit, read_length_mm
from pearlkerf.files.places import place_row, used_row
from pearlkerf.setups.blanks import TURN_STEPS, Laid

MOST_CHANGES: Final = 2000
LONGEST: Final = 120  # characters of a piece's name, or of a length
DECIMALS: Final = 6  # of a mm, as packing gives places: what is kept where it lies, lies there to the last of them
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Change:
    """Where a piece is to be cut; ``laid`` is None where it is to be packed."""

    piece: str
    laid: Laid | None


def changes_of(asked: Mapping[str, Any], unit: Unit) -> list[Change]:
    """Take what a page says of places: numbers in mm, texts as lengths of the board; raises CannotBe."""
    wanted = asked.get("changes")
    if not isinstance(wanted, list) or len(wanted) > MOST_CHANGES:
        raise CannotBe("No places were sent.")
    return [_change(each, unit) for each in wanted]


def _change(asked: Any, unit: Unit) -> Change:
    piece = asked.get("piece") if isinstance(asked, dict) else None
    if not isinstance(piece, str) or not 0 < len(piece) <= LONGEST:
        raise CannotBe("No piece was named.")
    at = asked.get("at")
    if asked.get("blank") is None:
        return Change(piece, None)
    if not isinstance(at, list) or len(at) != len(("x", "y")):
        raise CannotBe("A place is said by two lengths.")
    x, y = (_length_mm(each, unit) for each in at)
    return Change(piece, Laid(piece, blank_of(asked), (x, y), _turn_deg(asked.get("turn", 0))))


def _length_mm(value: Any, unit: Unit) -> float:
    try:
        found = read_length_mm(value.strip(), unit) if isinstance(value, str) else _finite(value)
    except LengthError as fault:
        raise CannotBe(f"{fault.found}: write a length such as 12.5 mm or 1/2 in.", 422) from None
    if not 0 <= found <= MOST_MM:
        raise CannotBe("The middle of a piece lies on its blank: X and Y are 0 or more.", 422)
    return round(found, DECIMALS) + 0.0


def _turn_deg(value: Any) -> float:
    try:
        turn = float(value.strip().removesuffix("°")) if isinstance(value, str) else _finite(value)
    except ValueError:
        turn = math.nan
    if not math.isfinite(turn):
        raise CannotBe("A turn is a number of degrees, such as 90 or 22.5.", 422)
    return round(turn * TURN_STEPS) / TURN_STEPS % 360


def _finite(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= MOST_MM * TURN_STEPS:
        raise CannotBe("That is no number.", 422)
    return float(value)


def edits_of_places(text: str, changes: Sequence[Change], unit: Unit) -> list[Edit]:
    """Give the edits that put pieces in their places; raises CannotBe where the file says no blanks as tables.

    A place stays in its line where its piece stays on blanks of the same entry; an empty list of places goes.
    """
    places = _lists(text, "place")
    there = {
        row.get("piece"): (entry, at)
        for entry, rows in places.items() for at, row in enumerate(rows) if isinstance(row, dict)
    }  # fmt: skip
    puts, gone, added = list[Edit](), list[tuple[int, int]](), list[Edit]()
    for change in {each.piece: each for each in changes}.values():
        old, new = there.get(change.piece), change.laid
        row = None if new is None else place_row((new.piece, new.blank[1], new.at, new.turn_deg), unit)
        if old is not None and new is not None and old[0] == new.blank[0]:
            puts.append(Edit("put", ("inlay_blank", old[0], "place", old[1]), row))
            continue
        if old is not None:
            gone.append(old)
        if new is not None:
            added.append(Edit("append", ("inlay_blank", new.blank[0], "place"), row))
    return [*puts, *_removed(places, gone, {edit.at[1] for edit in added}), *added]


def _removed(places: Mapping[int, Sequence[Any]], gone: Iterable[tuple[int, int]], kept: Iterable[Any]) -> list[Edit]:
    """Give the edits that remove places, the last first; of entries that lose all, and get none, the list."""
    edits = []
    by_entry: dict[int, list[int]] = {}
    for entry, at in gone:
        by_entry.setdefault(entry, []).append(at)
    for entry, indexes in by_entry.items():
        if len(indexes) == len(places[entry]) and entry not in kept:
            edits.append(Edit("remove", ("inlay_blank", entry, "place")))
        else:
            edits += [Edit("remove", ("inlay_blank", entry, "place", at)) for at in sorted(indexes, reverse=True)]
    return edits


def edits_of_used(used: Sequence[tuple[Blank, Box]], unit: Unit) -> list[Edit]:
    """Give the edits that say what is gone of blanks."""
    return [
        Edit("append", ("inlay_blank", entry, "used"), used_row(number, box, unit)) for (entry, number), box in used
    ]


def _lists(text: str, key: str) -> dict[int, list[Any]]:
    """Give a list of each [[inlay_blank]]; raises CannotBe where they are no tables."""
    try:
        blanks = tomllib.loads(text).get("inlay_blank", [])
        return {entry: list(blank.get(key, [])) for entry, blank in enumerate(blanks)}
    except (ValueError, AttributeError, TypeError, RecursionError):
        raise CannotBe(BY_HAND, 409) from None
