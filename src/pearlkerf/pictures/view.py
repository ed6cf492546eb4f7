"""From mm on the board or the machine to mm on the page: how a setup is seen in small, from above.

True along X; across it the board is drawn taller than it is where it would be too thin to see anything.
"""

import math
from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from pearlkerf.layout.lines import Point
from pearlkerf.setups.model import Placement

WIDE_MM: Final = 180.0
SIDE_ROOM_MM: Final = 24.0  # left and right of the board, for the names of its ends
LEAST_TALL_MM: Final = 14.0  # a strip thinner than this on the page is drawn taller than it is


@dataclass(frozen=True, slots=True)
class View:
    """How a setup's wood lies on the page: its low left corner on the machine comes to SIDE_ROOM_MM, 0."""

    placement: Placement
    corner: Point  # mm, machine axes
    scale: float
    taller: int  # so many times as tall as it is
    top_mm: float  # height of the wood on the page

    def of_machine(self, point: Point) -> Point:
        """Give where a point of the machine lies on the page, mm."""
        x, y = point
        return (
            SIDE_ROOM_MM + (x - self.corner[0]) * self.scale,
            (y - self.corner[1]) * self.scale * self.taller,
        )

    def of_board(self, point: ArrayLike) -> Point:
        """Give where a point of the board lies on the page, mm."""
        x, y = self.placement.to_machine(point).tolist()
        return self.of_machine((x, y))

    def to_machine(self, point: Point) -> Point:
        """Undo ``of_machine``."""
        x, y = point
        return self.corner[0] + (x - SIDE_ROOM_MM) / self.scale, self.corner[1] + y / (self.scale * self.taller)

    @property
    def note(self) -> str:
        """Say how much taller it is drawn, to follow other words; nothing where it is true."""
        return f", the board drawn {self.taller} times as tall as it is" if self.taller > 1 else ""


def view_of(outline: ArrayLike, placement: Placement) -> View:
    """Give the view in which wood fills the page between its ends' names.

    ``outline`` is (n, 2) float, mm, in the board's axes.
    """
    places = placement.to_machine(outline)
    (left, low), (right, high) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    scale = (WIDE_MM - 2 * SIDE_ROOM_MM) / (right - left)
    taller = max(1, math.ceil(LEAST_TALL_MM / ((high - low) * scale)))
    return View(placement, (left, low), scale, taller, (high - low) * scale * taller)
