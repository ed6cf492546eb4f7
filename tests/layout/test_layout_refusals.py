"""Every refusal and every warning of the layout: its key, its figures, and a hint that mends it."""

import math
from dataclasses import replace

import pytest
from mending import change, mended, ways_to_mend

from makers import a_board
from pearlkerf.board.model import Binding, Blank, Board, FaceDots, FretSlots, Radius, Scale, SideDots
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up

MANDOLIN = a_board(scale=Scale(352.425, 24), length_mm=268.0, nut_width_mm=29.0, end_width_mm=42.0, thickness_mm=6.0,
                   fret_slots=None, side_dots=None, face_dots=FaceDots((5, 21), 6.0, 1.5, 1.5))  # fmt: skip
PLAIN = a_board(face_dots=None, side_dots=None)
WIDE = Blank(64.0, 12.0, 6.0)
BARE = replace(PLAIN, fret_slots=None)
RIGHT = tuple(632.0 * (1 - 2 ** (-n / 12)) for n in range(1, 21))


def face(**changes: object) -> Board:
    return change(a_board(), "face_dots", **changes)


def side(**changes: object) -> Board:
    return change(a_board(), "side_dots", **changes)


def slots(board: Board = PLAIN, **changes: object) -> Board:
    return change(board, "fret_slots", **changes)


def measured(*places: float, state: str = "already cut") -> Board:
    return slots(state=state, measured_mm=places)


def bound(thickness: float, put_on: str, board: Board = BARE) -> Board:
    return replace(board, binding=Binding(thickness, put_on))


def trimmed(board: Board = PLAIN, beyond_nut: float = 12.0, trim: str = "both", depth: float = 1.0) -> Board:
    return replace(board, blank=Blank(64.0, beyond_nut, 6.0, trim, depth))


