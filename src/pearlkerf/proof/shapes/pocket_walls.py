"""How far sweeps leave an area of any outline: plain distances of a cutter's ways from its edge."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.counting import counted

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# pieces that go on from each other are held against the edge together, so many at a time
CHAIN = 64
# beyond the edge a way is looked at so often, or, where it is long, at so many places; a bound is added between, mm
OUTSIDE_STEP_MM = 0.1
MOST_PLACES = 64


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """An area on the machine, and its edge, both prepared: mm."""

    area: shapely.Polygon
    edge: BaseGeometry

    @classmethod
    def of(cls, area: shapely.Polygon) -> Self:
        """Prepare an area."""
        edge = area.boundary
        shapely.prepare(area)
        shapely.prepare(edge)
        return cls(area, edge)

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the area, (k,) mm; negative inside.

        A way that begins inside and nowhere meets the edge is all inside, and its sweep leaves the area by
        as much as the way comes nearer to the edge than the cutter's radius: never by more, and by no less
        where the edge runs on.  What goes on without a break is held against the edge together first, and each
        piece is given what all of it has at most; piece by piece only where that is not enough.  Where a way
        lies outside, or crosses the edge, a bound is given that is too great by less than OUTSIDE_STEP_MM.
        """
        if not len(start):
            return np.zeros(0)
        chain = _chains(start, end, radius)
        first = np.flatnonzero(np.diff(chain, prepend=-1))
        away = self._away_mm(_drawn(start, end, first))
        inside = (away > 0) & self._holds(start[first])
        outside: Floats = np.where(inside, radius[first] - away, np.inf)[chain]
        near = np.flatnonzero(outside > 0)
        if len(near):
            outside[near] = self._outside_each_mm(start[near], end[near], radius[near])
        return outside

    def _outside_each_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        away = self._away_mm(_drawn(start, end, np.arange(len(start))))
        inside = (away > 0) & self._holds(start)
        outside = radius - away
        rows = np.flatnonzero(~inside)
        if len(rows):
            outside[rows] = radius[rows] + self._farthest_mm(start[rows], end[rows])
        return outside

    def _farthest_mm(self, start: Floats, end: Floats) -> Floats:
        """Bound how far ways (k, 2) go beyond the edge, (k,) mm.

        A distance changes along a way by no more than the way itself, so that between two places it is at
        most the mean of theirs and half the way from one to the other.
        """
        length = np.hypot(*(end - start).T)
        steps = np.clip(np.ceil(length / OUTSIDE_STEP_MM), 1, MOST_PLACES).astype(np.int64)
        row, number = counted(steps + 1)
        beyond = self._beyond_mm(start[row] + (end - start)[row] * (number / steps[row])[:, None])
        between = (beyond[:-1] + beyond[1:] + (length / steps)[row[:-1]]) / 2
        between[row[:-1] != row[1:]] = -np.inf
        last = np.cumsum(steps + 1)
        farthest: Floats = np.maximum.reduceat(np.append(between, -np.inf), np.append(0, last[:-1]))
        return farthest

    def _beyond_mm(self, points: Floats) -> Floats:
        """Give how far points (n, 2) lie outside the area, mm; negative inside."""
        away = self._away_mm(np.asarray(shapely.points(points)))
        return np.where(self._holds(points), -away, away)

    def _away_mm(self, ways: NDArray[np.object_]) -> Floats:
        """Give how far ways lie from the edge: by the shortest line, which makes use of what is prepared."""
        return np.asarray(shapely.length(shapely.shortest_line(self.edge, ways)))

    def _holds(self, points: Floats) -> Flags:
        return np.asarray(shapely.contains_xy(self.area, points[:, 0], points[:, 1]))


def _chains(start: Floats, end: Floats, radius: Floats) -> Ints:
    """Number the chains in which pieces go on from each other, at most CHAIN in one, (k,)."""
    begins = np.ones(len(start), dtype=bool)
    begins[1:] = (start[1:] != end[:-1]).any(axis=1) | (radius[1:] != radius[:-1])
    first = np.flatnonzero(begins)
    begins |= (np.arange(len(start)) - first[np.cumsum(begins) - 1]) % CHAIN == 0
    return np.cumsum(begins) - 1


def _drawn(start: Floats, end: Floats, first: Ints) -> NDArray[np.object_]:
    """Draw the ways of pieces (k, 2), from each ``first`` up to the next: lines, points where they stay in a place."""
    count = np.diff(first, append=len(start))
    way, number = counted(count + 1)
    piece = first[way] + np.maximum(number - 1, 0)
    points = np.where((number == 0)[:, None], start[piece], end[piece])
    drawn = np.asarray(shapely.linestrings(points, indices=way))
    still = np.flatnonzero(shapely.length(drawn) == 0)
    drawn[still] = shapely.points(start[first[still]])
    return drawn
