"""The fit of several drawings in one pocket: plain squares and discs, by elementary geometry."""

import math

import numpy as np
import pytest
import shapely

from pearlkerf.errors import Refusal
from pearlkerf.outlines.fit import grown, opened, solid, unreached
from pearlkerf.outlines.limits import NOTHING_MM2, TIP_MM
from pearlkerf.outlines.shared import SharedFit, Sharing, blunt, fit_together, own_areas, sharpened

GAP = 0.1
# what chords of buffers leave, mm2
FINE_MM2 = 0.02


def sharing(reach: float, *reliefs: float) -> Sharing:
    return Sharing(reach, reliefs, GAP, tuple("abcd"[: len(reliefs)]))


def fitted(reach: float, reliefs: tuple[float, ...], *drawn: shapely.Polygon) -> SharedFit:
    return fit_together(own_areas(shapely.union_all(drawn), drawn), sharing(reach, *reliefs))


def test_where_drawings_overlap_the_later_has_the_place() -> None:
    below, above, top = shapely.box(0, 0, 10, 10), shapely.box(4, 4, 6, 6), shapely.box(5, 5, 12, 7)
    own = own_areas(shapely.union_all([below, above, top]), [below, above, top])
    assert [area.area for area in own] == pytest.approx([100 - 4 - 2 * 5 + 1, 4 - 1, 14])


def test_what_lies_between_two_within_a_hairline_is_the_first_one_s() -> None:
    left, right = shapely.box(0, 0, 5, 5), shapely.box(5.004, 0, 10, 5)
    one, other = own_areas(shapely.box(0, 0, 10, 5), [left, right])
    assert one.area == pytest.approx(5.004 * 5) and other.area == pytest.approx(4.996 * 5)


def test_two_beside_each_other_keep_the_gap_and_the_pocket_rounds_the_corners_of_the_whole() -> None:
    found = fitted(1.0, (1.0, 1.0), shapely.box(0, 0, 5, 6), shapely.box(5, 0, 10, 6))
    corner = (1 - math.pi / 4) * 1.0**2  # of a square corner before a circle of radius 1
    assert [line.area for line in found.lines] == pytest.approx([30 - 2 * corner] * 2, abs=FINE_MM2)
    assert shapely.distance(*found.pieces) == pytest.approx(GAP, abs=0.001)
    assert found.whole.pocket.area == pytest.approx(60 - 4 * corner + GAP / 2 * 32, abs=0.1)


def test_a_corner_within_another_is_rounded_by_the_outer_one_s_cutter() -> None:
    square = shapely.box(4, 4, 8, 8)
    found = fitted(0.5, (1.5, 0.0), shapely.box(0, 0, 12, 12), square)
    corner = (1 - math.pi / 4) * 1.5**2
    assert found.lines[1].area == pytest.approx(16 - 4 * corner, abs=FINE_MM2)
    assert found.lines[0].area == pytest.approx(144 - found.lines[1].area - 4 * (1 - math.pi / 4) * 0.25, abs=FINE_MM2)


def test_teeth_between_two_are_followed_from_both_sides() -> None:
    teeth = [(0.0, 4.0), *((float(x), 6.0 if x % 2 else 3.0) for x in range(1, 12)), (12.0, 4.0)]
    lower = shapely.Polygon([(0, 0), *teeth, (12, 0)])
    found = fitted(0.4, (0.5, 0.4), lower, shapely.difference(shapely.box(0, 0, 12, 9), lower))
    for line, relief in zip(found.lines, (0.5, 0.4), strict=True):
        outside = shapely.difference(shapely.Point(6, 4).buffer(30), line)
        assert unreached(outside, relief).area < NOTHING_MM2
    assert unreached(found.whole.line, 0.4).area < NOTHING_MM2
    assert shapely.intersection(*found.lines).area < NOTHING_MM2


