"""The job card page by page: one setup a page, steps in the order of the hand, in the maker's own unit."""

import io
import re
from functools import cache
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader
from test_card_rows import PROGRAMS

from makers import a_layout, clamped
from pearlkerf.board.model import FretSlots
from pearlkerf.board.reader import read_board, read_board_text
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pages import CARD, PAGE, draw_job
from pearlkerf.jobs.pieces import SETUPS, Wish, lay_out_piece, plan_piece
from pearlkerf.jobs.proving import prove_programs, sizes_of
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import read_machine
from pearlkerf.pictures.around import Around
from pearlkerf.pictures.card.card import draw_card
from pearlkerf.pictures.card.model import Beside
from pearlkerf.pictures.card.rows import fill_card, there_already
from pearlkerf.pictures.drawing import Line, Text
from pearlkerf.pictures.setup import draw_setup
from pearlkerf.setups.dry_run import DryRun
from pearlkerf.setups.run_outs import Room
from pearlkerf.setups.set_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"
INCHES = """\
title = "Ferry in inches"
unit = "in"
[scale]
length = "25 1/2 in"
frets = 22
[board]
wood = "pau ferro"
hand = "left"
length = 18.5
nut_width = "1 11/16 in"
end_width = 2.2
thickness = "1/4 in"
radius = 10
[fret_slots]
width = 0.023
depth = 0.075
[face_dots]
frets = [3, 5, 7, 9, 12, 15, 17, 19, 21]
double = [12]
diameter = "1/4 in"
thickness = 0.063
[side_dots]
frets = [3, 5, 7, 9, 12, 15, 17, 19, 21]
double = [12]
diameter = 0.079
depth = "1/8 in"
"""


@cache
def drawn(board: str, machine: str, pointing: str = "") -> tuple[bytes, str]:
    """The card and the page of an example, or of the board in inches, on a machine."""
    read = read_board_text(INCHES.encode(), "f.toml") if board == "inches" else read_board(EXAMPLES / f"{board}.toml")
    assert read.board is not None
    job = plan_job(set_up(lay_out(read.board)), read_machine(machine))
    job = with_pointing(job) if pointing else job
    verdict = prove_programs(job, {each.file: each.text for each in make_programs(job, "test")})
    assert verdict.proved
    files = draw_job(job, verdict, ())
    return files[CARD], files[PAGE].decode()


def pages(card: bytes) -> list[str]:
    return [" ".join(each.get_textpage().get_text_range().split()) for each in pdfium.PdfDocument(card)]


@pytest.mark.parametrize("pointing", ["", "with pointing runs"])
@pytest.mark.parametrize("machine", ["benchtop-arcs", "workshop-cycles", "workshop-saw"])
def test_the_steel_strings_card_has_four_pages_at_most_one_for_each_setup(machine: str, pointing: str) -> None:
    found = pages(drawn("harbour-steel-string", machine, pointing)[0])
    assert len(found) <= 4
    assert ["Face setup" in page for page in found] == [True, False, False, False]
    assert ["Edge setup" in page for page in found] == [False, True, False, False]
    for page in found[:2]:
        assert "Before the board is taken off: measure" in page


def test_boxes_stand_in_the_order_in_which_they_are_ticked() -> None:
    face = pages(drawn("harbour-steel-string", "benchtop-arcs")[0])[0]
    order = ["Wood The board", "Lay it Playing face up", "Zero X0", "Clear Clamps", "Cutter 2 end mill",
             "Zero high Set", "In the air Run 1-face", "Zero back Set", "Run 1-face-cutter-2.nc:", "Cutter 1 end mill",
             "It breaks at a touch", "Run 2-face-cutter-1.nc: frets 1-20", "off: measure", "fret 12 nut"]  # fmt: skip
    places = [face.index(step) for step in order]
    assert places == sorted(places)


def test_a_pointing_run_takes_the_place_of_a_look_in_the_air() -> None:
    face = pages(drawn("harbour-steel-string", "benchtop-arcs", "with pointing runs")[0])[0]
    order = ["Pin A pointed pin", "Dry run 1-face-pointing.nc", "Cutter 2 end mill", "Run 2-face-cutter-2.nc"]
    assert [face.index(step) for step in order] == sorted(face.index(step) for step in order)
    assert "Zero high" not in face


def test_a_setup_without_pointing_run_names_it_with_its_minutes() -> None:
    beside = {"face": Beside(dry_run=DryRun(48, 3))}
    (face, *_) = pages(draw_card(fill_card(clamped(), "bench", PROGRAMS, beside)))
    assert "It shows all 48 places, spindle off, in 3 min" in face


@pytest.mark.parametrize(
    ("example", "machine"), [("harbour-steel-string", "benchtop-arcs"), ("curlew-slanted-seven", "benchtop-arcs")]
)
def test_every_frets_distance_is_on_the_card(example: str, machine: str) -> None:
    board = read_board(EXAMPLES / f"{example}.toml").board
    assert board is not None
    words = " ".join(pages(drawn(example, machine)[0]))
    for row in lay_out(board).fret_rows:
        assert f" {row.fret} {row.x_mm:.2f} " in words


