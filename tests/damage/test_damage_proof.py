"""Proved programs, damaged: no damage that does harm, or that nobody can read, passes the proof.

A thousand damages of the quicker examples, half by chance, half by thought; tens of thousands over all of them:
tests/damage/run.py.  More here: PEARLKERF_EXAMPLES=2000 python -m pytest tests/damage/test_damage_proof.py
"""

import random
from functools import cache

import pytest
from cases import HELD, cases
from oracle import Case
from run import proof_says
from small_case import as_told, case, case_automatic, case_by_hand, case_held, case_told
from thought_damage import any_damage

from how_often import EXAMPLES

SAWN = ("skiff-tenor-guitar", "workshop-saw")
JOBS = (
    ("gull-octave-mandolin", "benchtop-arcs"),
    ("gull-octave-mandolin", "benchtop-inch-hand"),
    ("gull-octave-mandolin", "workshop-cycles"),
    ("gull-octave-mandolin", "production-automatic"),
    ("gull-octave-mandolin" + HELD, "compact-chords"),
    ("lantern-classical", "workshop-cycles"),
    ("skiff-tenor-guitar", "production-automatic"),
    SAWN,
)
SMALL = {of.name: of for of in (case(), case_by_hand(), case_held(), case_automatic(), case_told())}
CUTTER = "cutter 2, end mill 3.000 mm, 16000 rpm"
CHANGE = "(change to cutter 1, end mill 0.600 mm and zero Z again on the)\n(- same spot)\n"
# words of which the oracle says that they do harm, and an edit that shows each
TALK = {
    "how the board lies": ("nut end at the left", "nut end at the right"),
    "people are no longer told the cutter": (f"({CUTTER}, feed 400, plunge 100)\n", ""),
    "not told what for": ("(set the spindle to 16000 rpm, start it, let it run up)\n", ""),
    "told something else at a stop": ("switch the spindle off", "switch the spindle on"),
    "not told to change the cutter": (CHANGE, ""),
    "where nothing stops": ("G1 X10.0\n", "G1 X10.0\n(switch the spindle off)\n"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "edit"), TALK.items(), ids=TALK)
def test_harmful_words_do_not_pass(words: str, edit: tuple[str, str]) -> None:
    told, (old, new) = SMALL["small, told"], edit
    text = told.programs[0][1].decode("ascii")
    assert old in text
    damaged = text.replace(old, new, 1).encode("ascii")
    assert words in told.judge(0, damaged).why
    assert not proof_says(told, 0, damaged)[0]


@pytest.mark.parametrize("of", SMALL.values(), ids=SMALL)
def test_the_small_programs_are_proved(of) -> None:
    passed, findings = small_proof_says(of, 0, of.programs[0][1])
    assert passed, findings


def small_proof_says(of, program: int, text: bytes):
    """What the proof says of a small case's programs with what they leave unsaid."""
    return proof_says(told(of), program, as_told(of, text))


@cache
def told(of) -> Case:
    """A small case whose programs say all."""
    return Case(of.name, of.setup, of.machine, [(file, as_told(of, text)) for file, text in of.programs])


def assert_no_harm_passes(of, program: int, made: tuple[str, bytes], say=proof_says) -> tuple[str, bool]:
    """Give what the oracle says of a damaged program, and whether the proof passes it; harm it may not pass."""
    judgement = of.judge(program, made[1])
    passed, _ = say(of, program, made[1])
    assert not passed or judgement.kind in ("harmless", "borderline"), (made, judgement)
    return judgement.kind, passed


@pytest.mark.parametrize("job", JOBS, ids="-".join)
def test_no_harm_passes(job: tuple[str, str]) -> None:
    counts = {"harmful": 0, "harmless": 0}
    for seed in range(EXAMPLES or 40):
        draw = random.Random(f"{job} {seed}")
        of = draw.choice(cases(*job))
        program = draw.randrange(len(of.programs))
        made = any_damage(of.programs[program][1], f"{job} {seed}")
        if made is None:
            continue
        kind, passed = assert_no_harm_passes(of, program, made)
        if kind in counts:
            counts[kind] += passed == (kind == "harmless")
    if not EXAMPLES:
        assert counts["harmful"] > 3  # found by both
        assert counts["harmless"] > 3  # passed by both


@pytest.mark.parametrize("of", SMALL.values(), ids=SMALL)
def test_no_harm_passes_on_a_small_board_of_which_every_line_counts(of) -> None:
    passed = 0
    for seed in range(EXAMPLES or 150):
        program = seed % len(of.programs)
        made = any_damage(of.programs[program][1], f"small {seed}")
        if made is not None:
            passed += assert_no_harm_passes(of, program, made, small_proof_says)[1]
    assert EXAMPLES or passed > 10
