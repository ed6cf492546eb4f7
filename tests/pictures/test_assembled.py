"""The board with its pieces in, and the assembly sheet: as drawn for every hand, numbered, in the order of gluing."""

import io
import re
from functools import cache

import pytest
import shapely
from pypdf import PdfReader

from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.jobs.pages import draw_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.reader import read_machine
from pearlkerf.pictures.assembled import PieceSeen, draw_assembled, of_fits, of_rows, outer_first, spread_out
from pearlkerf.pictures.card.assembly import assembly_of
from pearlkerf.pictures.drawing import PENS, Circle, Drawing, Path, Text
from pearlkerf.pictures.fonts import CAPITAL, text_width_mm
from pearlkerf.pictures.page.page import STYLES, asset

BOARD = """\
unit = "mm"
title = "Lapwing"
[scale]
length = 632
frets = 18
[board]
wood = "ebony"
hand = "{hand}"
length = 440
nut_width = 44
end_width = 54
thickness = 6.5
radius = 300
[fret_slots]
width = 0.58
depth = 2
[[inlay]]
shape = "diamond"
name = "leaf"
frets = [9]
length = 10
width = 16
material = "maple"
corners = "by hand"
[[inlay]]
shape = "ring"
frets = [7]
length = 14
material = "mother-of-pearl"
[[inlay]]
shape = "oval"
name = "eye"
frets = [5]
length = 8
width = 6
across = {across}
material = "abalone"
[[inlay_blank]]
material = "maple"
thickness = 1.8
length = 60
width = 30
[[inlay_blank]]
material = "mother-of-pearl"
thickness = [1.4, 1.5]
length = 30
width = 30
count = 2
used = [{{ blank = 1, box = [0, 0, 30, 30] }}]
[[inlay_blank]]
material = "abalone"
thickness = 1.5
hold = "skin"
length = 30
width = 20
"""


@cache
def job(hand: str = "right", across: float = 6.0):
    look = way.look(BOARD.format(hand=hand, across=across))
    assert look.problems == (), look.problems
    return way.plan_pieces(look, read_machine("router-dial"), PiecesWish())


def rows_of(made):
    return [setup.row for setup in made.clampings.setups]


def assembly(hand: str = "right"):
    made = job(hand)
    return assembly_of(made.clampings.layout, rows_of(made), made.clampings.fits)


def drawn(hand: str = "right") -> Drawing:
    found = assembly(hand).board
    assert found is not None
    return found


def test_every_piece_has_its_colour_and_its_number_a_line_leads_to_it() -> None:
    board = drawn()
    areas = {layer: shapely.Polygon(thing.corners) for layer in ("of-light-wood", "of-pearl", "of-abalone")
             for thing in board.of(layer) if isinstance(thing, Path)}  # fmt: skip
    points = {text.text: thing for text, thing in zip(board.of("piece-numbers"),
              [each for each in board.of("leaders") if isinstance(each, Circle)], strict=True)}  # fmt: skip
    made = {str(piece.number): row.material for row in rows_of(job()) for piece in row.pieces}
    layers = {"maple": "of-light-wood", "mother-of-pearl": "of-pearl", "abalone": "of-abalone"}
    assert set(points) == set(made)
    for number, point in points.items():
        assert areas[layers[made[number]]].contains(shapely.Point(point.centre))
    # the hole of the ring shows the board, and no line ends in it
    [_, hole] = [shapely.Polygon(each.corners) for each in board.of("assembled")]
    assert not any(hole.contains(shapely.Point(point.centre)) for point in points.values())


@pytest.mark.parametrize(("hand", "far"), [("right", "treble side"), ("left", "bass side")])
def test_sides_are_named_as_the_hand_has_them_and_the_drawing_lies_so(hand: str, far: str) -> None:
    board = drawn(hand)
    names = {thing.text: thing.at for thing in board.of("names") if isinstance(thing, Text)}
    other = {"treble side": "bass side", "bass side": "treble side"}[far]
    assert names[far][1] > names[other][1] and names["nut"][0] < names["bridge"][0]
    # the eye lies 6 mm toward the treble side
    [eye] = [each for each in board.of("of-abalone") if isinstance(each, Path)]
    [outline, *_] = board.of("assembled")
    middle = shapely.Polygon(outline.corners).centroid.y
    assert (shapely.Polygon(eye.corners).centroid.y > middle) == (far == "treble side")


def test_of_a_long_board_only_the_stretch_with_pieces_is_drawn() -> None:
    assert drawn().title == "The board with its pieces in, the stretch of it with pieces"
    assert 0 < len(drawn().of("frets")) < 18


