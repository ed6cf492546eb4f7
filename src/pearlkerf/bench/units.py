"""A board goes over to another unit on its form: it stays the same board, since figures that had no unit get theirs.

unit = "mm", depth = 1.7  ─>  unit = "in", depth = "1.7 mm"
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.bench.editing import Edit, Path
from pearlkerf.bench.tickets import Tables
from pearlkerf.bench.values import FIELDS
from pearlkerf.board.blank_kinds import PlaceKind, UsedKind
from pearlkerf.board.kinds import StationKind, WidthAtKind
from pearlkerf.files.toml_keys import Key

AT: Final = ("unit",)
UNITS: Final = ("mm", "in")
# of values of several parts, those that are lengths
LENGTHS_OF: Final[Mapping[type, str]] = MappingProxyType({WidthAtKind: "width", UsedKind: "box", PlaceKind: "at"})


def lengths_said(data: Mapping[str, Any], tables: Tables, to: Any) -> list[Edit]:
    """Give the edits by which every bare length of a file says the unit that it has, where the file gets another."""
    unit = data.get(AT[0])
    if unit not in UNITS or to not in UNITS or unit == to:
        return []
    return [
        Edit("put", at, f"{Decimal(repr(figure)):f} {unit}")
        for key, place, value in _given(data, tables)
        if _is_length(key)
        for at, figure in _bare(place, value, LENGTHS_OF.get(type(key.kind)))
    ]


def _given(data: Mapping[str, Any], tables: Tables) -> Iterator[tuple[Key, Path, Any]]:
    """Give every value of a file that has a key, with the key and its place."""
    for table, keys in tables.items():
        held = data.get(table) if table else data
        rows: list[tuple[Path, Any]] = [((table,) if table else (), held)]
        if isinstance(held, list):
            rows = [((table, index), row) for index, row in enumerate(held)]
        for place, row in rows:
            if isinstance(row, Mapping):
                yield from ((keys[name], (*place, name), value) for name, value in row.items() if name in keys)


def _is_length(key: Key) -> bool:
    kind = type(key.kind)
    return kind in LENGTHS_OF or kind is StationKind or (kind in FIELDS and FIELDS[kind].control == "length")


def _bare(place: Path, value: Any, part: str | None) -> Iterator[tuple[Path, int | float]]:
    """Give the bare figures of a value with their places; of one of several parts only those of one."""
    if isinstance(value, list):
        for index, each in enumerate(value):
            yield from _bare((*place, index), each, part)
    elif isinstance(value, Mapping):
        for name, each in value.items():
            yield from _bare((*place, name), each, None) if part in (None, name) else ()
    elif isinstance(value, int | float) and not isinstance(value, bool) and part is None:
        yield place, value
