"""Inlays as people see them: their outlines in every drawing, and what the cutters make of them in words."""

import io
from dataclasses import replace

import ezdxf
import numpy as np
import pytest
import shapely

from pearlkerf import way
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.groups import INLAYS
from pearlkerf.layout.surfaces import Floor
from pearlkerf.machine.reader import read_machine
from pearlkerf.outlines.fit import Given
from pearlkerf.pictures.board.model import Manner
from pearlkerf.pictures.board.shapes import shape
from pearlkerf.pictures.card.rows import fill_card
from pearlkerf.pictures.drawing import Path
from pearlkerf.pictures.features import straightened
from pearlkerf.pictures.inlay_words import inlays_told
from pearlkerf.pictures.page.data import _feature
from pearlkerf.pictures.page.model import DryRun
from pearlkerf.pictures.page.parts import inlays
from pearlkerf.pictures.paper.paper import layout_dxf, layout_svg
from pearlkerf.pictures.paper.template import draw_layout
from pearlkerf.pictures.setup import draw_setup
from pearlkerf.setups.fit import fitted
from pearlkerf.setups.model import Placement

BOARD = """\
unit = "mm"
[scale]
length = 632
frets = 12
[board]
wood = "ebony"
length = 448
nut_width = 44
end_width = 56
thickness = 6.5
[fret_slots]
width = 0.58
depth = 2
[[inlay]]
shape = "ring"
frets = [5]
length = 12
material = "bone"
[[inlay]]
shape = "diamond"
on_frets = [9]
length = 14
width = 9
thickness = 1.6
corners = "by hand"
slots = "by hand"
[[inlay_blank]]
material = "bone"
thickness = [1.5, 1.7]
"""


@pytest.fixture(scope="module")
def looked() -> way.Look:
    return way.look(BOARD)


@pytest.fixture(scope="module")
def clampings(looked):
    return fitted(looked.clamped(), read_machine("benchtop-arcs"))


def test_the_template_draws_every_wall_and_island_at_full_size(looked):
    layout = looked.right()
    drawing = draw_layout(layout)
    rings = [shapely.Polygon(thing.corners) for thing in drawing.of("inlays") if isinstance(thing, Path)]
    ring, diamond = layout.pockets
    assert len(rings) == 3
    assert shapely.hausdorff_distance(rings[0], shapely.Polygon(ring.region.exterior)) < 0.006
    assert shapely.equals(rings[2], diamond.region)
    assert [thing.text for thing in drawing.of("inlay-numbers")] == ["1", "2"]


def test_svg_and_dxf_have_them_in_a_layer_of_their_own(looked):
    layout = looked.right()
    assert layout_svg(layout).count(b'id="inlays"') == 1
    document = ezdxf.read(io.StringIO(layout_dxf(layout).decode("utf-8")))
    lines = document.modelspace().query('LWPOLYLINE[layer=="inlays"]')
    assert [line.closed for line in lines] == [True] * 3
    area = shapely.Polygon([(x, y) for x, y, *_ in lines[2].get_points()]).area
    assert area == pytest.approx(14 * 9 / 2)


def test_a_setup_s_picture_shows_the_fitted_pockets_and_their_numbers(clampings):
    drawing = draw_setup(clampings.setups[0])
    assert sum(isinstance(thing, Path) for thing in drawing.of("cut-holes")) == 3
    assert {"1", "2"} <= {thing.text for thing in drawing.of("dot-numbers")}
    texts = [thing.text for thing in drawing.of("numbers")]
    assert "inlay" not in texts


