"""From inlays to their tables in a board file; keys that would say nothing are left out."""

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from pearlkerf.board.inlay_tables import InlayTable
from pearlkerf.board.inlays import Inlay, InlayBlank
from pearlkerf.files.toml_keys import keys_of
from pearlkerf.files.toml_values import Length

KEYS: Final = keys_of(InlayTable)
LENGTHS: Final = tuple(name for name, key in KEYS.items() if isinstance(key.kind, Length))
# the fields of the model that are called otherwise than their keys
FIELDS: Final = {"turn": "turn_deg", "thickness": "thickness_mm", **{name: f"{name}_mm" for name in LENGTHS}}
Written = Mapping[str, str | None]
# how a length, a text and a bare number are written in a file
Ways = tuple[Callable[[float], str], Callable[[str], str], Callable[[float], str]]


def inlay_written(inlay: Inlay, ways: Ways) -> Written:
    """Give the keys of an inlay as they stand in a file, by ``ways`` of writing; None where a key is left out."""
    length, quoted, figure = ways
    written: dict[str, str | None] = {}
    for name, key in KEYS.items():
        value = getattr(inlay, FIELDS.get(name, name))
        if value in (key.default, (), "") or (value == 0 and key.default == 0):
            written[name] = None
        elif name in LENGTHS:
            written[name] = length(value)
        elif name == "thickness":
            written[name] = pair_written(value, length)
        elif isinstance(value, tuple):
            written[name] = f"[{', '.join(quoted(each) if isinstance(each, str) else str(each) for each in value)}]"
        elif isinstance(value, bool):
            written[name] = "true"
        else:
            written[name] = quoted(value) if isinstance(value, str) else figure(value)
    return written


def pair_written(pair_mm: tuple[float, float], length: Callable[[float], str]) -> str:
    """Give one length, or two that differ as a pair."""
    return length(pair_mm[0]) if pair_mm[0] == pair_mm[1] else f"[{length(pair_mm[0])}, {length(pair_mm[1])}]"


def blank_written(blank: InlayBlank, ways: Ways) -> Written:
    """Give the keys of a blank of pieces as they stand in a file."""
    length, quoted, figure = ways

    def lengths(each: Iterable[float]) -> str:
        return f"[{', '.join(map(length, each))}]"

    used = [f"{{ blank = {each.blank}, box = {lengths(each.box_mm)} }}" for each in blank.used]
    place = [
        f"{{ piece = {quoted(each.piece)}, blank = {each.blank}, at = {lengths(each.at_mm)}, "
        f"turn = {figure(each.turn_deg)} }}"
        for each in blank.place
    ]
    return {
        "material": quoted(blank.material),
        "thickness": pair_written((blank.thinnest_mm, blank.thickest_mm), length),
        "hold": None if blank.hold == "tape" else quoted(blank.hold),
        "length": None if blank.length_mm is None else length(blank.length_mm),
        "width": None if blank.width_mm is None else length(blank.width_mm),
        "count": None if blank.count == 1 else str(blank.count),
        "tape": None if blank.tape_mm == InlayBlank("", 1.0, 1.0).tape_mm else length(blank.tape_mm),
        "figure": None if blank.figure == "any" else quoted(blank.figure),
        "used": _each_a_line(used),
        "place": _each_a_line(place),
    }


def _each_a_line(values: list[str]) -> str | None:
    return "[\n" + "".join(f"  {each},\n" for each in values) + "]" if values else None
