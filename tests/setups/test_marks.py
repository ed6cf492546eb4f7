"""Marks measured on a board: the angle by which it lies turned, other boards refused, the scale that they would fit."""

import math
from dataclasses import replace
from typing import Any

import pytest

from makers import a_machine, clamped
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Carrier, Travel
from pearlkerf.setups.lying import FAR_END, Mark
from pearlkerf.setups.marks import asked_of, turn_to_marks
from pearlkerf.setups.model import Setup
from pearlkerf.setups.words import sentences
from pearlkerf.toolpath.indexing import in_positions

LENGTH_MM, SCALE_MM = 448.0, 632.0
TWELFTH_MM = SCALE_MM / 2  # half the string sounds at the octave


def at(along_mm: float, angle_deg: float, beside_mm: float = 0.0) -> tuple[float, float]:
    """Give where a place on the centre line lies once a board is turned, by plane trigonometry."""
    angle = math.radians(angle_deg)
    return (
        along_mm * math.cos(angle) - beside_mm * math.sin(angle),
        along_mm * math.sin(angle) + beside_mm * math.cos(angle),
    )


def refused(*marks: Mark, **changes: Any) -> Problem:
    with pytest.raises(Refusal) as refusal:
        turn_to_marks(clamped(**changes), marks)
    return refusal.value.problems[0]


@pytest.mark.parametrize("angle", [-3.0, -0.05, 0.0, 0.2, 1.7])
def test_one_mark_turns_the_face_and_leaves_the_edge(angle: float) -> None:
    setting = clamped()
    for mark in (Mark(FAR_END, at(LENGTH_MM, angle)), Mark("fret 12", at(TWELFTH_MM, angle))):
        face, edge = turn_to_marks(setting, [mark]).setups
        assert face.placement.angle_deg == pytest.approx(angle, abs=1e-9)
        assert (face.placement.x_mm, face.placement.y_mm) == (0.0, 0.0)
        assert face.features == setting.setups[0].features
        assert edge == setting.setups[1]


def test_no_mark_changes_nothing() -> None:
    setting = clamped()
    assert turn_to_marks(setting, ()) is setting
    assert asked_of(setting, ()) == {}


def test_two_marks_give_the_angle_of_the_least_squares() -> None:
    near, far = Mark("fret 12", at(TWELFTH_MM, 0.2, 0.1)), Mark(FAR_END, at(LENGTH_MM, 0.2, -0.05))
    found = turn_to_marks(clamped(), [near, far]).setups[0].placement.angle_deg

    def off(angle: float) -> float:
        places = ((TWELFTH_MM, near.measured), (LENGTH_MM, far.measured))
        return sum(math.dist(at(along, angle), place) ** 2 for along, place in places)

    tried = [0.15 + 0.1 * step / 10000 for step in range(10001)]
    assert found == pytest.approx(min(tried, key=off), abs=1e-5)


def test_a_distance_is_the_boards_own_within_half_a_millimetre() -> None:
    for off in (-0.49, 0.49):
        turn_to_marks(clamped(), [Mark(FAR_END, at(LENGTH_MM + off, 0.3))])
    for off in (-0.51, 0.51):
        assert "another board, or another scale" in refused(Mark(FAR_END, at(LENGTH_MM + off, 0.3))).found


def test_another_scale_is_named() -> None:
    # a 628 mm scale: its octave at 314 mm; its seventh fret at 628 (1 - 2^(-7/12)) = 208.8603 mm
    twelfth = refused(Mark("fret 12", (314.0, 0.2)))
    assert "314.00 mm" in twelfth.found
    assert "within 0.5 mm" in twelfth.allowed
    assert "a scale length of 628.00 mm, the board file says 632.00 mm" in twelfth.hint
    assert "a scale length of 628.00 mm" in refused(Mark("fret 7", (208.8603, 0.0))).hint
    assert "a board 460.00 mm long" in refused(Mark(FAR_END, (460.0, 1.0))).hint


