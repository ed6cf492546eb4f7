"""What figures enclose: fill rules, crossings, holes and islands, held against the winding number by angles."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from outlines.drawn import refusal, region, svg
from pearlkerf.outlines.fill import fill, winding
from pearlkerf.outlines.read import read_drawing

SQUARE = np.array([(0, 0), (9, 0), (9, 9), (0, 9)], dtype=float)
SMALL = SQUARE / 3 + 3
TINY = SQUARE / 9 + 4


def turns(place: np.ndarray, ring: np.ndarray) -> int:
    """Give the winding number by the angles that a ring's corners are seen under."""
    seen = np.arctan2(*(ring - place).T[::-1])
    return round(float(np.sum((np.diff(seen, append=seen[0]) + math.pi) % (2 * math.pi) - math.pi)) / (2 * math.pi))


@pytest.mark.parametrize(
    ("rings", "rule", "square_mm"),
    [
        ([SQUARE, SMALL], "nonzero", 81),
        ([SQUARE, SMALL], "evenodd", 72),
        ([SQUARE, SMALL[::-1]], "nonzero", 72),
        ([SQUARE[::-1], SMALL], "nonzero", 72),
        ([SQUARE, SMALL[::-1], TINY], "nonzero", 73),
        ([SQUARE, SMALL, TINY], "evenodd", 73),
        ([SMALL, TINY, SQUARE], "evenodd", 73),
        ([SQUARE, SMALL, TINY[::-1]], "nonzero", 81),
        ([SQUARE, SMALL + 12, TINY + 12], "evenodd", 81 + 8),
        ([SQUARE, SMALL + 5], "evenodd", 81 + 9 - 2),
        ([SQUARE, SMALL + 5], "nonzero", 81 + 9 - 1),
        ([SQUARE, SQUARE], "nonzero", 81),
    ],
)
def test_one_ring_in_another_fills_by_the_rule(rings, rule: str, square_mm: float) -> None:
    assert fill(rings, rule)[0].area == pytest.approx(square_mm)


def test_crossings_are_told_with_their_places() -> None:
    bow = np.array([(0, 0), (6, 6), (6, 0), (0, 6)], dtype=float)
    area, crossings = fill([bow], "nonzero")
    assert crossings == [(3, 3)] and area.area == pytest.approx(18)
    assert fill([SQUARE, SMALL], "evenodd")[1] == []


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 2**32 - 1), st.sampled_from(["nonzero", "evenodd"]))
def test_what_is_filled_is_what_the_winding_number_says(seed: int, rule: str) -> None:
    random = np.random.default_rng(seed)
    rings = [random.uniform(0, 10, (random.integers(3, 9), 2)) for _ in range(random.integers(1, 4))]
    places = random.uniform(-1, 11, (40, 2))
    area, _ = fill(rings, rule)
    around = np.array([sum(turns(place, ring) for ring in rings) for place in places])
    assert (winding(places, rings) == around).all()
    inside = around % 2 == 1 if rule == "evenodd" else around != 0
    sure = shapely.distance(shapely.points(places), area.boundary) > 1e-9
    assert (shapely.contains_xy(area, *places.T) == inside)[sure].all()


def test_lines_that_cross_without_end_are_refused() -> None:
    zigzag = " ".join(f"{n * 0.1:.1f} {30 * (n % 2)} {40 - n * 0.1:.1f} {30 * (n % 2)}" for n in range(200))
    assert refusal(svg(f'<polygon points="{zigzag}"/>')).endswith("polygon: its lines cross more than 5000 times")


def test_what_lies_too_far_away_is_refused() -> None:
    found = refusal(svg('<rect x="20000" width="4" height="4"/>'))
    assert found.endswith("a point lies farther away than any board (numbers within 10000 mm)")


def test_parts_come_from_low_x_to_high_x() -> None:
    drawn = "".join(f'<rect x="{x}" width="2" height="2"/>' for x in (30, 1, 12))
    assert [part.bounds[0] for part in region(read_drawing(svg(drawn), "a.svg")).parts] == pytest.approx([1, 12, 30])
