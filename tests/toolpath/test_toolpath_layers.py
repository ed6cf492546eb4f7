"""Layers of a slot: played on a line of wood, none takes more than a bite, nothing stays, and little is gone twice."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.toolpath.layers import Profile, Stroke, strokes

MILL_RADIUS = 0.29
STEP = 0.01  # mm between places at which the wood is played
FLOOR_CHORD = 0.0035  # mm, what chords may hang below a floor


def crowned(half: float, radius: float, depth: float, top_radius: float = math.inf) -> Profile:
    """Give a floor that falls from the middle like a circle, under a flat or a crowned top, on chords 2 mm long."""
    along = np.linspace(-half, half, 2 * math.ceil(half / 2) + 1)
    falls = [np.zeros(len(along)) if math.isinf(r) else r - np.sqrt(r * r - along**2) for r in (top_radius, radius)]
    return Profile(along, -falls[0], -depth - falls[1])


def played(profile: Profile, ways: list[Stroke]) -> tuple[float, np.ndarray, np.ndarray, float]:
    """Play strokes on a line of wood: the deepest bite, what is left, what is wanted, and how far the tip goes."""
    places = np.arange(profile.along[0], profile.along[-1], STEP)
    wood, worst, gone = np.interp(places, profile.along, profile.top), 0.0, 0.0
    for way in ways:
        order = slice(None) if way.along[0] <= way.along[-1] else slice(None, None, -1)
        under = (places >= way.along.min()) & (places <= way.along.max())
        tip = np.interp(places[under], way.along[order], way.z[order])
        worst = max(worst, float((wood[under] - tip).max(initial=0.0)))
        wood[under] = np.minimum(wood[under], tip)
        gone += float(np.abs(np.diff(way.along)).sum())
    return worst, wood, np.interp(places, profile.along, profile.floor), gone


@given(st.floats(8, 40), st.floats(120, 600), st.floats(0.3, 3.5), st.floats(0.05, 0.6))
def test_no_stroke_takes_more_than_a_bite_and_all_of_the_floor_is_reached(
    half: float, radius: float, depth: float, bite: float
) -> None:
    profile = crowned(half, radius, depth)
    worst, left, wanted, _ = played(profile, list(strokes(profile, bite, MILL_RADIUS)))
    assert worst <= bite + 1e-9
    assert left == pytest.approx(wanted, abs=1e-9)


@given(st.floats(8, 40), st.floats(120, 600), st.floats(0.3, 3.5), st.floats(0.05, 0.6))
def test_each_stroke_begins_where_the_one_before_has_ended(
    half: float, radius: float, depth: float, bite: float
) -> None:
    ways = list(strokes(crowned(half, radius, depth), bite, MILL_RADIUS))
    ends = {-half, half}
    assert ways[0].along[0] == -half
    for before, after in pairwise(ways):
        assert after.along[0] == pytest.approx(before.along[-1], abs=1e-9)
        if abs(after.along[0]) != pytest.approx(half):  # it turns in the wood: at one height
            assert after.z[0] == pytest.approx(before.z[-1], abs=1e-6)
    assert float(ways[-1].along[-1]) in ends


def test_a_crowned_floor_under_a_flat_top_is_reached_in_little_more_than_its_area() -> None:
    """The least way is area over bite: 30 mm either side, radius 350, 2.2 deep, 0.225 a bite (by calculation)."""
    profile = crowned(30.0, 350.0, 2.2)
    _, _, _, gone = played(profile, list(strokes(profile, 0.225, MILL_RADIUS)))
    least = float(np.trapezoid(profile.depth, profile.along)) / 0.225
    even = 60.0 * math.ceil(float(profile.depth.max()) / 0.225)  # every layer from end to end
    assert gone <= 1.13 * least
    assert even > 1.25 * least


@pytest.mark.parametrize("top_radius", [250.0, math.inf])
def test_where_depth_is_even_every_layer_goes_from_end_to_end(top_radius: float) -> None:
    profile = crowned(25.0, top_radius, 2.0, top_radius)
    ways = list(strokes(profile, 0.21, MILL_RADIUS))
    assert len(ways) == 10
    assert all(abs(way.along[0] - way.along[-1]) == pytest.approx(50.0) for way in ways)
    falls = [float(before.z[-1] - after.z[0]) for before, after in pairwise(ways)]
    assert falls == pytest.approx([0.2] * 9)


def test_a_level_floor_in_a_crowned_blank_is_cut_in_whole_layers_too() -> None:
    profile = crowned(25.0, math.inf, 2.5, 250.0)
    worst, left, wanted, _ = played(profile, list(strokes(profile, 0.25, MILL_RADIUS)))
    assert worst <= 0.25 + 1e-9
    assert left == pytest.approx(wanted, abs=1e-9)
