"""What people are told at stops and in the head: words that they act on are held like the machine's own."""

from dataclasses import replace

import pytest
from small_board import (
    AGAIN,
    OFF,
    SET,
    bore,
    broken,
    by_hand,
    damaged,
    face,
    headed,
    machine,
    pecks,
    program,
)
from test_proof_holding import box

from pearlkerf.proof.prove import prove
from pearlkerf.proof.rules.remarks import is_note
from pearlkerf.reading.motions import ProgramText

GOOD = program(bore())
BY_HAND = by_hand(GOOD)
CHANGE = "(change to cutter 3, brad point 2.000 mm and zero Z again on the)\n(- same spot)\nM0\n"
BY_STOP = program([*bore(), "G0 Z5.0", "M5", CHANGE + "(setup=face cutter=3 cuts=face dots 3)",
                   *AGAIN.splitlines(), "S16000 M3", "G4 P2.0", *pecks()])  # fmt: skip


def proved(text, on):
    """What is held against a text with its head, whole: the damage may be in either."""
    return prove([ProgramText("1.nc", text.encode("ascii"))], [face()], on)


def set_by_hand(text):
    return proved(text, machine("hand"))


def by_stop(text):
    return proved(text, machine(cutter_change="stop"))


WHOLE_BY_HAND, HEAD = headed(BY_HAND, on=machine("hand"))
WHOLE_BY_STOP, _ = headed(BY_STOP, on=machine(cutter_change="stop"))


def test_programs_that_tell_people_right_are_proved():
    assert set_by_hand(WHOLE_BY_HAND).findings == ()
    assert by_stop(WHOLE_BY_STOP).findings == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("to 16000 rpm", "to 18000 rpm", "to 18000 rpm, but line"),
        ("mm, 16000 rpm", "mm, 18000 rpm", "says 18000 rpm for cutter 2"),
        ("to 16000 rpm", "to 16o00 rpm", "to 0 rpm, but line"),
        ("to 16000 rpm", "to 16000r rpm", "not to which speed"),
        ("to 16000 rpm", "to 160.0.0 rpm", "not to which speed"),
        ("to 16000 rpm", "to full speed", "not to which speed"),
        ("(set the spindle to 16000 rpm", "(set the spindle to 1600)\n(- 0 rpm", "to 0 rpm"),
    ],
)
def test_a_hand_set_spindle_is_told_one_speed(old, new, words):
    found = set_by_hand(damaged(WHOLE_BY_HAND, old, new))
    assert 3 in broken(found) and broken(found) <= {1, 3}
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
    found = set_by_hand(WHOLE_BY_HAND.replace("16000 rpm", f"{speed} rpm"))
    assert broken(found) == {3}
    assert words in found.findings[0].message


def test_a_faster_speed_within_the_range_is_as_good_as_by_program():
    assert set_by_hand(WHOLE_BY_HAND.replace("16000 rpm", "18000 rpm")).findings == ()


def test_a_sentence_is_the_same_however_its_lines_are_broken():
    broken_up = WHOLE_BY_HAND.replace("(set the spindle to 16000 rpm,", "(set the spindle to)\n(- 16000 rpm,")
    assert set_by_hand(broken_up).findings == ()
    assert broken(set_by_hand(broken_up.replace("(- 16000", "(- 15000"))) == {3}
    beside = WHOLE_BY_HAND.replace(f"{SET}M0", f"M0 {SET[:-1]}")
    assert set_by_hand(beside).findings == ()
    assert broken(set_by_hand(WHOLE_BY_HAND.replace(f"{SET}M0", "M0 (MSG, set 15000 rpm)"))) == {1, 3}


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (SET, "", "stops, and says nothing; write (set the spindle to"),
        (SET, "(start it up)\n", 'stops, and says "start it up"'),
        (", start it, let it run up", "", "stops, and says"),
        (OFF, "(turns at 90 and stands)\n", "write (switch the spindle off"),
        (OFF, "", "write (switch the spindle off"),
        (OFF, f"{OFF}(take the board out)\n", "take the board out"),
        ("G0 X10.000", "(look)\nM0\nG0 X10.000", 'stops, and says "look"'),
    ],
)
def test_every_stop_says_what_to_do_and_nothing_else(old, new, words):
    found = set_by_hand(damaged(WHOLE_BY_HAND, old, new))
    assert 1 in broken(found)
    assert any(words in finding.message for finding in found.findings), found.findings


