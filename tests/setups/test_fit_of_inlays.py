"""The fit for a machine's cutters: corners by elementary geometry, which cutters are taken, and what is told."""

import math
from dataclasses import replace

import pytest
import shapely

from pearlkerf import way
from pearlkerf.errors import Refusal
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.fit import fitted
from pearlkerf.setups.fit_part import ROOM_MM
from pearlkerf.setups.model import Clampings

BOARD = """\
unit = "mm"
[scale]
length = 632
frets = 12
[board]
length = 448
nut_width = 44
end_width = 56
thickness = 6.5
"""
BLOCK = '[[inlay]]\nshape = "block"\nlength = 10\nwidth = 6\nthickness = 1.5\nfrets = [3, 5]\n'
CROSS = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">{}</svg>'
DRAWN = '[[inlay]]\noutline = "a.svg"\nthickness = 1.5\nfrets = [3]\n'
CORNER = math.sqrt(2) - 1  # how far a right angle's tip stands from the circle of radius 1 in it
CHORDS_MM = 0.003  # what buffers leave


def mill(number: int, diameter: float, reach: float = 8.0) -> Cutter:
    return Cutter(number, "end mill", diameter, 2, reach)


def shop(*cutters: Cutter) -> Machine:
    return replace(read_machine("benchtop-arcs"), cutters=cutters)


SHOP = shop(mill(1, 0.6), mill(2, 3.0), mill(3, 1.0), mill(4, 2.0))


def fit(inlays: str, machine: Machine = SHOP, drawing: str = "") -> Clampings:
    return fitted(way.look(BOARD + inlays, lambda name: CROSS.format(drawing).encode()).clamped(), machine)


def refused(inlays: str, machine: Machine = SHOP, drawing: str = "") -> str:
    with pytest.raises(Refusal) as refusal:
        fit(inlays, machine, drawing)
    (problem,) = refusal.value.problems
    return f"{problem.key}: {problem.found}"


def test_the_largest_cutters_within_the_detail_are_taken():
    # a right angle gives (sqrt 2 - 1) (r - gap / 2) to the pocket's cutter, nothing to the piece's
    assert [each.pair.numbers for each in fit(BLOCK).fits] == [(3, 2)] * 2
    assert fit(BLOCK).fits[0].worst_mm == pytest.approx(CORNER * (0.5 + ROOM_MM - 0.025), abs=CHORDS_MM)
    assert fit(BLOCK + "detail = 0.41\n").fits[0].pair.numbers == (4, 2)
    assert fit(BLOCK + "detail = 0.40\n").fits[0].pair.numbers == (3, 2)


def test_pockets_are_what_the_cutter_leaves_of_the_drawing_grown_by_half_the_gap():
    first, second = fit(BLOCK).fits
    (pocket,) = first.pockets
    corner = (1 - math.pi / 4) * (0.5 + ROOM_MM) ** 2
    assert pocket.region.area == pytest.approx(10.05 * 6.05 - 4 * corner, abs=CHORDS_MM)
    assert pocket.cutter == 3
    assert (pocket.group, pocket.number, pocket.name) == ("inlays", 1, "block 3")
    (x, y), (far_x, far_y) = first.part.at, second.part.at
    moved = shapely.affinity.translate(pocket.region, far_x - x, far_y - y)
    assert shapely.equals_exact(moved, second.pockets[0].region, 1e-9)


def test_setups_hold_the_fitted_pockets_and_a_second_fit_changes_nothing():
    once = fit(BLOCK)
    assert [feature.cutter for setup in once.setups for feature in setup.features] == [3, 3]
    assert fitted(once, SHOP).setups == once.setups
    assert fitted(once, SHOP).fits == once.fits


def test_inner_corners_give_to_the_piece_s_cutter_alone():
    ell = '<path d="M0 0H10V4H4V10H0Z"/>'
    assert fit(DRAWN + "detail = 0.5\n", drawing=ell).fits[0].pair.numbers == (4, 4)
    by_hand = fit(DRAWN + 'pieces = "by hand"\n', drawing=ell).fits[0]
    assert by_hand.pair.numbers == (3,)
    assert by_hand.worst_mm == pytest.approx(CORNER * (0.5 + ROOM_MM - 0.025), abs=CHORDS_MM)


