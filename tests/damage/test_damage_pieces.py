"""Damage to pieces and their pockets: the oracle knows what does harm, and nothing of it passes the proof.

Thousands: python tests/damage/run.py --only-pieces --count 1600 --seed 1
"""

import random

import pytest
from piece_cases import piece_cases
from run import proof_says
from thought_pieces import PIECE_DAMAGE, piece_damage

from how_often import EXAMPLES

# what the oracle takes for harm in no seed: claims, and the order of cuts, are the proof's alone, names are nobody's
TOLD_ALONE = {"10 other place", "10 other claim", "10 exchanged blocks", "10 doubled"}
TAPE, TABS = 0, 4


def test_programs_as_they_are_do_no_harm_to_the_oracle():
    for case in piece_cases(TAPE):
        for program, (_, text) in enumerate(case.programs):
            assert case.judge(program, text).kind in ("harmless", "borderline")
            assert proof_says(case, program, text)[0]


@pytest.mark.parametrize("kind", sorted(PIECE_DAMAGE.keys() - {"10 exchanged names"}))
def test_the_oracle_finds_harm_of_every_kind_that_the_proof_finds_too(kind):
    case = piece_cases(TABS if kind in ("10 levels exchanged", "10 lost stretch") else TAPE)[1]
    text, judged = case.programs[0][1], set()
    lines = text.decode("ascii").split("\n")[:-1]
    for seed in range(8):
        damaged = PIECE_DAMAGE[kind](random.Random(seed), lines)
        if damaged is None or damaged == lines or judged & {"harmful", "told"}:
            continue
        written = ("\n".join(damaged) + "\n").encode("ascii")
        judgement = case.judge(0, written)
        judged.add(judgement.kind)
        if judgement.kind == "harmful" or kind in TOLD_ALONE:
            refused = not proof_says(case, 0, written)[0]
            assert refused or judgement.kind != "harmful", judgement.why
            judged.add("told" if refused and kind in TOLD_ALONE else judgement.kind)
    assert judged & {"harmful", "told"}


@pytest.mark.parametrize("seed", range(EXAMPLES or 4))
def test_no_harmful_damage_of_pieces_passes(seed):
    case = piece_cases((TAPE, TABS)[seed % 2])[seed % 3 > 0]
    program = seed % len(case.programs)
    made = piece_damage(case.programs[program][1], f"suite {seed}")
    if made is None:
        return
    judgement = case.judge(program, made[1])
    if judgement.kind in ("harmful", "unreadable"):
        assert not proof_says(case, program, made[1])[0], (made[0], judgement.why)
