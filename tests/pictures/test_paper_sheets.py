"""How a drawing is spread over sheets: the fewest, covering all, none too large."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.pictures.sheets import OVERLAP_MM, Box, Sheet, pages, spread

SIZES = st.floats(20.0, 1500.0)


def test_a_small_drawing_needs_one_sheet_lying_across() -> None:
    tiling = spread(Box(0, 0, 250, 120), (), (), "A4")
    assert (len(tiling.tiles), tiling.page.turn, tiling.joins_x) == (1, "across", ())


def test_a_tall_drawing_stands_upright_where_that_saves_a_sheet() -> None:
    tiling = spread(Box(0, 0, 150, 220), (), (), "A4")
    assert (len(tiling.tiles), tiling.page.turn) == (1, "upright")


def test_rows_join_like_columns() -> None:
    tiling = spread(Box(0, 0, 500, 300), (), (), "A4")
    assert len(tiling.tiles) == (1 + len(tiling.joins_x)) * (1 + len(tiling.joins_y))
    assert [tile.number for tile in tiling.tiles] == list(range(1, len(tiling.tiles) + 1))


@given(SIZES, SIZES, st.sampled_from(["A4", "Letter"]), st.lists(st.floats(0.0, 1500.0), max_size=30))
def test_windows_cover_the_drawing_overlap_and_fit_the_page(
    width: float, height: float, sheet: Sheet, keep: list[float]
) -> None:
    tiling = spread(Box(0.0, 0.0, width, height), keep, (), sheet)
    area = tiling.page.area
    columns = sorted({(tile.window.left, tile.window.right) for tile in tiling.tiles})
    assert (columns[0][0], columns[-1][1]) == (0.0, width)
    for (_, right), (left, _) in pairwise(columns):
        assert right - left == pytest.approx(OVERLAP_MM)
    for tile in tiling.tiles:
        assert tile.window.width_mm <= area.width_mm + 1e-6
        assert tile.window.height_mm <= area.height_mm + 1e-6


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_both_pages_have_room_for_200_mm_along_their_long_side(sheet: Sheet) -> None:
    across, upright = pages(sheet)
    assert across.width_mm - 16.0 > 203.2
    assert upright.height_mm - 16.0 > 203.2
    assert (across.width_mm, across.height_mm) == (upright.height_mm, upright.width_mm)
