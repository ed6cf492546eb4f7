"""The floor of a slot that lies aslant to the board, under a crown: it falls along the slot and across it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import Stretch
from pearlkerf.proof.shapes.slot_floor import UNDER_CUTTER, FloorLine, SlotFloor, SquareFloor, highest_under_mm
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.tolerances import CUT_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# tips are looked up together whose radii, or whose lines, differ by less than this, mm; each at its strictest
TOGETHER_MM = 0.002


def floor_of(line: SlotLine) -> SlotFloor:
    """Give a slot's floor, to be looked up as its direction wants it."""
    start, end = line.feature.ends
    if line.feature.floor.crown is None or start[0] == end[0]:
        return SquareFloor(line, FloorLine.of(line))
    low, high = line.strip_ends(line.feature.width_mm / 2)
    return LeaningFloor(line, low - line.feature.width_mm, high + line.feature.width_mm)


@dataclass(frozen=True, slots=True, eq=False)
class LeaningFloor:
    """A floor that is looked up for the very line on which a tip stands, between ``low`` and ``high`` beyond the wood.

    How low a tip gets is concave over the slot: the floor is, and max(abs(y) - r, 0) is convex in y.  So a
    height that is not reached on two lines, at one distance along them, is not reached on any between: tips
    are looked up together on the two lines about them.
    """

    line: SlotLine
    low: float
    high: float

    @property
    def is_concave(self) -> bool:
        """Say whether the floor is concave along the slot."""
        return self._table(0.0, 0.0).is_concave

    def reached(self, height: Floats, local: Floats, flat: Floats) -> tuple[Stretch, Stretch]:
        """Give where along their lines tips get no lower than these heights, and where none over the centre line does.

        There not even a tip a radius further out gets lower: the higher wall holds it off the floor itself.
        """
        low, high = np.full(len(height), np.inf), np.full(len(height), -np.inf)
        for rows, radius, lines in _together(flat, local[:, 0]):
            first, second = (self._table(across, radius).reach(height[rows]) for across in lines)
            low[rows], high[rows] = np.maximum(first[0], second[0]), np.minimum(first[1], second[1])
        return (low, high), (low + flat, high - flat)

    def anywhere(self, height: Floats, radius: Floats, lines: tuple[float, float]) -> Stretch:
        """Give where cutters get no lower on the first or the last of their lines, and two radii around."""
        low, high = np.full(len(height), np.inf), np.full(len(height), -np.inf)
        for each in np.unique(radius).tolist():
            rows = np.flatnonzero(radius == each)
            for across in lines:
                first, last = self._table(across, each).reach(height[rows])
                low[rows], high[rows] = np.minimum(low[rows], first), np.maximum(high[rows], last)
        return low - 2 * radius, high + 2 * radius

    def is_reached(self, height: Floats, local: Floats, flat: Floats) -> Flags:
        """Say which tips are as low as they get a little further out, by what UNDER_CUTTER leaves of their radius."""
        out = (1 - UNDER_CUTTER) * flat
        points = self.line.on_machine(local)
        lowest = [highest_under_mm(self.line, points + np.outer(way, self.line.along), flat) for way in (-out, out)]
        reached: Flags = height <= np.minimum(*lowest) + CUT_MM
        return reached

    def touched_mm(self, along: float, radius: Floats) -> Floats:
        """Give how low cutters get on the centre line, in a stopped slot no nearer to its ends than they can stand."""
        low, high = np.array([self._ends(0.0, each) for each in radius.tolist()]).reshape(-1, 2).T
        points = self.line.origin + np.outer(np.clip(along, low, high), self.line.along)
        return highest_under_mm(self.line, points, radius)

    def _table(self, across: float, radius: float) -> FloorLine:
        """Tabulate how low a tip gets on a line."""
        return FloorLine.under(self.line, self._ends(across, radius), across, radius)

    def _ends(self, across: float, radius: float) -> tuple[float, float]:
        """Give between which places a tip stands on a line: past the wood, or short of a stopped slot's round ends."""
        if self.line.feature.through:
            return self.low, self.high
        half = self.line.feature.width_mm / 2
        inset = half - math.sqrt(max((half - radius) ** 2 - across**2, 0.0))
        return inset, self.line.length - inset


def _together(flat: Floats, across: Floats) -> Iterator[tuple[Ints, float, tuple[float, float]]]:
    """Give tips (rows) that are looked up together: a radius that none is smaller than, two lines about them."""
    steps = np.floor(np.column_stack([flat, across]) / TOGETHER_MM)
    kinds, kind = np.unique(steps, axis=0, return_inverse=True)
    for number, (size, line) in enumerate(kinds.tolist()):
        rows = np.flatnonzero(kind.reshape(-1) == number)
        yield rows, size * TOGETHER_MM, (line * TOGETHER_MM, (line + 1) * TOGETHER_MM)
