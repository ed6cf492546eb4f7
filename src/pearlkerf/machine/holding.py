"""What holds the wood on the machine: clamps, jaws, fences, each an upright box, as a file describes it.

Board files and machine profiles have the same table, ``[[holding]]``.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Final, Literal

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit, shown
from pearlkerf.files.toml_keys import Table, key
from pearlkerf.files.toml_values import Checked, Choice, Length, Text, Whole, WrongValue

SetupKind = Literal["face", "edge", "treble", "carrier", "coupon", "calibration", "strip", "pieces"]
SETUPS: Final = ("face", "edge", "treble", "carrier", "coupon", "calibration", "strip", "pieces")
RANGE_MM: Final = Length(-3000, 3000)
# nothing that moves comes nearer than this to what holds the wood, which is measured by hand
CLEAR_OF_HOLDING_MM: Final = 1.0


@dataclass(frozen=True, slots=True)
class Span(Checked):
    """A range [low, high] of places along an axis; taken as a pair of float mm."""

    length: Length

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"[low, high], each {self.length.allowed}"

    def take(self, value: object, unit: Unit | None) -> tuple[float, float]:
        """Give both ends in mm."""
        if not isinstance(value, list) or len(value) != 2:
            found = f"a list of {len(value)}" if isinstance(value, list) else f"{shown(value)} is not a list"
            raise WrongValue(found, self.allowed, "write [low, high]")
        low, high = (self.length.take(part, unit) for part in value)
        if low >= high:
            hint = f"write [{shown(value[1])}, {shown(value[0])}]" if low > high else "give it its true size"
            raise WrongValue(f"the first, {low:g} mm, is not below the second, {high:g} mm", self.allowed, hint)
        return low, high


class HoldingTable(Table):
    """[[holding]]."""

    name: Annotated[str, Text(40, 1)] = key('such as "clamp at the nut"; each once')
    setup: Annotated[SetupKind, Choice(SETUPS)] = key(
        'the clamping that it is for: "face", "edge", "treble", "carrier", "coupon", "calibration", "strip" or '
        '"pieces"',
        default="face",
    )
    position: Annotated[int | None, Whole(1, 99)] = key(
        "which of several positions along X it is for", default=None, usual="all of them"
    )
    x: Annotated[tuple[float, float], Span(RANGE_MM)] = key("along the machine's X, from the setup's X0")
    y: Annotated[tuple[float, float], Span(RANGE_MM)] = key("along the machine's Y, from the setup's Y0")
    above_wood: Annotated[float | None, Length(-300, 300)] = key(
        "how high it reaches above Z0; negative for what stays below", default=None, usual="one of the two is required"
    )
    above_bed: Annotated[float | None, Length(0, 600)] = key(
        "how high it reaches above what the wood lies on", default=None, usual="one of the two is required"
    )


@dataclass(frozen=True, slots=True)
class Holding:
    """One clamp, jaw or fence: everything below ``height_mm`` over a rectangle.

    ``x_mm`` and ``y_mm`` are (low, high).  The height counts from the wood's top, where Z is 0, or
    from the bed.  ``position`` is the one of several along X that it is for, None for all.
    """

    name: str
    setup: str
    x_mm: tuple[float, float]
    y_mm: tuple[float, float]
    height_mm: float
    above: Literal["wood", "bed"]
    position: int | None = None


def holding_of(tables: Sequence[HoldingTable]) -> tuple[Holding, ...]:
    """Give what holds the wood, in the file's order."""
    return tuple(_one(table) for table in tables)


def _one(table: HoldingTable) -> Holding:
    above: Literal["wood", "bed"] = "bed" if table.above_wood is None else "wood"
    height = table.above_bed if table.above_wood is None else table.above_wood
    return Holding(table.name, table.setup, table.x, table.y, height or 0.0, above, table.position)


def check_holding(tables: Sequence[HoldingTable]) -> Iterator[Problem]:
    """Give what is wrong with the tables: names, and heights said twice or not at all."""
    for index, table in enumerate(tables):
        key = f"holding.{index}"
        if any(other.name == table.name for other in tables[:index]):
            yield Problem(f'"{table.name}" is named twice', "each name once", "", f"{key}.name")
        if (table.above_wood is None) == (table.above_bed is None):
            found = "a height twice" if table.above_bed is not None else "no height"
            yield Problem(f'"{table.name}" has {found}', "either above_wood or above_bed",
                          "measure from the wood's top, or from the bed, to its highest place", key)  # fmt: skip
