"""Rings that clear a pocket: the last one exactly along its wall, the others each from the one before.

Where a cutter's middle may be is the pocket eroded by its radius.  A buffer's chords lie a little too near
the wall, so that the wall's own ring is laid by plain distances from it: every point of it is put at one
distance from the nearest point of the wall, and chords are halved until they stay in a band; whatever draws
the ring makes them as long as the band allows.  Deeper rings keep no wall: each comes from the one before,
straightened in between (otherwise their corners double with each).
"""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.errors import Problem, Refusal
from pearlkerf.toolpath.tolerances import (
    GRADED_STEPS,
    HALVED_CHORD_MM,
    LOOKED_AT,
    MOST_ABOUT,
    MOST_AHEAD_MM,
    MOST_HALVINGS,
    MOST_MENDED,
    MOST_PUTS,
    MOST_STRAIGHT_MM,
    NO_RING_MM2,
    PUT_MM,
    RING_QUARTER,
    STRAIGHT_SHARE,
    WALL_LEAST_MM,
    WALL_MIDDLE_MM,
)

Floats = NDArray[np.float64]


def along_walls(pocket: shapely.MultiPolygon | shapely.Polygon, radius_mm: float) -> list[list[Floats]]:
    """Give the rings on which a cutter of a radius runs along the walls of a pocket, each (n, 2) float, mm, closed.

    They come part by part of where the middle may be: of each part its outer ring, counter-clockwise, then those
    around its islands, clockwise.  With their many short chords they keep the radius and WALL_LEAST_MM to
    WALL_MOST_MM more from the wall.  Raises Refusal where a wall is so rough that no such ring is found.
    """
    wall = pocket.boundary
    shapely.prepare(wall)
    return [
        [_along_wall(ring[:-1], wall, radius_mm) for ring in edges_of(part)]
        for part in solid_parts(where_its_middle_may_be(pocket, radius_mm + WALL_MIDDLE_MM))
    ]


def _along_wall(ring: Floats, wall: BaseGeometry, radius_mm: float) -> Floats:
    ring = at_distance(ring, wall, radius_mm + WALL_MIDDLE_MM)
    for _ in range(MOST_MENDED):
        closed = np.concatenate([ring, ring[:1]])
        if not shapely.dwithin(wall, shapely.LineString(closed), radius_mm + WALL_LEAST_MM):
            return closed
        # a corner of the wall may come near between the places of a chord that were looked at
        chords = shapely.linestrings(np.stack([closed[:-1], closed[1:]], axis=1))
        near = np.flatnonzero(shapely.dwithin(wall, chords, radius_mm + WALL_LEAST_MM))
        middles = (closed[near] + closed[near + 1]) / 2
        ring = np.insert(ring, near + 1, _put(middles, wall, radius_mm + WALL_MIDDLE_MM), axis=0)
    x, y = ring[0]
    found = f"the ring at X {x:.3f} Y {y:.3f} comes nearer to its wall than the cutter's radius"
    raise Refusal([Problem(found, hint="draw the outline smoother there")])


def edges_of(part: shapely.Polygon) -> list[Floats]:
    """Give the outer ring of a polygon, counter-clockwise, and those around its holes, clockwise; each closed."""
    turned = shapely.orient_polygons(part)
    return [shapely.get_coordinates(ring) for ring in (turned.exterior, *turned.interiors)]


def where_its_middle_may_be(pocket: BaseGeometry, radius_mm: float) -> BaseGeometry:
    """Give where a cutter's middle may be in a pocket, within some hundredths: good for all rings but the wall's."""
    area = _straightened(pocket, radius_mm)
    for share in GRADED_STEPS:
        area = _straightened(shapely.buffer(area, -radius_mm * share, quad_segs=RING_QUARTER), radius_mm)
    if not solid_parts(area):  # straightened, a place little wider than the cutter is none
        area = shapely.buffer(pocket, -radius_mm, quad_segs=RING_QUARTER)
    return area


def clearing_rings(inside: BaseGeometry, stepover_mm: float) -> Iterator[list[shapely.Polygon]]:
    """Give what is left of the place of a cutter's middle after each ring, from the wall inward."""
    left = inside
    while True:
        left = _straightened(shapely.buffer(left, -stepover_mm, quad_segs=RING_QUARTER), stepover_mm)
        parts = solid_parts(left)
        if not parts:
            return
        yield parts


