"""The paper template, measured as a printer would show it."""

import io
import math

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray
from paper_measures import crosses, nearest_mm, pixels, strokes
from pypdf import PdfReader

from makers import a_layout
from pearlkerf.board.model import Blank, FaceDots, Radius, Scale, SideDots
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.paper.paper import draw_template, origin_mm, tile_drawing
from pearlkerf.pictures.paper.template import draw_layout
from pearlkerf.pictures.sheets import OVERLAP_MM, SHEET_MM, Sheet, Tiling

CROSS_MM = 0.02  # a punch finds no smaller error
BAR_ERROR_MM = 0.05
DPI = 1200


def bass_layout() -> Layout:
    """Give a 34 in four-string bass board, left-handed and radiused already."""
    return a_layout(
        scale=Scale(34 * 25.4, 24),
        length_mm=665.0,
        nut_width_mm=40.0,
        end_width_mm=64.0,
        hand="left",
        state="radiused",
        radius=Radius(254.0, 406.4),
    )


def ukulele_layout() -> Layout:
    """Give a small board whose blank is still a rectangle."""
    return a_layout(
        scale=Scale(431.8, 19),
        length_mm=295.0,
        nut_width_mm=36.0,
        end_width_mm=46.0,
        thickness_mm=5.5,
        radius=Radius(math.inf, math.inf),
        blank=Blank(54.0, 8.0, 5.0),
        face_dots=FaceDots((5, 7, 10, 12, 15), 4.0, 1.3, 1.3, (12,)),
        side_dots=SideDots((5, 7, 10, 12), 1.5, 2.5, (12,)),
    )


BOARDS = {"steel-string": a_layout, "bass": bass_layout, "ukulele": ukulele_layout}


def tiling(layout: Layout, sheet: Sheet = "A4") -> Tiling:
    return tile_drawing(layout, draw_layout(layout), sheet)


def opened(layout: Layout, sheet: Sheet = "A4") -> pdfium.PdfDocument:
    return pdfium.PdfDocument(draw_template(layout, sheet))


def dark_columns_mm(row: NDArray[np.uint8]) -> list[float]:
    """Middles of the dark runs of one row of pixels, mm."""
    dark = np.flatnonzero(row < 128)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    return [(float(run[0]) + float(run[-1]) + 1) / 2 * 25.4 / DPI for run in runs if len(run)]


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_the_bars_measure_200_mm_and_8_in_in_rendered_pixels(sheet: Sheet) -> None:
    grey = pixels(opened(a_layout(), sheet), 0, DPI)
    spans = []
    for height_mm in (8.0 + 12.0 + 1.0, 8.0 + 2.5 + 1.0):  # just above each bar, through its ticks
        ticks = dark_columns_mm(grey[grey.shape[0] - round(height_mm * DPI / 25.4)])
        spans.append((len(ticks), ticks[-1] - ticks[0]))
    assert spans[0] == (21, pytest.approx(200.0, abs=BAR_ERROR_MM))
    assert spans[1] == (33, pytest.approx(8 * 25.4, abs=BAR_ERROR_MM))


def test_a_rendered_face_cross_stands_where_the_layout_says() -> None:
    layout = a_layout()
    tiles = tiling(layout)
    x0, y0 = origin_mm(tiles.page, tiles.tiles[0])
    dot = layout.face_dots[0]
    grey = pixels(opened(layout), 0, DPI)
    beyond = dot.diameter_mm / 2 + 0.7  # on the cross's arms, outside the dot's rim
    row = grey.shape[0] - round((y0 + dot.centre[1] + beyond) * DPI / 25.4)
    near = [x for x in dark_columns_mm(grey[row]) if abs(x - x0 - dot.centre[0]) < 2.0]
    assert near == [pytest.approx(x0 + dot.centre[0], abs=CROSS_MM)]


@pytest.mark.parametrize("board", BOARDS)
def test_every_face_cross_lies_where_the_layout_says(board: str) -> None:
    layout = BOARDS[board]()
    tiles, document, seen = tiling(layout), opened(layout), set()
    for tile in tiles.tiles:
        x0, y0 = origin_mm(tiles.page, tile)
        places = crosses(strokes(document, tile.number - 1))
        for dot in layout.face_dots:
            if tile.window.left < dot.centre[0] < tile.window.right:
                assert nearest_mm(places, (x0 + dot.centre[0], y0 + dot.centre[1])) < CROSS_MM
                seen.add(dot.name)
    assert seen == {dot.name for dot in layout.face_dots}


