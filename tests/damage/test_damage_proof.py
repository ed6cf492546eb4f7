"""Proved programs, damaged: no damage that does harm, or that nobody can read, passes the proof.

A thousand damages of the quicker examples, half by chance, half by thought; tens of thousands over all of them:
tests/damage/run.py.  More here: PEARLKERF_EXAMPLES=2000 python -m pytest tests/damage/test_damage_proof.py
"""

import random

import pytest
from cases import HELD, cases
from run import proof_says
from small_case import case, case_automatic, case_by_hand, case_held, case_told
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
# Harm that the oracle sees and the proof passes: its words, and an edit that shows it. A rule that sees it makes
# the edit's test fail, and its row goes away.
HOLES = {
    "how the board lies": ("small, told", "nut end at the left", "nut end at the right"),
    "people are no longer told the cutter": ("small, told", f"({CUTTER}, feed 400, plunge 100)\n", ""),
    "not told what for": ("small, told", "(set the spindle to 16000 rpm, start it)\n", ""),
    "told something else at a stop": ("small, told", "switch the spindle off", "switch the spindle on"),
    "not told to change the cutter": ("small, told", CHANGE, ""),
    "where nothing stops": ("small, told", "G1 X10.0\n", "G1 X10.0\n(switch the spindle off)\n"),
}  # fmt: skip


def known(judgement) -> bool:
    """Whether this is harm of which it is known that the proof passes it."""
    return judgement.kind in ("harmful", "unreadable") and any(words in judgement.why for words in HOLES)


@pytest.mark.parametrize(("name", "old", "new"), HOLES.values(), ids=HOLES)
@pytest.mark.xfail(strict=True, reason="no rule of the proof sees this kind of harm")
def test_known_harm_does_not_pass(name: str, old: str, new: str) -> None:
    of = SMALL[name]
    text = of.programs[0][1].decode("ascii").replace(old, new, 1).encode("ascii")
    assert not proof_says(of, 0, text)[0]


@pytest.mark.parametrize(("words", "row"), HOLES.items(), ids=HOLES)
def test_known_harm_is_what_the_oracle_says(words: str, row: tuple[str, str, str]) -> None:
    name, old, new = row
    text = SMALL[name].programs[0][1].decode("ascii")
    assert old in text
    judgement = SMALL[name].judge(0, text.replace(old, new, 1).encode("ascii"))
    assert known(judgement) and words in judgement.why, judgement


def assert_no_harm_passes(of, program: int, made: tuple[str, bytes]) -> tuple[str, bool]:
    """Give what the oracle says of a damaged program, and whether the proof passes it; harm it may not pass."""
    judgement = of.judge(program, made[1])
    passed, _ = proof_says(of, program, made[1])
    assert not passed or known(judgement) or judgement.kind in ("harmless", "borderline"), (made, judgement)
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
            passed += assert_no_harm_passes(of, program, made)[1]
    assert EXAMPLES or passed > 10
