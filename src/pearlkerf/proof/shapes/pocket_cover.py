"""Whether ways of flat cutters sweep an area of any outline: triangles, each within one disc, halved until they are.

    A disc about a place of the way is convex: it covers a triangle      wall  _______________________
    when it covers its three corners.  So each triangle is held                \\   /\\   /\\   /\\   /
    against the disc about the place of the way that is nearest to its          \\ /  \\ /  \\ /  \\ /
    middle, and halved where a corner lies outside.  Where a middle      way   --*----*----*----*-----
    itself lies in no disc, a place is found that is not cut.

What is left uncut never passes: nothing is sampled, and what no disc covers at THINNEST_STRIP_MM counts as left.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.tolerances import THINNEST_STRIP_MM

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# polygons of more corners than this are halved before they are cut into triangles, which takes a square's time
MOST_CORNERS = 100
# triangles begin with no side longer than this many radii
TO_BEGIN_WITH = 1.7
# triangles that are looked at together; of more, the last come first, so that a true gap is soon found
AT_ONCE = 10_000


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """Where the middle of flat cutters of one radius goes: a prepared geometry, mm."""

    radius: float
    plan: BaseGeometry


def uncovered(area: BaseGeometry, ways: Sequence[Ways]) -> Floats | None:
    """Give a place (2,) of an area that no cutter sweeps on its ways; None where all of it is swept."""
    widest = max((way.radius for way in ways), default=math.inf)
    waiting = [_small_enough(_triangles(area), widest)]
    while waiting:
        some = waiting.pop()
        if len(some) > AT_ONCE:
            waiting += np.array_split(some, 2)
            continue
        halves, gap = _not_covered(some, ways)
        if gap is not None:
            return gap
        if len(halves):
            waiting.append(halves)
    return None


def _small_enough(triangles: Floats, radius: float) -> Floats:
    """Halve triangles until no side is longer than TO_BEGIN_WITH of a radius: no larger one lies in a disc."""
    small = []
    while len(triangles):
        sides = _sides(triangles)
        longest = sides.argmax(axis=1)
        large = sides[np.arange(len(sides)), longest] > TO_BEGIN_WITH * radius
        small.append(triangles[~large])
        triangles = _halved(triangles[large], longest[large])
    return np.concatenate(small) if small else triangles


def _triangles(area: BaseGeometry) -> Floats:
    """Cut an area into triangles (m, 3, 2)."""
    whole, small = [area], []
    while len(whole):
        parts = shapely.get_parts(whole)
        parts = parts[(shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > 0)]
        many = shapely.get_num_coordinates(parts) > MOST_CORNERS
        small.append(parts[~many])
        west, south, east, north = shapely.bounds(parts[many]).T
        wide = east - west > north - south
        x, y = np.where(wide, (west + east) / 2, east), np.where(wide, north, (south + north) / 2)
        one = shapely.box(west, south, x, y)
        other = shapely.box(np.where(wide, x, west), np.where(wide, south, y), east, north)
        whole = [*shapely.intersection(parts[many], one), *shapely.intersection(parts[many], other)]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(np.concatenate(small)))
    return np.asarray(shapely.get_coordinates(shapely.get_parts(triangles)).reshape(-1, 4, 2)[:, :3])


def _not_covered(triangles: Floats, ways: Sequence[Ways]) -> tuple[Floats, Floats | None]:
    """Give the halves of the triangles that no single disc covers, and a place that is surely not swept, or None."""
    left = triangles
    found: list[tuple[Floats, float]] = []  # the discs that were tried: a centre for each triangle, a radius
    missed = np.full(len(left), np.inf)  # how far each one's middle is from being swept
    for way in ways:
        middle = left.mean(axis=1)
        lines = shapely.get_coordinates(shapely.shortest_line(way.plan, shapely.points(middle))).reshape(-1, 2, 2)
        centre = lines[:, 0]
        missed = np.minimum(missed, np.hypot(*(middle - centre).T) - way.radius)
        out = _is_out(left, centre, way.radius)
        left, missed, found = (
            left[out],
            missed[out],
            [(own[out], radius) for own, radius in [*found, (centre, way.radius)]],
        )
    if not len(left):
        return left, None
    sides = _sides(left)
    longest = sides.argmax(axis=1)
    bad = (missed > 0) | (sides[np.arange(len(left)), longest] <= THINNEST_STRIP_MM)
    if bad.any():
        return left[:0], left[int(np.argmax(bad))].mean(axis=0)
    halves, out = _halved(left, longest), np.ones(2 * len(left), dtype=bool)
    for centre, radius in found:  # mostly one half lies in the disc that the whole does not
        out &= _is_out(halves, np.concatenate([centre, centre]), radius)
    return halves[out], None


def _is_out(triangles: Floats, centre: Floats, radius: float) -> Flags:
    """Say which triangles have a corner outside their disc."""
    return np.asarray(((triangles - centre[:, None]) ** 2).sum(axis=2).max(axis=1) > radius**2)


def _sides(triangles: Floats) -> Floats:
    """Give the lengths of the sides that begin at each corner, (m, 3) mm."""
    return np.asarray(np.hypot(*np.moveaxis(triangles - np.roll(triangles, -1, axis=1), -1, 0)))


def _halved(triangles: Floats, longest: NDArray[np.intp]) -> Floats:
    """Halve triangles across the side that begins at each one's ``longest`` corner."""
    rows = np.arange(len(triangles))
    first, second, third = (triangles[rows, (longest + step) % 3] for step in range(3))
    middle = (first + second) / 2
    return np.concatenate([np.stack([first, middle, third], axis=1), np.stack([middle, second, third], axis=1)])
