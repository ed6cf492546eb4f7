"""Where a cutter's middle may be, and the short ways in it from one place to another."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from pearlkerf.toolpath.strokes import Point, Stroke, farthest
from pearlkerf.toolpath.tolerances import ROUNDING_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Room:
    """A connected area in which a cutter's middle may be anywhere, mm; its edge, at the walls, belongs to it."""

    area: shapely.Polygon

    @cached_property
    def _forgiving(self) -> shapely.Polygon:
        """The area, with so much more that its own edge surely lies in it."""
        grown = shapely.buffer(self.area, ROUNDING_MM, join_style="mitre")
        shapely.prepare(grown)
        return grown

    @cached_property
    def _edges(self) -> list[shapely.LineString]:
        return [shapely.LineString(ring.coords) for ring in (self.area.exterior, *self.area.interiors)]

    def holds(self, start: Point, end: Point) -> bool:
        """Say whether the straight way between two places stays in it."""
        return bool(shapely.covers(self._forgiving, shapely.LineString([start, end])))

    def way(self, start: Point, end: Point) -> list[Stroke]:
        """Give the straight strokes of a short way from a place in it to another; none where they are one.

        Straight where that stays in it; else where the straight way leaves it, along the edge over which it does,
        the shorter way round, and then as straight as can be.
        """
        if start == end:
            return []
        if self.holds(start, end):
            return [Stroke(end)]
        line = shapely.LineString([start, end])
        places = [start]
        outside = [shapely.get_coordinates(part) for part in shapely.get_parts(shapely.difference(line, self.area))]
        outside = [part for part in outside if np.hypot(*(part[-1] - part[0])) > ROUNDING_MM]
        for part in sorted(outside, key=lambda part: float(np.hypot(*(part[0] - np.array(start))))):
            places += self._along_edge(shapely.Point(part[0]), shapely.Point(part[-1]))
        return self._straightened([*places, end])

    def _along_edge(self, first: shapely.Point, last: shapely.Point) -> list[Point]:
        """Give the places of the shorter way along an edge between two places on it."""
        edge = min(self._edges, key=lambda edge: shapely.distance(edge, first) + shapely.distance(edge, last))
        start, end = (float(shapely.line_locate_point(edge, place)) for place in (first, last))
        between = shapely.get_coordinates(substring(edge, min(start, end), max(start, end)))
        if abs(end - start) > edge.length / 2:
            past = shapely.get_coordinates(substring(edge, max(start, end), edge.length))
            between = np.concatenate([past, shapely.get_coordinates(substring(edge, 0.0, min(start, end)))])
            forth = start > end
        else:
            forth = start < end
        return [(float(x), float(y)) for x, y in (between if forth else between[::-1])]

    def _straightened(self, places: list[Point]) -> list[Stroke]:
        """Give a way with as few corners as its own places allow."""
        kept, at = [], 0
        while at < len(places) - 1:
            at = farthest(places, at, lambda low, high: self.holds(places[low], places[high]))
            kept.append(Stroke(places[at]))
        return kept