REFUSED = {
    "a fret beyond the end": (replace(PLAIN, scale=Scale(632.0, 22)), "scale.frets", "454.94"),
    "a fret line beyond the end": (replace(PLAIN, fret_slots=None, scale=Scale(632.0, 22)), "scale.frets", "454.65"),
    "a narrow blank": (replace(PLAIN, blank=Blank(56.0, 12.0, 6.0)), "blank.width", "56.50"),
    "a slot that leaves no floor": (slots(depth_mm=4.0), "fret_slots.depth", "1.19"),
    "a level slot that leaves no floor": (slots(depth_mm=3.8, floor="level"), "fret_slots.depth", "1.39"),
    "slots too wide": (slots(width_mm=11.6), "fret_slots.width", "0.23"),
    "slots that saw the blank apart": (
        replace(slots(depth_mm=3.0, margin_mm=2.0), blank=Blank(100.0, 0.0, 0.0)), "blank.width", "no wood"),
    "stopped slots that split the edge": (slots(ends="stopped", margin_mm=0.3), "fret_slots.margin", "0.30"),
    "stopped slots that are dots": (slots(ends="stopped", margin_mm=22.0), "fret_slots.margin", "1.40"),
    "a slot of no width": (slots(fit_mm=-0.6), "fret_slots.fit", "0.58"),
    "a radius smaller than the board": (replace(PLAIN, radius=Radius(20.0, 20.0)), "board.radius", "20.00"),
    "a radius that leaves no edge": (replace(PLAIN, radius=Radius(60.0, 60.0)), "board.radius", "60.00"),
    "a radius at one end only": (replace(PLAIN, radius=Radius(300.0, math.inf)), "board.radius", "300.00"),
    "a board thinner than its levelling": (
        replace(PLAIN, thickness_mm=0.6, crown_allowance_mm=0.3, fret_slots=None), "board.thickness", "0.60"),
    "no frets": (replace(PLAIN, scale=Scale(632.0, 0)), "scale.frets", "0 frets"),
    "a face dot that is not on the board": (face(frets=(3, 12, 25)), "face_dots.frets.2", "fret 25"),
    "a face dot before the nut": (face(frets=(0, 12)), "face_dots.frets.0", "fret 0"),
    "a face dot named twice": (face(frets=(3, 12, 3)), "face_dots.frets.2", "fret 3"),
    "a double that has no dot": (face(double=(12, 14)), "face_dots.double.1", "fret 14"),
    "a double named twice": (face(double=(12, 12)), "face_dots.double.1", "fret 12"),
    "a face dot of no width": (face(fit_mm=-6.0), "face_dots.fit", "6.00"),
    "thin shell": (face(thinnest_mm=0.6), "face_dots.thickness", "0.60"),
    "thin shell on a round board": (
        replace(PLAIN, radius=Radius(184.15, 184.15), face_dots=FaceDots((12,), 6.0, 0.9, 1.0, (12,))),
        "face_dots.thickness", "0.43"),
    "shell prouder than it is thick": (face(proud_mm=1.6), "face_dots.proud", "1.60"),
    "a pocket through the board": (face(thinnest_mm=5.5, thickest_mm=5.5, double=()), "face_dots.thickness", "1.00"),
    "a dot wider than its fret space": (MANDOLIN, "face_dots.diameter", "frets 20 and 21, which are 6.23 mm apart"),
    "a dot of 40 mm": (face(diameter_mm=40.0, spacing_mm=60.0, thinnest_mm=4.0), "face_dots.diameter", "40.00"),
    "a dot on the nut": (
        replace(a_board(), scale=Scale(100.0, 3), length_mm=30.0, side_dots=None,
                face_dots=FaceDots((1,), 6.0, 1.5, 1.5)), "face_dots.diameter", "the nut and fret 1"),
    "doubles over the edge": (face(spacing_mm=48.0), "face_dots.spacing", "no wood"),
    "a dot as wide as the board": (
        replace(PLAIN, nut_width_mm=20.0, end_width_mm=20.0, face_dots=FaceDots((1,), 19.5, 3.0, 3.0)),
        "face_dots.diameter", "0.25"),
    "doubles that overlap": (face(spacing_mm=6.2), "face_dots.spacing", "0.20"),
    "doubles in one place": (face(spacing_mm=0.0), "face_dots.spacing", "no wood"),
    "doubles too wide for their quarter": (
        replace(PLAIN, nut_width_mm=24.0, end_width_mm=24.0, face_dots=FaceDots((5,), 11.8, 3.0, 3.0, (5,))),
        "face_dots.diameter", "0.10"),
    "a side dot that is not on the board": (side(frets=(3, 12, 30)), "side_dots.frets.2", "fret 30"),
    "a side double that has no dot": (side(double=(12, 13)), "side_dots.double.1", "fret 13"),
    "a side dot of no width": (side(fit_mm=-2.0), "side_dots.fit", "2.00"),
    "a side dot too high": (side(height_mm=4.0), "side_dots.height", "4.00"),
    "a side dot too low": (side(height_mm=1.5), "side_dots.height", "1.50"),
    "an edge too thin for its dots": (side(diameter_mm=5.0), "side_dots.diameter", "5.00"),
    "a side dot through the board": (side(depth_mm=60.0), "side_dots.depth", "60.00"),
    "side doubles that overlap": (side(spacing_mm=2.2), "side_dots.spacing", "0.20"),
    "side doubles in the slots": (side(spacing_mm=15.6), "side_dots.spacing", "frets 11 and 12"),
    "side doubles off the nut": (
        replace(PLAIN, side_dots=SideDots((1,), 2.0, 3.0, (1,), spacing_mm=34.0)), "side_dots.spacing", "the nut"),
    "a side dot wider than its space": (
        replace(PLAIN, scale=Scale(100.0, 20), length_mm=80.0, side_dots=SideDots((20,), 1.5, 3.0),
                fret_slots=FretSlots(0.58, 2.0)), "side_dots.diameter", "frets 19 and 20"),
    "a side dot that meets a face dot": (
        replace(side(depth_mm=10.6, double=()), face_dots=FaceDots((12,), 6.0, 2.5, 2.5, (12,))),
        "side_dots.depth", "face dot 12, bass side"),
    "side dots that meet under stopped slots": (
        replace(slots(ends="stopped", margin_mm=8.0), side_dots=SideDots((12, 13), 2.0, 3.0, (12, 13),
                spacing_mm=16.5)), "side_dots.spacing", "side dot 12, bridge side, and side dot 13, nut side"),
    "two bindings that meet": (bound(20.0, "after"), "binding.thickness", "4.44"),
    "a binding on a blank": (bound(1.6, "before", replace(BARE, blank=WIDE)), "binding.put_on", "not yet cut"),
    "slots through a binding": (bound(1.6, "before", PLAIN), "fret_slots.ends", "would cut the binding"),
    "slots that split a thin binding": (
        bound(0.2, "before", slots(ends="stopped", margin_mm=0.25)), "fret_slots.margin", "0.45"),
    "stopped slots that are dots between bindings": (
        bound(1.6, "before", slots(ends="stopped", margin_mm=20.5)), "fret_slots.margin", "1.20"),
    "a dot over the binding": (bound(16.0, "after", face(double=(12,))), "face_dots.diameter", "the binding"),
    "doubles over the binding": (bound(3.0, "after", face(spacing_mm=42.0)), "face_dots.spacing", "the binding"),
    "too few measured slots": (measured(*RIGHT[:-1]), "fret_slots.measured", "19 measured places of 20 slots"),
    "measured slots out of order": (measured(RIGHT[1], RIGHT[0], *RIGHT[2:]), "fret_slots.measured.1", "68.95"),
    "a measured slot at the nut": (measured(0.0, *RIGHT[1:]), "fret_slots.measured.0", "the nut end at 0.00"),
    "a measured slot far off": (
        measured(*RIGHT[:6], RIGHT[6] - 1.01, *RIGHT[7:]), "fret_slots.measured.6", "1.01 mm short of"),
    "measured slots of another scale": (
        measured(*(1.01 * place for place in RIGHT)), "fret_slots.measured.19", "4.33 mm beyond"),
    "measured slots that are to be cut": (measured(*RIGHT, state="to cut"), "fret_slots.measured", "to cut"),
    "a trim as wide as nothing": (trimmed(BARE), "blank.trim", "no fret slots"),
    "no wood beyond a trim": (trimmed(beyond_nut=1.0), "blank.beyond_nut", "1.00 mm"),
    "no wood beyond the only trim": (trimmed(beyond_nut=1.07, trim="nut"), "blank.beyond_nut", "1.07 mm"),
    "a trim that breaks the end off": (trimmed(depth=6.01), "blank.trim_depth", "0.49"),
    "a trim that breaks a radiused end off": (
        trimmed(replace(PLAIN, state="radiused"), depth=4.6), "blank.trim_depth", "0.45"),
}  # fmt: skip


