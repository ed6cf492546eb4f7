"""What a wider cutter left in a pocket: its corners and narrow places, come to through what is cleared.

____________
|  . - - .  |      left in the corners; the finishing cutter goes down beside it, where all is cleared to the
|.'  wide `.|      floor, and follows its own rings as far as they run by what is left, the inner ones first
||   one   ||
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.pocket_cutters import left_after, roomy_for
from pearlkerf.operations.tolerances import STEP_INWARD
from pearlkerf.toolpath.courses import begun_near
from pearlkerf.toolpath.nests import Nest, Ring, nested
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.pockets import Levels, clear_nests, drawing_of, run
from pearlkerf.toolpath.rooms import Room
from pearlkerf.toolpath.strokes import Drawing, Point, Stroke
from pearlkerf.toolpath.tolerances import ABOVE_MM, CLEAR_OF_LEFT_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A way along wood that is left: the points of a piece of a ring, or of all of it."""

    points: Floats
    ring: Ring

    @property
    def closed(self) -> bool:
        """Say whether it is a whole ring."""
        return bool((self.points[0] == self.points[-1]).all())

    @property
    def middle(self) -> shapely.Point:
        """Give the place halfway along it."""
        return shapely.line_interpolate_point(shapely.LineString(self.points), 0.5, normalized=True)


def clear_where_there_is_room(pocket: Pocket, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Clear with a wide cutter those parts of a pocket in which it has room."""
    roomy = roomy_for(cutter, pocket.region)
    nests = [nest for part in roomy.geoms for nest in nested(part, cutter.radius_mm)]
    clear_nests(nests, Levels.of(pocket, stock, cutter.radius_mm, pen.figures), pen)


def clear_what_is_left(pocket: Pocket, cutter: Cutter, stock: Stock, pen: Pen, after: Cutter) -> None:
    """Clear with a finishing cutter what a wider one left of a pocket, place by place."""
    left = left_after(after, pocket.region)
    levels = Levels.of(pocket, stock, cutter.radius_mm, pen.figures)
    near = shapely.buffer(left, cutter.radius_mm + CLEAR_OF_LEFT_MM)
    for nest in nested(pocket.region, cutter.radius_mm):
        chains = list(_chains(nest, pocket.region, left, cutter.radius_mm))
        where = Cleared(Room(nest.area), shapely.difference(nest.area, near))
        for place in shapely.get_parts(near):
            some = [chain for chain in chains if shapely.intersects(place, chain.middle)]
            if some:
                _cut(some, where, levels, pen)


def _chains(nest: Nest, region: shapely.Polygon, left: BaseGeometry, radius_mm: float) -> Iterable[Chain]:
    """Give the pieces of rings that run by what is left, of each ring by what lies farther from the wall than its cut.

    What lies nearer is for the rings about it, which take a stepover too.
    """
    for number in range(1 + max(ring.within for ring in nest.rings)):
        inward = shapely.intersection(left, shapely.buffer(region, -number * STEP_INWARD * radius_mm))
        if inward.is_empty:
            return
        near = shapely.buffer(inward, radius_mm + CLEAR_OF_LEFT_MM)
        for ring in nest.rings:
            if ring.within == number:
                yield from (Chain(points, ring) for points in _pieces(ring, near))


def _pieces(ring: Ring, near: BaseGeometry) -> Iterable[Floats]:
    """Give the pieces of a ring that lie in an area, in its own direction."""
    if shapely.covers(near, ring.line):
        yield shapely.get_coordinates(ring.line)
        return
    for part in shapely.get_parts(shapely.line_merge(shapely.intersection(ring.line, near))):
        points = shapely.get_coordinates(part)
        first, second = (float(shapely.line_locate_point(ring.line, shapely.Point(place))) for place in points[:2])
        forth = 0 < (second - first) % ring.line.length < ring.line.length / 2
        yield points if forth else points[::-1]


@dataclass(frozen=True, slots=True)
class Cleared:
    """Where a cutter's middle may be, and where in it all is cleared about it."""

    room: Room
    cleared: BaseGeometry


def _cut(chains: list[Chain], where: Cleared, levels: Levels, pen: Pen) -> None:
    """Cut along some chains at each level, the inner ones first, from where all is cleared."""
    begin, strokes = _course(chains, where, drawing_of(levels, pen))
    pen.approach(*begin, levels.pocket.approach)
    pen.descend(levels.top_mm + ABOVE_MM)
    for number in range(1, levels.count + 1):
        share = number / levels.count
        pen.feed(*begin, float(levels.z_mm(begin, share)))
        run(strokes, levels, (share, share), pen)
    pen.leave(levels.top_mm)


def _course(chains: list[Chain], where: Cleared, drawing: Drawing) -> tuple[Point, tuple[Stroke, ...]]:
    """Give where the cutter goes down, and how it goes round from there and back."""
    waiting, room = list(chains), where.room
    at = begin = _begin(max(chains, key=lambda chain: chain.ring.within), where)
    strokes: list[Stroke] = []
    while waiting:
        inner = max(chain.ring.within for chain in waiting)
        place = np.array(at)
        chain = min(
            (chain for chain in waiting if chain.ring.within == inner),
            key=lambda chain: float(np.hypot(*(chain.points[0] - place))),
        )
        waiting.remove(chain)
        points = begun_near(chain.points, at, 0.0) if chain.closed else chain.points
        places = [(float(x), float(y)) for x, y in points]
        strokes += room.way(at, places[0])
        strokes += drawing.ring(places, chain.ring.within)
        at = places[-1]
    return begin, (*strokes, *room.way(at, begin))


def _begin(chain: Chain, where: Cleared) -> Point:
    """Give where to go down for a chain: at its start, where all is cleared; for a whole ring, near it."""
    start = shapely.Point(chain.points[0])
    if not chain.closed:
        return float(start.x), float(start.y)
    ring = shapely.LineString(chain.points)
    (x, y), _ = shapely.get_coordinates(shapely.shortest_line(where.cleared, ring)).tolist()
    return x, y