def test_cutters_that_are_named_are_taken_and_what_gives_more_is_told():
    named = BLOCK + "pocket_cutter = 4\npiece_cutter = 1\n"
    clampings = fit(named)
    assert clampings.fits[0].pair.numbers == (4, 1)
    (told,) = clampings.warnings[-1:]
    assert fitted(clampings, SHOP).warnings == clampings.warnings
    assert told.key == "inlay.0.detail"
    assert told.found.startswith("the cutters that it names leave 0.41 mm of block 3 at X ")


def test_a_cutter_that_cannot_serve_is_told_with_those_that_there_are():
    assert refused(BLOCK + "pocket_cutter = 7\n") == (
        "inlay.0.pocket_cutter: as an end mill no cutter 7 reaches 1.50 mm deep"
    )
    shallow = shop(mill(1, 1.0, reach=1.4), mill(2, 3.0))
    assert fit(BLOCK + "detail = 0.7\n", shallow).fits[0].pair.numbers == (2, 2)
    assert refused(BLOCK, shop(mill(1, 1.0, reach=1.4))) == (
        "inlay.0.pocket_cutter: no end mill of the machine profile reaches 1.50 mm deep"
    )


def test_where_none_serves_the_worst_place_of_the_nearest_is_told():
    found = refused(BLOCK + "detail = 0.1\n")
    assert found.startswith(
        "inlay.0.detail: even with the cutters that come nearest, cutter 1 of 0.6 mm and cutter 2 of 3 mm, the drawing "
        "gives up to 0.12 mm, "
    )
    assert "5.00 mm along and" in found.replace("-5.00", "5.00")


def test_a_part_that_no_cutter_enters_is_told_with_place_and_width():
    sliver = '<rect width="8" height="8"/><rect x="12" width="0.4" height="8"/>'
    found = refused(DRAWN, drawing=sliver)
    assert found.startswith("inlay.0.outline: a part 0.40 mm wide, 6.00 mm along and ")
    assert found.endswith(" up from its middle, is too narrow for the smallest cutter, 1 of 0.6 mm")


def test_a_hole_that_vanishes_is_lost_and_not_given():
    holed = '<path fill-rule="evenodd" d="M0 0H9V9H0Z M4 4H4.2V4.2H4Z"/>'
    clampings = fit(DRAWN, drawing=holed)
    ((lost,),) = (each.lost for each in clampings.fits)
    assert (lost.what, round(lost.width_mm, 2)) == ("hole", 0.2)
    assert "a hole 0.20 mm wide at X" in clampings.warnings[-1].found
    wide = holed.replace("4.2", "4.8")
    assert fit(DRAWN, drawing=wide).fits[0].pair.numbers == (3, 1)
    assert fit(DRAWN + "detail = 0.9\n", drawing=wide).fits[0].lost != ()


def test_a_neck_that_cutters_would_part_is_refused_and_told_where_they_are_named():
    waist = '<path d="M0 0H6V3L6.1 3.8H8V0H14V8H8V4.2H6.1L6 5V8H0Z"/>'
    assert "part it" in refused(DRAWN + 'pieces = "by hand"\ndetail = 2\n', shop(mill(3, 1.0)), waist)
    named = DRAWN + 'pieces = "by hand"\npocket_cutter = 3\n'
    clampings = fit(named, drawing=waist)
    assert [pocket.name for pocket in clampings.fits[0].pockets] == ["a 3a", "a 3b"]
    assert {pocket.number for pocket in clampings.fits[0].pockets} == {1}
    assert any("its cutters part a 3" in each.found for each in clampings.warnings)


def test_corners_for_a_chisel_are_listed_and_give_nothing():
    (first, _) = fit(BLOCK + 'corners = "by hand"\npocket_cutter = 2\npiece_cutter = 2\n').fits
    assert [round(each.length_mm, 3) for each in first.corners] == [round(CORNER * (1.5 + ROOM_MM - 0.025), 3)] * 4
    x, y = first.part.at
    assert {(round(each.tip[0] - x), round(each.tip[1] - y)) for each in first.corners} == {
        (5, 3), (5, -3), (-5, 3), (-5, -3),
    }  # fmt: skip
    assert first.given == ()
    assert first.pieces[0].area.area == pytest.approx(9.95 * 5.95, abs=CHORDS_MM)
    assert first.pockets[0].region.area < 10.05 * 6.05 - 1


