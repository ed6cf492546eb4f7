"""The fit of an inlay: the line that both cutters can follow, pocket and piece on its two sides.

    pocket   M grown by half the gap              the drawing's line M runs in the middle of the gap,
    - - - -  M  - - - -                           round holes and islands too
    piece    M shrunk by half the gap

A cutter of radius r clears a pocket whose every point a disc of radius r inside it reaches: the pocket is
open by r.  It cuts round a piece whose outside is open by its radius.  With half the gap taken off either
radius both are asked of M: M is open by ``reach_mm`` and its outside is open by ``relief_mm`` (that is, M
is closed by it).  Opening and closing: Serra, "Image Analysis and Mathematical Morphology" (1982).

One opening and one closing do for most drawings.  Where a closing bridges two branches by a neck that the
pocket's cutter does not enter, the neck is grown until it does, and the whole is closed again.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pearlkerf.outlines.drawing import refused
from pearlkerf.outlines.limits import CHORDS_MM, MOST_IN_VAIN, MOST_ROUNDS, MOST_TOLD, NOTHING_MM2, QUARTER, SETTLED_MM
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.segments import Point


@dataclass(frozen=True, slots=True)
class Cutters:
    """What decides a fit, mm: the radii of the cutters of pocket and piece, and the gap on each side between them.

    ``piece_radius_mm`` is None where pieces are cut by hand: only the pocket's cutter limits the drawing.
    """

    pocket_radius_mm: float
    piece_radius_mm: float | None
    gap_mm: float

    @property
    def reach_mm(self) -> float:
        """By what the drawing's line must be open."""
        return self.pocket_radius_mm - self.gap_mm / 2

    @property
    def relief_mm(self) -> float:
        """By what its outside must be open; zero where a hand cuts it."""
        return 0.0 if self.piece_radius_mm is None else self.piece_radius_mm - self.gap_mm / 2


@dataclass(frozen=True, slots=True)
class Given:
    """A place where the drawing had to give, and by how much at most there, mm."""

    place: Point
    by_mm: float


@dataclass(frozen=True, slots=True)
class Lost:
    """A part or a hole of the drawing of which nothing is left: its middle, and how wide it was, mm."""

    what: str
    place: Point
    width_mm: float


@dataclass(frozen=True, slots=True)
class Fit:
    """A drawing's line as two cutters leave it, with pocket and piece; mm.

    ``given`` holds the MOST_TOLD places where the drawing gave most, the worst first.
    """

    line: shapely.MultiPolygon
    pocket: shapely.MultiPolygon
    piece: shapely.MultiPolygon
    given: tuple[Given, ...]
    lost: tuple[Lost, ...]


def fit(region: Region, cutters: Cutters, name: str) -> Fit:
    """Give what two cutters can make of a region.

    Pocket and piece keep the gap everywhere, and everything of the pocket within SETTLED_MM can be cut.
    Raises Refusal where nothing of the region is left, or where it does not settle, with the place.
    """
    line = _settled(region.area, cutters, name)
    half = cutters.gap_mm / 2
    lost = (*_lost_parts(region.area, line), *lost_holes(region.area, line))
    return Fit(line, solid(grown(line, half)), solid(grown(line, -half)), places_given(region.area, line, lost), lost)


def opened(area: BaseGeometry, radius_mm: float) -> BaseGeometry:
    """Give what discs of a radius inside an area reach of it."""
    return grown(grown(area, -radius_mm), radius_mm)


def closed(area: BaseGeometry, radius_mm: float) -> BaseGeometry:
    """Give an area with all that discs of a radius outside it do not reach."""
    whole = shapely.union(area, grown(grown(area, radius_mm), -radius_mm))
    # its two edges follow each other within rounding: what is shrunk next would cross itself in every point
    return shapely.simplify(whole, CHORDS_MM, preserve_topology=True)


def unreached(area: BaseGeometry, radius_mm: float) -> BaseGeometry:
    """Give what discs of a radius inside an area leave of it, farther than SETTLED_MM from what they reach."""
    return shapely.difference(area, grown(opened(area, radius_mm), SETTLED_MM))


