"""Pockets as the makers cut them: the proof passes all of them, a simulation that shares nothing with it agrees."""

from dataclasses import replace
from functools import cache

import pytest

from makers import a_machine
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.machine.model import Cutter
from pearlkerf.proof.prove import Assumed, prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText
from pockets import DEPTH_MM, DRAWN, a_pocket, clamped_with, programs_of
from proof.pocket_simulation import simulated

CUTTERS = Cutter(1, "end mill", 1.0, 2, 5.0), Cutter(2, "end mill", 3.0, 2, 12.0)
SPOKEN = {"arcs": {}, "chords": {"arcs": False}, "inches": {"unit": "in", "decimals": 4}}
STEP_MM = 0.003  # heights are rounded up to a step
CUT_MM = 0.01


@cache
def made(name: str, spoken: str, cutters: int = 2) -> dict[str, str]:
    """The programs of a pocket."""
    return programs_of(clamped_with([a_pocket(name)]), *CUTTERS[:cutters], **SPOKEN[spoken])


def held(programs: dict[str, str], setup, **dialect) -> Verdict:
    """The verdict on them."""
    texts = [ProgramText(file, text.encode()) for file, text in programs.items()]
    called = Assumed(titles=tuple({title(text) for text in programs.values()}))
    return prove(texts, [setup], a_machine(*CUTTERS, **dialect), called, "whole setups")


def title(text: str) -> str:
    """What a program's first line calls the board."""
    return text.splitlines()[0].strip("()").partition(", ")[0]


@pytest.mark.parametrize("spoken", SPOKEN)
@pytest.mark.parametrize("name", DRAWN)
def test_pockets_are_proved_as_they_are_made(name, spoken):
    given = held(made(name, spoken), clamped_with([a_pocket(name)]), **SPOKEN[spoken])
    assert given.proved, given.findings


@pytest.mark.parametrize(("name", "spoken"), [*zip(DRAWN, [*SPOKEN] * 4, strict=False)])
def test_the_simulated_pocket_is_the_fitted_region_both_ways(name, spoken):
    texts, radii = list(made(name, spoken).values()), {each.number: each.radius_mm for each in CUTTERS}
    found = simulated(texts, a_pocket(name).region, radii, STEP_MM - DEPTH_MM)
    assert found.left == 0 and found.over <= CUT_MM and found.lowest >= -DEPTH_MM - STEP_MM


@pytest.mark.parametrize("name", ["cat's eye", "vine"])
def test_floors_that_follow_the_face_are_proved_on_a_radiused_board(name):
    own = replace(a_pocket(name), floor=Floor(-DEPTH_MM, Crown(254.0, 254.0, 448.0)))
    setup = clamped_with([own], radiused=True)
    assert held(programs_of(setup, *CUTTERS), setup).proved
    assert not held(programs_of(setup, *CUTTERS), clamped_with([a_pocket(name)], radiused=True)).proved
