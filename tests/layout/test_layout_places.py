"""Where features lie: names, places, hands, tables for the bench."""

import math
from dataclasses import replace

import numpy as np
import pytest

from makers import a_board, a_layout
from pearlkerf.board.model import Blank, FretSlots, SideDots
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up

ANGLE = math.atan((56.5 - 44.45) / 2 / 448.0)


def fret_mm(n):
    return 632.0 * (1 - 2 ** (-n / 12))


def middle_mm(n):
    return (fret_mm(n - 1) + fret_mm(n)) / 2


def half_mm(x):
    return (44.45 + (56.5 - 44.45) * x / 448.0) / 2


def test_through_slots_run_from_edge_to_edge_of_the_board():
    for n, slot in enumerate(a_layout().slots, 1):
        x, half = fret_mm(n), half_mm(fret_mm(n))
        assert (slot.number, slot.name, slot.group, slot.through) == (n, f"fret {n}", "frets", True)
        assert slot.start == pytest.approx((x, -half))
        assert slot.end == pytest.approx((x, half))


def test_through_slots_run_from_edge_to_edge_of_the_blank():
    for slot in a_layout(blank=Blank(64.0, 12.0, 6.0)).slots:
        assert (slot.start[1], slot.end[1]) == (-32.0, 32.0)


def test_face_dots_are_named_and_lie_on_the_centre_line():
    dots = a_layout().face_dots
    assert [dot.name for dot in dots] == [
        "face dot 3", "face dot 5", "face dot 7", "face dot 9", "face dot 12, bass side", "face dot 12, treble side",
        "face dot 15", "face dot 17",
    ]  # fmt: skip
    for dot in dots:
        assert dot.centre[0] == pytest.approx(middle_mm(dot.number))
        assert (dot.centre[1] == 0.0) == (dot.number != 12)


def test_doubles_lie_in_the_middle_of_their_halves():
    bass, treble = (dot.centre[1] for dot in a_layout().face_dots if dot.number == 12)
    assert (bass, treble) == pytest.approx((-half_mm(middle_mm(12)) / 2, half_mm(middle_mm(12)) / 2))


def test_doubles_lie_as_far_apart_as_asked():
    layout = a_layout(face_dots=replace(a_board().face_dots, spacing_mm=18.0))
    assert [dot.centre[1] for dot in layout.face_dots if dot.number == 12] == [-9.0, 9.0]


def test_side_dots_are_longer_from_the_nut_along_the_edge():
    layout = a_layout(side_dots=replace(a_board().side_dots, fit_mm=0.04))
    for row, hole in zip(layout.side_dot_rows, layout.side_dots, strict=True):
        assert hole.diameter_mm == pytest.approx(2.04)
        away = {"nut": -2.5, "bri": 2.5}.get(hole.name.partition(", ")[2][:3], 0.0)
        along = middle_mm(hole.number) / math.cos(ANGLE) + away
        assert hole.centre[0] == pytest.approx(along) == pytest.approx(row.along_mm)
        assert row.x_mm == pytest.approx(along * math.cos(ANGLE))
        assert row.y_mm == pytest.approx(-half_mm(row.x_mm))
    assert [hole.name for hole in layout.side_dots if hole.number == 12] == [
        "side dot 12, nut side", "side dot 12, bridge side"]  # fmt: skip


def test_doubles_along_the_edge_lie_as_far_apart_as_asked():
    layout = a_layout(side_dots=replace(a_board().side_dots, spacing_mm=6.0))
    near, far = (hole.centre[0] for hole in layout.side_dots if hole.number == 12)
    assert far - near == pytest.approx(6.0)


