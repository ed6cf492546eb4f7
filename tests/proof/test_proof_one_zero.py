"""Rule 4 for boards cut in positions: one zero serves all that counts from it, and the tip can reach it."""

from dataclasses import replace

from small_board import DOT, DRILLED, bore, broken, face, machine, pecks, program, verdict

from pearlkerf.setups.model import Placement, Position

TRAVEL = (30.0, 60.0, 30.0)
FIRST, SECOND = program(bore(), setup="face-1"), program(pecks((15.0, -8.0)), 3, "face dots 3", "face-2")


def position(number, feature, moved, zero):
    return replace(face(feature, placement=Placement(x_mm=-moved)), position=Position(number, 2), zero=zero)


def told(*texts, zero, second_moved=30.0, travel=TRAVEL):
    setups = [position(1, DOT, 0.0, zero), position(2, DRILLED, second_moved, zero)]
    found = verdict(*texts, setup=setups, on=machine(travel=travel))
    return broken(found), [finding.message for finding in found.findings if finding.rule == 4]


def test_positions_with_one_zero_in_one_travel_are_proved():
    assert told(FIRST, SECOND, zero="face") == (set(), [])


def test_positions_that_keep_one_zero_must_fit_one_travel_together():
    far = program(pecks((45.0, -8.0)), 3, "face dots 3", "face-2")  # the board was not moved
    broken_rules, messages = told(FIRST, far, zero="face", second_moved=0.0, travel=(40.0, 60.0, 30.0))
    assert broken_rules == {4}
    assert messages == [
        "the programs with the zero of face, and that zero, span 45.00 mm in X, from 0.00 to 45.00; "
        "the machine travels 40.00 mm"
    ]
    assert told(FIRST, far, zero="", second_moved=0.0, travel=(40.0, 60.0, 30.0)) == (set(), [])


def test_the_tip_must_reach_the_zero():
    assert told(FIRST, zero="face", travel=(11.0, 60.0, 30.0))[1] == [
        "the programs with the zero of face, and that zero, span 11.50 mm in X, from 0.00 to 11.50; "
        "the machine travels 11.00 mm"
    ]
    assert told(FIRST, zero="face", travel=(11.51, 60.0, 30.0)) == (set(), [])
    assert told(FIRST, zero="face", travel=(30.0, 6.0, 30.0))[0] == {4}  # Y too: 3.5 to 6.5 mm from zero
    assert told(FIRST, zero="", travel=(11.0, 6.0, 30.0)) == (set(), [])
    left = program(pecks((-15.0, -8.0)), 3, "face dots 3", "face-2")
    assert told(left, zero="face", second_moved=60.0, travel=(14.0, 60.0, 30.0))[0] == {4}
    assert told(left, zero="face", second_moved=60.0, travel=(15.0, 60.0, 30.0)) == (set(), [])