def refused(board: Board) -> tuple[Problem, ...]:
    try:
        lay_out(board)
    except Refusal as refusal:
        return refusal.problems
    return ()


@pytest.mark.parametrize("case", REFUSED)
def test_refused_with_its_key_and_figures(case):
    board, key, figure = REFUSED[case]
    found = [problem for problem in refused(board) if problem.key == key]
    assert len(found) == 1, refused(board)
    assert figure in found[0].found
    assert found[0].allowed


CANNOT_BE_DONE_BLINDLY = {
    "a slot of no width", "a face dot of no width", "a side dot of no width", "a radius at one end only",
    "no frets", "a board thinner than its levelling",
}  # fmt: skip


@pytest.mark.parametrize("case", [case for case in REFUSED if case not in CANNOT_BE_DONE_BLINDLY])
def test_every_way_of_the_hint_mends_it(case):
    board, key, _ = REFUSED[case]
    problem = next(problem for problem in refused(board) if problem.key == key)
    for way in ways_to_mend(problem):
        left = [other for other in refused(mended(board, problem, way)) if other.key == key]
        assert not left, f"{way}: {left}"


DOUBTFUL = {
    "little wood beyond the last slot": (replace(PLAIN, length_mm=434.0), "scale.frets", "433.22"),
    "little wood under slots": (slots(depth_mm=3.0), "fret_slots.depth", "2.19"),
    "little wood between slots": (slots(width_mm=11.0), "fret_slots.width", "0.83"),
    "little wood at the edge of the blank": (
        replace(slots(depth_mm=2.4), blank=Blank(96.0, 0.0, 0.0)), "blank.width", "0.6"),
    "little wood beyond stopped slots": (slots(ends="stopped", margin_mm=0.8), "fret_slots.margin", "0.80"),
    "a level floor": (slots(depth_mm=1.0, floor="level"), "fret_slots.floor", "2.11"),
    "little shell left": (face(thinnest_mm=0.95, thickest_mm=0.95, double=()), "face_dots.thickness", "0.74"),
    "shell of very different thickness": (face(thickest_mm=2.0), "face_dots.thickness", "up to 0.92"),
    "little wood under pockets": (face(thinnest_mm=4.2, thickest_mm=4.2, double=()), "face_dots.thickness", "2.30"),
    "a dot near its slots": (
        replace(MANDOLIN, face_dots=FaceDots((21,), 4.9, 1.5, 1.5)), "face_dots.diameter", "0.66"),
    "doubles near the edge": (face(spacing_mm=44.8), "face_dots.spacing", "0.9"),
    "doubles near each other": (face(spacing_mm=6.8), "face_dots.spacing", "0.80"),
    "side doubles near each other": (side(spacing_mm=2.8), "side_dots.spacing", "0.80"),
    "side doubles near the slots": (side(spacing_mm=14.6), "side_dots.spacing", "frets 11 and 12"),
    "little wood behind side dots": (
        replace(PLAIN, side_dots=SideDots((3,), 2.0, 44.6)), "side_dots.depth", "2.1"),
    "a side dot near a face dot": (
        replace(side(depth_mm=9.4, double=()), face_dots=FaceDots((12,), 6.0, 2.5, 2.5, (12,))),
        "side_dots.depth", "0.7"),
    "a skin of binding behind side dots": (bound(3.6, "after", side()), "side_dots.depth", "0.60"),
    "doubles near the binding": (bound(2.0, "after", face(spacing_mm=40.8)), "face_dots.spacing", "the binding"),
    "a measured slot a little off": (
        measured(*RIGHT[:6], RIGHT[6] + 0.26, *RIGHT[7:]), "fret_slots.measured.6", "0.26 mm beyond"),
    "little wood under a trim": (trimmed(depth=5.8), "blank.trim_depth", "0.70"),
}  # fmt: skip