def test_nothing_is_set_smaller_than_nine_points_but_the_numbers_in_pictures() -> None:
    """Sizes by the page's own text operators: at arm's length no grey, and no black either, is too small."""
    reader = PdfReader(io.BytesIO(drawn("harbour-steel-string", "benchtop-arcs")[0]))
    sizes: list[float] = []

    def see(text: str, page: list[float], at: list[float], _: object, size: float) -> None:
        if len(text.split()) > 3:
            sizes.append(size * page[0] * at[0])

    for page in reader.pages:
        page.extract_text(visitor_text=see)
    assert sizes
    assert min(sizes) >= 8.99


def test_an_inch_board_on_an_inch_machine_shows_no_millimetre() -> None:
    """But for dust limits: mg/m3 is their own unit."""
    card, page = drawn("inches", "benchtop-inch-hand", "with pointing runs")
    words = " ".join(pages(card)).replace("1 mg/m³", "")
    assert not re.search(r"\bmm\b|millimet", words)
    assert re.search(r"fret 12 .* 12\.739 in \(12\.750 in\)", words)  # 25 1/2 in / 2 = 12.75 in
    assert page


def test_wire_is_cut_to_a_sixteenth_of_an_inch() -> None:
    """At fret 12 the board is 2.040 in wide, with 0.118 in past each edge 2.276 in: 2 5/16 in is next on the rule."""
    words = " ".join(pages(drawn("inches", "benchtop-inch-hand", "with pointing runs")[0]))
    assert "12 12.750 2.04 2 5/16 in" in words


def test_a_profile_that_changes_cutters_at_stops_is_told_of_controllers_that_cannot_jog_there() -> None:
    stops, files = (
        " ".join(pages(drawn("harbour-steel-string", each)[0])) for each in ("workshop-cycles", "benchtop-arcs")
    )
    assert "cannot jog while a program stops (M0)" in stops
    assert "At the stop: " in stops
    assert "cannot jog" not in files


def test_a_bowed_blank_is_told_in_the_boards_own_figures() -> None:
    """2.0 mm slots lose 0.3 mm; dots 0.2 mm proud of 1.5 mm stand 0.5 mm proud and lose as much: 1.0 mm is left."""
    words = pages(draw_card(fill_card(clamped(), "bench", PROGRAMS, {})))[0]
    assert "slots end 1.70 mm deep in place of 2.00 mm" in words
    assert "dots stand 0.50 mm proud in place of 0.20 mm, levelled they are 1.00 mm thick" in words
    assert "dots end 0.10 mm below the finished face" in words


def test_slots_that_are_there_are_drawn_grey() -> None:
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, state="already cut"))
    face = set_up(layout).setups[0]
    there = there_already(layout, face)
    assert len(there) == 20
    assert len(draw_setup(face, Around(there=there)).of("cut-before")) == 20
    assert not draw_setup(face).of("cut-before")


def test_the_slot_that_is_zeroed_on_is_drawn_and_named() -> None:
    board = read_board(EXAMPLES / "tideway-bass.toml").board
    assert board is not None
    later = plan_job(set_up(lay_out(board)), read_machine("compact-chords")).clampings.setups[1]
    slot = later.lying.zero.slot
    assert slot
    drawing = draw_setup(later)
    assert f"zero in {slot}" in [thing.text for thing in drawing.of("zero") if isinstance(thing, Text)]


def test_room_for_clamps_and_run_outs_are_drawn() -> None:
    face = clamped().setups[0]
    drawing = draw_setup(face, Around(Room(7.0, ((float("-inf"), 9.4), (440.0, float("inf")))), runs_out=True))
    assert len([thing for thing in drawing.of("room") if not isinstance(thing, Text)]) == 4  # two places, both edges
    ends = [thing for thing in drawing.of("run-outs") if isinstance(thing, Line)]
    assert len(ends) == 40  # both ends of twenty slots


@pytest.mark.parametrize("kind", ["fits", "calibration", "strip"])
def test_every_card_of_a_piece_has_the_woods_own_dust(kind: str) -> None:
    job = plan_on(kind)
    verdict = prove_programs(job, {each.file: each.text for each in make_programs(job, "test")})
    (card,) = (data for name, data in draw_job(job, verdict, sizes_of(job, verdict)).items() if name.endswith(".pdf"))
    assert "Rosewood dust" in " ".join(pages(card))


def plan_on(kind: str) -> Job:
    board = read_board(EXAMPLES / "harbour-steel-string.toml").board
    assert board is not None
    clampings, machine = set_up(lay_out(board)), read_machine("workshop-cycles")
    wish = next(Wish(each) for each in SETUPS.values() if each == kind)
    return plan_piece(lay_out_piece(clampings, machine, wish), clampings, machine, wish.kind)


def test_the_page_of_an_inch_board_shows_no_millimetre_either() -> None:
    """But in its script and its styles, whose own lengths are mm."""
    _, page = drawn("inches", "benchtop-inch-hand", "with pointing runs")
    shown = re.sub(r"<(script|style)\b.*?</\1>", "", page, flags=re.DOTALL)
    assert not re.search(r"\bmm\b|millimet", re.sub(r"<[^>]*>", " ", shown))
    assert "Deepest, in below zero" in shown
    assert '"unit":{"name":"in","mm":25.4,"decimals":4}' in page
