"""Pockets of many outlines in a clamped board, for the tests of the makers: drawn here, fitted as the board's are."""

import functools
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import affinity

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs
from pearlkerf.jobs.model import Job
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.plan import plan
from pearlkerf.outlines.fit import Cutters, fit
from pearlkerf.outlines.region import Region, region_of
from pearlkerf.outlines.segments import Affine
from pearlkerf.outlines.shapes import shape
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.trace import trace

# a neck of a cutter's very width has no room for rings along both its walls
ROOM_MM = 0.01
DEPTH_MM = 1.6


def fitted(drawn: shapely.Geometry, diameter_mm: float) -> shapely.Polygon:
    """Give what a cutter makes of a drawing: its largest part."""
    region = Region(shapely.MultiPolygon(list(shapely.get_parts(drawn))))
    parts = fit(region, Cutters(diameter_mm / 2 + ROOM_MM, 0.4, 0.05), "drawn").pocket
    return max(parts.geoms, key=lambda part: part.area)


def a_shape(name: str, length_mm: float = 14.0, width_mm: float = 9.0) -> shapely.Geometry:
    """Give one of the shapes that boards name."""
    return region_of([shape(name, length_mm, width_mm)], Affine(), name).area


def a_star() -> shapely.Geometry:
    """Give a star with sharp points and an island."""
    t = np.arange(10) * math.pi / 5
    away = np.where(np.arange(10) % 2, 4.5, 10.0)
    return shapely.Polygon(np.column_stack([away * np.cos(t), away * np.sin(t)]), [_ring(1.1)])


def a_vine() -> shapely.Geometry:
    """Give a winding band with leaves, through necks."""
    along = np.linspace(0, 1, 120)
    middle = np.column_stack([60 * along, 6 * np.sin(3 * math.pi * along)])
    leaves = [shapely.Point(middle[at] + (0, 4.0 if at % 40 else -4.0)).buffer(2.6) for at in range(20, 120, 20)]
    stalks = [shapely.LineString([middle[at], middle[at] + (0, 4.0 if at % 40 else -4.0)]).buffer(0.6)
              for at in range(20, 120, 20)]  # fmt: skip
    return shapely.union_all([shapely.LineString(middle).buffer(0.9), *leaves, *stalks])


def a_dumbbell() -> shapely.Geometry:
    """Give two discs with a neck between them, in which rings part."""
    return shapely.union_all([shapely.Point(0, 0).buffer(6), shapely.Point(18, 2).buffer(5),
                              shapely.LineString([(0, 0), (18, 2)]).buffer(0.8)])  # fmt: skip


def narrows() -> shapely.Geometry:
    """Give two discs with a bar between them, so wide that a cutter of 3 mm has a hair of room in it, and no more."""
    return shapely.union_all([shapely.Point(0, 0).buffer(4), shapely.Point(14, 1).buffer(4),
                              shapely.LineString([(0, 0), (14, 1)]).buffer(1.503)])  # fmt: skip


def a_letter() -> shapely.Geometry:
    """Give a letter with two islands, a B of bars and bows."""
    bows = [shapely.Point(0, y).buffer(4.5).difference(shapely.Point(0, y).buffer(1.9)) for y in (0.0, 7.4)]
    right = shapely.box(0, -10, 10, 20)
    return shapely.union_all([shapely.box(-4, -4.5, 0.1, 11.9).difference(
        shapely.union_all([shapely.box(-1.4, -1.9, 0.2, 1.9), shapely.box(-1.4, 5.5, 0.2, 9.3)])
    ), *(bow.intersection(right) for bow in bows)])  # fmt: skip


def _ring(radius_mm: float) -> np.ndarray:
    t = np.arange(64) * math.pi / 32
    return radius_mm * np.column_stack([np.cos(t), np.sin(t)])


def a_leaf() -> shapely.Geometry:
    """Give a leaf with seven lobes."""
    t = np.arange(1000) * math.pi / 500
    away = 1 + 0.18 * np.cos(7 * t) + 0.05 * np.sin(23 * t)
    return shapely.Polygon(np.column_stack([17 * away * np.cos(t), 11 * away * np.sin(t)]))


DRAWN = {"block": lambda: a_shape("block"), "cat's eye": lambda: a_shape("cat's eye"), "ring": lambda: a_shape("ring"),
         "snowflake": lambda: a_shape("snowflake"), "star": a_star, "vine": a_vine, "dumbbell": a_dumbbell,
         "letter": a_letter, "leaf": a_leaf, "narrows": narrows,
         "strip": lambda: shapely.box(0, 0, 22, 1.03)}  # fmt: skip


@functools.cache
def a_pocket(name: str, diameter_mm: float = 1.0, at: tuple[float, float] = (150.0, 0.0)) -> Pocket:
    """Give a pocket of one of these outlines, where it lies on the board, fitted to a cutter."""
    drawn = fitted(DRAWN[name](), diameter_mm)
    west, south, east, north = drawn.bounds
    x, y = at[0] - (west + east) / 2, at[1] - (south + north) / 2
    placed = affinity.translate(drawn, x, y)
    return Pocket("inlays", 1, name, placed, Floor(-DEPTH_MM), -DEPTH_MM, -DEPTH_MM)


def clamped_with(pockets: Sequence[Pocket], radiused: bool = False) -> Setup:
    """Give the face setup of a board in which some pockets are all that is cut; flat, or radiused already."""
    setup = clamped().setups[0]
    stock = replace(setup.stock, crown=Crown(254.0, 254.0, 448.0)) if radiused else setup.stock
    return replace(setup, stock=stock, features=tuple(pockets))


def job_of(setup: Setup, machine: Machine) -> Job:
    """Give the job of a setup that is made by hand."""
    workplan = plan(setup, machine)
    clampings = replace(clamped(), setups=(setup,))
    return Job(clampings, machine, (workplan,), (trace(workplan),))


def programs_of(setup: Setup, *cutters: Cutter, **dialect: object) -> dict[str, str]:
    """Give the programs of a setup on a router with these cutters."""
    job = job_of(setup, a_machine(*cutters, **dialect))
    return {program.file: program.text.decode() for program in make_programs(job, "test")}
