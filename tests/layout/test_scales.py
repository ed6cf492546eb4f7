"""Other scales than twelve equal parts, against printed tables, a tuning library, and exact arithmetic."""

import math
import tomllib
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytuning.scales import create_edo_scale, create_quarter_comma_meantone_scale
from pytuning.utilities import ratio_to_cents

from makers import a_board
from pearlkerf.board.model import FaceDots, FretSlots, Scale, SideDots
from pearlkerf.board.shares import share_at, shares
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.lay_out import lay_out

REFERENCE = tomllib.loads((Path(__file__).parents[1] / "reference" / "frets.toml").read_text(encoding="utf-8"))
JUST, MEANTONE = REFERENCE["just"], REFERENCE["meantone"]
DIATONIC = (1, 3, 6, 8, 13, 15, 18, 20)
PLAIN = a_board(face_dots=None, side_dots=None)


def ratios(*steps: str) -> tuple[Fraction, ...]:
    return tuple(map(Fraction, steps))


def scaled(**changes: object):
    return replace(PLAIN, scale=replace(PLAIN.scale, **changes))


def test_twenty_four_equal_parts() -> None:
    found = shares(Scale(650.0, 23, division=24))[1:]
    assert found == pytest.approx(REFERENCE["equal_24"]["fraction"], abs=1e-12)
    twelve = shares(Scale(650.0, 11))
    assert np.array_equal(shares(Scale(650.0, 22, division=24))[::2], twelve)


@pytest.mark.parametrize("parts", [5, 7, 12, 19, 22, 31])
def test_equal_parts_are_those_of_a_tuning_library(parts: int) -> None:
    found = shares(Scale(650.0, parts, division=parts))
    right = [float(1 - 1 / ratio.evalf(30)) for ratio in create_edo_scale(parts)]
    assert found == pytest.approx(right, abs=1e-14)


def test_just_ratios_and_their_cents() -> None:
    in_ratios = shares(Scale(650.0, 12, steps=ratios(*JUST["ratios"])))[1:]
    assert in_ratios == pytest.approx(JUST["fraction"], abs=6e-11)
    in_cents = shares(Scale(650.0, 12, cents=tuple(JUST["cents"])))[1:]
    assert in_cents == pytest.approx(JUST["fraction"], abs=5e-8)  # the table's cents end at 0.0001
    exact = tuple(float(ratio_to_cents(Fraction(step))) for step in JUST["ratios"])
    assert shares(Scale(650.0, 12, cents=exact))[1:] == pytest.approx(in_ratios, abs=1e-14)


def test_quarter_comma_meantone() -> None:
    found = shares(Scale(650.0, 12, cents=tuple(MEANTONE["cents"])))[1:]
    assert found == pytest.approx(MEANTONE["fraction"], abs=5e-8)
    library = tuple(float(ratio_to_cents(ratio)) for ratio in create_quarter_comma_meantone_scale())[1:]
    assert found == pytest.approx(shares(Scale(650.0, 12, cents=library))[1:], abs=5e-8)


SCALES = st.one_of(
    st.integers(2, 72).map(lambda parts: {"division": parts}),
    st.sampled_from([{"steps": ratios(*JUST["ratios"])}, {"steps": ratios("9/8", "5/4", "4/3", "3/2", "2/1")}]),
    st.sampled_from([{"cents": tuple(MEANTONE["cents"])}, {"cents": (204.0, 386.0, 702.0, 1200.0)}]),
)


@given(how=SCALES)
def test_octaves_are_exact(how: dict[str, object]) -> None:
    """An octave is half of the string, the second a quarter more, to the last bit; all between repeat."""
    of = Scale(650.0, 1, **how)
    octave = len(of.steps) or len(of.cents) or of.division
    found = shares(replace(of, frets=3 * octave))
    assert found[[0, octave, 2 * octave, 3 * octave]].tolist() == [0.0, 0.5, 0.75, 0.875]
    assert found[octave:] == pytest.approx(0.5 + found[:-octave] / 2, abs=1e-15)


def test_a_period_that_is_no_octave() -> None:
    """Thirteen steps to a twelfth (3/1), as one known scale has it: every period leaves a third of the string."""
    found = shares(Scale(650.0, 26, cents=tuple(1200 * math.log2(3) * n / 13 for n in range(1, 14))))
    assert found[[13, 26]] == pytest.approx([2 / 3, 8 / 9], abs=1e-15)


def test_between_two_steps_a_place_lies_in_the_proportion_of_cents() -> None:
    equal = Scale(650.0, 24, cents=tuple(100.0 * n for n in range(1, 13)))
    assert share_at(equal, 7.5) == pytest.approx(1 - 2 ** (-7.5 / 12), abs=1e-15)
    assert share_at(Scale(650.0, 24, steps=ratios("3/2", "2/1")), 0.5) == pytest.approx(1 - (2 / 3) ** 0.5)


def test_frets_that_are_left_out_keep_their_numbers() -> None:
    board = scaled(frets=20, left_out=DIATONIC)
    board = replace(board, face_dots=FaceDots((4, 7, 12), 5.0, 1.5, 1.5), side_dots=SideDots((5, 9), 2.0, 3.0))
    laid, full = lay_out(board), {line.number: line for line in lay_out(PLAIN).slots}
    assert [slot.number for slot in laid.slots] == [2, 4, 5, 7, 9, 10, 11, 12, 14, 16, 17, 19]
    assert all(slot == full[slot.number] for slot in laid.slots)
    assert [row.fret for row in laid.fret_rows] == [slot.number for slot in laid.slots]
    middle = {number: sum(full[each].anchor[0] for each in pair) / 2 for number, pair in
              ((4, (2, 4)), (7, (5, 7)), (12, (11, 12)))}  # fmt: skip
    assert [dot.centre[0] for dot in laid.face_dots] == pytest.approx(list(middle.values()), abs=1e-9)


