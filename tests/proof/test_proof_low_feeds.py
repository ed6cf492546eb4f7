"""Rule 5 for feeds: below clearance nothing is fed sideways but in a feature's plan, and by the wood."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from small_board import CROWN, FRET, OUTLINE, bore, face, program, rules, slot, verdict

from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Placement

ACROSS = ["G0 X10.0 Y5.0", "G0 Z{}", "G1 X{} F300.0", "G0 Z5.0"]


def fed(height: float, x: float) -> str:
    return program([*bore(), *(line.format(x if "X{}" in line else height) for line in ACROSS)])


@pytest.mark.parametrize(("height", "x", "kept"), [
    (0.5, 11.99, True),  # in the air over the pocket, half a millimetre of the mill beyond it
    (0.5, 12.01, False),
    (4.9, 30.0, False),
    (5.0, 30.0, True),  # at clearance
    (-1.0, 11.2, True),  # in the pocket, which is cut
])  # fmt: skip
def test_a_feed_through_the_air_stays_in_a_feature_or_at_clearance(height, x, kept):
    assert (rules(fed(height, x)) == set()) == kept


def test_it_is_told_at_its_line_and_how_high():
    (finding,) = verdict(fed(0.5, 25.0)).findings
    assert finding.rule == 5
    assert finding.message.startswith("goes through the air at Z 0.50, below the clearance of 5.00")


@pytest.mark.parametrize(("y", "kept"), [(-22.2, True), (-22.4, False), (-30.0, False)])
@pytest.mark.parametrize("z", [-1.0, 0.2])
def test_a_slots_cutter_runs_out_past_the_wood_and_no_farther(y, z, kept):
    """The board's edge lies at -20: a mill of 0.6 mm is clear of it at -20.3, and may go on by 2 mm."""
    lines = slot()
    far = [*lines[:-2], "G1 Y-20.800 F400.0", f"G1 Y{y} Z{z} F100.0", "G1 Z0.5", "G0 Z5.0"]
    assert (rules(program(far, 1, "frets 1")) == set()) == kept


@pytest.mark.parametrize("way", ["G1 X-5.0 Y-30.0", "G3 X-6.0 Y2.0 I0.0 J1.0"])
def test_beside_the_wood_nothing_is_fed_along_it(way):
    beside = ["G0 X-6.0 Y0.0", "G0 Z-1.0", f"{way} F300.0", "G0 Z5.0"]
    assert rules(program([*bore(), *beside])) == {5}


@pytest.mark.parametrize("down", ["G0 Z-1.0", "G1 Z0.5 F100.0", "G1 Z-1.0 F100.0"])
@pytest.mark.parametrize(("x", "y"), [(-6.0, 0.0), (40.0, 30.0), (-2.5, 5.0)])
def test_nothing_comes_down_beside_the_wood_where_nothing_is_cut(down, x, y):
    assert rules(program([*bore(), f"G0 X{x} Y{y}", down, "G0 Z5.0"])) == {5}


def test_nor_over_the_wood_where_nothing_is_cut():
    assert rules(program([*bore(), "G0 X40.0 Y0.0", "G0 Z0.5", "G0 Z5.0"])) == {5}


def test_from_lane_to_lane_a_mill_may_go_above_a_crowned_top():
    text = program(slot(radius=0.25, lanes=(0.05, -0.05), top=True), 7, "frets 1")
    assert 5 not in rules(text, setup=face(FRET, crown=CROWN))


PLACES = st.lists(st.tuples(st.floats(-80, 80), st.floats(-80, 80)), min_size=1, max_size=20)


@given(PLACES, st.sampled_from([0.0, 31.0]), st.booleans())
def test_how_far_off_the_wood_a_place_lies_is_what_a_library_of_geometry_says(places, angle, bayed):
    """shapely, of the same polygon: also where it has a bay, and turned either way round."""
    outline = np.vstack([OUTLINE, [[30.0, 0.0]]]) if bayed else OUTLINE
    points = np.array(places)
    for around in (outline, outline[::-1]):
        setup = face(FRET, placement=Placement(angle, 3.0, -4.0), outline=around)
        plain = shapely.Polygon(setup.placement.to_machine(around))
        expected = [shapely.distance(plain, shapely.Point(place)) for place in points]
        assert np.allclose(Wood.of(setup).off_mm(points), expected, atol=1e-9)
