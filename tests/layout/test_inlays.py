"""Inlays on the board: where they lie on either hand, what fills a space, their parts, how deep each pocket is."""

import math

import pytest
import shapely

from pearlkerf import way
from pearlkerf.layout.model import Layout
from pearlkerf.outlines.limits import CHORD_MM

BOARD = """\
unit = "mm"
[scale]
length = 632
frets = 20
[board]
length = 448
nut_width = 44
end_width = 56
thickness = 6.5
"""
SLOTS = "[fret_slots]\nwidth = 0.58\ndepth = 2\n"
OVAL = '[[inlay]]\nshape = "oval"\nlength = 8\nwidth = 4\nthickness = 1.5\n'
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">{}</svg>'
TWO = SVG.format('<rect x="0" y="0" width="4" height="6"/><rect x="10" y="0" width="2" height="6"/>')


def looked(text: str, drawing: str = TWO) -> way.Look:
    return way.look(text, lambda name: drawing.encode())


def laid(text: str, drawing: str = TWO) -> Layout:
    return looked(text, drawing).right()


def refused(text: str, drawing: str = TWO) -> list[str]:
    return [f"{problem.key}: {problem.found}" for problem in looked(text, drawing).problems]


def fret(number: float) -> float:
    """Twelve-tone equal temperament: L (1 - 2**(-n/12))."""
    return 632 * (1 - 2 ** (-number / 12))


def test_it_lies_in_the_middle_of_its_space_on_a_frets_line_or_at_a_distance():
    layout = laid(
        BOARD + OVAL + "frets = [5]\n" + OVAL + 'on_frets = [12]\nname = "b"\n' + OVAL + 'along = 9\nname="c"'
    )
    rows = {row.name: row for row in layout.inlay_rows}
    assert rows["oval 5"].x_mm == pytest.approx((fret(4) + fret(5)) / 2, abs=CHORD_MM)
    assert rows["b on 12"].x_mm == pytest.approx(316, abs=CHORD_MM)
    assert rows["c"].x_mm == pytest.approx(9, abs=CHORD_MM)
    assert [row.number for row in layout.inlay_rows] == [1, 2, 3]
    assert [row.name for row in layout.inlay_rows] == ["c", "oval 5", "b on 12"]


def test_a_left_hand_mirrors_the_place_and_never_the_drawing():
    leaning = '[[inlay]]\nshape = "parallelogram"\nlength = 8\nwidth = 4\nthickness = 1.5\nacross = 6\nfrets = [5]\n'
    right, left = laid(BOARD + leaning), laid(BOARD.replace("[board]", '[board]\nhand = "left"') + leaning)
    (one,), (other,) = right.inlays, left.inlays
    assert one.at[1] == 6 and other.at[1] == -6
    assert shapely.equals_exact(one.drawn, other.drawn, 1e-9)


def test_a_slanted_board_carries_a_place_off_the_centre_line_along_its_frets():
    slanted = BOARD.replace("length = 632", "length = { bass = 660, treble = 632 }").replace("448", "480")
    slanted += "[strings]\ncount = 6\nspread_at_nut = 36\nspread_at_bridge = 54\n"
    layout = laid(slanted + OVAL + "on_frets = [1]\nacross = 8\n")
    assert layout.inlays[0].at[0] == pytest.approx(layout.line(1).x_mm(8.0))
    assert abs(layout.inlays[0].at[0] - layout.line(1).x_mm(0.0)) > 1


def test_a_block_without_a_size_fills_its_space_and_follows_the_taper():
    layout = laid(BOARD + SLOTS + '[[inlay]]\nshape = "block"\nfrets = [7]\nthickness = 1.5\n')
    region = layout.inlays[0].pocket.region
    low_x, _, high_x, high_y = region.bounds
    assert low_x == pytest.approx(fret(6) + 0.29 + 2, abs=1e-6)
    assert high_x == pytest.approx(fret(7) - 0.29 - 2, abs=1e-6)
    edge = math.atan(6 / 448)  # of the taper
    half = 22 + 6 * high_x / 448
    assert high_y == pytest.approx(half - 3.5 / math.cos(edge), abs=1e-6)
    assert len(shapely.get_coordinates(region)) == 5


@pytest.mark.parametrize("bass", [660, 700])  # the frets of either fan out
@pytest.mark.parametrize("number", [2, 7, 12])
def test_a_block_without_a_size_follows_the_slant(bass: int, number: int):
    scale = f"length = {{ bass = {bass}, treble = 632 }}\nsquare_at = 7"
    slanted = BOARD.replace("length = 632", scale).replace("448", "520")
    slanted += "[strings]\ncount = 6\nspread_at_nut = 36\nspread_at_bridge = 54\n"
    layout = laid(slanted + SLOTS + f'[[inlay]]\nshape = "block"\nfrets = [{number}]\nthickness = 1.5\n')
    region = layout.inlays[0].pocket.region
    assert region.is_valid and len(shapely.get_coordinates(region)) == 5
    for wall in layout.walls(number):
        away = sorted(abs(wall.beyond_mm(corner)) for corner in shapely.get_coordinates(region)[:-1])
        assert away[:2] == pytest.approx([2, 2], abs=1e-6)