def test_page_and_card_say_the_same_of_cutters_gap_and_corners(clampings):
    ring, diamond = inlays_told(clampings.fits)
    assert ring.name == "ring"
    assert ring.told[0] == (
        "1 pocket, its walls cut with cutter 3, 1.00 mm. Pieces are to be cut with cutter 2, 3.00 mm. Between them "
        "0.05 mm a side, 0.10 mm in all."
    )
    assert ring.told[1] == "The drawing gives nothing that could be seen."
    chisel = next(told for told in diamond.told if told.startswith("For the chisel"))
    assert chisel.count(" mm at X ") == len(clampings.fits[1].corners) == 4
    assert "(diamond on 9)" in chisel
    assert diamond.told[-1].startswith("Where a slot runs through it: fill the slot with wax")
    card = fill_card(clampings, "a machine", (), {})
    assert card.inlays == (ring, diamond)
    page = inlays(DryRun("a", (), inlays=card.inlays))
    assert "<h3>diamond</h3>" in page and "For the chisel" in page
    assert inlays(DryRun("a", ())) == ""


def test_the_card_counts_the_pieces_and_measures_the_first_and_the_last_pocket(clampings):
    card = fill_card(clampings, "a machine", (), {})
    needs = {row.what: (row.amount, row.detail) for row in card.rows.needs}
    assert needs["pieces of ring"] == ("1", "bone, 1.50 mm to 1.70 mm thick")
    assert needs["pieces of diamond"] == ("1", "shell, 1.60 mm thick")
    measured = {row.what: row.figure for row in card.rows.measures}
    assert (measured["ring 5, pocket"], measured["diamond on 9, pocket"]) == ("1.50 mm", "1.60 mm")


def test_places_where_the_drawing_gave_are_told_the_worst_first_and_ten_at_most(clampings):
    fit = clampings.fits[1]
    places = tuple(Given((1.0, 2.0), by / 100) for by in range(1, 13))
    (told,) = inlays_told([replace(fit, given_by=((fit.part.inlay, places),))])
    line = next(each for each in told.told if each.startswith("Where the drawing gives most"))
    assert line.count(" mm at X ") == 10
    assert line.index("0.12 mm") < line.index("0.11 mm") < line.index("0.03 mm")


def test_the_page_has_every_wall_and_island_where_it_lies_on_the_machine(clampings):
    setup = replace(clampings.setups[0], placement=Placement(90.0, 3.0, -2.0))
    features = [_feature(each, setup) for each in setup.features]
    pockets = [each for each in features if each["group"] == "inlays"]
    assert [len(each["rings"]) for each in pockets] == [2, 1]
    assert all("rings" not in each for each in features if each["group"] != "inlays")
    drawn = shapely.Polygon(pockets[1]["rings"][0])
    wanted = shapely.transform(setup.features[1].region, setup.placement.to_machine)
    assert shapely.hausdorff_distance(drawn, wanted) < 0.011  # straightened within 0.01 mm, rounded to 0.001 mm


@pytest.mark.parametrize(("px_a_mm", "most"), [(0.7, 60), (2.4, 160), (12.0, 400)])
def test_on_a_page_a_drawing_has_the_corners_that_can_be_seen(px_a_mm, most):
    """A flower of 10,000 corners is drawn within a sixth of a pixel: a tenth, and what a drawing at full size gives."""
    turns = np.linspace(0, 2 * np.pi, 10_000, endpoint=False)
    out = 7 + 0.5 * np.sin(24 * turns)
    flower = shapely.Polygon(np.column_stack([100 + out * np.cos(turns), out * np.sin(turns)]))
    pocket = Pocket(INLAYS, 1, "flower", flower, Floor(-1.5), shallowest_mm=-1.4, deepest_mm=-1.5)
    (drawn,) = shape(pocket, "slots", Manner(px_a_mm))
    assert isinstance(drawn, Path) and len(drawn.corners) < most
    assert shapely.hausdorff_distance(shapely.Polygon(drawn.corners), flower) * px_a_mm < 1 / 6


def test_what_is_smaller_than_a_pixel_keeps_corners_enough_to_be_filled():
    assert len(straightened(shapely.LinearRing([(0, 0), (0.01, 0), (0.01, 0.01)]), 0.1)) == 3
