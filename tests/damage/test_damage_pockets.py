"""Damage to pockets: the oracle knows what does harm in them, and nothing of it passes the proof.

Thousands: python tests/damage/run.py --only-inlays --count 5000 --seed 1
"""

import random

import pytest
from cases import INLAID, cases
from run import proof_says
from thought_damage import any_damage
from thought_pockets import POCKET_DAMAGE, pocket_damage

from how_often import EXAMPLES

JOBS = (("lantern-classical" + INLAID, "benchtop-arcs"), ("heron-parlour-guitar" + INLAID, "benchtop-inch-hand"))


def face_case(job: int):
    """The face setup of an inlaid example, and which of its programs cut inlays."""
    (case,) = [each for each in cases(*JOBS[job]) if any(feature.kind == "pocket" for feature in each.setup.features)]
    return case, [n for n, (_, text) in enumerate(case.programs) if b"inlays " in text]


@pytest.mark.parametrize("job", range(len(JOBS)))
def test_programs_as_they_are_do_no_harm_to_the_oracle(job):
    case, programs = face_case(job)
    assert programs
    for program in programs:
        assert case.judge(program, case.programs[program][1], afresh=not job).kind == "harmless"
        assert proof_says(case, program, case.programs[program][1])[0]


@pytest.mark.parametrize("kind", POCKET_DAMAGE)
def test_the_oracle_finds_harm_of_every_kind_that_the_proof_finds_too(kind):
    case, programs = face_case(0)
    program, text = programs[-1], case.programs[programs[-1]][1]
    lines, judged = text.decode("ascii").split("\n")[:-1], set()
    for seed in range(40):
        if "harmful" in judged and seed > 8:
            break
        damaged = POCKET_DAMAGE[kind](random.Random(seed), lines)
        if damaged is None or damaged == lines:
            continue
        written = ("\n".join(damaged) + "\n").encode("ascii")
        judgement = case.judge(program, written)
        judged.add(judgement.kind)
        if judgement.kind == "harmful":
            assert not proof_says(case, program, written)[0], judgement.why
    assert "harmful" in judged


@pytest.mark.parametrize("seed", range(EXAMPLES or 24))
def test_no_harmful_damage_of_inlays_passes(seed):
    case, programs = face_case(seed % 2)
    program = programs[seed % len(programs)]
    made = (pocket_damage if seed % 3 else any_damage)(case.programs[program][1], f"inlays {seed}")
    if made is None:
        return
    judgement = case.judge(program, made[1])
    if judgement.kind in ("harmful", "unreadable"):
        assert not proof_says(case, program, made[1])[0], (made[0], judgement.why)
