"""The job card's lists: the layout's figures as the bench wants them, worked out here a second time."""

import math
from dataclasses import replace

import pytest

from makers import clamped
from pearlkerf.board.model import FaceDots, FretSlots
from pearlkerf.pictures.card.model import ProgramRow
from pearlkerf.pictures.card.rows import card_rows, fill_card
from pearlkerf.setups.model import Clampings

INCH = 25.4
WRITTEN_MM = 0.005 + 1e-9  # figures are written to 0.01 mm

PROGRAMS = (
    ProgramRow("1-face-cutter-1.nc", "face", 1, "end mill", 0.58, 24000, 250, 60, 3.31, 0.2, "18 to 24 min", "frets"),
    ProgramRow("2-face-cutter-2.nc", "face", 2, "end mill", 3.0, 18000, 600, 150, 1.65, 1.0, "2 to 3 min", "face dots"),
    ProgramRow("3-edge-cutter-2.nc", "edge", 2, "end mill", 3.0, 18000, 600, 150, 3.0, 0.5, "2 to 3 min", "side dots"),
)


def sagitta_mm(radius_mm: float, half_mm: float) -> float:
    """Height of a circle's segment, s = R - sqrt(R**2 - h**2) (Machinery's Handbook, segments; from memory)."""
    return radius_mm - math.sqrt(radius_mm**2 - half_mm**2)


def figure(setting: Clampings, what: str, how: str) -> list[float]:
    rows = [row for row in card_rows(setting).measures if row.what == what and how in row.how]
    assert len(rows) == 1
    words = rows[0].figure.replace("(", "").replace(")", "").replace(",", "").split()
    return [float(word) for word in words if word != "mm"]


def test_wire_is_cut_to_the_boards_width_and_an_overhang() -> None:
    """Width by the intercept theorem: 44.45 mm at the nut, 56.5 mm at 448 mm; half-way along the scale, 316 mm."""
    wire = card_rows(clamped()).wire
    assert [row.fret for row in wire] == list(range(1, 21))
    width = 44.45 + (56.5 - 44.45) * 316.0 / 448.0
    assert wire[11].width_mm == pytest.approx(width, abs=1e-9)
    assert wire[11].cut_mm == math.ceil(width + 6.0) == 59


def test_the_wires_sum_is_what_is_needed() -> None:
    rows = card_rows(clamped())
    (need,) = [row for row in rows.needs if row.what == "fretwire"]
    assert need.amount == f"{sum(row.cut_mm for row in rows.wire):.0f} mm"
    assert "0.58 mm wide" in need.detail


def test_dots_are_counted_with_their_doubles() -> None:
    needs = {row.what: row for row in card_rows(clamped()).needs}
    assert (needs["face dots"].amount, needs["face dots"].detail) == ("8", "6.00 mm across, 1.50 mm thick")
    assert (needs["side dots"].amount, needs["side dots"].detail) == ("9", "2.00 mm rod, 5.0 mm each, 45 mm in all")


def test_each_cutter_is_needed_once_and_a_thin_one_twice() -> None:
    needs = {row.what: row.amount for row in card_rows(clamped(), PROGRAMS).needs if row.what.startswith("cutter")}
    assert needs == {"cutter 1": "2", "cutter 2": "1"}


def test_a_dot_stands_proud_of_the_finished_face_where_that_is_highest_under_it() -> None:
    setting = clamped()
    for row, hole in zip(card_rows(setting).sunk, setting.layout.face_dots, strict=True):
        nearest = max(0.0, abs(hole.centre[1]) - hole.diameter_mm / 2)
        highest = 0.2 + sagitta_mm(14 * INCH, nearest)
        assert row.below_mm == pytest.approx(highest - 0.2, abs=0.002)  # 0.2 mm proud; the disc's rim is a polygon
        finished = 0.2 + sagitta_mm(14 * INCH, abs(hole.centre[1]))
        assert row.finished_below_mm == pytest.approx(finished, abs=1e-6)


