"""The oracle against damages whose harm is plain to see, on a small board made by hand."""

import re
from dataclasses import replace

import numpy as np
import pytest
from cases import cases
from generator import KINDS, damage
from oracle import Case
from plain_demand import in_outline
from plain_reader import read_plainly
from plain_words import Unreadable
from small_case import AGAIN, DOT_PROGRAM, SETUP, case, case_by_hand, machine
from what_is_harm import Harm

from pearlkerf.layout.surfaces import Stock

SMALL, BY_HAND = case(), case_by_hand()
DOT, SLOT = 0, 1


def judged(program: int, old: str, new: str, of=SMALL, times: int = 1):
    text = of.programs[program][1]
    assert old.encode() in text
    return of.judge(program, text.replace(old.encode(), new.encode(), times))


@pytest.mark.parametrize("of", [SMALL, BY_HAND])
@pytest.mark.parametrize("program", [DOT, SLOT])
def test_whole_programs_are_harmless_move_by_move(of, program: int) -> None:
    assert of.judge(program, of.programs[program][1], afresh=True).kind == "harmless"


@pytest.mark.parametrize(
    ("program", "old", "new", "why"),
    [
        (DOT, "Y5.0", "Y5.03", "outside a feature or too deep"),
        (DOT, "X11.5 Z-1.5", "X11.5 Z-1.58", "outside a feature or too deep"),
        (SLOT, "G1 Z-1.0", "G1 Z-1.03", "outside a feature or too deep"),
        (SLOT, "X20.0 Y-20.8", "X20.03 Y-20.8", "outside a feature or too deep"),
        (SLOT, "G1 Y20.8 F400.0", "G1 X25.0 F400.0", "fret 1 is not cut"),  # goes beside the wood
        (DOT, "G3 X8.5 I-1.5\n", "", "outside a feature or too deep"),  # the next arc turns about elsewhere
        (DOT, "G3 X8.5 I-1.5\nG3 X11.5 I1.5\n", "", "face dot 3 is left uncut"),  # no level turn
        (SLOT, "G1 Z-1.0", "G1 Z-0.97", "fret 1 is left uncut"),
        (SLOT, "G1 Y20.8 F400.0", "G1 Y19.5 F400.0", "fret 1 is left uncut"),
        (SLOT, "G1 Y-20.8 F400.0", "G1 Y-19.6 F400.0", "fret 1 is left uncut"),
        (SLOT, "G1 Z-0.5", "G1 Z-1.0", "too deep a bite"),
        (DOT, "G1 Z0.1 F100.0", "G1 Z-1.0 F100.0", "too deep a bite"),
        (DOT, "Z-0.3", "Z0.3", "too deep a bite"),
        (SLOT, "G1 Y20.8", "G0 Y20.8", "a rapid through wood"),
        (DOT, "G0 Z0.5", "G0 Z-0.5", "a rapid through wood"),
        (DOT, "G0 Z0.5\nG1 Z0.1", "G0 Z-0.1\nG1 Z0.1", "a rapid through wood"),
        (DOT, "G1 Z0.5 F300.0\nG0 Z5.0", "G0 X20.0 Y5.0 Z0.5\nG0 Z5.0", "outside a feature"),
        (DOT, " M3", "", "spindle off"),
        (DOT, " M3", " M4", "backward"),
        (DOT, "S16000 ", "", "spindle"),
        (DOT, "S16000", "S1600", "too slow a spindle"),
        (DOT, "S16000", "S26000", "too fast a spindle"),
        (DOT, "S16000", "S9000", "too thick a chip"),
        (DOT, "G4 P2.0\n", "", "before the spindle is at speed"),
        (DOT, "F400.0", "F4000.0", "too high a feed in wood"),
        (DOT, "G1 Z0.1 F100.0\nG1 X11.5 F400.0", "G1 Z0.1\nG1 X11.5", "without a feed"),
        (DOT, "G1 Z0.1 F100.0", "G1 Z-0.5 F390.0", "plunge feed"),
        (DOT, "M5\n", "", "spindle on"),
        (DOT, "G1 Z0.5 F300.0\nG0 Z5.0\n", "", "cutter down"),
        (DOT, "G1 X10.0\n", "G1 X10.0\nG4 P1.0\n", "stands in the wood"),
        (DOT, "G1 X10.0\n", "G1 X10.0\nM0\n", "nobody knows the distance"),
        (SLOT, "G0 Z5.0\nM5", "G0 Z5.0\nX121.0\nM5", "beyond the travel"),
        (SLOT, "G0 Z5.0\nM5", "G0 Z31.5\nM5", "beyond the travel"),
        (DOT, "G0 Z5.0\nS", "S", "at a height that nobody knows"),
        (DOT, "G0 Z5.0\nS", "G0 X3.0 Y3.0\nG0 Z5.0\nS", "at a height that nobody knows"),
        (DOT, "G21", "G20", ""),
        (DOT, "G54", "G55", "zero lies"),
        (DOT, "setup=face", "setup=edge", "another setup"),
        (DOT, "cutter=2", "cutter=1", "too deep a bite"),
        (SLOT, "cutter=1", "cutter=2", "outside a feature"),
        (DOT, "cutter=2", "cutter=7", "has not"),
    ],
)  # fmt: skip
def test_harm_is_seen(program: int, old: str, new: str, why: str) -> None:
    judgement = judged(program, old, new)
    assert judgement.kind == "harmful", judgement
    assert why in judgement.why


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ("M0\n", "", "spindle off"),
        ("M0\n", "M1\n", "spindle off"),  # stops only where a switch is set
        ("M0\nM2", "M2", "spindle on"),
        ("M0\nM2", "M1\nM2", "spindle on"),
    ],
)
def test_a_spindle_by_hand_needs_its_stops(old: str, new: str, why: str) -> None:
    judgement = judged(DOT, old, new, BY_HAND)
    assert judgement.kind == "harmful"
    assert why in judgement.why