def test_a_neighbouring_slot_and_another_unit_are_told() -> None:
    eleventh = SCALE_MM * (1 - 2 ** (-11 / 12))
    assert "the slot of fret 11" in refused(Mark("fret 12", (eleventh, 0.0))).hint
    assert "inches" in refused(Mark(FAR_END, (LENGTH_MM / 25.4, 0.0))).hint
    assert "are mm" in refused(Mark(FAR_END, (LENGTH_MM * 25.4, 0.0))).hint


def test_marks_that_disagree_are_refused_and_say_where_zero_would_lie() -> None:
    # one straight line, 0.9 mm beside zero at the nut: 316 (0.9 / 316 - 0.9 / 448) = 0.265 mm beside the other
    problem = refused(Mark("fret 12", (TWELFTH_MM, 0.9)), Mark(FAR_END, (LENGTH_MM, 0.9)))
    assert "do not agree" in problem.found
    assert "0.27 mm beside" in problem.found
    assert "at Y 0.90" in problem.hint
    turn_to_marks(clamped(), [Mark("fret 12", at(TWELFTH_MM, 0.4, 0.24)), Mark(FAR_END, at(LENGTH_MM, 0.4))])
    refused(Mark("fret 12", at(TWELFTH_MM, 0.4, 0.26)), Mark(FAR_END, at(LENGTH_MM, 0.4)))


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        ([Mark("fret 21", (440.0, 0.0))], 'no slot "fret 21"'),
        ([Mark("dot 5", (140.0, 0.0))], 'no slot "dot 5"'),
        ([Mark(FAR_END, (0.0, 448.0))], "turned 90.0 degrees"),
        ([Mark(FAR_END, (-448.0, 0.0))], "turned 180.0 degrees"),
        ([Mark(FAR_END, (0.0, 0.0))], "was measured 0.00 mm"),
        ([Mark(FAR_END, (448.0, 0.0))] * 2, "marks at far end, far end"),
    ],
)
def test_marks_that_mean_nothing_are_refused(marks: list[Mark], words: str) -> None:
    problem = refused(*marks)
    assert words in problem.found
    assert problem.key == "--at"
    assert problem.allowed
    assert problem.hint


def test_a_board_whose_face_is_not_cut_has_no_marks() -> None:
    assert "nothing is cut in the face" in refused(Mark(FAR_END, (448.0, 0.0)), face_dots=None, fret_slots=None).found


def test_doubtful_marks_are_warned_of() -> None:
    def warnings(mark: Mark) -> str:
        return " ".join(problem.found for problem in turn_to_marks(clamped(), [mark]).warnings)

    assert "lies near the nut" in warnings(Mark("fret 1", at(SCALE_MM * (1 - 2 ** (-1 / 12)), 0.1)))
    assert "lies near" not in warnings(Mark("fret 12", at(TWELFTH_MM, 0.1)))
    assert "which is much" in warnings(Mark(FAR_END, at(LENGTH_MM, 6.0)))


def test_the_head_says_how_the_board_lies_and_the_record_keeps_it() -> None:
    mark = Mark("fret 12", at(TWELFTH_MM, -0.3))
    turned = turn_to_marks(clamped(), [mark])
    said = " ".join(sentences(turned.setups[0]))
    assert "turned 0.3000 degrees clockwise" in said
    assert "the slot of fret 12 was measured at X 315.996 Y -1.655" in said
    assert f"--at {mark.written}" in said
    assert asked_of(turned, [mark]) == {"at": [mark.written], "turned_deg": -0.3}


def in_bare_positions(*marks: Mark) -> list[Setup]:
    machine = replace(a_machine(), travel=Travel(220.0, 220.0, 70.0))
    return [setup for setup in in_positions(turn_to_marks(clamped(), marks), machine).setups if setup.kind == "face"]


