"""Saws and rapids at their limits, from both sides, where a changed line of the proof went unseen."""

from dataclasses import replace

import pytest
from small_board import CUTTERS, DOT, DRILLED, FRET, broken, face, machine, pecks, program, verdict
from test_proof_saw import LIFTS, SAW, a_pass, rules, sawn

from pearlkerf.layout.surfaces import Crown, Floor


def told(text: str, setup) -> str:
    """All that the proof says of a program for the saw."""
    on = machine(travel=(100.0, 80.0, 30.0))
    on = replace(on, cutters=(*CUTTERS, SAW))
    findings = verdict(text, setup=setup, on=on, completeness="whole setups").findings
    return "\n".join(map(str, findings))


@pytest.mark.parametrize(("radius", "steep"), [(44.0, True), (45.5, False)])
def test_a_crown_steeper_than_the_bounds_hold_for_is_not_judged(radius, steep):
    """A slope of 1 in 2 at 20 mm from the middle: R sin(atan(1/2)) = 20, R = 44.7."""
    setup = face(replace(FRET, floor=Floor(-2.0, Crown(radius, radius, 60.0))))
    assert ("whose crown is too steep at the edges to be judged" in told(sawn(), setup)) == steep


def dip(*heights):
    """A visit straight down in the middle of the wood to each of the heights, each half a millimetre on."""
    lines = ["G0 X20.0 Y-2.0", "G0 Z0.5"]
    for place, height in enumerate(heights):
        lines += [f"G1 Z{height:.3f} F100.0", f"G1 Y{-1.5 + place * 0.5:.3f} F500.0"]
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def test_what_one_visit_goes_straight_down_adds_up_and_the_next_begins_anew():
    """At most 0.01 mm of wood in a visit; half of it twice, in two visits, and in one with more."""
    rest = [a_pass(lift) for lift in LIFTS]
    assert rules(sawn(dip(-0.006), *rest)) == set()
    assert rules(sawn(dip(-0.006), dip(-0.012), *rest)) == set()
    assert rules(sawn(dip(-0.006, -0.0115), *rest)) == {8}


def test_a_way_back_within_the_wood_that_takes_nothing_is_a_wrong_way():
    there = a_pass(1.4)[:13]
    back = [f"G1 Y{line.split()[1][1:]} Z{line.split()[2][1:]} F500.0" for line in reversed(there[3:-1])]
    out = ["G1 Z0.5 F100.0", "G0 Z5.0"]
    assert rules(sawn([*there, *back, *out], *[a_pass(lift) for lift in LIFTS])) == {8}


@pytest.mark.parametrize("x", [19.988, 20.012])
def test_a_kerf_that_misses_one_wall_leaves_the_slot_and_part_of_it(x):
    assert rules(sawn(*[a_pass(lift, x=x) for lift in LIFTS])) == {6, 7}


@pytest.mark.parametrize(("lift", "rule"), [(-0.011, 6), (0.011, 7)])
def test_the_floor_is_held_to_a_hundredth_on_either_side(lift, rule):
    good = 0.008 if lift > 0 else -0.008
    assert rules(sawn(a_pass(1.4), a_pass(0.7), a_pass(lift, step=0.5))) == {rule}
    assert rules(sawn(a_pass(1.4), a_pass(0.7), a_pass(good, step=0.5))) == set()


DRILL = program(pecks(), 3, "face dots 3")


@pytest.mark.parametrize(("height", "found"), [(-1.95, False), (-2.05, True)])
def test_a_rapid_goes_into_a_drilled_hole_as_far_as_the_lips_went(height, found):
    """The drill's point went 0.4 mm lower than its lips, to Z -2.4; a cutter of 0.5 mm goes down after it."""
    down = program(["G0 X45.0 Y-8.0", f"G0 Z{height}", "G0 Z5.0"], 7, "face dots 3")
    assert (5 in broken(verdict(DRILL, down, setup=face(DRILLED)))) == found


def test_a_ramp_that_ends_here_has_opened_no_hole_here():
    ramp = ["G0 X8.8 Y5.0", "G0 Z0.5", "G1 Z0.1 F100.0", "G1 X11.2 Z-0.3 F100.0", "G0 Z0.5", "G0 Z-0.3", "G0 Z5.0"]
    assert 5 in broken(verdict(program(ramp), setup=face(DOT)))
    back = ["G0 X8.8 Y5.0", "G0 Z0.5", "G1 Z-0.3 F100.0", "G0 Z0.5", "G0 Z-0.3", "G0 Z5.0"]
    assert 5 not in broken(verdict(program(back), setup=face(DOT)))
    start = [
        "G0 X8.8 Y5.0",
        "G0 Z0.5",
        "G1 Z-0.3 F100.0",
        "G1 X11.2 Z-0.5 F100.0",
        "G0 Z0.5",
        "G0 X8.8",
        "G0 Z-0.4",
        "G0 Z5.0",
    ]
    assert 5 in broken(verdict(program(start), setup=face(DOT)))