def test_dots_of_unequal_thickness_lie_between_two_figures() -> None:
    dots = FaceDots((5, 7), 6.0, 1.4, 1.6)
    for row in card_rows(clamped(face_dots=dots)).sunk:
        assert row.depth_mm - row.below_mm == pytest.approx(1.4)
        assert row.depth_mm - row.below_thickest_mm == pytest.approx(1.6)


def test_on_a_radiused_blank_depths_count_from_the_raw_face_at_the_dot() -> None:
    setting = clamped(state="radiused")
    row = next(row for row in card_rows(setting).sunk if row.name == setting.layout.face_dots[-3].name)
    hole = setting.layout.face_dots[-3]
    assert row.depth_mm == pytest.approx(-hole.floor_mm - sagitta_mm(14 * INCH, abs(hole.centre[1])), abs=1e-6)
    assert row.finished_below_mm == pytest.approx(0.2, abs=1e-6)


def test_slots_are_measured_from_the_nut_end_to_their_near_wall() -> None:
    x = 632.0 / 2
    assert figure(clamped(), "fret 12", "near wall") == pytest.approx([x - 0.29, x], abs=WRITTEN_MM)


def test_a_slanted_slot_is_measured_on_the_centre_line() -> None:
    straight = clamped()
    slots = tuple(
        replace(slot, start=(slot.start[0] - 6.0, slot.start[1]), end=(slot.end[0] + 6.0, slot.end[1]))
        for slot in straight.layout.slots
    )
    slanted = replace(straight, layout=replace(straight.layout, slots=slots))
    slot = slots[11]
    (low_x, low), (high_x, high) = slot.ends
    # by similar triangles, on the centre line; the wall lies half the slot's width over the cosine of its slant nearer
    middle = low_x + (0.0 - low) / (high - low) * (high_x - low_x)
    lean = math.hypot(high - low, high_x - low_x) / (high - low)
    told = figure(slanted, "fret 12", "near wall")
    assert told == pytest.approx([middle - 0.29 * lean, middle], abs=WRITTEN_MM)


def test_a_slots_depth_is_told_at_the_centre_line_and_at_its_ends() -> None:
    half = (44.45 + (56.5 - 44.45) * 316.0 / 448.0) / 2
    wanted = [0.2 + 2.0, 0.2 + 2.0 + sagitta_mm(14 * INCH, half)]
    assert figure(clamped(), "fret 12", "depth") == pytest.approx(wanted, abs=WRITTEN_MM)


def test_slots_that_are_sawn_already_are_not_measured_for_depth() -> None:
    setting = clamped(fret_slots=FretSlots(0.58, 2.0, state="already cut"))
    assert not [row for row in card_rows(setting).measures if row.what.startswith("fret") and "depth" in row.how]
    assert card_rows(setting).wire


def test_side_dots_are_measured_along_the_edge_and_from_the_glue_face() -> None:
    """Along the edge the board is longer than along its centre line by 1 / cos of the edge's angle."""
    setting = clamped()
    slant = math.atan2((56.5 - 44.45) / 2, 448.0)
    x = 632.0 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2)  # middle of the space between frets 2 and 3
    assert figure(setting, "side dot 3", "along the edge") == pytest.approx([x / math.cos(slant)], abs=0.02)
    assert figure(setting, "side dot 3", "glue face") == pytest.approx(
        [setting.layout.side_dots[0].centre[1]], abs=WRITTEN_MM
    )


def test_a_board_with_nothing_on_it_needs_little() -> None:
    setting = clamped(fret_slots=None, face_dots=None, side_dots=None)
    rows = card_rows(setting)
    assert (rows.wire, rows.sunk, rows.measures) == ((), (), ())
    assert [row.what for row in rows.needs] == ["piece of scrap"]


def test_the_card_keeps_setups_and_programs_in_the_order_to_run() -> None:
    card = fill_card(clamped(), "a router on a bench", PROGRAMS, {})
    assert [setup.name for setup in card.setups] == ["face", "edge"]
    assert card.programs == PROGRAMS
    assert card.setups[1].stock.endswith("(standing 56.5 mm tall)")
