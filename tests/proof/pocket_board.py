"""Pockets of many outlines in a small board, and programs for them written line by line, for tests of the proof.

Only the rings come from the makers; ramps, levels, links and bites are worked out here.
"""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import shapely

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.outlines.fit import opened
from pearlkerf.toolpath.rings import clearing_rings, where_its_middle_may_be
from proof.small_board import CUTTERS, face, machine, mill, number, program
from toolpath.wall_chords import wall_rings

WIDE = np.array([[0.0, -25.0], [90.0, -25.0], [90.0, 25.0], [0.0, 25.0]])
MIDDLE = (30.0, 4.0)
DEPTH = -1.2
RADIUS, ALMOST = 1.0, 0.01  # of the mill that cuts them; and how much rounder they are, so that it comes to every point
MILL, BITE = 11, 0.4
STEP = 0.8  # of the radius, from ring to ring
STEEPEST = math.tan(math.radians(5))
CROWN = Crown(254.0, 254.0, 90.0)


def turned(count, radii):
    """Corners on circles of these radii in turn."""
    angle = np.arange(count) * 2 * math.pi / count
    return np.column_stack([np.cos(angle), np.sin(angle)]) * np.resize(radii, count)[:, None]


def vine():
    """A stem that winds, with leaves on it."""
    x = np.linspace(-18.0, 18.0, 200)
    stem = shapely.LineString(np.column_stack([x, 4 * np.sin(x / 4)])).buffer(1.3)
    places = ((-12, 3), (-3, -3), (6, 3), (13, -3))
    leaves = [shapely.Point(at, 4 * math.sin(at / 4) + beside).buffer(2.4) for at, beside in places]
    return shapely.union_all([stem, *leaves])


def about(x, y, radius):
    """A disc, nearly."""
    return shapely.Point(x, y).buffer(radius, quad_segs=128)


def letter():
    """An E."""
    return shapely.union_all([shapely.box(-7, -8, -4, 8), *(shapely.box(-7, y, 6, y + 3) for y in (-8, -1.5, 5))])


OUTLINES = {
    "block": lambda: shapely.box(-8, -4, 8, 4),
    "diamond": lambda: shapely.Polygon([(-11, 0), (0, -6), (11, 0), (0, 6)]),
    "star": lambda: shapely.Polygon(turned(10, [11.0, 5.0])),
    "kite with a sharp point": lambda: shapely.Polygon([(-15, 0), (0, -5), (6, 0), (0, 5)]),
    "ring": lambda: about(0, 0, 9) - about(0, 0, 5),
    "two islands": lambda: shapely.box(-11, -6, 11, 6) - about(-5, 0, 2.6) - shapely.box(2.5, -2, 7, 2.5),
    "necks": lambda: shapely.union_all([about(-9, 0, 5), about(9, 0, 5), shapely.box(-9, -1.3, 9, 1.3)]),
    "letter": letter,
    "leaf": lambda: shapely.Polygon(turned(400, 8 + 2.5 * np.cos(np.arange(400) * 2 * math.pi * 5 / 400))),
    "vine": vine,
}


@cache
def pocket(name="block", depth=DEPTH, floor=None, radius=RADIUS, middle=MIDDLE):
    """A pocket that a mill of some radius reaches all of."""
    drawn = shapely.affinity.translate(OUTLINES[name](), *middle)
    region = max(shapely.get_parts(opened(drawn, radius + ALMOST)), key=lambda part: part.area)
    return Pocket("inlays", 1, name, region, floor or Floor(depth), depth + 0.05, depth - 0.05)


def board(*pockets, **more):
    """A board with some pockets."""
    return face(*(pockets or (pocket(),)), outline=WIDE, **more)


@cache
def rings(region, radius=RADIUS):
    """The rings that clear a region, (n, 2) each, closed, the one in the middle first."""
    found = [np.vstack([ring, ring[:1]]) for ring in wall_rings(shapely.MultiPolygon([region]), radius)]
    for parts in clearing_rings(where_its_middle_may_be(region, radius), STEP * radius):
        for part in parts:
            found += [shapely.get_coordinates(ring) for ring in (part.exterior, *part.interiors)]
    lines = shapely.segmentize([shapely.LineString(ring) for ring in found], 1.0)
    return [np.round(shapely.get_coordinates(line), 3) for line in lines][::-1]


def lengths(ring):
    """How far it is along a ring to each of its points, mm."""
    return np.append(0.0, np.cumsum(np.hypot(*np.diff(ring, axis=0).T)))


def spirals(of, ways=None, bite=BITE, top=0.1):
    """Every ring by itself, down along it by a bite each time round, and round once more at the floor."""
    lines = []
    for ring in rings(of.region) if ways is None else ways:
        gone, floor = lengths(ring), floor_under(of, ring)
        times = math.ceil((top - floor.min()) / min(bite, gone[-1] * STEEPEST))
        lines += entered(ring, top)
        for turn in range(times + 1):
            shares = np.minimum((turn + gone / gone[-1]) / times, 1.0)
            lines += followed(ring, top + (floor - top) * shares, "" if turn else " F400.0")
        lines += OUT
    return lines


def levels(of, ways=None, depths=(-0.4, -0.8, DEPTH)):
    """Level by level: all rings of one before the next begins; each is entered by a ramp along itself."""
    lines, above = [], 0.1
    for depth in depths:
        for ring in rings(of.region) if ways is None else ways:
            gone = lengths(ring)
            times = math.ceil((above - depth) / (gone[-1] * STEEPEST))
            lines += entered(ring, above)
            for turn in range(times + 1):
                shares = np.minimum((turn + gone / gone[-1]) / times, 1.0)
                lines += followed(ring, above + (depth - above) * shares, "" if turn else " F400.0")
            lines += OUT
        above = depth
    return lines


OUT = ["G1 Z0.5 F300.0", "G0 Z5.0"]


def entered(ring, z):
    """Over the first point of a ring at rapid, and down to a height at feed."""
    return [f"G0 X{number(ring[0, 0])} Y{number(ring[0, 1])}", "G0 Z0.5", f"G1 Z{number(z)} F100.0"]


def followed(ring, heights, feed=""):
    """Along a ring, from its second point on, at these heights."""
    ways = [f"G1 X{number(x)} Y{number(y)} Z{number(z)}" for (x, y), z in zip(ring[1:], heights[1:], strict=True)]
    return [ways[0] + feed, *ways[1:]]


def floor_under(of, points, radius=RADIUS):
    """The height at which a flat mill stands on a pocket's floor."""
    crown = of.floor.crown
    if crown is None:
        return np.full(len(points), of.floor.crown_z_mm)
    y = np.maximum(np.abs(points[:, 1]) - radius, 0.0)
    return of.floor.crown_z_mm - (crown.nut_radius_mm - np.sqrt(crown.nut_radius_mm**2 - y**2))


def cuts(body, cutter=MILL):
    """A program of these lines that claims the pocket."""
    return program(body, cutter=cutter, cuts="inlays 1")


@cache
def router():
    """The small board's machine, with mills for pockets."""
    return replace(machine(), cutters=(*CUTTERS, mill(MILL, 2 * RADIUS, BITE), mill(12, 1.0, 0.3)))