def test_every_corner_of_a_diamond_is_listed_by_itself():
    diamond = BLOCK.replace("block", "diamond").replace("[3, 5]", "[3]").replace("width = 6", "width = 16")
    mills = shop(mill(2, 3.175))
    (one,) = fit(diamond + 'corners = "by hand"\npocket_cutter = 2\npiece_cutter = 2\n', mills).fits
    x, y = one.part.at
    # a circle of radius r stands r (1 / sin t - 1) before a tip whose sides part by 2 t (elementary geometry)
    radius, half = 1.5875 + ROOM_MM - 0.025, math.atan(8 / 5)
    along, across = (radius * (1 / math.sin(each) - 1) for each in (half, math.pi / 2 - half))
    found = {(round(each.tip[0] - x), round(each.tip[1] - y)): each.length_mm for each in one.corners}
    assert found == pytest.approx({(5, 0): along, (-5, 0): along, (0, 8): across, (0, -8): across}, abs=CHORDS_MM)


def test_corners_of_a_star_are_each_listed_where_what_the_cutter_leaves_of_them_is_one():
    star = BLOCK.replace("block", "star").replace("[3, 5]", "[3]").replace("length = 10\nwidth = 6", "length = 5")
    (one,) = fit(star + 'corners = "by hand"\ndetail = 1.2\npocket_cutter = 3\npiece_cutter = 3\n').fits
    tips = shapely.get_coordinates(one.part.drawn.convex_hull.exterior)[:-1] + one.part.at
    assert sorted(each.tip for each in one.corners) == [pytest.approx(tip) for tip in sorted(map(tuple, tips))]
    # whatever of the piece does not go in is within a cutter's radius of what is left to the chisel
    left = shapely.union_all([shapely.Point(each.tip).buffer(each.length_mm + 0.5) for each in one.corners])
    beyond = shapely.difference(one.pieces[0].area, shapely.union_all([each.region for each in one.pockets]))
    assert beyond.area > 1
    assert shapely.difference(beyond, left).area < CHORDS_MM


def test_a_corner_longer_than_a_chisel_takes_is_rounded_as_others_are():
    cut = BLOCK + 'corners = "by hand"\npocket_cutter = 2\npiece_cutter = 2\ncorner_limit = 0.5\n'
    assert fit(cut).fits[0].corners == ()
    assert fit(cut).fits[0].worst_mm == pytest.approx(CORNER * (1.475 + ROOM_MM), abs=CHORDS_MM)


def test_inlays_that_share_a_pocket_are_fitted_as_one_their_pieces_each_by_itself():
    host = BLOCK.replace("[3, 5]", "[3]").replace('"block"\n', '"block"\nname = "sea"\n')
    guest = BLOCK.replace("[3, 5]", "[3]").replace("length = 10", "length = 4") + 'across = 6\nset_in = "sea"\n'
    (both,) = fit(host + "pocket_cutter = 3\npiece_cutter = 2\n" + guest).fits
    (pocket,) = both.pockets
    # two inner corners where they meet stay sharp, but for what the pocket's walls stand outside the line
    corner = (1 - math.pi / 4) * (0.5 + ROOM_MM) ** 2
    assert pocket.region.area == pytest.approx(10.05 * 6.05 + 4.05 * 6 - 6 * corner, abs=0.01)


def test_what_a_fit_brings_too_near_is_refused():
    near = DRAWN.replace("[3]", "[3]") + "piece_cutter = 2\npocket_cutter = 1\n[face_dots]\nfrets = [3]\ndiameter = 2\n"
    bay = '<path d="M0 0H12V12H7V3H5V12H0Z"/>'
    found = refused(near + "thickness = 1.5\n", drawing=bay)
    assert found.startswith("inlay.0.outline: no wood stays between a 3 and face dot 3")