def test_what_leaves_nothing_or_a_splinter_of_another_is_refused_with_its_place() -> None:
    with pytest.raises(Refusal, match="a: what is set in it lies all over it"):
        fitted(0.5, (0.5, 0.5), shapely.box(1, 1, 2, 2), shapely.box(0, 0, 4, 4))
    with pytest.raises(Refusal, match=r"a: 4\.85 mm along and .* is only 0\.20 mm wide"):
        fitted(0.5, (0.0, 0.0), shapely.box(0, 0, 5, 5), shapely.box(-1, -1, 4.7, 6))
    with pytest.raises(Refusal, match=r"b: .*nothing of it is left"):
        fitted(0.5, (2.0, 0.5), shapely.box(0, 0, 12, 12), shapely.box(5, 5, 7, 7))


def test_tips_for_a_chisel_are_parted_where_the_drawings_are() -> None:
    halves = shapely.box(0, 0, 10, 3), shapely.box(0, 3, 10, 6)
    found = fitted(1.0, (0.0, 0.0), *halves)
    tips = list(shapely.get_parts(shapely.difference(shapely.box(0, 0, 10, 6), grown(found.whole.line, 0.002))))
    sharp = sharpened(found, [shapely.buffer(tip, 0.004) for tip in tips], sharing(1.0, 0.0, 0.0))
    assert [line.area for line in sharp] == pytest.approx([30, 30], abs=FINE_MM2)
    assert shapely.intersection(*sharp).area < NOTHING_MM2


def test_sharp_tips_are_blunt_and_square_corners_as_they_were() -> None:
    square = shapely.MultiPolygon([shapely.box(0, 0, 5, 5)])
    assert blunt(square).equals(square)
    sliver = shapely.Polygon([(0, 0), (8, -0.7), (8, 0.7)])  # ten degrees
    (left,) = blunt(sliver).geoms
    half = math.atan2(0.7, 8)
    tip = shapely.get_coordinates(left)[:, 0].min()
    assert tip == pytest.approx(TIP_MM / math.sin(half) - TIP_MM, abs=0.003)
    assert np.allclose(shapely.get_coordinates(solid(opened(left, TIP_MM * 0.9)))[:, 0].min(), tip, atol=0.002)
    assert left.contains(shapely.Point(7.99, -0.69))


def test_wood_that_would_end_in_a_splinter_between_two_is_blunt_in_the_pocket() -> None:
    below = shapely.box(0, 0, 10, 4)
    above = shapely.Polygon([(1, 4), (5, 4), (9.5, 5.2), (3, 7)])  # overhangs the box's edge by 15 degrees
    pocket = fitted(0.1, (0.0, 0.0), below, above).whole.pocket
    wood = shapely.difference(shapely.box(*pocket.bounds), pocket)
    left = shapely.get_parts(shapely.difference(wood, opened(wood, TIP_MM)))
    apex = shapely.Point(5.4, 4.05).buffer(1)
    assert all(shapely.minimum_bounding_radius(each) < TIP_MM for each in left if each.area > 0 and apex.contains(each))
    tip = shapely.get_coordinates(shapely.intersection(wood, apex))[:, 0].min()
    # half the gap off both flanks, then blunt: r / sin(7.5 degrees) - r from where they would meet
    sharp = 5 + GAP / 2 / math.tan(math.atan2(1.2, 4.5) / 2)
    assert tip - sharp == pytest.approx(TIP_MM / math.sin(math.atan2(1.2, 4.5) / 2) - TIP_MM, abs=0.005)


def test_a_neck_that_a_closing_makes_grows_until_the_pocket_s_cutter_enters_it() -> None:
    discs = shapely.union(shapely.Point(-3.5, 3).buffer(3, 64), shapely.Point(3.5, 3).buffer(3, 64))
    below = shapely.box(-6, -4, 6, 0.3)
    found = fitted(1.0, (1.0, 0.5), discs, below)
    assert unreached(found.whole.line, 1.0).area < NOTHING_MM2
    assert len(found.lines[0].geoms) == 1 and shapely.distance(*found.pieces) == pytest.approx(GAP, abs=0.001)