def test_a_zero_fret_has_a_slot_at_zero_and_wood_behind_it() -> None:
    board = scaled(zero_fret=True, behind_zero_mm=7.0)
    board = replace(board, face_dots=FaceDots((1,), 6.0, 1.5, 1.5))
    laid = lay_out(board)
    first = laid.slots[0]
    assert (first.number, first.name, first.anchor) == (0, "fret 0", (0.0, 0.0))
    assert laid.edges.finished.corners[:, 0].tolist() == [-7.0, 448.0, 448.0, -7.0]
    for one, other in zip(laid.slots[1:], lay_out(PLAIN).slots, strict=True):
        assert (one.name, one.start, one.end) == (other.name, pytest.approx(other.start), pytest.approx(other.end))
    tapered = 44.45 - (56.5 - 44.45) / 448.0 * 7.0
    assert np.ptp(laid.edges.finished.corners[[0, 3], 1]) == pytest.approx(tapered)
    before, after = laid.walls(1)
    assert (before.x_mm(), after.x_mm()) == pytest.approx((0.29, laid.slots[1].anchor[0] - 0.29))


@pytest.mark.parametrize("slanted", [{}, {"treble_mm": 620.0, "square_at": 7.0}])
def test_a_nut_that_stands_forward_brings_all_frets_nearer(slanted: dict[str, float]) -> None:
    from pearlkerf.board.model import Strings

    board = replace(scaled(**slanted), strings=Strings(6, 38.0, 52.0), length_mm=460.0)
    forward = replace(board, scale=replace(board.scale, nut_forward_mm=0.6))
    for one, other in zip(lay_out(board).slots, lay_out(forward).slots, strict=True):
        assert other.line.x_mm() == pytest.approx(one.line.x_mm() - 0.6, abs=1e-9)
    assert lay_out(forward).lines[0].x_mm() == 0.0


def refused(**changes: object) -> Problem:
    with pytest.raises(Refusal) as refusal:
        lay_out(scaled(**changes))
    (problem,) = refusal.value.problems
    return problem


@pytest.mark.parametrize(
    ("changes", "key", "found", "hint"),
    [
        ({"steps": ratios("9/8", "10/9", "2/1")}, "scale.steps.1", "10/9 comes after 9/8", "put them in order"),
        ({"cents": (0.0, 1200.0)}, "scale.cents.0", "0 cents comes after the open string", "leave the open string"),
        ({"left_out": (3, 21)}, "scale.left_out.1", "fret 21 is left out of 20", "leave 21 out of left_out"),
        ({"left_out": (3, 3)}, "scale.left_out.1", "fret 3 is left out twice", "leave the second 3"),
        ({"names": ("do", "re")}, "scale.names", "2 names of 20 frets", "frets that are left out have no name"),
        ({"left_out": tuple(range(1, 21))}, "scale.left_out", "every fret is left out", ""),
        ({"zero_fret": True, "nut_forward_mm": 0.5}, "scale.nut_forward", "strings run over a zero fret", "leave"),
        ({"frets": 2, "names": ("do", "do")}, "scale.names.1", 'two frets are called "do"', 'call one "do+"'),
    ],
)
def test_what_cannot_be_is_refused(changes: dict[str, object], key: str, found: str, hint: str) -> None:
    problem = refused(**changes)
    assert problem.key == key and found in problem.found and hint in problem.hint


def test_a_dot_at_a_fret_that_is_left_out_is_refused() -> None:
    with pytest.raises(Refusal) as refusal:
        lay_out(replace(scaled(left_out=DIATONIC), face_dots=FaceDots((3, 5), 5.0, 1.5, 1.5)))
    (problem,) = refusal.value.problems
    assert problem.key == "face_dots.frets.0" and problem.found == "fret 3 is left out of the scale"
    assert problem.allowed == "2 4-5 7 9-12 14 16-17 19"


def test_steps_too_near_to_each_other_name_the_one_to_leave_out() -> None:
    problem = refused(steps=ratios("3/2", "601/400", "2/1"), frets=3)
    assert problem.key == "fret_slots.width" and "the slots of frets 1 and 2" in problem.found
    assert "leave fret 1 out, in scale.left_out" in problem.hint


def test_measured_places_are_of_the_frets_that_are_there() -> None:
    there = replace(scaled(left_out=DIATONIC))
    places = tuple(round(slot.anchor[0] + 0.1, 3) for slot in lay_out(there).slots)
    measured = replace(there, fret_slots=FretSlots(0.58, 2.0, state="already cut", measured_mm=places))
    laid = lay_out(measured)
    assert [row.off_mm for row in laid.fret_rows] == pytest.approx([0.1] * 12, abs=6e-4)
    with pytest.raises(Refusal) as refusal:
        lay_out(replace(measured, fret_slots=replace(measured.fret_slots, measured_mm=places[:-1])))
    assert refusal.value.problems[0].found == "11 measured places of 12 slots"