def test_a_later_position_lies_by_marks_from_its_own_zero() -> None:
    zero = next(each for each in in_bare_positions() if each.number == 2).lying.zero
    x0 = SCALE_MM * (1 - 2 ** (-int(zero.slot.split()[1]) / 12))
    near = SCALE_MM * (1 - 2 ** (-3 / 12)) - x0  # fret 3 lies left of that zero: the far side of it turns the other way
    marks = (Mark(FAR_END, at(LENGTH_MM - x0, 1.1), 2), Mark("fret 3", at(near, 1.1), 2))
    for some in (marks, marks[:1], marks[1:], (Mark(FAR_END, at(LENGTH_MM, -0.4)), *marks)):
        first, second = in_bare_positions(*some)[:2]
        assert first.placement.angle_deg == pytest.approx(-0.4 if len(some) == 3 else 0.0, abs=1e-9)
        assert second.placement.angle_deg == pytest.approx(1.1, abs=1e-9)
        assert second.lying.measured is not None and first.lying.marks_later == second.lying.marks_later == ()
        for slot in (each for each in second.features if isinstance(each, Slot)):
            x, y = second.placement.to_machine(slot.anchor).tolist()
            assert (x, y) == pytest.approx(at(slot.anchor[0] - x0, 1.1), abs=1e-9)


def test_a_board_that_is_moved_by_hand_lies_straight_unless_it_is_measured_there_which_is_told() -> None:
    machine = replace(a_machine(), travel=Travel(220.0, 220.0, 70.0))
    turned = turn_to_marks(clamped(), [Mark(FAR_END, at(LENGTH_MM, 0.6))])
    placed = in_positions(turned, machine)
    moved = [setup for setup in placed.setups if setup.kind == "face"][1:]
    assert moved and {setup.placement.angle_deg for setup in moved} == {0.0}
    told = [problem for problem in placed.warnings if problem.key == "--at"]
    assert [problem.found.split()[0] for problem in told] == [setup.name for setup in moved]
    assert '--at "face-2=X,Y"' in told[0].hint
    on_dowels = in_positions(turned, replace(machine, carrier=Carrier(30.0)))
    assert {each.placement.angle_deg for each in on_dowels.setups if each.kind == "face"} == {
        turned.setups[0].placement.angle_deg
    }
    assert not [problem for problem in on_dowels.warnings if problem.key == "--at"]


@pytest.mark.parametrize(("mark", "words"), [
    (Mark(FAR_END, (300.0, 0.0), 2), "mm more: this is another board"),
    (Mark(FAR_END, (30.0, 0.0), 9), "marks in face-9"),
    (Mark("fret 33", (30.0, 0.0), 2), 'no slot "fret 33"'),
    (Mark("zero", (0.0, 0.0), 2), "zero itself lies on the slot"),
    (Mark("fret 3", at(60.0, 0.0), 2), "turned 180.0 degrees"),
])  # fmt: skip
def test_marks_of_a_later_position_that_mean_nothing_are_refused(mark: Mark, words: str) -> None:
    zero = in_bare_positions()[1].lying.zero
    if mark.name == "zero":
        mark = replace(mark, name=zero.slot)
    if mark.name == "fret 3":
        mark = replace(mark, measured=(zero.at[0] - SCALE_MM * (1 - 2 ** (-3 / 12)), 0.0))
    with pytest.raises(Refusal) as refusal:
        in_bare_positions(mark)
    (problem,) = refusal.value.problems
    assert problem.key == "--at" and words in problem.found and problem.allowed and problem.hint


@pytest.mark.parametrize("carrier", [None, Carrier(50.0)])
def test_marks_of_a_later_position_are_refused_where_there_is_none(carrier: Carrier | None) -> None:
    machine = replace(a_machine(), travel=Travel(650.0 if carrier is None else 220.0, 220.0, 70.0), carrier=carrier)
    with pytest.raises(Refusal, match="marks in face-2, which is no position"):
        in_positions(turn_to_marks(clamped(), [Mark(FAR_END, (200.0, 0.0), 2)]), machine)
