"""A slot's floor along its centre line, and back: how far along a height is low enough.

A flat tip of radius r stands on the floor where some place under it touches: where the floor, or its crown, is
highest under it, which is the place nearest to the crown line.

      crown line                                  A slot square to the board meets the walls at one height: the
           |      ____tip____                     tip stands on its floor a radius further in.  A slot aslant to
      _____|___...|_________|                     the board does not: its floor falls across it too, and is looked
           floor  ^         '''---...__           up for the very line on which a tip stands.
                  touches
"""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import Stretch
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.tolerances import CUT_MM

Floats = NDArray[np.float64]
# points of the table lie this close, mm: between them a crown of 100 mm radius leaves the chord by 4e-6 mm
TABLE_STEP_MM = 0.05
# binary fractions of a height, mm
BINARY_MM = 1e-12
# a cut drawn out is on the floor where it is deep enough within this part of its cutter's radius
UNDER_CUTTER = 0.9


class SlotFloor(Protocol):
    """What a cover of a slot asks of its floor.

    Arrays are of (k,) tips: lips at ``height`` mm, flat within ``flat`` mm of places (k, 2) ``local``.
    Stretches say between which distances along the slot something is so; none where low is above high.
    """

    @property
    def is_concave(self) -> bool:
        """Say whether the floor rises over each of its chords, as a crowned one does, or is straight."""

    def reached(self, height: Floats, local: Floats, flat: Floats) -> tuple[Stretch, Stretch]:
        """Give where along their lines tips get no lower than these heights, and where none over the centre does."""

    def anywhere(self, height: Floats, radius: Floats, lines: tuple[float, float]) -> Stretch:
        """Give where cutters at these heights, on lines between two (across, mm), may be of use: none is elsewhere."""

    def is_reached(self, height: Floats, local: Floats, flat: Floats) -> NDArray[np.bool_]:
        """Say which tips stand on the floor, within CUT_MM, also a little further out than they do."""

    def touched_mm(self, along: float, radius: Floats) -> Floats:
        """Give how low cutters get at a distance along the centre line."""


@dataclass(frozen=True, slots=True, eq=False)
class FloorLine:
    """The floor's height (m,) at (m,) distances along a slot; it falls to either side of its ``peak`` (index)."""

    along: Floats
    height: Floats
    peak: int

    @classmethod
    def of(cls, line: SlotLine) -> "FloorLine":
        """Tabulate the floor of a slot on its centre line, ends included."""
        return cls.under(line, (0.0, line.length), 0.0, 0.0)

    @classmethod
    def under(cls, line: SlotLine, ends: tuple[float, float], across: float, radius: float) -> "FloorLine":
        """Tabulate the highest floor under a disc of ``radius`` that moves along a line ``across`` the slot's centre.

        It moves between two ``ends``, mm along the slot.
        """
        count = max(2, int(np.ceil((ends[1] - ends[0]) / TABLE_STEP_MM)) + 1)
        along = np.linspace(ends[0], ends[1], count)
        points = line.origin + across * line.across + line.along * along[:, None]
        height = highest_under_mm(line, points, radius)
        return cls(along, height, int(np.argmax(height)))

    @property
    def is_concave(self) -> bool:
        """Say whether the floor rises over each of its chords, as a crowned one does, or is straight."""
        return bool((np.diff(self.height, 2) <= BINARY_MM).all())

    def at(self, along: Floats) -> Floats:
        """Give the floor's height at distances along the slot."""
        return np.asarray(np.interp(along, self.along, self.height))

    def highest_near(self, along: Floats, distance: Floats) -> Floats:
        """Give the floor's greatest height within ``distance`` of places along the slot, its ends going on straight.

        Where the floor is concave, so is what is given: over a stretch it lies above its chord.
        """
        near = np.clip(self.along[self.peak], along - distance, along + distance)
        first, last = np.diff(self.height[:2])[0], np.diff(self.height[-2:])[0]
        beyond = np.minimum(near - self.along[0], 0.0) * first + np.maximum(near - self.along[-1], 0.0) * last
        return np.asarray(self.at(near) + beyond / (self.along[1] - self.along[0]))

    def reach(self, height: Floats) -> Stretch:
        """Give between which distances the floor lies at or above (k,) heights; an empty stretch where nowhere."""
        left, right = self.height[: self.peak + 1], self.height[self.peak :][::-1]
        low = np.interp(height, left, self.along[: self.peak + 1], left=-np.inf)
        high = np.interp(height, right, self.along[self.peak :][::-1], left=np.inf)
        over = height > self.height[self.peak]
        return np.where(over, np.inf, low), np.where(over, -np.inf, high)


def highest_under_mm(line: SlotLine, points: Floats, radius: Floats | float) -> Floats:
    """Give the floor's height where it is highest under discs about (k, 2) points, mm.

    That is at max(abs(y) - r, 0) from the crown line, whatever the slot's direction; exact on a cylinder, on a
    crown that widens along the board by a third less than 0.0001 mm too low.
    """
    board = line.placement.to_board(points)
    return line.feature.floor.z_mm(board[:, 0], np.maximum(np.abs(board[:, 1]) - radius, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class SquareFloor:
    """The floor of a slot that is level, or square to the board: a tip reaches it, moved by the tip's radius."""

    line: SlotLine
    table: FloorLine

    @property
    def is_concave(self) -> bool:
        """Say whether the floor is concave along the slot."""
        return self.table.is_concave

    def reached(self, height: Floats, local: Floats, flat: Floats) -> tuple[Stretch, Stretch]:  # noqa: ARG002
        """Give the floor that is no lower, a radius further out by the walls: what a tip further out reaches."""
        on_centre = self.table.reach(height)
        low, high = on_centre[0] - flat, on_centre[1] + flat
        if not self.line.feature.through:  # what the last place of a tip, a radius short of the end, reaches is all
            low = np.where(low <= flat, -math.inf, low)
            high = np.where(high >= self.line.length - flat, math.inf, high)
        return (low, high), on_centre

    def anywhere(self, height: Floats, radius: Floats, lines: tuple[float, float]) -> Stretch:  # noqa: ARG002
        """Give where the floor is no lower, and two radii around."""
        low, high = self.table.reach(height)
        return low - 2 * radius, high + 2 * radius

    def is_reached(self, height: Floats, local: Floats, flat: Floats) -> NDArray[np.bool_]:
        """Say which tips are as low as the floor within UNDER_CUTTER of their radius."""
        reached: NDArray[np.bool_] = height <= self.table.highest_near(local[:, 1], UNDER_CUTTER * flat) + CUT_MM
        return reached

    def touched_mm(self, along: float, radius: Floats) -> Floats:
        """Give the higher floor of both a radius away."""
        return np.maximum(self.table.at(along - radius), self.table.at(along + radius))
