"""Rule 7, the claims: proved is what is claimed; what is cut is claimed, and what nobody claims is told."""

from dataclasses import replace

import pytest
from small_board import DOT, DRILLED, FRET, bore, face, machine, pecks, program, rules, slot, verdict

from pearlkerf.proof.prove import Assumed

DOTS, SLOT = program(bore()), program(slot(), 1, "frets 1")
UNCLAIMED = DOTS.replace(" cuts=face dots 1", "")
IDLE = program([], cuts="x").replace(" cuts=x", "")


def claims(*texts, **how):
    return [(each.setup, each.claimed, each.not_claimed) for each in verdict(*texts, **how).claims]


def test_a_verdict_says_what_is_proved_and_what_the_setup_demands_besides() -> None:
    setup = face(DOT, FRET, DRILLED)
    dot, fret, drilled = ("face dots", 1), ("frets", 1), ("face dots", 3)
    assert claims(DOTS, setup=setup) == [("face", (dot,), (fret, drilled))]
    assert claims(DOTS, SLOT, setup=setup) == [("face", (dot, fret), (drilled,))]


@pytest.mark.parametrize("text", [UNCLAIMED, IDLE], ids=["cuts", "cuts nothing"])
def test_a_program_that_claims_nothing_is_not_proved(text: str) -> None:
    found = verdict(text)
    assert not found.proved and any("claims nothing" in finding.message for finding in found.findings)


def test_what_is_cut_is_claimed() -> None:
    both = [*bore(), *bore(centre=(10.0, -5.0))]
    setup = face(DOT, replace(DOT, number=2, name="face dot 2", centre=(10.0, -5.0)))
    (finding,) = verdict(program(both), setup=setup).findings
    assert (finding.rule, finding.feature) == (7, "face dot 2")
    assert finding.message == "cuts face dot 2, which it does not claim"
    assert rules(program(both).replace("dots 1)", "dots 1 2)"), setup=setup) == set()


def test_a_claim_after_the_cuts_is_found() -> None:
    (finding,) = verdict(DOTS.replace("M5\n", "M5\n(setup=face cutter=2 cuts=face dots 1)\n")).findings
    assert finding.rule == 1 and "after which nothing is cut" in finding.message


def test_without_comments_the_caller_demands() -> None:
    bare = DOTS.split("\n", 1)[1]
    known = Assumed("face", (2,), claims=(("face dots", 1),))
    assert rules(bare, assumed=known, on=machine(comments=False)) == set()
    more = Assumed("face", (2,), claims=(("face dots", 1), ("face dots", 3)))
    assert rules(bare, assumed=more, on=machine(comments=False)) == {7}
    assert rules(bare, assumed=Assumed("face", (2,)), on=machine(comments=False)) == {7}
    assert "people are told nothing" in verdict(bare, assumed=known, on=machine(comments=False)).notes[0]
    assert verdict(DOTS).notes == ()


def test_drilled_and_bored_are_told_alike() -> None:
    assert claims(program(pecks(), 3, "face dots 3"), setup=face(DRILLED)) == [("face", (("face dots", 3),), ())]
