"""Straight lines across the board in plan: centre lines of slots, frets, and the walls beside them.

    end
    /        beyond it: to the right of its way, toward the bridge where it runs across the board
   /  o
  /
start
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line from ``start`` to ``end``, low Y first where it runs across the board, mm."""

    start: Point
    end: Point

    @property
    def length_mm(self) -> float:
        """Length from start to end."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """Give the unit vector from its start to its end."""
        return (self.end[0] - self.start[0]) / self.length_mm, (self.end[1] - self.start[1]) / self.length_mm

    @property
    def middle(self) -> Point:
        """Give the point half way between its ends."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2

    def x_mm(self, y_mm: float = 0.0) -> float:
        """Give the X at which it, carried on, crosses a Y; its start's where it runs along X and crosses none.

        >>> slanted = Line((10.0, -20.0), (14.0, 20.0))
        >>> slanted.x_mm(), slanted.x_mm(20.0)
        (12.0, 14.0)
        """
        (x, low), (end_x, high) = self.start, self.end
        return x if low == high else x + (y_mm - low) / (high - low) * (end_x - x)

    def beyond_mm(self, point: Point) -> float:
        """Give how far a point lies to the right of it, carried on beyond both ends; negative to the left.

        >>> Line((10.0, -20.0), (10.0, 20.0)).beyond_mm((13.5, 4.0))
        3.5
        """
        (x, y), (along_x, along_y) = self.start, self.along
        return (point[0] - x) * along_y - (point[1] - y) * along_x

    def apart_mm(self, other: "Line") -> float:
        """Give how near a line to the right of it comes, at the ends of both; negative where they cross."""
        onward = (self.beyond_mm(other.start), self.beyond_mm(other.end))
        return min(*onward, -other.beyond_mm(self.start), -other.beyond_mm(self.end))

    def beside(self, away_mm: float) -> "Line":
        """Give the line as long that lies so far to the right of it; negative to the left.

        >>> Line((10.0, -20.0), (10.0, 20.0)).beside(0.3)
        Line(start=(10.3, -20.0), end=(10.3, 20.0))
        """
        along_x, along_y = self.along
        across, down = away_mm * along_y, away_mm * along_x
        (x, y), (end_x, end_y) = self.start, self.end
        return Line((x + across, y - down), (end_x + across, end_y - down))

    @property
    def axes(self) -> "Axes":
        """Give its own axes."""
        turned = Axes(math.atan2(self.start[0] - self.end[0], self.end[1] - self.start[1]))
        (across, along), (_, end) = (turned.own(point) for point in (self.start, self.end))
        return replace(turned, away_mm=across, ends_mm=(along, end))


@dataclass(frozen=True, slots=True)
class Axes:
    """A line's own axes: along it, and across it to the right of its way, from the place on it nearest to X 0 Y 0.

    A line straight across the board has the board's: along is Y, and across is X less ``away_mm``.

               ^ along
      away_mm  |
    0--------->+-----> across
               |
    """

    turned_rad: float  # counter-clockwise, from lying straight across the board
    away_mm: float = 0.0  # how far the line lies to the right of X 0 Y 0
    ends_mm: tuple[float, float] = (0.0, 0.0)  # where its start and its end lie along it

    @property
    def along(self) -> Point:
        """Give the unit vector along it."""
        return -math.sin(self.turned_rad), math.cos(self.turned_rad)

    @property
    def right(self) -> Point:
        """Give the unit vector across it."""
        return math.cos(self.turned_rad), math.sin(self.turned_rad)

    def own(self, point: Point) -> Point:
        """Give a point of the board across and along, across counted from X 0 Y 0."""
        (along_x, along_y), (right_x, right_y) = self.along, self.right
        return point[0] * right_x + point[1] * right_y, point[0] * along_x + point[1] * along_y

    def points(self, along_mm: ArrayLike, across_mm: ArrayLike = 0.0) -> NDArray[np.float64]:
        """Give points (..., 2) of the board: x, y.

        >>> Line((10.0, -20.0), (10.0, 20.0)).axes.points([-20.0, 5.0], 0.3).tolist()
        [[10.3, -20.0], [10.3, 5.0]]
        """
        along, away = np.asarray(along_mm, dtype=float), self.away_mm + np.asarray(across_mm, dtype=float)
        x, y = (self.along[axis] * along + self.right[axis] * away for axis in (0, 1))
        return np.stack([x, y], axis=-1)
