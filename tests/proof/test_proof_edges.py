"""Limits from both sides, and the places that findings name, where a changed line of the proof went unseen."""

import math
from dataclasses import replace

import pytest
from reading import read, refusal
from small_board import DOT, bore, broken, damaged, face, machine, pecks, program, verdict

from pearlkerf.reading.motions import ARC

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
    ("old", "new"), [("G21\n", ""), ("G17 G90 G94 G54", "G90 G94 G54"), ("G17 G90 G94 G54", "G17 G90 G94")]
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


def test_where_nothing_is_to_be_cut_every_cut_is_found():
    bare = replace(face(), features=())
    (finding,) = [each for each in verdict(GOOD, setup=bare).findings if each.rule == 6]
    assert finding.message.startswith("cuts wood, but nothing is to be cut here")
    assert finding.line == line_of(GOOD, "G3")


def test_an_opening_counts_only_as_deep_as_its_shallow_end():
    """Ramps side by side go down in the near half of a wide hole, and run level in the far half: that alone is open."""
    wide = replace(DOT, centre=(30.0, 0.0), diameter_mm=30.0)
    lanes = [y / 2 for y in range(-6, 7)]
    ramps = [
        [f"G0 X22.0 Y{y}", "G1 Z0.0 F100.0", f"G1 X30.0 Y{y} Z-0.5 F200.0", "G1 X42.0", "G1 Z0.5", "G0 Z5.0"]
        for y in lanes
    ]
    for x, open_there in ((25.0, False), (37.0, True)):
        text = program([*(line for ramp in ramps for line in ramp), f"G0 X{x} Y0.0", "G0 Z-0.45", "G1 Z0.5"])
        assert (5 not in broken(verdict(text, setup=face(wide)))) == open_there


@pytest.mark.parametrize(("peck", "rules"), [(0.808, set()), (0.813, {8})])
def test_a_bite_may_exceed_its_limit_by_a_hundredth(peck, rules):
    assert broken(verdict(program(pecks(peck=peck), 3, "face dots 3"))) == rules


def test_a_canned_cycle_from_a_height_that_nobody_knows_is_refused():
    finding = refusal("G21 G90 G99\nG0 X1 Y1 Z5\nT1 M6\nG81 X2 R1 Z-1")
    assert (finding.line, "nobody knows" in finding.message) == (4, True)


def test_a_feed_from_nowhere_is_told_by_rule_4_at_its_line():
    lost = damaged(program(pecks(), 3, "face dots 3"), " Y-8.000", "")
    told = [each for each in verdict(lost).findings if each.message.startswith("moves at feed from or to a place")]
    assert [(each.rule, each.line) for each in told] == [(4, line_of(lost, "G1 "))]


def test_what_a_preamble_cancels_is_read():
    """G40, G49 and G80 cancel what this reader refuses to turn on, or cannot know."""
    assert len(read("G21 G90\nG40 G49 G80\nG0 X1\nG0 Z1").motions.kind) == 2