def test_a_lost_stop_is_found():
    lost = set_by_hand(WHOLE_BY_HAND.replace(f"{OFF}M0\n", ""))
    assert any("has no stop (M0) that says: switch the spindle off" in each.message for each in lost.findings)


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
        ("(cutter 2, end mill", "(put in, end mill", 'does not describe "cutter 2, end mill 3.000 mm"'),
        ("deepest 5.00 mm", "deepest 1.00 mm", "goes 1.00 mm deep; it goes 1.50 mm"),
    ],
)
def test_people_are_told_of_the_cutter_that_cuts(old, new, words):
    found = by_stop(damaged(WHOLE_BY_STOP, old, new))
    assert broken(found) == {1}
    assert any(words in finding.message for finding in found.findings), found.findings


WHOLE, _ = headed(GOOD)
ON_BENCH = machine()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("edge toward", "edge away from", "the bass side lies away from the operator; it lies toward the operator"),
        ("bass edge", "treble edge", "the treble side lies toward the operator; it lies away from the operator"),
        ("nut end at the left", "nut end at the right", 'does not say "playing face up, nut end at the left, bass'),
        ("(playing face up", "(playing face down", 'says "playing face down, nut end'),
        ("Z0)\n(- on top of the wood", "Z0)\n(- on the bed", 'does not say "X0 at the nut end'),
        ("(zero is set in G54)\n", "", 'does not say "zero is set in G54"'),
        ("(zero is set in G54)\n", "(zero is set in G54)\n" * 2, 'says "zero is set in G54", which does not'),
        ("(corners may be rounded by the controller)\n", "", "corners may be rounded"),
        ("blocks and notes in mm", "blocks and notes in inches", "blocks and notes in inches"),
        ("(board, small)", "(board, hold it by hand)", 'says "board, hold it by hand"'),
        ("(test, face", "(turn it round, face", "turn it round"),
        ("(Guards closed", "(Guards open", "Guards open"),
        ("G21\n", "(take the clamps off)\nG21\n", 'says "take the clamps off"'),
        ("G0 X10.000", "(zero Z again)\nG0 X10.000", 'says "zero Z again"'),
        ("G0 X10.000", "(MSG, change to cutter 3)\nG0 X10.000", "change to cutter 3"),
        ("G0 X10.000", "(switch the spindle off)\nG0 X10.000", "switch the spindle off"),
    ],
)
def test_people_are_told_how_the_board_lies_once_and_nothing_against_it(old, new, words):
    found = proved(damaged(WHOLE, old, new), ON_BENCH)
    assert broken(found) == {1}
    assert any(words in finding.message for finding in found.findings), found.findings


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("(board, small)\n", ""),
        ("(board, small)", "(board, Ada 2)"),
        ("G21\n", "(Ada, Tuesday, second plank)\nG21\n"),
        ("G0 X10.000", "(the soft streak is here)\nG0 X10.000"),
        ("G0 X10.000", "(face dot 1)\nG0 X10.000"),
        ("G0 X10.000 Y5.000", "G0 X10.000 Y5.000 (there)"),
        ("(playing face up, nut", "(Playing Face up,  nut"),
    ],
)
def test_what_nobody_acts_on_may_stand_there(old, new):
    assert proved(damaged(WHOLE, old, new), ON_BENCH).findings == ()


def test_a_right_handed_program_is_found_on_a_left_handed_board():
    left = replace(face(), low_side="treble side")
    found = prove([ProgramText("1.nc", WHOLE.encode("ascii"))], [left], ON_BENCH)
    assert "tells people that the bass side lies toward the operator; it lies away from the operator" in {
        finding.message for finding in found.findings
    }
    assert prove([ProgramText("1.nc", headed(GOOD, left)[0].encode("ascii"))], [left], ON_BENCH).proved


def test_a_clamp_is_told_where_it_stands():
    held = replace(face(), holding=(box((70, 80), (-10, 10), 2.0, "- = bass edge away from the operator"),))
    text, _ = headed(GOOD, held)
    assert prove([ProgramText("1.nc", text.encode("ascii"))], [held], ON_BENCH).findings == ()
    for old, new in (
        ("X 70.0", "X 40.0"),
        ("2.0 mm above", "9.0 mm above"),
        ("bass edge away", "nut at the right"),
    ):
        assert broken(prove([ProgramText("1.nc", damaged(text, old, new).encode("ascii"))], [held], ON_BENCH)) == {1}


def test_a_finding_stands_at_the_line_that_tells_people():
    (finding,) = set_by_hand(damaged(WHOLE_BY_HAND, "to 16000 rpm", "to 18000 rpm")).findings
    assert WHOLE_BY_HAND.split("\n")[finding.line - 1] + "\n" == SET


@pytest.mark.parametrize(
    "words",
    ["set Z0 on the bed", "unclamp", "clamping is not needed", "turned over", "flipped", "Z 5", "board upside down",
     "hold it by hand", "stopping here", "zeroing again", "no guard", "cutter 3", "removed", "loosened", "cutters"],
)  # fmt: skip
def test_words_of_work_are_no_note(words):
    assert not is_note(words)