def _straightened(area: BaseGeometry, eroded_mm: float) -> BaseGeometry:
    """Give an area with few corners, as near as its erosion allows; the quick way, which the next buffer mends."""
    by_mm = min(STRAIGHT_SHARE * eroded_mm, MOST_STRAIGHT_MM)
    return shapely.simplify(area, by_mm, preserve_topology=False)


def solid_parts(area: BaseGeometry) -> list[shapely.Polygon]:
    """Give the parts of an area that are large enough for a ring."""
    return [part for part in shapely.get_parts(area) if part.area > NO_RING_MM2]


def _from_wall(points: Floats, wall: BaseGeometry) -> tuple[Floats, Floats]:
    """Give how far points are from a wall, and its nearest points."""
    near = shapely.get_coordinates(shapely.shortest_line(wall, shapely.points(points))).reshape(-1, 2, 2)
    return np.hypot(*(near[:, 1] - near[:, 0]).T), near[:, 0]


def _put(points: Floats, wall: BaseGeometry, away_mm: float) -> Floats:
    """Put points, which lie near to it, at a distance from a wall."""
    points = points.copy()
    wrong = np.arange(len(points))
    for _ in range(MOST_PUTS):
        away, near = _from_wall(points[wrong], wall)
        off = np.abs(away - away_mm) > PUT_MM
        wrong, away, near = wrong[off], away[off], near[off]
        if not len(wrong):
            break
        points[wrong] = near + (points[wrong] - near) * (away_mm / away)[:, None]
    return points


def _across_an_end(middles: Floats, put: Floats, chords: Floats) -> NDArray[np.bool_]:
    """Say which chords go across the end of a narrow place: their middles are put along them, to the walls beside."""
    moved = put - middles
    along = np.abs((moved * chords).sum(axis=1))
    aside = np.abs(moved[:, 0] * chords[:, 1] - moved[:, 1] * chords[:, 0])
    return np.asarray(along > aside)


def _ahead(middles: Floats, chords: Floats, off: tuple[BaseGeometry, float]) -> Floats:
    """Give how far one may go on from the middles of chords across the end of a narrow place, keeping off a wall.

    To the right of a chord lies what the ring does not enclose.  Where a wall is d away, nothing of it is met before
    that: so each step is as long as what d is more than the distance to be kept (sphere tracing, Hart 1996).
    """
    wall, away_mm = off
    lengths = np.hypot(*chords.T)
    aside = np.column_stack([chords[:, 1], -chords[:, 0]]) / np.where(lengths > 0, lengths, 1.0)[:, None]
    ahead = middles.copy()
    for _ in range(MOST_PUTS if len(ahead) else 0):
        ahead += aside * np.maximum(_from_wall(ahead, wall)[0] - away_mm, 0.0)[:, None]
    return ahead


def at_distance(ring: Floats, wall: BaseGeometry, away_mm: float) -> Floats:
    """Give a ring at a distance from a wall, its chords halved until their middles are as well.

    To its right lies what it does not enclose.
    """
    ring = _put(ring, wall, away_mm)
    known = np.zeros(len(ring), dtype=bool)  # chords, by their first points
    for _ in range(MOST_HALVINGS):
        asked = np.flatnonzero(~known)
        start, end = ring[asked], ring[(asked + 1) % len(ring)]
        middles = (start + end) / 2
        off = np.zeros(len(asked), dtype=bool)
        for share in LOOKED_AT:
            off |= np.abs(_from_wall(start + share * (end - start), wall)[0] - away_mm) > HALVED_CHORD_MM
        new = _put(middles[off], wall, away_mm)
        chord, halves = end[off] - start[off], np.hypot(*(new - start[off]).T) + np.hypot(*(end[off] - new).T)
        nearer = halves < MOST_ABOUT * np.hypot(*chord.T)  # not so across a hairsbreadth, to and fro between two walls
        across = _across_an_end(middles[off], new, chord)
        ahead = _ahead(middles[off][across], chord[across], (wall, away_mm))
        gone = np.hypot(*(ahead - middles[off][across]).T)
        short = (gone > HALVED_CHORD_MM) & (gone < MOST_AHEAD_MM)
        new[np.flatnonzero(across)[short]] = ahead[short]
        nearer[np.flatnonzero(across)[short]] = True
        off[np.flatnonzero(off)[~nearer]] = False
        known[asked] = ~off
        if not off.any():
            break
        ring = np.insert(ring, asked[off] + 1, new[nearer], axis=0)
        known = np.insert(known, asked[off] + 1, False)
    return ring
