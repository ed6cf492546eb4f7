"""The job card as a reader sees it: its words, its pictures, its pages."""

import io
from dataclasses import replace

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader
from test_card_rows import PROGRAMS

from makers import a_layout, clamped
from pearlkerf.pictures.card.card import draw_card
from pearlkerf.pictures.card.rows import fill_card
from pearlkerf.pictures.card.section import draw_section
from pearlkerf.pictures.sheets import SHEET_MM, Sheet
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.words import sentences


def card_pages(clampings: Clampings, sheet: Sheet = "A4") -> list[str]:
    """Give the words of every page, runs of white space as one space."""
    document = pdfium.PdfDocument(draw_card(fill_card(clampings, "a router on a bench", PROGRAMS, {}), sheet))
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_every_page_has_its_number_and_its_size(sheet: Sheet) -> None:
    data = draw_card(fill_card(clamped(), "a router on a bench", PROGRAMS, {}), sheet)
    reader = PdfReader(io.BytesIO(data))
    pages = card_pages(clamped(), sheet)
    for number, (page, words) in enumerate(zip(reader.pages, pages, strict=True), 1):
        assert f"job card, page {number} of {len(pages)}" in words
        width, height = (side / 25.4 * 72 for side in SHEET_MM[sheet])
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((width, height), abs=0.01)


def test_programs_stand_under_their_setup_in_the_order_to_run() -> None:
    words = " ".join(card_pages(clamped()))
    runs = ["Run 1-face-cutter-1.nc", "Run 2-face-cutter-2.nc", "Run 3-edge-cutter-2.nc"]
    order = ["Face setup", *runs[:2], "Edge setup", runs[2]]
    places = [words.index(part) for part in order]
    assert places == sorted(places)


def test_every_figure_of_a_program_is_on_the_card() -> None:
    row = replace(PROGRAMS[0], speed_rpm=23456, feed_mm_min=321, plunge_feed_mm_min=87, deepest_mm=3.29, bite_mm=0.17)
    document = pdfium.PdfDocument(draw_card(fill_card(clamped(), "bench", (row,), {})))
    words = " ".join(page.get_textpage().get_text_range() for page in document)
    for figure in ("23456", "321", "87", "3.29", "0.17", "0.58 mm", "end mill", "18 to 24 min"):
        assert figure in words


def test_every_lying_sentence_and_every_measure_is_on_the_card() -> None:
    setting = clamped()
    words = " ".join(card_pages(setting))
    for setup in setting.setups:
        for sentence in sentences(setup):
            assert sentence[1:] in words
    for row in fill_card(setting, "bench", PROGRAMS, {}).rows.measures:
        assert row.figure in words


@pytest.mark.parametrize(
    "said",
    [
        "flat within 0.1 mm, touch it off at five places",
        "packed up 12.05 mm at the nut end",
        "the spindle disconnected while hands are there",
        "Clamps, screws and fence clear",
        "down by 0.01 mm at a time onto a slip of thin paper",
        "Dust extraction on",
        "wicks into a gap",
        "clear tape",
        "Local law, the machine's manual",
        "carcinogenic",
        "bonds skin and eyes",
    ],
)
def test_boxes_notes_and_cautions_are_there(said: str) -> None:
    assert said in " ".join(card_pages(clamped()))


def test_a_hostile_title_is_text_and_not_markup() -> None:
    title = "<b>Ł</b> &lt; <img src='x'/> \N{CJK UNIFIED IDEOGRAPH-6F22}"
    words = card_pages(clamped(title=title))[0]
    assert "<b>Ł</b> &lt; <img src='x'/> \N{REPLACEMENT CHARACTER}" in words


def test_a_dot_above_the_raw_face_is_told_as_above() -> None:
    words = " ".join(card_pages(clamped(state="radiused", crown_allowance_mm=0.1)))
    assert "0.10 mm above" in words


def test_the_same_card_gives_the_same_bytes() -> None:
    card = fill_card(clamped(), "bench", PROGRAMS, {})
    assert draw_card(card) == draw_card(card)


def test_a_card_without_programs_or_dots_is_still_a_card() -> None:
    setting = clamped(face_dots=None, side_dots=None)
    document = pdfium.PdfDocument(draw_card(fill_card(setting, "bench", (), {})))
    assert "Cautions" in document[len(document) - 1].get_textpage().get_text_range()


def test_the_section_shows_the_dot_as_thick_as_it_is() -> None:
    (dot,) = draw_section(a_layout()).of("face-dots")
    heights = sorted({y for _, y in dot.corners})  # type: ignore[union-attr]
    assert heights[1] - heights[0] == pytest.approx(8 * 1.5)


def test_what_a_saw_asks_for_stands_by_its_program() -> None:
    note = "clamps stay off the edge by 29.5 mm"
    programs = (replace(PROGRAMS[0], cutter_kind="saw", cutter_diameter_mm=63.0, notes=(note,)), *PROGRAMS[1:])
    document = pdfium.PdfDocument(draw_card(fill_card(clamped(), "bench", programs, {})))
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)
    assert "Clamps stay off the edge by 29.5 mm." in words


@pytest.mark.parametrize(("wood", "said"), [("wenge", "Wenge dust"), ("old Ebony", "Ebony dust"), ("maple", "")])
def test_a_wood_whose_dust_is_known_has_its_own_caution(wood: str, said: str) -> None:
    words = " ".join(card_pages(clamped(wood=wood)))
    assert said in words
    assert said or "Maple dust" not in words


def test_celluloid_and_shell_have_their_cautions() -> None:
    words = " ".join(card_pages(clamped()))
    assert "burns fiercely with poisonous smoke" in words
    assert "Cut and sand shell wet" in words
