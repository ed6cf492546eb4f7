"""What figures measured on a calibration piece say; the figures expected are plane geometry."""

import math

import pytest

from makers import a_machine, clamped
from pearlkerf.setups.calibrated import FIRST, SECOND, Told, asked_figures, say_calibration
from pearlkerf.setups.calibration import Calibration, lay_out_calibration


@pytest.fixture(scope="module")
def piece() -> Calibration:
    cutter = next(each for each in a_machine().cutters if each.kind == "end mill")
    return lay_out_calibration(clamped().layout, cutter, None)


def as_it_should(piece: Calibration) -> dict[str, float]:
    return {each.what: each.figure_mm for each in asked_figures(piece)}


def concern(told: tuple[Told, ...], name: str) -> Told:
    (found,) = [each for each in told if each.concern == name]
    return found


def test_a_true_machine_is_told_so(piece: Calibration) -> None:
    told = say_calibration(piece, as_it_should(piece))
    assert {each.concern for each in told} == {
        "runout", "steps of X", "steps of Y", "steps of Z", "squareness", "backlash of X", "backlash of Y",
        "tram in X", "tram in Y",
    }  # fmt: skip
    assert all(each.right for each in told)


def test_nothing_is_said_of_what_was_not_measured(piece: Calibration) -> None:
    assert say_calibration(piece, {}) == ()
    assert [each.concern for each in say_calibration(piece, {"slots 1 and 2": 3.0})] == ["runout"]


def test_steps_that_are_a_hundredth_too_few(piece: Calibration) -> None:
    """A machine whose X goes 1 % too far: everything along X is 1 % longer, and its steps want 1 / 1.01."""
    should = as_it_should(piece)
    width = piece.cutter.diameter_mm
    measured = {**should, "slot 1 to slot 2": should["slot 1 to slot 2"] * 1.01}
    assert concern(say_calibration(piece, measured), "steps of X").figure == pytest.approx(1 / 1.01)
    square = should["square, near to far"]
    measured = {"slots 1 and 2": width, "square, near to far": (square + width) * 1.02 - width}
    told = concern(say_calibration(piece, measured), "steps of Y")
    assert told.figure == pytest.approx(1 / 1.02) and not told.right


def test_runout_is_what_slots_are_wider_and_drops_out_of_the_square(piece: Calibration) -> None:
    should, runout = as_it_should(piece), 0.04
    wider = piece.cutter.diameter_mm + runout
    measured = {"slots 1 and 2": wider, "square, near to far": should["square, near to far"] - runout}
    told = say_calibration(piece, measured)
    assert concern(told, "runout").figure == pytest.approx(runout) and not concern(told, "runout").right
    assert concern(told, "steps of Y").right
    assert "worn" in concern(say_calibration(piece, {"slots 1 and 2": piece.cutter.diameter_mm - 0.1}), "runout").words


def test_an_axis_that_leans(piece: Calibration) -> None:
    """A square of side s sheared by t per length: its diagonals are s √((1 + t)² + 1) and s √((1 − t)² + 1)."""
    side, lean = as_it_should(piece)["square, left to right"], 0.002
    long, short = (side * math.hypot(1 + sign * lean, 1) for sign in (1, -1))
    told = concern(say_calibration(piece, {FIRST: long, SECOND: short}), "squareness")
    assert told.figure == pytest.approx(100 * lean, rel=1e-4)
    assert "right" in told.words
    assert "left" in concern(say_calibration(piece, {FIRST: short, SECOND: long}), "squareness").words


def test_backlash_is_what_the_last_hole_lies_farther(piece: Calibration) -> None:
    measured = {"hole A to hole B": 20.0, "hole B to hole C": 20.06}
    told = concern(say_calibration(piece, measured), "backlash of X")
    assert told.figure == pytest.approx(0.06) and not told.right


def test_steps_of_z_whatever_it_was_zeroed_on(piece: Calibration) -> None:
    between = as_it_should(piece)["depth 2 less depth 1"]
    told = concern(say_calibration(piece, {"depth 1": 0.9, "depth 2 less depth 1": between * 0.98}), "steps of Z")
    assert told.figure == pytest.approx(1 / 0.98) and not told.right


def test_a_spindle_that_leans(piece: Calibration) -> None:
    """A disc that leans by a slope t cuts lanes w apart with steps of t w between them."""
    step = 0.004 * 0.8 * piece.cutter.diameter_mm
    told = concern(say_calibration(piece, {"lanes along Y": step}), "tram in X")
    assert told.figure == pytest.approx(0.4) and told.right == (step < 0.01)
    assert not concern(say_calibration(piece, {"lanes along X": 0.02}), "tram in Y").right


def test_a_piece_in_inches_has_figures_to_remember() -> None:
    """One inch is 25.4 mm exactly (1959): slots a whole number of quarters apart, sides of eighths, depths of 0.02."""
    cutter = next(each for each in a_machine().cutters if each.kind == "end mill")
    should = as_it_should(lay_out_calibration(clamped(unit="in").layout, cutter, None))
    for what, of in (("slot 1 to slot 2", 0.25), ("square, near to far", 0.125), ("depth 2 less depth 1", 0.02)):
        assert should[what] / 25.4 / of == pytest.approx(round(should[what] / 25.4 / of), abs=1e-9), what
