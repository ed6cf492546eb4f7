"""Strokes of a slot: played on a line of wood, none takes more than a bite, nothing stays, and little is gone twice."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pearlkerf.toolpath.layers import Profile, Stroke, laps_of_valley, strokes_of_valley, way_of

MILL_RADIUS = 0.29
STEP = 0.01  # mm between places at which the wood is played
# what was cut on the way to a turn counts as wood so many radii round it: rule 8's lag, on both sides of a disc
FRESH = 2.25


def crowned(ends: tuple[float, float], radius: float, depth: float, top_radius: float = math.inf) -> Profile:
    """Give a floor that falls from 0 like a circle, under a flat or a crowned top, on chords 2 mm long."""
    along = np.union1d(np.linspace(*ends, math.ceil((ends[1] - ends[0]) / 2) + 1), np.clip(0.0, *ends))
    falls = [np.zeros(len(along)) if math.isinf(r) else r - np.sqrt(r * r - along**2) for r in (top_radius, radius)]
    return Profile(along, -falls[0], -depth - falls[1])


def played(profile: Profile, ways: list[Stroke], radii: float = FRESH) -> tuple[float, np.ndarray, np.ndarray]:
    """Play strokes on a line of wood: the deepest bite, what is left, and what is wanted."""
    places = np.arange(profile.along[0], profile.along[-1], STEP)
    wood, worst = np.interp(places, profile.along, profile.top), 0.0
    earlier = wood
    for way in ways:
        under = (places >= way.along.min()) & (places <= way.along.max())
        tip = way.at(places[under])
        in_the_wood = profile.along[0] < way.along[0] < profile.along[-1]
        fresh = in_the_wood & (np.abs(places - way.along[0]) < radii * MILL_RADIUS)
        worst = max(worst, float((np.where(fresh, earlier, wood)[under] - tip).max(initial=0.0)))
        earlier, wood = wood, wood.copy()
        wood[under] = np.minimum(wood[under], tip)
    return worst, wood, np.interp(places, profile.along, profile.floor)


ENDS = st.tuples(st.floats(-40, -5), st.floats(5, 40)) | st.tuples(st.floats(-40, -20), st.floats(-15, -1))


@given(ENDS, st.floats(120, 600), st.floats(0.1, 3.5), st.floats(0.05, 0.6))
def test_no_stroke_takes_more_than_a_bite_and_all_of_the_floor_is_reached(
    ends: tuple[float, float], radius: float, depth: float, bite: float
) -> None:
    """A stroke begins where the one before has ended, in the wood at the same height."""
    profile = crowned(ends, radius, depth)
    ways = strokes_of_valley(profile, bite, MILL_RADIUS)
    assume(ways)
    worst, left, wanted = played(profile, ways)
    assert worst <= bite + 1e-9
    assert left == pytest.approx(wanted, abs=1e-9)
    assert ways[0].along[0] == ends[0]
    for before, after in pairwise(ways):
        assert after.along[0] == before.along[-1]
        if after.along[0] not in ends:
            assert after.z[0] == pytest.approx(before.z[-1], abs=1e-9)


@given(ENDS, st.floats(120, 600), st.floats(0.1, 3.5), st.floats(0.05, 0.6))
def test_laps_take_no_more_than_a_bite_at_either_wall_and_reach_the_floor_at_both(
    ends: tuple[float, float], radius: float, depth: float, bite: float
) -> None:
    """Up along one wall, down along the other: what one leaves by the other's wall counts as whole."""
    profile = crowned(ends, radius, depth)
    ways = laps_of_valley(profile, bite)
    for wall in (1.0, -1.0):
        own = [way for way in ways if (way.along[-1] - way.along[0]) * wall > 0]
        worst, left, wanted = played(profile, own, radii=0.0)  # the last one there has ended beside the wood
        assert worst <= bite + 1e-9
        assert left == pytest.approx(wanted, abs=1e-9)
    assert ways[0].along[0] == ways[-1].along[-1] == ends[0]
    for before, after in pairwise(ways):
        assert after.along[0] == before.along[-1]
        if after.along[0] not in ends:
            assert after.z[0] == pytest.approx(before.z[-1], abs=1e-9)


def test_each_place_is_gone_over_in_as_many_laps_as_it_is_bites_deep() -> None:
    profile = crowned((-26.0, 26.0), 355.6, 2.2)
    laps = float(np.trapezoid(np.ceil(np.interp(SHARES, profile.along, profile.depth) / 0.232), SHARES))
    assert way_of(laps_of_valley(profile, 0.232)) == pytest.approx(2 * laps, rel=1e-4)


def test_a_crowned_floor_under_a_flat_top_is_reached_in_little_more_than_its_area() -> None:
    """The least way is area over bite: 26 mm either side, radius 355.6 (14 in), 2.2 deep, 0.232 a bite."""
    profile = crowned((-26.0, 26.0), 355.6, 2.2)
    gone = way_of(strokes_of_valley(profile, 0.232, MILL_RADIUS))
    least = float(np.trapezoid(profile.depth, profile.along)) / 0.232
    whole = float(np.trapezoid(np.ceil(np.interp(SHARES, profile.along, profile.depth) / 0.232), SHARES))
    all_across = 52.0 * math.ceil(float(profile.depth.max()) / 0.232)
    assert whole <= gone <= 1.04 * whole
    assert gone <= 1.09 * least
    assert all_across > 1.27 * least


SHARES = np.linspace(-26.0, 26.0, 5201)


@pytest.mark.parametrize(("radius", "top_radius"), [(250.0, 250.0), (math.inf, math.inf), (math.inf, 250.0)])
def test_where_no_side_is_deeper_than_the_middle_all_is_cut_all_across(radius: float, top_radius: float) -> None:
    assert strokes_of_valley(crowned((-25.0, 25.0), radius, 2.5, top_radius), 0.21, MILL_RADIUS) == []


def test_a_turn_in_the_wood_lies_within_where_its_floor_is_reached() -> None:
    """By 2.5 radii, so that nothing deeper lies under the tip, nor under what was cut a quarter radius before."""
    profile = crowned((-26.0, 26.0), 355.6, 2.2)
    ways = strokes_of_valley(profile, 0.232, MILL_RADIUS)
    turns = [(before, after) for before, after in pairwise(ways) if abs(after.along[0]) < 25.0]
    assert len(turns) >= 3
    for before, after in turns:
        met = before.along[np.flatnonzero(np.abs(np.diff(before.z)) < 1e-9)[-1] + 1]  # where its level way ends
        assert abs(met) - abs(after.along[0]) == pytest.approx(2.5 * MILL_RADIUS, abs=0.1)