@pytest.mark.parametrize(
    ("program", "old", "new"),
    [
        (DOT, "Z-1.5", "Z-1.53"),  # the dot's floor may lie so deep
        (DOT, "Z-0.3", "Z-0.35"),
        (DOT, "F400.0", "F300.0"),
        (DOT, "G1 Z0.1 F100.0", "G0 Z0.1 F100.0"),  # in the air
        (DOT, "G1 Z0.5 F300.0", "G0 Z0.5"),
        (DOT, "G0 Z0.5", "G1 Z0.5 F100.0"),
        (SLOT, "Y20.8", "Y20.4"),
        (SLOT, "G1 Y20.8 F400.0\n", "G1 Y20.8 F400.0\nG1 Y20.8 F400.0\n"),
        (SLOT, "M2", "M30"),
        # a comment after a lift: the same motion, made by the cutter that is in the spindle all along
        (
            DOT,
            "(setup=face cutter=2 cuts=face dots 3)\nG21\nG17 G90 G94 G54\nG0 Z5.0\n",
            "G21\nG17 G90 G94 G54\nG0 Z5.0\n(setup=face cutter=2 cuts=face dots 3)\n",
        ),
    ],
)
def test_what_does_no_harm_is_harmless(program: int, old: str, new: str) -> None:
    assert judged(program, old, new).kind == "harmless"


def test_between_safe_and_harmful_lies_the_borderline() -> None:
    assert judged(DOT, "Y5.0", "Y5.015").kind == "borderline"
    assert judged(SLOT, "Z-1.0", "Z-1.015").kind == "borderline"
    assert judged(SLOT, "X20.0", "X20.015").kind == "borderline"
    assert judged(SLOT, "Z-1.0", "Z-1.004").kind == "harmless"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G1 Z0.1", "G1 Z0..1"), ("G1 Z0.1", "G1 Zo.1"), ("G1 Z0.1", "G1 Z0.1 Z0.2"), ("G1 Z0.1", "G7 Z0.1"),
        ("G1 Z0.1 F100.0\n", "G1 Z0.1 F100.0 "), ("I-1.5", "I-1.4"), ("X11.5 I1.5", "X11.5"), ("(setup", "setup"),
        ("dots 3)", "dots 3"), ("G21", "G21 "+"G4 P0.0 " * 9), ("Z0.5", "Z0.5\x01"),
        ("Z0.5", "Z0 .5"), ("Z-0.3", "Z- 0.3"), ("G0", "G0.00001"), ("G17", "G 1 7"), ("G54\n", "G54\r"),
        ("G54", "G54 M98"),
    ],
)  # fmt: skip
def test_what_a_strict_controller_stops_at_is_unreadable(old: str, new: str) -> None:
    assert judged(DOT, old, new).kind == "unreadable"


