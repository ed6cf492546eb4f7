"""Air while a cutter cuts and at no other time; a spindle on a dial; no more blocks than a controller carries out."""

from dataclasses import replace

import pytest
from small_board import AGAIN, DOT, bore, face, headed, machine, program

from pearlkerf.proof.prove import prove
from pearlkerf.reading.motions import ProgramText

BORE = program(bore())
BLOWN = BORE.replace("G4 P2.0\n", "G4 P2.0\nM8\n").replace("G0 Z5.0\nM5\n", "G0 Z5.0\nM9\nM5\n")
SET = "(set the spindle to 16000 rpm, hands away, the program starts it)\nM0\n"
DIALLED = BORE.replace("S16000 M3\n", f"{SET}{AGAIN}M3\n")


def findings(text: str, on) -> list[tuple[int, str]]:
    whole, _ = headed(text, face(DOT), on)
    programs = [ProgramText("p.nc", whole.encode("ascii"))]
    return [
        (each.rule, each.message) for each in prove(programs, [face(DOT)], on, completeness="whole setups").findings
    ]


def test_air_is_on_for_the_cuts_and_off_for_the_rest() -> None:
    assert findings(BLOWN, machine(air="M8")) == []
    assert findings(BLOWN.replace("M8", "M7"), machine(air="M7")) == []


@pytest.mark.parametrize(
    ("old", "new", "rule", "words"),
    [
        ("M8\n", "", 3, "cuts without air"),
        ("M9\n", "", 9, "leaves the air on"),
        ("M9\nM5\n", "M5\nM9\n", 9, "leaves the air on"),
        ("M8\n", "M7\n", 1, "M7 is none of the codes"),
        ("S16000 M3\nG4 P2.0\nM8\n", "M8\nS16000 M3\nG4 P2.0\n", 1, "air on or off"),
        ("M8\n", "M8\nM9\n", 3, "cuts without air"),
    ],
)
def test_air_that_is_wrong_is_found(old: str, new: str, rule: int, words: str) -> None:
    assert old in BLOWN
    found = findings(BLOWN.replace(old, new, 1), machine(air="M8"))
    assert any(each == rule and words in message for each, message in found), found


def test_air_that_stops_among_the_cuts_is_found() -> None:
    lines = BLOWN.splitlines()
    row = next(number for number, line in enumerate(lines) if line.startswith("G3")) + 2
    off = "\n".join([*lines[:row], "M9", "M8", *lines[row:]]) + "\n"
    assert [rule for rule, message in findings(off, machine(air="M8")) if "among its cuts" in message] == [3]


def test_a_machine_without_air_takes_no_word_of_it() -> None:
    found = findings(BLOWN, machine())
    assert found and all("none of the codes" in message or "does not belong" in message for _, message in found)


def test_a_spindle_on_a_dial_is_set_at_a_stop_and_started_by_the_program() -> None:
    assert findings(DIALLED, machine("dial")) == []


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (f"{SET}{AGAIN}", "", "has no stop (M0)"),
        ("\nM3\n", "\n", "cuts with the spindle off"),
        ("hands away, the program starts it", "start it, let it run up", "write (set the spindle to"),
        ("set the spindle to 16000", "set the spindle to 30000", "rpm"),
        ("set the spindle to 16000", "set the spindle to 9000", "rpm"),
        ("\nM3\n", "\nS16000 M3\n", "the word S is none"),
        ("G4 P2.0\n", "", "waits 0.00 s"),
        ("M5\n", "", "M5"),
    ],
)
def test_a_dial_that_is_told_wrong_or_a_start_that_is_missing_is_found(old: str, new: str, words: str) -> None:
    assert old in DIALLED
    whole, _ = headed(DIALLED, face(DOT), machine("dial"))
    programs = [ProgramText("p.nc", whole.replace(old, new, 1).encode("ascii"))]
    found = prove(programs, [face(DOT)], machine("dial"), completeness="whole setups").findings
    assert any(words in each.message for each in found), found


def test_blocks_come_no_faster_than_the_controller_carries_them_out() -> None:
    """A third of a turn of an orbit of 1.5 mm is 3.14 mm, at 300 mm/min 0.63 s: 1.6 blocks a second."""
    assert findings(BORE, machine(blocks_per_second=2.5)) == []  # what else goes on is shorter
    found = findings(BORE, machine(blocks_per_second=1.5))
    assert [rule for rule, message in found if "blocks come at" in message] == [3]
    assert "the controller carries out 1.5" in next(message for _, message in found if "blocks come" in message)


def test_no_block_is_judged_where_the_profile_says_nothing() -> None:
    assert replace(machine().dialect) == machine().dialect and machine().dialect.blocks_per_second is None
    assert findings(BORE, machine()) == []
