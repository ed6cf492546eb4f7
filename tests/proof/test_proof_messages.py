"""What people are told at stops and in the head: words that they act on are held like the machine's own."""

from dataclasses import replace

import pytest
from small_board import AGAIN, bore, broken, damaged, face, machine, pecks, program, verdict

NAMED = "(cutter 2, end mill 3.000 mm, 16000 rpm, feed 400, plunge 100 mm/min,)\n(- 0.800 mm a pass)\n"
GOOD = program(bore())
SET = "(set the spindle to 16000 rpm, start it, let it run up)\n"
BY_HAND = NAMED + program(bore()).replace("S16000 M3\nG4 P2.0\n", f"{SET}M0\n{AGAIN}").replace(
    "M5\n", "(switch it off)\nM0\n"
)
CHANGE = "(change to cutter 3, brad point 2.000 mm and zero Z again on the)\n(- same spot)\nM0\n"
BY_STOP = (
    NAMED
    + "(cutter 3, brad point 2.000 mm, 16000 rpm, feed 400, plunge 100 mm/min)\n"
    + program([*bore(), "G0 Z5.0", "M5", CHANGE + "(setup=face cutter=3 cuts=face dots 3)",
               *AGAIN.splitlines(), "S16000 M3",
               "G4 P2.0", *pecks()])
)  # fmt: skip


def by_hand(text):
    return verdict(text, on=machine("hand"))


def by_stop(text):
    return verdict(text, on=machine(cutter_change="stop"))


def test_programs_that_tell_people_right_are_proved():
    assert by_hand(BY_HAND).findings == ()
    assert by_stop(BY_STOP).findings == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("to 16000 rpm", "to 18000 rpm", "to 18000 rpm, but line 1 says 16000 rpm for cutter 2"),
        ("mm, 16000 rpm", "mm, 18000 rpm", "to 16000 rpm, but line 1 says 18000 rpm for cutter 2"),
        ("to 16000 rpm", "to 16o00 rpm", "to 0 rpm, but line 1"),
        ("to 16000 rpm", "to 16000r rpm", "not to which speed"),
        ("to 16000 rpm", "to 160.0.0 rpm", "not to which speed"),
        ("to 16000 rpm", "to full speed", "not to which speed"),
        ("(set the spindle to 16000 rpm", "(set the spindle to 1600)\n(- 0 rpm", "to 0 rpm"),
    ],
)
def test_a_hand_set_spindle_is_told_one_speed(old, new, words):
    found = by_hand(damaged(BY_HAND, old, new))
    assert 3 in broken(found) and broken(found) <= {3}
    assert any(words in finding.message for finding in found.findings), found.findings


@pytest.mark.parametrize(
    ("speed", "words"),
    [
        ("26000", "at 26000 rpm (at most 24000)"),
        ("1600", "at 1600 rpm (at least 8000)"),
        ("10000", "with the spindle at only 10000 rpm"),
    ],
)
def test_a_told_speed_is_held_as_a_programmed_one(speed, words):
    """Head and stop agree, and both are wrong."""
    found = by_hand(BY_HAND.replace("16000 rpm", f"{speed} rpm"))
    assert broken(found) == {3}
    assert words in found.findings[0].message
    alone = by_hand(BY_HAND.replace(SET, "").replace("16000 rpm", f"{speed} rpm"))  # the head alone says it
    assert broken(alone) == {3} and words in alone.findings[0].message


def test_a_faster_speed_within_the_range_is_as_good_as_by_program():
    assert by_hand(BY_HAND.replace("16000 rpm", "18000 rpm")).findings == ()


def test_a_speed_told_in_two_lines_or_beside_the_stop_is_read():
    broken_up = BY_HAND.replace("(set the spindle to 16000 rpm,", "(set the spindle to)\n(- 16000 rpm,")
    assert by_hand(broken_up).findings == ()
    assert broken(by_hand(broken_up.replace("(- 16000", "(- 15000"))) == {3}
    beside = BY_HAND.replace(f"{SET}M0", "M0 (MSG, set 16000 rpm)")
    assert by_hand(beside).findings == ()
    assert broken(by_hand(beside.replace("(MSG, set 16000", "(MSG, set 15000"))) == {3}


def test_nothing_is_asked_of_what_is_not_said():
    assert by_hand(BY_HAND.replace(SET, "").replace(NAMED, "")).findings == ()
    assert by_hand(BY_HAND.replace(SET, "(start it up)\n")).findings == ()
    assert by_stop(BY_STOP.replace("(change to cutter 3, brad point 2.000 mm and", "(the next one, and")).findings == ()
    assert by_hand(BY_HAND.replace("(switch it off)", "(turns at 90 and stands)")).findings == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("to cutter 3,", "to cutter 1,", "to put in cutter 1, but cuts with cutter 3"),
        ("to cutter 3, brad point 2.000 mm", "to cutter 2", "to put in cutter 2, but cuts with cutter 3"),
        ("to cutter 3, brad point 2", "to cutter 3, brad point 3", "brad point, 3.000 mm; in the profile bench"),
        ("to cutter 3, brad point", "to cutter 3, twist drill", "twist drill, 2.000 mm; in the profile bench"),
        ("to cutter 3, brad point 2.0", "to cutter 3, brad point 2,0", "a figure that cannot be read"),
        ("(cutter 2, end mill 3.000", "(cutter 2, end mill 3.200", "end mill, 3.200 mm; in the profile bench"),
        ("(cutter 2, end mill", "(cutter 4, end mill", "of cutter 4, but cuts with cutter 2, 3"),
    ],
)
def test_people_are_told_of_the_cutter_that_cuts(old, new, words):
    found = by_stop(damaged(BY_STOP, old, new))
    assert broken(found) == {1}
    assert words in found.findings[0].message


LAID = "(playing face up, nut end at the left, bass edge toward the)\n(- operator)\n" + GOOD


def test_a_board_that_is_laid_as_told_is_proved():
    assert verdict(LAID).findings == ()
    assert verdict(LAID.replace("bass edge toward", "treble edge away from")).findings == ()
    assert verdict(LAID.replace("bass edge toward the)", "its end toward the)")).findings == ()
    left = replace(face(), low_side="treble side")
    assert verdict(LAID.replace("toward the)", "away from the)"), setup=left).findings == ()


@pytest.mark.parametrize(
    ("old", "new"), [("edge toward", "edge away from"), ("bass edge", "treble edge"), ("bass edge", "Treble side")]
)
def test_a_board_that_people_would_lay_the_other_way_is_found(old, new):
    (finding,) = verdict(damaged(LAID, old, new)).findings
    assert (finding.rule, finding.line) == (1, 1)
    assert finding.message.startswith("tells people that the ") and "the operator; it lies " in finding.message


def test_a_right_handed_program_is_found_on_a_left_handed_board():
    (finding,) = verdict(LAID, setup=replace(face(), low_side="treble side")).findings
    assert finding.message == (
        "tells people that the bass side lies toward the operator; it lies away from the operator"
    )  # fmt: skip


def test_a_finding_stands_at_the_line_that_tells_people():
    (finding,) = by_hand(damaged(BY_HAND, "to 16000 rpm", "to 18000 rpm")).findings
    assert BY_HAND.split("\n")[finding.line - 1] + "\n" == SET
