"""What blanks and glued boards look like on the dry-run page: of what each place is, run in the browser."""

from collections.abc import Iterator
from typing import Any, Final

import pytest
from playwright.sync_api import Page

from inlaid import PROFILES, look, rows
from pages import needs_chromium
from pearlkerf import way
from pearlkerf.machine.reader import read_machine
from pearlkerf.pictures.page.data import _setup
from pearlkerf.pictures.page.modules import joined, modules_from
from pearlkerf.pictures.page.page import asset
from pearlkerf.setups.selection import Choice
from playwrights import a_browser

SEEN: Final = """
import { WoodBitmap } from "./grain.js";
import { Wood } from "./wood.js";
export const parts = { Wood, WoodBitmap };
"""
PARTS: Final = modules_from("seen.js", lambda name: SEEN if name == "seen.js" else asset(name))
# mm: two blanks, 10 mm between them, 1.5 mm of shell on 0.2 mm of tape
ROW: Final = {
    "wood": "mother-of-pearl", "outline": [[0, 0], [70, 0], [70, 20], [0, 20]], "thickness": 7.7, "crown": None,
    "placement": [0, 0, 0], "features": [], "blanks": [[0, 0, 30, 20], [40, 0, 70, 20]], "under": 1.7,
}  # fmt: skip
GLUED: Final = {
    "wood": "ebony", "outline": [[0, 0], [70, 0], [70, 20], [0, 20]], "thickness": 6, "crown": None,
    "placement": [0, 0, 0], "features": [],
    "let_in": [
        {"material": "abalone",
         "rings": [[[5, 5], [15, 5], [15, 15], [5, 15]], [[8, 8], [12, 8], [12, 12], [8, 12]]]},
        {"material": "maple", "rings": [[[40, 5], [50, 5], [50, 15], [40, 15]]]},
    ],
}  # fmt: skip
PAINT: Final = """
    const wood = new Wood(given.setup);
    for (const piece of given.cuts) wood.cutStraight(piece, { number: 1, kind: "end mill", diameter: 3, point: 0 });
    const bitmap = new WoodBitmap(wood);
    bitmap.refresh();
    return given.places.map(([x, y]) => {
      const [column, row] = [(x - wood.x0) / wood.cell, (y - wood.y0) / wood.cell].map(Math.floor);
      // a patch, so that a streak of grain does not count
      const data = bitmap.context.getImageData(column - 8, wood.ny - 9 - row, 17, 17).data;
      const mean = [0, 1, 2].map((part) => data.filter((_, at) => at % 4 === part).reduce((a, b) => a + b) / 289);
      return [wood.heightAt(x, y), ...mean];
    });
"""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with a_browser() as browser:
        yield browser.new_page()


def painted(page: Page, setup: Any, places: list[list[float]], cuts: Any = ()) -> list[list[float]]:
    """Give height and colour of some places."""
    given = {"setup": setup, "places": places, "cuts": list(cuts)}
    script = f"async (given) => {{ {joined(PARTS)}\nconst {{ Wood, WoodBitmap }} = $module_seen.parts;\n{PAINT} }}"
    found: list[list[float]] = page.evaluate(script, given)
    return found


@pytest.mark.browser
@needs_chromium
def test_blanks_lie_on_their_backing_board_and_what_is_cut_through_shows_it(page: Page) -> None:
    cuts = [[10, 10, -1.9, 20, 10, -1.9], [55, 5, -1.0, 55, 15, -1.0]]
    blank, between, through, shallow = painted(page, ROW, [[5, 15], [35, 10], [15, 10], [55, 10]], cuts)
    assert (blank[0], between[0], through[0], shallow[0]) == pytest.approx((0, -1.7, -1.9, -1.0), abs=0.003)
    # shell is nearly white, the backing board brown
    assert min(blank[1:]) > 190 and max(blank[1:]) - min(blank[1:]) < 25
    for backing in (between, through):
        assert backing[1] - backing[3] > 30
    assert shallow[1] - shallow[3] < 25


@pytest.mark.browser
@needs_chromium
def test_pieces_that_are_glued_in_have_the_colour_of_their_material(page: Page) -> None:
    shell, hole, maple, board = (each[1:] for each in painted(page, GLUED, [[6.5, 10], [10, 10], [45, 10], [60, 10]]))
    assert shell[1] > shell[0] and shell[2] > shell[0]  # green and blue before red
    assert maple[0] > maple[1] > maple[2] and maple[0] > 150
    assert hole == pytest.approx(board, abs=12) and max(board) < 130


def test_the_page_is_told_of_blanks_as_they_lie() -> None:
    [setup] = rows(PROFILES[0])
    data = _setup(setup)
    assert data["blanks"] == [[each.x_mm, 0.0, each.x_mm + 40.0, 25.0] for each in setup.row.blanks]
    assert data["under"] == pytest.approx(1.5 + 0.2) and data["let_in"] == []


def test_the_page_of_a_second_visit_shows_the_board_s_wood_and_all_its_pieces() -> None:
    more = (
        '[[inlay]]\nshape = "oval"\non_frets = [10]\nlength = 12\nwidth = 8\nslots = "after"\n'
        'material = "mother-of-pearl"\n[fret_slots]\nwidth = 0.58\ndepth = 2\n'
    )
    job = way.plan(look(0.05, more), read_machine(PROFILES[0]), way.Order(Choice(only=("frets 10",))))
    data = _setup(job.clampings.setups[0])
    assert job.clampings.setups[0].wood == "mother-of-pearl" and data["wood"] == "ebony"
    assert [each["material"] for each in data["let_in"]] == ["mother-of-pearl"] * 4
    assert [len(each["rings"]) for each in data["let_in"]] == [1, 1, 2, 1]
