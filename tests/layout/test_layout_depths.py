"""Depths under a radiused face: slots, pockets and the height of side dots."""

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from makers import INCH, a_board, a_layout
from pearlkerf.board.model import Blank, FaceDots, FretSlots, Radius, SideDots
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up

OUTSIDE = tomllib.loads((Path(__file__).parents[1] / "reference" / "frets.toml").read_text("utf-8"))
ROUND = Radius(14 * INCH, 14 * INCH)


def fall(radius, y):
    """The sagitta as textbooks print it."""
    return radius - math.sqrt(radius**2 - y**2)


def test_floor_that_follows_lies_as_deep_below_the_finished_surface_everywhere():
    layout = a_layout()
    for slot in layout.slots:
        y = np.linspace(slot.start[1], slot.end[1], 21)
        expected = [-(0.2 + fall(14 * INCH, each) + 2.0) for each in y]
        assert slot.floor.z_mm(slot.start[0], y) == pytest.approx(expected, abs=1e-9)


def test_floor_under_a_compound_radius():
    layout = a_layout(radius=Radius(10 * INCH, 16 * INCH))
    slot = layout.slots[11]
    radius = (10 + 6 * 316.0 / 448.0) * INCH
    assert slot.floor.z_mm(*slot.end) == pytest.approx(-(2.2 + fall(radius, slot.end[1])), abs=1e-9)


def test_level_floor_takes_the_largest_fall_within_the_outline():
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, floor="level"), blank=Blank(64.0, 12.0, 6.0))
    for slot, row in zip(layout.slots, layout.fret_rows, strict=True):
        expected = -(2.2 + fall(14 * INCH, row.width_mm / 2))
        assert slot.floor.z_mm(slot.start[0], [-32.0, 0.0, 20.0]) == pytest.approx([expected] * 3)


def test_level_floor_of_a_stopped_slot_ends_at_its_tips():
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, floor="level", ends="stopped", margin_mm=3.0))
    for slot, row in zip(layout.slots, layout.fret_rows, strict=True):
        tip = row.width_mm / 2 - 3.0
        assert slot.end == pytest.approx((row.x_mm, tip))
        assert slot.start == pytest.approx((row.x_mm, -tip))
        assert slot.floor.crown_z_mm == pytest.approx(-(2.2 + fall(14 * INCH, tip)))
        assert not slot.through


def test_a_slot_as_wide_as_asked_and_fitted():
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, fit_mm=0.03))
    assert [slot.width_mm for slot in layout.slots] == pytest.approx([0.61] * 20)


def test_pocket_on_the_crown():
    """Shell of 1.5 mm that stands 0.2 mm proud: D = 0.2 + 0 + 1.5 - 0.2."""
    dot = next(dot for dot in a_layout().face_dots if dot.number == 5)
    assert -dot.floor_mm == pytest.approx(1.5)
    assert -dot.deepest_mm == pytest.approx(1.5)
    assert -dot.shallowest_mm == pytest.approx(0.2 + fall(14 * INCH, 3.0) + 0.5)


def test_pockets_of_a_double_lie_lower_by_the_fall_beside_them():
    layout = a_layout()
    bass, treble = [dot for dot in layout.face_dots if dot.number == 12]
    quarter = treble.centre[1]
    assert -bass.floor_mm == pytest.approx(0.2 + fall(14 * INCH, quarter - 3.0) + 1.3)
    assert -bass.shallowest_mm == pytest.approx(0.2 + fall(14 * INCH, quarter + 3.0) + 0.5)
    assert bass.floor_mm == treble.floor_mm


def test_the_thinnest_shell_counts():
    dots = replace(a_board().face_dots, thinnest_mm=1.3, thickest_mm=1.6)
    assert {round(-dot.floor_mm, 9) for dot in a_layout(face_dots=replace(dots, double=())).face_dots} == {1.3}


def test_fit_changes_the_pocket_and_not_its_depth():
    loose = a_layout(face_dots=replace(a_board().face_dots, fit_mm=0.06)).face_dots
    assert [dot.diameter_mm for dot in loose] == pytest.approx([6.06] * 8)
    assert [dot.floor_mm for dot in loose] == [dot.floor_mm for dot in a_layout().face_dots]


def test_a_shell_of_just_the_needed_thickness_has_one_depth():
    needed = fall(7.25 * INCH, 3.0) + 0.5 + 0.2
    dots = FaceDots((5,), 6.0, needed, needed)
    dot = a_layout(radius=Radius(7.25 * INCH, 7.25 * INCH), face_dots=dots).face_dots[0]
    assert dot.floor_mm == pytest.approx(dot.shallowest_mm) == pytest.approx(dot.deepest_mm)


