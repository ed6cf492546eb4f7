"""Proved programs, damaged: no damage that does harm, or that nobody can read, passes the proof.

A few hundred damages of the quicker examples; tens of thousands over all of them: tests/damage/run.py.
"""

import random

import pytest
from cases import cases
from generator import damage
from run import proof_says
from small_case import case, case_by_hand

SAWN = ("skiff-tenor-guitar", "workshop-saw")
JOBS = (
    ("gull-octave-mandolin", "benchtop-arcs"),
    ("gull-octave-mandolin", "benchtop-inch-hand"),
    ("gull-octave-mandolin", "workshop-cycles"),
    ("gull-octave-mandolin", "production-automatic"),
    ("lantern-classical", "workshop-cycles"),
    ("skiff-tenor-guitar", "production-automatic"),
    SAWN,
)


@pytest.mark.parametrize("job", JOBS, ids="-".join)
def test_no_harm_passes(job: tuple[str, str]) -> None:
    counts = {"harmful": 0, "harmless": 0}
    for seed in range(60):
        draw = random.Random(f"{job} {seed}")
        of = draw.choice(cases(*job))
        program = draw.randrange(len(of.programs))
        made = damage(of.programs[program][1], f"{job} {seed}")
        if made is None:
            continue
        judgement = of.judge(program, made[1])
        passed, _ = proof_says(of, program, made[1])
        assert not passed or judgement.kind in ("harmless", "borderline"), (seed, made[0], judgement)
        if judgement.kind in counts:
            counts[judgement.kind] += passed == (judgement.kind == "harmless")
    assert counts["harmful"] > 3  # found by both
    assert counts["harmless"] > 3  # passed by both


@pytest.mark.parametrize("of", [case(), case_by_hand()], ids=["by program", "by hand"])
def test_no_harm_passes_on_a_small_board_of_which_every_line_counts(of) -> None:
    passed = 0
    for seed in range(500):
        program = seed % len(of.programs)
        made = damage(of.programs[program][1], f"small {seed}")
        if made is None:
            continue
        judgement = of.judge(program, made[1])
        proved, _ = proof_says(of, program, made[1])
        assert not proved or judgement.kind in ("harmless", "borderline"), (seed, made, judgement)
        passed += proved
    assert passed > 20