@pytest.mark.parametrize("board", BOARDS)
def test_every_side_cross_folds_down_to_its_height_above_the_glue_face(board: str) -> None:
    """Fold by hand: from the bass edge outward is down; what is left of the edge's height is the dot's."""
    layout = BOARDS[board]()
    side = -1.0 if layout.board.hand == "right" else 1.0
    corner = np.array([0.0, side * layout.board.nut_width_mm / 2])
    end = np.array([layout.board.length_mm, side * layout.board.end_width_mm / 2])
    along = (end - corner) / np.linalg.norm(end - corner)
    outward = np.array([along[1], -along[0]]) if side < 0 else np.array([-along[1], along[0]])
    tiles, document = tiling(layout), opened(layout)
    for dot in layout.side_dots:
        x, y = corner + dot.centre[0] * along
        raw = layout.board.thickness_mm
        if layout.board.state == "radiused":
            radius = np.interp(x, [0, layout.board.length_mm], [254.0, 406.4])
            raw -= radius - math.sqrt(radius**2 - y**2)
        place = corner + dot.centre[0] * along + (raw - abs(dot.centre[1])) * outward
        tile = next(tile for tile in tiles.tiles if tile.window.left < place[0] < tile.window.right)
        x0, y0 = origin_mm(tiles.page, tile)
        places = crosses(strokes(document, tile.number - 1))
        assert nearest_mm(places, (x0 + place[0], y0 + place[1])) < CROSS_MM
        assert outward[1] * side > 0


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
@pytest.mark.parametrize("board", BOARDS)
def test_neighbouring_sheets_show_the_same_marks_in_their_overlap(board: str, sheet: Sheet) -> None:
    layout = BOARDS[board]()
    tiles, document = tiling(layout, sheet), opened(layout, sheet)
    assert len(tiles.tiles) > 1
    for left, right in zip(tiles.tiles, tiles.tiles[1:], strict=False):
        assert left.window.right - right.window.left == pytest.approx(OVERLAP_MM)
        (join,) = (each for each in tiles.joins_x if right.window.left < each < left.window.right)
        marks = []
        for tile in (left, right):
            x0, y0 = origin_mm(tiles.page, tile)
            places = crosses(strokes(document, tile.number - 1)) - (x0, y0)
            marks.append(places[np.abs(places[:, 0] - join) < CROSS_MM])
        assert len(marks[0]) == len(marks[1]) == 2
        assert np.abs(marks[0] - marks[1]).max() < CROSS_MM


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
@pytest.mark.parametrize("board", BOARDS)
def test_everything_fits_between_the_margins_and_joins_avoid_frets_and_dots(board: str, sheet: Sheet) -> None:
    layout = BOARDS[board]()
    tiles = tiling(layout, sheet)
    area = tiles.page.area
    for tile in tiles.tiles:
        assert tile.window.width_mm <= area.width_mm + 1e-9
        assert tile.window.height_mm <= area.height_mm + 1e-9
    places = [*layout.frets_mm.tolist(), *(dot.centre[0] for dot in layout.face_dots)]
    assert min(abs(join - place) for join in tiles.joins_x for place in places) > 2.0
    assert {tiles.page.width_mm, tiles.page.height_mm} == set(SHEET_MM[sheet])


def test_page_scaling_is_switched_off_and_the_page_has_its_true_size() -> None:
    reader = PdfReader(io.BytesIO(draw_template(a_layout())))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((297 / 25.4 * 72, 210 / 25.4 * 72), abs=0.01)


def test_every_sheet_says_how_to_print_and_which_it_is() -> None:
    document = opened(bass_layout())
    for number in range(len(document)):
        words = document[number].get_textpage().get_text_range()
        assert "Print at 100 %" in words
        assert f"sheet {number + 1} of {len(document)}" in words


def test_a_hostile_title_stays_text_and_misses_no_glyph() -> None:
    title = "Łódź <b>&amp;</b> (a\\)b) \N{CJK UNIFIED IDEOGRAPH-6F22}\n%%EOF \u202e½ Жук"
    words = opened(a_layout(title=title))[0].get_textpage().get_text_range()
    assert "Łódź <b>&amp;</b> (a\\)b) \N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}%%EOF" in words
    assert "½ Жук" in words


def test_an_endless_title_is_cut_short_with_an_ellipsis() -> None:
    document = opened(a_layout(title="M" * 4000))
    words = document[0].get_textpage().get_text_range()
    assert "…" in words and "sheet 1 of 2" in words


def test_the_typeface_is_embedded() -> None:
    fonts = PdfReader(io.BytesIO(draw_template(a_layout()))).pages[0]["/Resources"]["/Font"]
    used = [font.get_object() for font in fonts.values()]
    assert used
    embedded = [font for font in used if "/FontFile2" in font.get("/FontDescriptor", {})]
    assert len(embedded) >= 2


def test_the_same_layout_gives_the_same_bytes() -> None:
    assert draw_template(a_layout()) == draw_template(a_layout())


@pytest.mark.parametrize(("wood", "own"), [("rosewood", "Rosewood dust: "), ("maple", "")])
def test_every_sheet_has_the_cautions_and_the_woods_own(wood: str, own: str) -> None:
    for sheet in ("A4", "Letter"):
        document = pdfium.PdfDocument(draw_template(a_layout(wood=wood), sheet))
        for page in document:
            words = page.get_textpage().get_text_range()
            assert "dust harm the lungs" in words and "licensed practice come first" in words
            assert own in words and ("Maple dust" not in words)