def test_reading_the_rest_from_a_like_program_changes_nothing() -> None:
    compared = 0
    for of in (
        SMALL,
        cases("gull-octave-mandolin", "workshop-cycles")[0],
        *cases("skiff-tenor-guitar", "benchtop-arcs"),
    ):
        text, dialect = of.programs[0][1], of.machine.dialect
        for seed in range(120):
            made = damage(text, f"reading {seed}")
            if made is None:
                continue
            quick, slow = reading(made[1], dialect, of.readings[0]), reading(made[1], dialect, None)
            assert (quick is None) == (slow is None)
            if slow is not None:
                assert np.array_equal(quick.table, slow.table, equal_nan=True)
                assert (quick.happenings, quick.setups, quick.claims) == (slow.happenings, slow.setups, slow.claims)
                assert (quick.end, quick.stated, quick.oddities) == (slow.end, slow.stated, slow.oddities)
                compared += 1
    assert compared > 100


def reading(text: bytes, dialect, like):
    try:
        return read_plainly(text, dialect, like).track
    except (Unreadable, Harm):
        return None


@pytest.mark.parametrize("program", [DOT, SLOT])
def test_keeping_good_moves_judges_as_looking_at_all_of_them(program: int) -> None:
    for seed in range(150):
        made = damage(SMALL.programs[program][1], f"afresh {seed}")
        if made is not None:
            assert SMALL.judge(program, made[1]).kind == SMALL.judge(program, made[1], afresh=True).kind, made


@pytest.mark.parametrize(
    "job", [("gull-octave-mandolin", "workshop-cycles"), ("harbour-steel-string", "production-automatic")]
)
def test_proved_examples_are_harmless_move_by_move(job: tuple[str, str]) -> None:
    of = cases(*job)[-1]
    assert {of.judge(n, text, afresh=True).kind for n, (_, text) in enumerate(of.programs)} == {"harmless"}


def test_damage_is_the_same_for_the_same_seed_and_every_kind_happens() -> None:
    text = SMALL.programs[DOT][1]
    made = [damage(text, str(seed)) for seed in range(800)]
    assert made == [damage(text, str(seed)) for seed in range(800)]
    assert {each[0] for each in made if each} == set(KINDS)
    assert all(each[1] != text for each in made if each)


@pytest.mark.parametrize(
    ("old", "new", "kind"),
    [
        ("to 16000 rpm", "to 1600 rpm", "harmful"),
        ("to 16000 rpm", "to 36000 rpm", "harmful"),
        ("to 16000 rpm", "to 15000 rpm", "borderline"),
        ("(set the", "(sxt the", "borderline"),
    ],
)
def test_people_do_what_a_stop_tells_them(old: str, new: str, kind: str) -> None:
    said = DOT_PROGRAM.replace("S16000 M3\nG4 P2.0", f"(set the spindle to 16000 rpm)\nM0{AGAIN}").replace("M5", "M0")
    of = Case("talks", SETUP, machine("hand"), [("dot", said.encode()), BY_HAND.programs[SLOT]])
    assert of.judge(DOT, said.encode(), afresh=True).kind == "harmless"
    assert judged(DOT, old, new, of).kind == kind


def test_another_cutter_at_a_stop_is_harm() -> None:
    of = cases("skiff-tenor-guitar", "workshop-cycles")[0]
    wrong = re.sub(rb"change to cutter \d+", b"change to cutter 9", of.programs[0][1], count=1)
    assert of.judge(0, wrong).why == "people are told another cutter"


def test_a_line_doubled_in_a_head_longer_than_a_snapshot_is_harmless() -> None:
    case = next(each for each in cases("heron-parlour-guitar", "compact-chords") if each.setup.name == "face")
    for program, (_, text) in enumerate(case.programs):
        lines = text.split(b"\n")
        for place in (0, 6, 11):
            assert case.judge(program, b"\n".join([*lines[: place + 1], *lines[place:]])).kind == "harmless"


def test_wood_with_a_step_is_told_like_wood_without() -> None:
    """A step from 10 to 20 mm at X 30: half the width beside it counts on its own side alone."""
    stepped = np.array([[0.0, -10.0], [30.0, -10.0], [30.0, -20.0], [60.0, -20.0], [60.0, 20.0], [0.0, 20.0]])
    setup = replace(SETUP, stock=Stock(stepped, 6.0))
    at = np.array([[15.0, -9.9], [15.0, -10.1], [45.0, -19.9], [29.9, -15.0], [30.1, -15.0], [15.0, 19.0]])
    assert in_outline(setup, at).tolist() == [True, False, True, False, True, True]
    assert in_outline(setup, at, 0.5).tolist() == [False, False, False, False, False, True]
    assert in_outline(setup, at, -0.5).tolist() == [True, True, True, True, True, True]
