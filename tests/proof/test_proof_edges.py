"""Limits from both sides, and the places that findings name, where a changed line of the proof went unseen."""

import math

import pytest
from reading import read, refusal
from small_board import bore, damaged, machine, program, verdict

from pearlkerf.proof.motions import ARC

GOOD = program(bore())


def line_of(text: str, code: str) -> int:
    """The line, from 1, that begins so."""
    return next(number for number, line in enumerate(text.split("\n"), 1) if line.startswith(code))


@pytest.mark.parametrize(
    ("degrees", "taken"),
    [(0.5, True), (164.9, True), (165.1, False), (194.9, False), (195.1, True), (344.9, True), (345.1, False)],
)
def test_section_3_5_3_1_arcs_by_radius_are_taken_where_the_report_calls_them_safe(degrees, taken):
    """From (10, 0) about the origin."""
    x, y = 10 * math.cos(math.radians(degrees)), 10 * math.sin(math.radians(degrees))
    text = f"G21 G90\nG3 X{x:.9f} Y{y:.9f} R{'-' if degrees > 180 else ''}10.0"
    if taken:
        motions = read(text, (10.0, 0.0, 0.0)).motions
        assert motions.kind.tolist() == [ARC]
        assert math.degrees(motions.sweep[0]) == pytest.approx(degrees, abs=1e-5)
    else:
        assert "3.5.3.1" in refusal(text, (10.0, 0.0, 0.0)).message


@pytest.mark.parametrize(
    ("old", "new"), [("G21\n", ""), ("G17 G90 G94", "G90 G94"), ("G17 G90 G94", "G17 G90 G94 G55")]
)
def test_modes_are_told_at_the_first_motion(old, new):
    text = damaged(GOOD, old, new)
    (finding,) = [each for each in verdict(text).findings if each.rule == 2]
    assert finding.line == line_of(text, "G0 Z5.0")


def test_an_axis_that_is_never_named_is_told_at_the_first_motion():
    text = "\n".join(line for line in GOOD.split("\n") if "X" not in line and "Y" not in line)
    told = [each for each in verdict(text).findings if "never says where" in each.message]
    assert [(each.rule, each.message, each.line) for each in told] == [
        (4, "never says where X and Y is", line_of(text, "G0 Z5.0"))
    ]


def test_an_upright_arc_drives_every_axis_by_its_whole_feed():
    """Z may move 300 mm/min; rule 1 tells of the plane besides."""
    over = "G1 Z0.5\nG1 Z4.0 F100.0\nG1 Y20.0 F300.0\nG19 G3 Y24.0 Z4.0 J2.0 K0.0 F320.0\nG17\n"
    told = [each.message for each in verdict(damaged(GOOD, "G1 Z0.5\n", over, -1)).findings if each.rule == 3]
    assert told == ["drives Z at a feed of 320.0 mm/min (at most 300.0)"]


@pytest.mark.parametrize(("code", "low", "high"), [("G3", 0.0, 20.0), ("G2", -20.0, 11.5)])
def test_an_arcs_whole_swing_counts_in_the_span(code, low, high):
    """From Y -20 to Y 20 about the origin: to one side or to the other."""
    swung = damaged(GOOD, "G0 X10.000", f"G0 X0.0 Y-20.0\n{code} X0.0 Y20.0 I0.0 J20.0 F400.0\nG0 X10.000")
    assert verdict(swung, on=machine(travel=(high - low + 0.01, 60.0, 30.0))).findings == ()
    (finding,) = verdict(swung, on=machine(travel=(high - low - 0.01, 60.0, 30.0))).findings
    assert finding.rule == 4
    assert f"span {high - low:.2f} mm in X" in finding.message


def test_a_backward_range_is_told_by_rule_1():
    (finding,) = verdict(damaged(GOOD, "dots 1)", "dots 1 3-1)")).findings
    assert (finding.rule, finding.line) == (1, 1)
    assert "3-1 runs backward" in finding.message
