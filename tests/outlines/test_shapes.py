"""Own shapes: each fills its box, and encloses what geometry says."""

import math

import numpy as np
import pytest
import shapely

from pearlkerf.outlines.region import box_of, region_of
from pearlkerf.outlines.segments import Affine, Arc
from pearlkerf.outlines.shapes import SHAPES, shape

# (length, width) -> area, from elementary geometry
AREAS = {
    "block": lambda a, b: a * b,
    "parallelogram": lambda a, b: a * b * 0.7,
    "diamond": lambda a, b: a * b / 2,
    "oval": lambda a, b: math.pi * a * b / 4,
    "cat's eye": lambda a, b: 2 * segment(max(a, b), min(a, b) / 2),
    "half moon": lambda a, b: math.pi * a * b / 4,
    "ring": lambda a, b: math.pi * a * b / 4 * (1 - 0.7**2),
    "line": lambda a, b: min(a, b) * (max(a, b) - min(a, b)) + math.pi * min(a, b) ** 2 / 4,
}


def segment(chord: float, height: float) -> float:
    """Give the area between a chord and its arc."""
    radius = (chord**2 / 4 + height**2) / (2 * height)
    half = math.asin(min(chord / (2 * radius), 1.0))
    return radius**2 * half - chord / 2 * (radius - height)


def region(name: str, length: float, width: float):
    return region_of([shape(name, length, width)], Affine(), name)


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize(("length", "width"), [(12, 5), (5, 12), (7, 7)])
def test_a_shape_fills_its_box(name: str, length: float, width: float) -> None:
    figure = shape(name, length, width)
    assert box_of([figure]) == pytest.approx((-length / 2, -width / 2, length / 2, width / 2), abs=1e-12)
    found = region(name, length, width)
    assert len(found.parts) == 1 and not found.crossings
    if name in AREAS:
        assert found.area.area == pytest.approx(AREAS[name](length, width), rel=1e-3)


def test_a_star_is_a_pentagram_in_a_square_box_s_proportion() -> None:
    star = region("star", 1 + math.cos(math.radians(36)), 2 * math.sin(math.radians(72))).area
    corners = shapely.get_coordinates(star.geoms[0].exterior)[:-1]
    centre = np.array([star.bounds[2] - 1.0, 0.0])
    away = np.sort(np.hypot(*(corners - centre).T))
    assert away[5:] == pytest.approx(np.ones(5)) and away[:5] == pytest.approx(
        np.full(5, (3 - math.sqrt(5)) / 2), abs=2e-4
    )


def test_a_snowflake_has_six_arms_alike() -> None:
    flake = region("snowflake", 2.0, math.sqrt(3)).area
    turned = shapely.transform(flake, lambda p: p @ np.array([[0.5, math.sqrt(0.75)], [-math.sqrt(0.75), 0.5]]))
    assert flake.symmetric_difference(turned).area < 1e-9 and flake.convex_hull.area == pytest.approx(
        1.5 * math.sqrt(3)
    )


def test_round_shapes_are_made_of_circles() -> None:
    for name, size, radius in [("oval", (6, 6), 3.0), ("cat's eye", (8, 4), 5.0), ("line", (9, 4), 2.0)]:
        arcs = [piece for loop in shape(name, *size).loops for piece in loop if isinstance(piece, Arc)]
        assert arcs and all(arc.radius == pytest.approx(radius) for arc in arcs)
