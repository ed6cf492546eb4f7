"""Bound boards, slots sawn by hand, ends to be trimmed: where slots and dots then go, and what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest

from makers import a_board, a_layout
from pearlkerf.board.model import Binding, Blank, FretSlots
from pearlkerf.errors import Refusal
from pearlkerf.layout.features import Slot
from pearlkerf.setups.set_up import set_up

THICK = 1.6
COUNT = a_board().scale.frets
PLACES = np.array([a_board().scale.length_mm * (1 - 2 ** (-n / 12)) for n in range(1, COUNT + 1)])


def half_width(board, x):
    """Half of the finished width at x, worked out again."""
    share = x / board.length_mm
    return (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * share) / 2


def core(board, x):
    """Half of the width inside the binding: it is as thick square to the edge as it is told."""
    lean = math.atan((board.end_width_mm - board.nut_width_mm) / 2 / board.length_mm)
    return half_width(board, x) - THICK / math.cos(lean)


def slots(layout):
    return [
        feature
        for feature in set_up(layout).setups[0].features
        if isinstance(feature, Slot) and feature.group == "frets"
    ]


def refusals(**changes):
    with pytest.raises(Refusal) as refused:
        a_layout(**changes)
    return {problem.key: problem for problem in refused.value.problems}


def test_slots_run_through_the_core_of_a_binding_still_to_come():
    layout = a_layout(binding=Binding(THICK, "after"))
    board, wood = layout.board, set_up(layout).setups[0].stock.outline
    for slot in slots(layout):
        assert slot.through
        assert slot.end[1] == pytest.approx(core(board, slot.end[0]), abs=1e-9)
    assert wood[:, 1].max() == pytest.approx(core(board, board.length_mm), abs=1e-9)
    bare = a_layout()
    assert [slot.end[1] for slot in slots(bare)] != [slot.end[1] for slot in slots(layout)]
    assert layout.edges.finished.corners[:, 1].max() == pytest.approx(half_width(board, board.length_mm))


def test_slots_stop_inside_a_binding_that_is_on():
    cut = replace(a_board().fret_slots, ends="stopped", margin_mm=0.4)
    layout = a_layout(binding=Binding(THICK, "before"), fret_slots=cut)
    for slot in slots(layout):
        assert not slot.through
        assert slot.end[1] == pytest.approx(core(layout.board, slot.end[0]) - 0.4, abs=1e-9)
    assert set_up(layout).setups[0].stock.outline[:, 1].max() == pytest.approx(
        half_width(layout.board, layout.board.length_mm)
    )


def test_side_dots_count_from_the_outer_edge():
    bound, bare = a_layout(binding=Binding(THICK, "after")), a_layout()
    assert [dot.centre for dot in bound.side_dots] == [dot.centre for dot in bare.side_dots]
    assert [dot.floor_mm for dot in bound.side_dots] == [dot.floor_mm for dot in bare.side_dots]
    assert np.allclose(set_up(bound).setups[1].stock.outline, set_up(bare).setups[1].stock.outline)


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"binding": Binding(THICK, "before")}, "fret_slots.ends"),
        ({"binding": Binding(21.0, "after"), "face_dots": None, "fret_slots": None}, "binding.thickness"),
        ({"binding": Binding(THICK, "before"), "blank": Blank(70.0, 5.0, 5.0), "fret_slots": None}, "binding.put_on"),
        ({"binding": Binding(17.0, "after"), "fret_slots": None}, "face_dots.diameter"),
    ],
)
def test_what_a_binding_does_not_bear_is_refused(changes, key):
    found = refusals(**changes)
    assert key in found or any(name.startswith("face_dots") for name in found if key == "face_dots.diameter"), found


def measured(off):
    return FretSlots(0.58, 2.0, state="already cut", measured_mm=tuple((PLACES + off).tolist()))


def test_dots_lie_between_slots_as_they_were_measured():
    off = np.random.default_rng(3).uniform(-0.2, 0.2, COUNT)
    layout = a_layout(fret_slots=measured(off))
    places = np.concatenate([[0.0], PLACES + off])
    for row in layout.face_dot_rows:
        if row.fret not in layout.board.face_dots.double:
            assert row.x_mm == pytest.approx((places[row.fret - 1] + places[row.fret]) / 2, abs=1e-9)
    assert [row.off_mm for row in layout.fret_rows] == pytest.approx(off.tolist(), abs=1e-9)
    assert slots(layout) == []


def test_a_measured_place_far_from_its_fret_is_refused_with_the_scale_that_fits():
    stretched = PLACES * 640.0 / a_board().scale.length_mm - PLACES
    (problem,) = refusals(fret_slots=measured(stretched)).values()
    assert problem.key.startswith("fret_slots.measured.")
    assert "scale.length of 640.00 mm" in problem.hint
    told = a_layout(fret_slots=measured(np.full(COUNT, 0.3))).warnings
    assert any(problem.key.startswith("fret_slots.measured.") for problem in told)
    assert not any(
        p.key.startswith("fret_slots.measured") for p in a_layout(fret_slots=measured(np.full(COUNT, 0.2))).warnings
    )


@pytest.mark.parametrize(
    "places",
    [PLACES[:-1], PLACES[::-1], np.concatenate([PLACES[:3], PLACES[2:-1]])],
)
def test_measured_places_are_one_for_each_fret_in_order(places):
    cut = FretSlots(0.58, 2.0, state="already cut", measured_mm=tuple(places.tolist()))
    assert any(key.startswith("fret_slots.measured") for key in refusals(fret_slots=cut))


def test_measured_places_of_slots_still_to_cut_are_refused():
    cut = FretSlots(0.58, 2.0, measured_mm=tuple(PLACES.tolist()))
    assert refusals(fret_slots=cut).keys() == {"fret_slots.measured"}


@pytest.mark.parametrize(("trim", "ends"), [("nut", [1]), ("end", [2]), ("both", [1, 2]), ("none", [])])
def test_a_trims_wall_is_the_boards_end(trim, ends):
    layout = a_layout(blank=Blank(66.0, 8.0, 7.0, trim, 1.2, 0.8))
    cuts = [feature for feature in set_up(layout).setups[0].features if feature.group == "trims"]
    assert [cut.number for cut in cuts] == ends == [cut.number for cut in layout.trims]
    for cut in cuts:
        wall = cut.start[0] + 0.4 if cut.number == 1 else cut.start[0] - 0.4
        assert wall == pytest.approx(0.0 if cut.number == 1 else layout.board.length_mm, abs=1e-9)
        assert (cut.start[1], cut.end[1]) == (-33.0, 33.0)
        assert cut.through
        assert float(cut.floor.z_mm(*cut.start)) == pytest.approx(-1.2)


@pytest.mark.parametrize(
    ("blank", "key"),
    [
        (Blank(66.0, 1.0, 7.0, "nut", 1.2, 0.8), "blank.beyond_nut"),
        (Blank(66.0, 8.0, 0.5, "both", 1.2, 0.8), "blank.beyond_end"),
        (Blank(66.0, 8.0, 7.0, "both", 6.2, 0.8), "blank.trim_depth"),
    ],
)
def test_trims_leave_the_blank_in_one_piece(blank, key):
    assert set(refusals(blank=blank)) == {key}