def _settled(area: BaseGeometry, cutters: Cutters, name: str) -> shapely.MultiPolygon:
    line = closed(opened(area, cutters.reach_mm), cutters.relief_mm)
    if solid(line).is_empty:
        x, y = shapely.get_coordinates(shapely.point_on_surface(area))[0].tolist()
        hint = "take a smaller cutter, or make it larger"
        raise refused(name, f"at X {x:.2f} Y {y:.2f}", "it is nowhere wide enough for its cutters", hint)
    least, since = math.inf, 0
    for _ in range(MOST_ROUNDS):
        neck = unreached(line, cutters.reach_mm)
        if neck.area < NOTHING_MM2:
            return solid(line)
        least, since = (neck.area, 0) if neck.area < least else (least, since + 1)
        if since == MOST_IN_VAIN:
            break
        line = closed(shapely.union(line, grown(neck, cutters.reach_mm)), cutters.relief_mm)
    x, y = shapely.get_coordinates(shapely.point_on_surface(neck))[0].tolist()
    hint = "part its lines there, or let them meet, or take smaller cutters"
    raise refused(name, f"at X {x:.2f} Y {y:.2f}", "its lines come too near each other for its cutters", hint)


def grown(area: BaseGeometry, by_mm: float) -> BaseGeometry:
    """Give an area grown by a length all round, shrunk where it is negative; its lines straightened by CHORDS_MM."""
    if by_mm == 0 or area.is_empty:
        return area
    return shapely.simplify(shapely.buffer(area, by_mm, quad_segs=QUARTER), CHORDS_MM, preserve_topology=True)


def solid(area: BaseGeometry) -> shapely.MultiPolygon:
    """Give the parts of an area that enclose more than NOTHING_MM2."""
    parts = [part for part in shapely.get_parts(area) if part.geom_type == "Polygon" and part.area > NOTHING_MM2]
    return shapely.MultiPolygon(parts)


def _lost_parts(area: shapely.MultiPolygon, line: shapely.MultiPolygon) -> Iterator[Lost]:
    """Give the parts of which nothing is left."""
    for part in area.geoms:
        if shapely.intersection(part, line).area < NOTHING_MM2:
            yield Lost("part", *widest(part))


def lost_holes(area: shapely.MultiPolygon, line: shapely.MultiPolygon) -> Iterator[Lost]:
    """Give the holes of which nothing is left: the line fills them."""
    for hole in (shapely.Polygon(ring) for part in area.geoms for ring in part.interiors):
        if shapely.difference(hole, line).area < NOTHING_MM2:
            yield Lost("hole", *widest(hole))


def widest(area: shapely.Polygon) -> tuple[Point, float]:
    """Give the middle of the largest disc in an area, and how wide the area is across it, mm."""
    across = shapely.maximum_inscribed_circle(area, SETTLED_MM)
    x, y = shapely.get_coordinates(across)[0].tolist()
    return (x, y), 2 * float(across.length)


def farthest_mm(area: BaseGeometry, other: BaseGeometry) -> float:
    """Give how far the farthest corner of an area lies from another; nothing where it has none."""
    shapely.prepare(other)
    corners = shapely.points(shapely.get_coordinates(area))
    return float(np.max(shapely.distance(other, corners), initial=0.0))


def places_given(area: shapely.MultiPolygon, line: shapely.MultiPolygon, lost: Iterable[Lost]) -> tuple[Given, ...]:
    """Give the places between a drawing and its line, each with the farthest that one edge is from the other there.

    The MOST_TOLD places where it gave most, the worst first; what is ``lost`` gave nothing.
    """
    gone = [shapely.Point(each.place) for each in lost]
    edges = (area.boundary, line.boundary)
    shapely.prepare(edges)
    between = [
        part for part in shapely.get_parts(shapely.symmetric_difference(area, line))
        if part.area > 0 and not any(part.intersects(place) for place in gone)
    ]  # fmt: skip
    if not between:
        return ()
    corners, of = shapely.get_coordinates(between, return_index=True)
    # a corner lies on one of the two edges
    away = np.sum([shapely.length(shapely.shortest_line(edge, shapely.points(corners))) for edge in edges], axis=0)
    order = np.lexsort((-away, of))
    worst = order[np.flatnonzero(np.diff(of[order], prepend=-1))]
    found = [Given((float(x), float(y)), float(by)) for (x, y), by in zip(corners[worst], away[worst], strict=True)]
    kept = [each for each in found if each.by_mm > SETTLED_MM]
    return tuple(sorted(kept, key=lambda each: (-each.by_mm, each.place))[:MOST_TOLD])
