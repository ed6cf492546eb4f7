"""Filling: what closed lines enclose by a fill rule, however they cross.

Lines that do not cross are put into each other; those that do are cut at their crossings, and every
face is asked for its winding number.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.outlines.drawing import FillRule
from pearlkerf.outlines.limits import MOST_CROSSINGS, MOST_TOLD
from pearlkerf.outlines.segments import Point

Floats = NDArray[np.float64]
# pieces of line that are asked at once for what they cross, to begin with
FIRST_CHUNK: Final = 16


class TooManyCrossings(ValueError):
    """Lines that cross more often than any drawing needs."""


def fill(rings: Sequence[Floats], rule: FillRule) -> tuple[shapely.Geometry, list[Point]]:
    """Give what rings (n, 2) enclose by a fill rule, and the places where they cross themselves or each other.

    Raises TooManyCrossings where they cross more often than MOST_CROSSINGS times.
    """
    polygons = [shapely.Polygon(ring) for ring in rings]
    lines = [polygon.exterior for polygon in polygons]
    if all(polygon.is_valid for polygon in polygons) and not _any_cross(lines):
        return _nested(rings, polygons, rule), []
    _count_crossings(rings)
    return _faces(rings, lines, rule)


def _count_crossings(rings: Sequence[Floats]) -> None:
    """Refuse rings that cross too often; few pieces at once, so that a hostile drawing takes no room either."""
    pieces = _pieces(rings)
    tree, count, at, chunk = shapely.STRtree(pieces), 0, 0, FIRST_CHUNK
    while at < len(pieces):
        first, second = tree.query(pieces[at : at + chunk], predicate="intersects")
        # each piece meets itself and its two neighbours, which is no crossing
        count += max(len(first) - 3 * len(np.unique(first)), 0)
        if count > 2 * MOST_CROSSINGS:
            raise TooManyCrossings(f"its lines cross more than {MOST_CROSSINGS} times")
        at += chunk
        chunk = 2 * chunk if len(second) < 4 * chunk else max(chunk // 2, 1)


def _pieces(rings: Sequence[Floats]) -> NDArray[np.object_]:
    """Give every piece of rings as a line, in their order."""
    ends = [np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings]
    return np.asarray(shapely.linestrings(np.concatenate(ends)))


def _any_cross(lines: Sequence[shapely.LinearRing]) -> bool:
    if len(lines) < 2:
        return False
    tree = shapely.STRtree(lines)
    first, second = tree.query(lines, predicate="intersects")
    return bool((first != second).any())


def _signs(rings: Sequence[Floats]) -> NDArray[np.int64]:
    """Give +1 for each counter-clockwise ring, -1 for a clockwise one."""
    doubled = [
        float(np.sum(ring[:, 0] * np.roll(ring[:, 1], -1) - np.roll(ring[:, 0], -1) * ring[:, 1])) for ring in rings
    ]
    return np.where(np.array(doubled) > 0, 1, -1)


def _nested(rings: Sequence[Floats], polygons: Sequence[shapely.Polygon], rule: FillRule) -> shapely.Geometry:
    """Fill rings of which none crosses itself or another: each lies in others, or beside them."""
    sign = _signs(rings)
    tree = shapely.STRtree(polygons)
    corner = shapely.points([ring[0] for ring in rings])
    ring_of, around = tree.query(corner, predicate="within")  # a corner lies within every ring around its own
    own = ring_of != around
    inside = sign.copy()
    np.add.at(inside, ring_of[own], sign[around[own]])
    filled = (inside != 0, inside - sign != 0) if rule == "nonzero" else _odd(ring_of[own], len(rings))
    edge = filled[0] != filled[1]
    solid = [polygon for polygon, is_edge, is_in in zip(polygons, edge, filled[0], strict=True) if is_edge and is_in]
    empty = [
        polygon for polygon, is_edge, is_in in zip(polygons, edge, filled[0], strict=True) if is_edge and not is_in
    ]
    return _carved(solid, empty)


def _odd(ring_of: NDArray[np.int64], count: int) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    depth = np.bincount(ring_of, minlength=count)
    return depth % 2 == 0, depth % 2 == 1


def _carved(solid: Sequence[shapely.Polygon], empty: Sequence[shapely.Polygon]) -> shapely.MultiPolygon:
    """Give the solid rings with the empty ones as holes, each in the smallest solid that holds it."""
    holes: list[list[NDArray[np.float64]]] = [[] for _ in solid]
    if solid and empty:
        tree = shapely.STRtree(solid)
        area = np.array([polygon.area for polygon in solid])
        corner = shapely.points([polygon.exterior.coords[0] for polygon in empty])
        hole, around = tree.query(corner, predicate="within")
        for number in range(len(empty)):
            near = around[hole == number]
            if len(near):
                holes[int(near[np.argmin(area[near])])].append(shapely.get_coordinates(empty[number].exterior))
    return shapely.MultiPolygon(
        [shapely.Polygon(polygon.exterior, inner) for polygon, inner in zip(solid, holes, strict=True)]
    )


def _faces(
    rings: Sequence[Floats], lines: Sequence[shapely.LinearRing], rule: FillRule
) -> tuple[shapely.Geometry, list[Point]]:
    """Fill rings that cross: cut them at their crossings, and ask every face for its winding number."""
    noded = shapely.node(shapely.MultiLineString([shapely.get_coordinates(line) for line in lines]))
    faces = np.array(shapely.get_parts(shapely.polygonize(shapely.get_parts(noded))))
    places = shapely.get_coordinates(shapely.point_on_surface(faces))
    around = winding(places, rings)
    kept = faces[(around != 0) if rule == "nonzero" else (around % 2 == 1)]
    return shapely.union_all(kept), _crossings(noded)


def winding(places: Floats, rings: Sequence[Floats]) -> NDArray[np.int64]:
    """Give how often rings (n, 2) go round each of (m, 2) places, counter-clockwise counted up.

    Source: the crossing count of a ray, upward edges up, downward edges down (Hormann and Agathos,
    "The point in polygon problem for arbitrary polygons", Computational Geometry 20, 2001; from memory).
    """
    start = np.concatenate([*rings])
    end = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    right = max(float(start[:, 0].max()), float(places[:, 0].max())) + 1.0
    rays = shapely.linestrings(np.stack([places, np.column_stack([np.full(len(places), right), places[:, 1]])], axis=1))
    tree = shapely.STRtree(_pieces(rings))
    place, edge = tree.query(rays)
    (x, y), (x0, y0), (x1, y1) = places[place].T, start[edge].T, end[edge].T
    left = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    up, down = (y0 <= y) & (y1 > y) & (left > 0), (y0 > y) & (y1 <= y) & (left < 0)
    found = np.zeros(len(places), dtype=np.int64)
    np.add.at(found, place, up.astype(np.int64) - down.astype(np.int64))
    return found


def _crossings(noded: shapely.Geometry) -> list[Point]:
    """Give the first places where lines that were cut at their crossings meet with more than two ends."""
    points, of = shapely.get_coordinates(shapely.get_parts(noded), return_index=True)
    first = np.flatnonzero(np.diff(of, prepend=-1))
    last = np.append(first[1:], len(of)) - 1
    places, count = np.unique(points[np.concatenate([first, last])], axis=0, return_counts=True)
    return [(x, y) for x, y in places[count > 2][:MOST_TOLD].tolist()]