def test_numbers_never_stand_on_each_other_and_stay_by_what_they_name() -> None:
    labels = [((10.0 + 0.5 * k, 0.0), str(k)) for k in range(9)] + [((60.0, 0.0), "20"), ((90.0, 0.0), "21")]
    places = spread_out(labels)
    half = [text_width_mm(text, 2.2 / CAPITAL) / 2 for _, text in sorted(labels)]
    gaps = [b - a - hb - ha for a, b, ha, hb in zip(places, places[1:], half, half[1:], strict=False)]
    assert min(gaps) == pytest.approx(1.6) and places[-2:] == [60.0, 90.0]
    assert sum(places[:9]) / 9 == pytest.approx(12.0)


def test_a_piece_in_the_hole_of_another_is_glued_after_it() -> None:
    ring = shapely.Point(0, 0).buffer(5).difference(shapely.Point(0, 0).buffer(3))
    dot, apart = shapely.Point(0, 0).buffer(1), shapely.box(20, 0, 22, 1)
    pieces = [PieceSeen("1", "bone", dot), PieceSeen("2", "bone", apart), PieceSeen("3", "bone", ring)]
    assert [each.number for each in outer_first(pieces)] == ["2", "3", "1"]


def test_what_is_not_cut_with_them_is_drawn_as_an_outline_without_a_number() -> None:
    made = job()
    seen = of_rows(rows_of(made)[:1], made.clampings.fits)
    assert [each.here for each in seen] == [True, False, False]
    board = draw_assembled(made.clampings.layout, seen)
    assert board is not None and len(board.of("piece-numbers")) == 1
    assert len(board.of("inlays")) == 3  # the eye, and the ring's two lines


def test_a_board_without_pieces_has_no_such_picture() -> None:
    assert draw_assembled(job().clampings.layout, of_fits(())) is None


def test_the_sheet_says_for_each_piece_its_pocket_its_blank_its_depth_and_how_it_stands() -> None:
    rows = assembly().rows
    assert [(row.number, row.name, row.pocket) for row in rows] == [
        (1, "eye 5", "pocket 1"), (2, "ring 7", "pocket 2"), (3, "leaf 9", "pocket 3"),
    ]  # fmt: skip
    eye, ring, leaf = rows
    assert "(no. 2 in the file)" in ring.blank and "in the file" not in leaf.blank
    assert eye.lies.endswith("6.0 to the treble side") and leaf.lies.endswith("on the centre line")
    # a skin of 0.15 mm is sanded off: 1.35 mm thick; what a flat blank's pocket is deep its piece stands less
    for row, thicknesses in ((eye, (1.35,)), (ring, (1.4, 1.5)), (leaf, (1.8,))):
        deep = float(row.deep.removesuffix(" mm"))
        tops = [round(thick - deep, 2) for thick in thicknesses]
        said = [f"{abs(top):.2f} mm {'above' if top > 0 else 'below'}" if abs(top) > 0.005 else "level" for top in tops]
        assert row.top == " to ".join(said)
    assert (eye.chisel, leaf.chisel) == ("nothing", "4 corners")


def test_corners_for_the_chisel_are_drawn_with_what_stands_before_each() -> None:
    [corners] = assembly().corners
    figures = [thing.text for thing in corners.of("notes") if isinstance(thing, Text)]
    fit = next(each for each in job().clampings.fits if each.corners)
    assert sorted(figures[:-1]) == sorted(f"{each.length_mm:.2f}" for each in fit.corners)
    assert figures[-1].startswith("leaf 9, ")


def test_colours_of_card_and_page_are_the_same() -> None:
    style = "".join(map(asset, STYLES))
    for layer, pen in PENS.items():
        if layer.startswith("of-"):
            assert f".sketch .{layer} {{ fill: {pen.ground}; }}" in style


@cache
def card() -> str:
    made = job()
    programs = way.make(made, b"", b"").programs
    verdict = prove_programs(made, {program.file: program.text for program in programs})
    assert verdict.proved
    pages = PdfReader(io.BytesIO(draw_job(made, verdict, ())["pieces-card.pdf"])).pages
    return " ".join("".join(page.extract_text() for page in pages).split())


def test_the_card_has_the_sheet_the_blanks_what_is_gone_and_the_command() -> None:
    for said in (
        "Into the board, in the order of gluing", "pocket 3", "For the chisel", "Measure every blank before",
        "used = [{ blank = 1, box = [0, 0, 30, 30] }, { blank = 2, box =", '-o again --only "eye 5"',
        "Pieces-2 setup: mother-of-pearl",
    ):  # fmt: skip
        assert said in card(), said


def test_dust_of_shell_is_told_before_anything_runs_of_each_shell_and_of_no_wood() -> None:
    abalone, pearl, maple = (card().index(f"Run {number}-pieces") for number in (1, 2, 3))
    told = [each.start() for each in re.finditer("inflames lungs, cut it wet or with extraction", card())]
    assert len(told) == 2 and told[0] < abalone < told[1] < pearl < maple