@pytest.mark.parametrize("state", ["flat", "radiused"])
@pytest.mark.parametrize("ends", ["through", "stopped"])
def test_the_left_hand_mirrors_the_right(state, ends):
    board = a_board(state=state, fret_slots=FretSlots(0.58, 2.0, ends=ends))
    right, left = lay_out(board), lay_out(replace(board, hand="left"))
    assert right.slots == left.slots
    for one, other in zip((*right.face_dots, *right.side_dots), (*left.face_dots, *left.side_dots), strict=True):
        assert (one.name, one.floor_mm, one.diameter_mm) == (other.name, other.floor_mm, other.diameter_mm)
        assert one.centre == (other.centre[0], -other.centre[1])
    edges = [np.unique(np.round(setup.stock.outline * (1.0, y), 9), axis=0)
             for setup, y in ((set_up(right).setups[1], 1.0), (set_up(left).setups[1], -1.0))]  # fmt: skip
    assert edges[0] == pytest.approx(edges[1])
    assert (set_up(right).setups[0].low_side, set_up(left).setups[0].low_side) == ("bass side", "treble side")
    assert (set_up(right).setups[1].low_side, set_up(left).setups[1].low_side) == ("glue face", "playing face")
    assert {row.y_mm > 0 for row in left.side_dot_rows} == {True}


def test_fret_rows_tell_the_bench():
    rows = a_layout().fret_rows
    assert [row.fret for row in rows] == list(range(1, 21))
    assert sum(row.from_last_mm for row in rows) == pytest.approx(fret_mm(20))
    last = rows[-1]
    lowest = 0.2 + 355.6 - math.sqrt(355.6**2 - half_mm(fret_mm(20)) ** 2) + 2.0
    assert (last.x_mm, last.width_mm, last.depth_mm) == pytest.approx((fret_mm(20), 2 * half_mm(fret_mm(20)), 2.2))
    assert (last.edge_depth_mm, last.wood_left_mm) == pytest.approx((lowest, 6.5 - lowest))


def test_fret_rows_without_slots():
    row = a_layout(fret_slots=None).fret_rows[11]
    assert (row.x_mm, row.depth_mm, row.edge_depth_mm, row.wood_left_mm) == (pytest.approx(316.0), None, None, None)


def test_dot_rows_tell_the_bench():
    layout = a_layout()
    fifth = next(row for row in layout.face_dot_rows if row.fret == 5)
    assert (fifth.x_mm, fifth.y_mm, fifth.depth_mm) == pytest.approx((middle_mm(5), 0.0, 1.5))
    assert (fifth.wood_left_mm, fifth.below_raw_mm) == pytest.approx((5.0, 0.0))
    for row in layout.side_dot_rows:
        above = 6.5 - 0.2 - (355.6 - math.sqrt(355.6**2 - half_mm(row.x_mm) ** 2)) - row.height_mm
        assert row.wood_left_mm == pytest.approx(min(row.height_mm, above) - 1.0)
        assert row.depth_mm == 3.0


def test_shell_lies_below_the_raw_face_where_the_radius_comes_down():
    flat = next(row for row in a_layout().face_dot_rows if row.fret == 12)
    radiused = next(row for row in a_layout(state="radiused").face_dot_rows if row.fret == 12)
    fall = 355.6 - math.sqrt(355.6**2 - flat.y_mm**2)
    assert flat.below_raw_mm == pytest.approx(flat.depth_mm - 1.5)
    assert radiused.below_raw_mm == pytest.approx(flat.below_raw_mm - fall)
    assert flat.below_raw_mm > 0.1 > 0.0 > radiused.below_raw_mm


def test_arrays_are_read_only():
    layout = a_layout()
    for array in (
        layout.edges.finished.corners,
        layout.frets_mm,
        *(setup.stock.outline for setup in set_up(layout).setups),
    ):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


def test_a_classical_board_is_flat_and_has_side_dots_alone():
    board = replace(a_board(), radius=a_board().radius.__class__(math.inf, math.inf), face_dots=None,
                    fret_slots=FretSlots(0.58, 2.0), side_dots=SideDots((5, 7, 9), 2.0, 3.0, (7,)))  # fmt: skip
    layout = lay_out(board)
    assert layout.face_dot_rows == ()
    assert [hole.centre[1] for hole in layout.side_dots] == pytest.approx([(6.5 - 0.2) / 2] * 4)
    assert {slot.floor.z_mm(*slot.end).item() for slot in layout.slots} == {-2.2}
