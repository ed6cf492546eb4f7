"""In which order a cutter goes round the rings of a pocket's part, and how it comes to them.

From within outward: where rings begin, in the midst of a part, the cutter comes down along a helix, or along the
innermost ring where a helix has no room, and cuts its full width once; every ring after that takes a stepover,
the wall's the last.  Rings turn so that the wood is to the right: a clockwise cutter climbs.  What lies in the
next branch is come to through the room that the cutter has, without a rise; the way down to the next level too.
"""

import math
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from pearlkerf.operations.tolerances import STEP_INWARD
from pearlkerf.toolpath.nests import Nest, Ring
from pearlkerf.toolpath.rooms import Room
from pearlkerf.toolpath.strokes import Drawing, Loop, Point, Stroke, without_last
from pearlkerf.toolpath.tolerances import (
    BESIDE_WHAT_IS_LEFT,
    FEW_CORNERS,
    HELIX_SHARE,
    LEAST_HELIX,
    MIDDLE_SHARE,
    NEAR_CORNER,
    SHARP_COS,
    SLANT,
    UNLIKE_LENGTHS,
)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Course:
    """All that a cutter does in one part of a pocket at a level: down along a loop, then along its strokes.

    The loop ends where the strokes begin; from their end the room leads to where the next level's begins.
    """

    down: Loop
    strokes: tuple[Stroke, ...]
    room: Room


def course(nest: Nest, radius_mm: float, drawing: Drawing) -> Course:
    """Give the course of a cutter in one connected area."""
    room = Room(nest.area)
    helix = _helix(nest.midst, room, radius_mm)
    walker = Walker(room, drawing, radius_mm, None if helix is None else helix.start)
    walker.clear(nest)
    down = walker.first_round if helix is None else helix
    assert down is not None
    return Course(down, tuple(walker.strokes), room)


def _helix(midst: shapely.Polygon, room: Room, radius_mm: float) -> Loop | None:
    """Give the loop of a helix in the midst, as wide as serves or as there is room; None where that is too little."""
    middle, _ = shapely.get_coordinates(shapely.maximum_inscribed_circle(midst, MIDDLE_SHARE * radius_mm))
    free = float(shapely.distance(room.area.boundary, shapely.Point(middle)))
    away = min(HELIX_SHARE * radius_mm, free)
    if away < LEAST_HELIX * radius_mm:
        return None
    (x, y), thirds = middle.tolist(), (2 * math.pi / 3, 4 * math.pi / 3, 0.0)
    ends = [(x + away * math.cos(angle), y + away * math.sin(angle)) for angle in thirds]
    return Loop(ends[-1], tuple(Stroke(end, (x, y)) for end in ends))


@dataclass(slots=True)
class Walker:
    """Goes round rings from where it is, and keeps its strokes; it begins at the first ring where it is nowhere.

    It leaves a ring a little before it is closed, slanting over to the next, where that lies outside it:

        .------>------   next         what is not gone over lies between two slanting ways, a stepover
         `-.             ring         from each other, and is cut by them
        ----`----o-->-
    """

    room: Room
    drawing: Drawing
    radius_mm: float
    at: Point | None
    strokes: list[Stroke] = field(default_factory=list)
    first_round: Loop | None = None
    left: Ring | None = None  # the ring on which it is, and by how many strokes it is drawn
    drawn: int = 0

    def clear(self, nest: Nest) -> None:
        """Go round all rings of a nest, from the midst on always the nearest of those that wait for no other."""
        waiting = dict.fromkeys(nest.rings)
        while waiting:
            free = [ring for ring in waiting if waiting.keys().isdisjoint(ring.after)]
            place = shapely.Point(self.at) if self.at is not None else nest.midst
            ring = free[int(np.argmin(shapely.distance([ring.line for ring in free], place)))]
            del waiting[ring]
            self.go_round(ring)

    def go_round(self, ring: Ring) -> None:
        """Go to a ring, and all round it."""
        points = shapely.get_coordinates(ring.line)
        if self.at is not None:
            points = begun_near(points, self.at, NEAR_CORNER * self.radius_mm)
        places = [(float(x), float(y)) for x, y in points]
        if self.at is not None:
            self._go_to(ring, self.at, places[0])
        drawn = self.drawing.ring(places, ring.within)
        if not self.strokes:
            self.first_round = Loop(places[0], drawn)
        self.strokes += drawn
        self.at, self.left, self.drawn = places[0], ring, len(drawn)

    def _go_to(self, ring: Ring, at: Point, place: Point) -> None:
        """Go to where the next ring begins: slanting, from a little before this one is closed, or through the room."""
        left = self.left
        if left is not None and left in ring.after and self._gone_beside(left, at):
            less = without_last(at, self.strokes[-self.drawn :], SLANT * STEP_INWARD * self.radius_mm)
            if less and self.room.holds(less[-1].end, place):
                self.strokes[-self.drawn :] = less
                at = less[-1].end
        self.strokes += self.room.way(at, place)

    def _gone_beside(self, left: Ring, at: Point) -> bool:
        """Say whether rings inside one lie beside all of it that would be left out if it ended short of a place."""
        way_mm = SLANT * STEP_INWARD * self.radius_mm
        turned = shapely.LineString(begun_near(shapely.get_coordinates(left.line), at, 0.0))
        last = shapely.segmentize(substring(turned, -way_mm, turned.length), self.radius_mm / 2)
        inner = shapely.MultiLineString([ring.line for ring in left.after])
        places = shapely.points(shapely.get_coordinates(last))
        return bool(shapely.dwithin(inner, places, BESIDE_WHAT_IS_LEFT * self.radius_mm).all())


def begun_near(ring: Floats, place: Point, farther_mm: float) -> Floats:
    """Give a closed ring begun as near as can be to a place, or at a corner that lies little farther from it.

    Begun between two corners, a line or an arc is cut in two.
    """
    open_ring = ring[:-1]
    after = np.roll(open_ring, -1, axis=0) - open_ring
    before = np.roll(after, 1, axis=0)
    lengths, earlier = np.hypot(*after.T), np.hypot(*before.T)
    straight = (after * before).sum(axis=1) >= SHARP_COS * lengths * earlier
    corners = np.flatnonzero(~straight | (np.maximum(lengths, earlier) > UNLIKE_LENGTHS * np.minimum(lengths, earlier)))
    line, point = shapely.LineString(ring), shapely.Point(place)
    if 0 < len(corners) <= FEW_CORNERS:
        away = np.hypot(*(open_ring[corners] - place).T)
        nearest = int(np.argmin(away))
        if away[nearest] <= shapely.distance(line, point) + farther_mm:
            turned = np.roll(open_ring, -int(corners[nearest]), axis=0)
            return np.concatenate([turned, turned[:1]])
    along = float(shapely.line_locate_point(line, point))
    begin = shapely.get_coordinates(shapely.line_interpolate_point(line, along))
    ends = np.cumsum(lengths)
    edge = min(int(np.searchsorted(ends, along)), len(open_ring) - 1)
    turned = np.concatenate([begin, np.roll(open_ring, -(edge + 1), axis=0), begin])
    kept: Floats = turned[np.append(np.any(np.diff(turned, axis=0), axis=1), True)]
    return kept