@pytest.mark.parametrize("case", DOUBTFUL)
def test_warned_and_mended(case):
    board, key, figure = DOUBTFUL[case]
    found = [problem for problem in lay_out(board).warnings if problem.key == key]
    assert len(found) == 1, lay_out(board).warnings
    assert figure in found[0].found
    if case == "shell of very different thickness":  # it is for the maker to sort the shell
        return
    for way in ways_to_mend(found[0]):
        better = mended(board, found[0], way)
        assert key not in {other.key for other in (*refused(better), *lay_out(better).warnings)}, way


def test_a_good_board_has_no_warnings():
    assert lay_out(a_board(blank=WIDE)).warnings == ()


def test_all_problems_are_told_at_once_and_each_once():
    board = change(change(a_board(scale=Scale(632.0, 24)), "face_dots", frets=(3, 30), thinnest_mm=0.5, double=()),
                   "side_dots", height_mm=9.0)  # fmt: skip
    keys = [problem.key for problem in refused(change(board, "fret_slots", depth_mm=5.0))]
    assert sorted(keys) == ["face_dots.frets.1", "face_dots.thickness", "fret_slots.depth", "scale.frets",
                            "side_dots.height"]  # fmt: skip


def test_slots_already_cut_are_kept_clear_of_and_not_judged():
    sawn = change(a_board(), "fret_slots", state="already cut", depth_mm=5.0)
    layout = lay_out(sawn)
    assert len(layout.slots) == 20
    assert {feature.group for setup in set_up(layout).setups for feature in setup.features} == {
        "face dots",
        "side dots",
    }
    near = change(sawn, "side_dots", spacing_mm=15.6)
    assert [problem.key for problem in refused(near)] == ["side_dots.spacing"]


def test_stopped_slots_leave_room_for_side_dots_that_end_before_them():
    wide_pair = SideDots((12,), 2.0, 3.0, (12,), spacing_mm=15.6)
    stopped = replace(slots(ends="stopped", margin_mm=4.0), side_dots=wide_pair)
    assert not refused(stopped)
    assert [problem.key for problem in refused(slots(stopped, ends="through"))] == ["side_dots.spacing"]
    assert [problem.key for problem in refused(slots(stopped, margin_mm=3.2))] == ["side_dots.spacing"]


def test_a_deep_side_dot_may_pass_under_a_pocket():
    thick = replace(a_board(), thickness_mm=9.0, side_dots=SideDots((12,), 2.0, 14.0, height_mm=2.5))
    assert not refused(thick)
    assert [problem.key for problem in refused(change(thick, "side_dots", height_mm=6.0))] == ["side_dots.depth"]


@pytest.mark.parametrize(("thickness", "margin"), [(0.2, 0.25), (1.6, 20.5)])
def test_no_hint_cuts_through_a_binding_that_is_on(thickness, margin):
    stopped = slots(ends="stopped", margin_mm=margin)
    (on,), (to_come,) = (refused(bound(thickness, put_on, stopped)) for put_on in ("before", "after"))
    assert on.key == to_come.key == "fret_slots.margin"
    assert "through" in to_come.hint
    assert "through" not in on.hint
