"""Straight lines across the board in plan: centre lines of slots, frets, and the walls beside them.

    end
    /        beyond it: to the right of its way, toward the bridge where it runs across the board
   /  o
  /
start
"""

import math
from dataclasses import dataclass

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
        (x, y), (end_x, end_y), length_mm = self.start, self.end, self.length_mm
        return (end_x - x) / length_mm, (end_y - y) / length_mm

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
        (x, y), (end_x, end_y) = self.start, self.end
        turned = math.atan2(x - end_x, end_y - y)  # counter-clockwise, from lying straight across the board
        cosine, sine = math.cos(turned), math.sin(turned)
        ends = (y * cosine - x * sine, end_y * cosine - end_x * sine)
        return Axes(along=(-sine, cosine), right=(cosine, sine), away_mm=x * cosine + y * sine, ends_mm=ends)


@dataclass(frozen=True, slots=True)
class Axes:
    """A line's own axes: along it, and across it to the right of its way, from the place on it nearest to X 0 Y 0.

    A line straight across the board has the board's: along is Y, and across is X less ``away_mm``.

               ^ along
      away_mm  |
    0--------->+-----> right
               |
    """

    along: Point  # unit vectors
    right: Point
    away_mm: float  # how far the line lies to the right of X 0 Y 0
    ends_mm: tuple[float, float]  # where its start and its end lie along it

    def at(self, along_mm: ArrayLike, across_mm: ArrayLike = 0.0) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Give X and Y of places on the board.

        >>> x, y = Line((10.0, -20.0), (10.0, 20.0)).axes.at([-20.0, 5.0], 0.3)
        >>> x.tolist(), y.tolist()
        ([10.3, 10.3], [-20.0, 5.0])
        """
        along, away = np.asarray(along_mm, dtype=float), self.away_mm + np.asarray(across_mm, dtype=float)
        (along_x, along_y), (right_x, right_y) = self.along, self.right
        return along_x * along + right_x * away, along_y * along + right_y * away
