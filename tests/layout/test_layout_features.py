"""What a slot and a hole answer for themselves."""

import math

import numpy as np
import pytest

from pearlkerf.layout.features import Feature, Hole, Identity, Slot
from pearlkerf.layout.surfaces import Crown, Floor, Stock

CROWN = Crown(254.0, 406.4, 450.0)
OUTLINE = np.array([[0.0, -30.0], [450.0, -30.0], [450.0, 30.0], [0.0, 30.0]])
FLAT, CROWNED = Stock(OUTLINE, 6.0), Stock(OUTLINE, 6.0, CROWN)
SLOT = Slot("frets", 7, "fret 7", (100.0, -25.0), (100.0, 25.0), 0.6, Floor(-2.2, CROWN), through=True)
SLANTED = Slot("frets", 2, "fret 2", (100.0, -20.0), (130.0, 20.0), 0.6, Floor(-2.2), through=False)
HOLE = Hole("face dots", 3, "face dot 3", (90.0, 12.0), 6.05, -1.6, -1.5, -1.7)


def test_a_slot_lies_between_its_ends() -> None:
    assert (SLOT.kind, SLOT.identity) == ("slot", Identity("frets", 7, "fret 7"))
    assert SLOT.ends == ((100.0, -25.0), (100.0, 25.0))
    assert (SLOT.anchor, SLOT.beyond_ends_mm) == ((100.0, 0.0), 0.0)
    assert (SLOT.line.length_mm, SLOT.line.along) == (50.0, (0.0, 1.0))


def test_a_hole_lies_about_its_centre() -> None:
    assert (HOLE.kind, HOLE.identity) == ("hole", Identity("face dots", 3, "face dot 3"))
    assert (HOLE.ends, HOLE.anchor) == (((90.0, 12.0), (90.0, 12.0)), (90.0, 12.0))
    assert HOLE.distance_mm((93.0, 16.0)) == 5.0 and HOLE.line.x_mm(50.0) == 90.0
    assert (HOLE.width_mm, HOLE.beyond_ends_mm, HOLE.floor_at_crown_mm) == (6.05, 3.025, -1.6)


def test_a_slanted_slot_answers_along_its_own_line() -> None:
    assert (SLANTED.line.length_mm, SLANTED.line.along, SLANTED.anchor) == (50.0, (0.6, 0.8), (115.0, 0.0))
    assert (SLANTED.line.x_mm(), SLANTED.line.x_mm(20.0), SLANTED.line.x_mm(-20.0)) == (115.0, 130.0, 100.0)


@pytest.mark.parametrize("point", [(90.0, 3.0), (115.0, 0.0), (140.0, -11.0), (500.0, 30.0)])
def test_a_point_lies_off_a_slots_line_as_far_as_trigonometry_says(point: tuple[float, float]) -> None:
    steep = math.atan2(40.0, 30.0)
    expected = abs((point[0] - 115.0) * math.sin(steep) - point[1] * math.cos(steep))
    assert SLANTED.distance_mm(point) == pytest.approx(expected, abs=1e-9)


def test_a_line_beside_another_lies_square_to_it_toward_the_bridge() -> None:
    beside = SLANTED.line.beside(2.5)
    assert beside.along == pytest.approx(SLANTED.line.along, abs=1e-12)
    assert beside.start == pytest.approx((102.0, -21.5), abs=1e-12)
    assert SLANTED.line.beyond_mm(beside.end) == pytest.approx(2.5, abs=1e-12)
    assert beside.beyond_mm((115.0, 0.0)) == pytest.approx(-2.5, abs=1e-12)


def test_a_slot_along_x_crosses_no_y() -> None:
    assert Slot("marks", 1, "groove", (5.0, 8.0), (45.0, 8.0), 3.0, Floor(-2.0), through=False).line.x_mm() == 5.0


def test_a_feature_is_deepest_below_the_raw_top_right_above_it() -> None:
    fall = 254.0 + 152.4 * 100 / 450 - math.sqrt((254.0 + 152.4 * 100 / 450) ** 2 - 25.0**2)
    assert SLOT.depth_below_top_mm(FLAT) == pytest.approx(2.2 + fall, abs=1e-9)
    assert SLOT.depth_below_top_mm(CROWNED) == pytest.approx(2.2, abs=1e-9)
    radius = 254.0 + 152.4 * 90 / 450
    assert HOLE.depth_below_top_mm(CROWNED) == pytest.approx(1.6 - radius + math.sqrt(radius**2 - 12**2), abs=1e-9)


def test_in_flat_wood_a_slot_is_as_deep_as_on_the_crown_line() -> None:
    assert (SLOT.depth_in_flat_mm(CROWNED), SLOT.floor_at_crown_mm) == (2.2, -2.2)
    assert HOLE.depth_in_flat_mm(CROWNED) == HOLE.depth_below_top_mm(CROWNED)


@pytest.mark.parametrize("feature", [SLOT, HOLE])
def test_a_resized_feature_is_the_same_but_for_its_width(feature: Feature) -> None:
    wider = feature.resized(7.5)
    assert (wider.width_mm, wider.ends, wider.identity) == (7.5, feature.ends, feature.identity)
    assert wider.resized(feature.width_mm) == feature


def test_a_size_is_said_in_words() -> None:
    assert SLOT.in_words(2.75) == "a slot 0.600 mm wide and 2.75 mm deep"
    assert HOLE.in_words(1.6) == "a hole of 6.050 mm, 1.60 mm deep"