def test_a_shell_ends_flush_everywhere_after_levelling():
    """Over the disc the shell's top must stand proud of the finished surface, and enough shell stay below it."""
    layout = a_layout(radius=Radius(7.25 * INCH, 12 * INCH))
    angle = np.linspace(0, 2 * np.pi, 100)
    for dot in layout.face_dots:
        for r in (0.0, 1.0, 2.0, 3.0):
            s = layout.surface.fall_mm(dot.centre[0] + r * np.cos(angle), dot.centre[1] + r * np.sin(angle))
            finished = -(0.2 + s)
            assert (dot.floor_mm + 1.5 - finished >= 0.2 - 1e-6).all()
            assert (finished - dot.floor_mm >= 0.5).all()


@pytest.mark.parametrize("allowance", [0.0, 0.05])
def test_a_flat_and_a_radiused_blank_end_with_the_same_finished_depths(allowance):
    """Below the finished surface, which lies crown_allowance + s under the crown in both."""
    flat, radiused = a_layout(), a_layout(state="radiused", crown_allowance_mm=allowance)
    for one, other in zip(flat.slots, radiused.slots, strict=True):
        assert one.floor.z_mm(*one.end) + 0.2 == pytest.approx(other.floor.z_mm(*other.end) + allowance)
    for one, other in zip(flat.face_dots, radiused.face_dots, strict=True):
        assert one.floor_mm + 0.2 == pytest.approx(other.floor_mm + allowance)
    assert set_up(radiused).setups[0].stock.crown == radiused.surface
    assert set_up(flat).setups[0].stock.crown is None


@pytest.mark.parametrize("edge", OUTSIDE["edge"], ids=lambda edge: f"R {edge['radius']}")
def test_side_dots_lie_in_the_middle_of_the_finished_edge(edge):
    width = 2 * edge["half_width"]
    board = a_board(thickness_mm=edge["thickness"], radius=Radius(edge["radius"], edge["radius"]), nut_width_mm=width,
                    end_width_mm=width, crown_allowance_mm=0.0)  # fmt: skip
    heights = [row.height_mm for row in lay_out(board).side_dot_rows]
    assert heights == pytest.approx([edge["thickness"] - edge["centre_below_top"]] * 9, abs=5e-7)


def test_one_height_is_the_mean_of_the_thickest_and_the_thinnest_middle():
    """At the first and the last dot of the steel-string board, whose edge thins toward the bridge."""
    layout = a_layout()

    def middle(n):
        x = 632 * (1 - (2 ** (-(n - 1) / 12) + 2 ** (-n / 12)) / 2)
        return (6.5 - 0.2 - fall(14 * INCH, (44.45 + 12.05 * x / 448) / 2)) / 2

    assert [hole.centre[1] for hole in layout.side_dots] == pytest.approx([(middle(3) + middle(19)) / 2] * 9)


def test_the_height_is_clamped_where_the_thinnest_edge_needs_it():
    """An edge that thins from 5.7 to 3.7 mm: the mean middle would leave too little at the thin end."""
    board = a_board(radius=Radius(406.4, 140.0), thickness_mm=6.5, crown_allowance_mm=0.2)
    dots = SideDots((1, 20), 2.0, 3.0)
    edges = [6.3 - fall(r, w) for r, w in ends_of(board)]
    assert (max(edges) + min(edges)) / 4 > min(edges) - 1.8
    layout = a_layout(radius=board.radius, side_dots=dots, fret_slots=None, face_dots=None)
    assert layout.side_dots[0].centre[1] == pytest.approx(min(edges) - 1.8)
    assert min(row.wood_left_mm for row in layout.side_dot_rows) == pytest.approx(0.8)


def ends_of(board):
    """Radius and half width at dots 1 and 20 of the 632 mm scale."""
    for n in (1, 20):
        x = 632 * (1 - (2 ** (-(n - 1) / 12) + 2 ** (-n / 12)) / 2)
        yield 406.4 + (140.0 - 406.4) * x / 448, (44.45 + 12.05 * x / 448) / 2


def test_a_height_that_is_given_is_taken():
    layout = a_layout(side_dots=replace(a_board().side_dots, height_mm=2.4))
    assert {hole.centre[1] for hole in layout.side_dots} == {2.4}
    assert {hole.floor_mm for hole in layout.side_dots} == {-3.0}