def test_every_part_has_a_pocket_its_name_and_its_own_depth():
    drawing = '[[inlay]]\noutline = "wave.svg"\nfrets = [5]\nacross = 12\nthickness = 1.5\n'
    layout = laid(BOARD.replace("[board]", "[board]\nradius = 254") + drawing + "turn = 90\n")
    assert [part.pocket.name for part in layout.inlays] == ["wave 5/1", "wave 5/2"]
    # each ends flush: crown_allowance + min s + t - proud, s the sagitta of a circle (handbook formula, from memory)
    for part in layout.inlays:
        nearest = min(abs(y) for _, y in shapely.get_coordinates(part.pocket.region))
        s = 254 - math.sqrt(254**2 - nearest**2)
        assert -part.pocket.deepest_mm == pytest.approx(0.2 + s + 1.5 - 0.2, abs=1e-9)


def test_a_floor_that_follows_the_face_has_one_depth_below_it():
    text = BOARD.replace("[board]", '[board]\nradius = 254\nstate = "radiused"') + OVAL
    layout = laid(text + 'frets = [5]\nacross = 10\nfloor = "follow"\n')
    (part,) = layout.inlays
    assert -part.pocket.floor_at_crown_mm == pytest.approx(0.2 + 1.5 - 0.2)
    assert part.pocket.floor.crown == layout.surface
    assert -part.pocket.shallowest_mm == pytest.approx(0.2 + 0.5)


@pytest.mark.parametrize(("strips", "needed"), [(1, 1.49), (2, 1.49), (3, 1.41), (4, 1.30)])
def test_how_thick_a_wide_block_must_be_is_less_in_strips(strips, needed):
    # a block 40 mm wide under a radius of 254 mm: the sagitta (handbook formula, from memory) of 20 mm less that of the
    # outermost strip's inner edge, and 0.2 + 0.5 mm: 1.489, 1.489, 1.401, 1.292
    wide = BOARD.replace("nut_width = 44", "nut_width = 54").replace("[board]", "[board]\nradius = 254")
    block = f'[[inlay]]\nshape = "block"\nfrets = [5]\nlength = 20\nwidth = 40\nstrips = {strips}\n'
    (problem,) = looked(wide + block + f"thickness = {needed - 0.01}\n").problems
    assert problem.key == "inlay.0.thickness"
    assert "in one part 1.49 mm, in two strips 1.49 mm, in three strips 1.41 mm, in four strips 1.30 mm" in problem.hint
    assert 'with floor = "follow" 0.70 mm' in problem.hint
    assert f"at least {needed:.2f} mm thick" in problem.hint
    layout = laid(wide + block + f"thickness = {needed}\n")
    assert len(layout.inlays) == strips
    assert sum(part.pocket.region.area for part in layout.inlays) == pytest.approx(20 * 40)


def test_a_drawing_that_cannot_be_read_is_told_at_its_key_with_the_files_place():
    drawing = '[[inlay]]\noutline = "wave.svg"\nfrets = [5]\nthickness = 1.5\n'
    assert refused(BOARD + drawing, "<svg") == [
        "inlay.0.outline: wave.svg: line 1, column 1: it is no well-formed XML (unclosed token)"
    ]
    (found,) = refused(BOARD + drawing + 'parts = ["petals"]\n')
    assert found.startswith('inlay.0.parts: wave.svg: parts "petals": the drawing has no part of this name')


def test_frets_that_are_not_there_are_told_beside_all_the_rest():
    assert refused(BOARD + OVAL + "frets = [5, 21, 5]\n") == [
        "inlay.0.frets.1: fret 21 is not on the board",
        "inlay.0.frets.2: fret 5 is named twice",
    ]


def test_letters_of_the_shipped_typeface_are_pockets_with_islands():
    layout = laid(BOARD + '[[inlay]]\ntext = "O"\nfrets = [3]\nlength = 8\nthickness = 1.5\n')
    assert [len(part.pocket.region.interiors) for part in layout.inlays] == [1]
    assert layout.inlays[0].pocket.name == "O 3"


def test_inlays_that_share_a_pocket_are_one_as_deep_as_suits_both():
    host = '[[inlay]]\nname = "sea"\nshape = "block"\nlength = 10\nwidth = 6\nfrets = [5]\nthickness = 1.6\n'
    guest = (
        '[[inlay]]\nshape = "oval"\nlength = 6\nwidth = 4\nfrets = [5]\nacross = 3\nset_in = "sea"\nthickness = 1.5\n'
    )
    layout = laid(BOARD + host + guest)
    (part,) = layout.inlays
    assert part.pocket.name == "sea 5"
    assert part.pocket.region.area == pytest.approx(60 + math.pi * 3 * 2 / 2, abs=0.02)
    assert -part.pocket.deepest_mm == pytest.approx(0.2 + 1.5 - 0.2)
    assert {piece.inlay.called for piece in part.pieces} == {"sea", "oval"}


def test_what_is_set_in_another_touches_it_and_suits_its_depth():
    host = '[[inlay]]\nname = "sea"\nshape = "block"\nlength = 10\nwidth = 6\nfrets = [5]\nthickness = 2.4\n'
    guest = '[[inlay]]\nshape = "oval"\nlength = 6\nfrets = [5]\nacross = {}\nset_in = "sea"\nthickness = 1.0\n{}'
    assert refused(BOARD + host + guest.format(12, "")) == ["inlay.1.set_in: some of oval does not touch sea"]
    found = refused(BOARD + host.replace("2.4", "2.4\nshell_left = 1.5") + guest.format(0, ""))
    asked = "one of them asks for 0.70 mm less than another"
    assert found == [f"inlay.1.set_in: no depth of sea 5 is right for all pieces in it: {asked}"]
    assert "inlay.1.set_in: the floor of oval and that of sea are one, and not said alike" in refused(
        BOARD + host + guest.format(0, 'floor = "follow"\n')
    )
