"""Notches that number the parts of a coupon, cut by the cutter of what they number.

A long notch counts three, a short one counts one.  No. 5, in a row below a pocket and in a column
beside a slot:

     ( )            || '
    | ' '           || '
    |               || |
                    || |

A drill makes dimples instead, each counting one; a saw can make neither.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.features import Feature, Hole, Slot
from pearlkerf.layout.lines import Point
from pearlkerf.layout.surfaces import Floor
from pearlkerf.machine.model import Cutter

# a long notch counts so many short ones
LONG_COUNTS: Final = 3
# how far the cutter runs along a short and a long notch, and how deep: told apart at a glance
SHORT_MM: Final = 1.5
LONG_MM: Final = 5.0
NOTCH_DEPTH_MM: Final = 0.4
# wood between two notches, and between notches and what they number (limits.WALL advises 1.0)
NOTCH_APART_MM: Final = 1.2


def notch_code(number: int) -> tuple[int, int]:
    """Give how many long and how many short notches say a number.

    >>> notch_code(2), notch_code(3), notch_code(7)
    ((0, 2), (1, 0), (2, 1))
    """
    return divmod(number, LONG_COUNTS)


@dataclass(frozen=True, slots=True)
class Notches:
    """The notches that one cutter makes of a number, long ones first."""

    cutter: Cutter
    number: int

    @property
    def lengths_mm(self) -> tuple[float, ...]:
        """The length of each, round ends included; the cutter's diameter where it is a dimple; none of a saw."""
        if self.cutter.kind == "saw":
            return ()
        if self.cutter.kind != "end mill":
            return (self.cutter.diameter_mm,) * self.number
        long, short = notch_code(self.number)
        return tuple(self.cutter.diameter_mm + run for run in [LONG_MM] * long + [SHORT_MM] * short)

    @property
    def row_mm(self) -> float:
        """The width of all side by side."""
        return _with_gaps([self.cutter.diameter_mm] * len(self.lengths_mm))

    @property
    def column_mm(self) -> float:
        """The height of all one above the other."""
        return _with_gaps(self.lengths_mm)

    def in_row(self, top_left: Point) -> tuple[Point, ...]:
        """Give the low end of each on its centre line, side by side, their high ends level with a corner."""
        step, half = self.cutter.diameter_mm + NOTCH_APART_MM, self.cutter.diameter_mm / 2
        lengths = enumerate(self.lengths_mm)
        return tuple((top_left[0] + half + index * step, top_left[1] - length) for index, length in lengths)

    def in_column(self, low_left: Point) -> tuple[Point, ...]:
        """Give the low end of each on its centre line, one above the other from a corner."""
        x, y = low_left[0] + self.cutter.diameter_mm / 2, low_left[1]
        return tuple((x, y + _before(self.lengths_mm[:index])) for index in range(len(self.lengths_mm)))

    def cut_at(self, places: Sequence[Point], name: str, mark: int) -> Iterator[Feature]:
        """Give the notches as features; all of them share their number as marks."""
        diameter, cutter = self.cutter.diameter_mm, self.cutter
        for (x, y), length in zip(places, self.lengths_mm, strict=True):
            if cutter.kind == "end mill":
                yield Slot(
                    group="marks", number=mark, name=name, start=(x, y), end=(x, y + length), width_mm=diameter,
                    floor=Floor(-NOTCH_DEPTH_MM), through=False, cutter=cutter.number,
                )  # fmt: skip
            else:
                yield Hole(
                    group="marks", number=mark, name=name, centre=(x, y + diameter / 2), diameter_mm=diameter,
                    floor_mm=-NOTCH_DEPTH_MM, shallowest_mm=-NOTCH_DEPTH_MM, deepest_mm=-NOTCH_DEPTH_MM,
                    cutter=cutter.number,
                )  # fmt: skip


def _with_gaps(lengths: Sequence[float]) -> float:
    return sum(lengths) + max(len(lengths) - 1, 0) * NOTCH_APART_MM


def _before(lengths: Sequence[float]) -> float:
    return sum(length + NOTCH_APART_MM for length in lengths)
