"""Rule 8 for shank, nut and spindle: each is found where it would come down on the wood, and nowhere else."""

import re
from dataclasses import replace

import numpy as np
import pytest
from small_board import CROWN, CUTTERS, DOT, FRET, RADIUS, bore, broken, face, fall, machine, program, slot, verdict

from pearlkerf.proof import prove
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Placement

# the slot's floor lies 2 mm below the crowned top; at the edge, 20 mm off the crown, that is 2.79 mm below zero
SLOT = program(slot(top="crowned", passes=8), cutter=1, cuts="frets 1")
CROWNED = face(FRET, crown=CROWN)
LOWEST = 2.0 + fall(20.5)


def bench(nut=50.0, **cutter):
    """A machine whose cutters all have these figures, and whose nut is so wide."""
    changed = tuple(replace(each, **cutter) for each in CUTTERS)
    return replace(machine(), cutters=changed, spindle=replace(machine().spindle, nut_diameter_mm=nut))


# what stands highest within 3 mm of a shank's axis, above the tip where that is deepest, 20.8 mm off the crown
BESIDE_SHANK = LOWEST - fall(17.8)


@pytest.mark.parametrize(
    ("figures", "what", "by"),
    [
        ({"reach_mm": 2.1, "stick_out_mm": LOWEST + 0.01, "shank_mm": 0.6}, "", 0.0),
        ({"reach_mm": 2.1, "stick_out_mm": LOWEST - 0.1, "shank_mm": 0.6}, "collet nut", 0.1),
        ({"reach_mm": 2.1, "stick_out_mm": LOWEST - 0.1, "shank_mm": 0.6, "nut": 10.0}, "", 0.0),
        ({"reach_mm": LOWEST - 0.1, "shank_mm": 0.6}, "collet nut", 0.1),  # of which nothing is said
        ({"reach_mm": 2.05, "stick_out_mm": 9.0, "shank_mm": 6.0}, "shank", BESIDE_SHANK - 2.05),
        ({"reach_mm": BESIDE_SHANK + 0.01, "stick_out_mm": 9.0, "shank_mm": 6.0}, "", 0.0),
        ({"reach_mm": 2.05, "stick_out_mm": 9.0}, "shank", LOWEST - fall(20.8 - 6.35 / 2) - 2.05),  # nothing is said
        ({"reach_mm": LOWEST + 0.01}, "", 0.0),
    ],
)
def test_what_comes_down_on_a_crown_is_found_by_how_much(figures, what, by, monkeypatch):
    given = verdict(SLOT, setup=CROWNED, on=bench(**figures))
    assert broken(given) == ({8} if what else set()), given.findings
    for finding in given.findings:
        told = re.findall(r"brings the (.+?) ([\d.]+) mm down into the wood", finding.message)
        assert {part for part, _ in told} == {what}
        assert float(told[-1][1]) == pytest.approx(by, abs=0.02)  # the steps' bound, rounded to a hundredth
    monkeypatch.setattr(prove, "only_cutters_meet_wood", lambda _run: ())
    assert verdict(SLOT, setup=CROWNED, on=bench(**figures)).proved


def test_a_program_edited_to_go_deeper_is_found_at_its_line():
    on = bench(reach_mm=9.0, stick_out_mm=9.0, shank_mm=3.0)
    edited = program(bore()).replace("G1 Z0.5\n", "G1 Z-9.5 F100.0\nG1 Z0.5\n", 1)
    told = [each for each in verdict(edited, setup=face(DOT), on=on).findings if "collet nut" in each.message]
    assert [edited.splitlines()[each.line - 1] for each in told] == ["G1 Z-9.5 F100.0"]
    assert "0.50 mm down into the wood" in told[0].message


@pytest.mark.parametrize(("off", "found"), [(25.1, False), (24.9, True)])
def test_a_nut_below_zero_is_found_only_over_the_wood(off, found):
    """Beside a board 40 mm wide, a nut 10 mm wide; the board as it is, and turned about zero."""
    on = bench(nut=10.0, reach_mm=1.5, stick_out_mm=2.0, shank_mm=1.0)
    for place, beside, dot in (
        (Placement(), (30.0, -off), (10.0, 5.0)),
        (Placement(90.0), (-off, 30.0), (-5.0, 10.0)),
    ):
        dive = [f"G0 X{beside[0]} Y{beside[1]}", "G1 Z-2.5 F100.0", "G1 Z5.0"]
        given = verdict(program([*dive, *bore(centre=dot)]), setup=face(DOT, placement=place), on=on)
        assert any("collet nut 0.50 mm down" in each.message for each in given.findings) == found


@pytest.mark.parametrize("seed", range(4))
def test_what_is_found_is_what_sampled_motion_meets(seed):
    """Against discs at points every 0.02 mm along the way, each over points of the crown every 0.1 mm across."""
    draw = np.random.default_rng(seed)
    motions = read_program(SLOT.encode("ascii")).motions
    known = ~np.isnan(motions.start).any(axis=1)
    share = np.linspace(0, 1, 60)[:, None, None]
    at = (motions.start[known] + (motions.end[known] - motions.start[known]) * share).reshape(-1, 3)
    across = np.arange(-20.0, 20.001, 0.1)
    top = np.sqrt(RADIUS**2 - across**2) - RADIUS
    for _ in range(10):
        sticks, nut = float(draw.uniform(2.1, 3.2)), float(draw.uniform(1.0, 50.0))
        under = np.abs(across[None, :] - at[:, 1:2]) <= nut / 2
        by = float(np.where(under, top[None, :] - at[:, 2:3] - sticks, -np.inf).max())
        given = verdict(SLOT, setup=CROWNED, on=bench(nut=nut, reach_mm=2.1, stick_out_mm=sticks, shank_mm=0.6))
        if abs(by - 0.01) > 0.03:  # nearer than that the steps decide
            assert any("collet nut" in each.message for each in given.findings) == (by > 0.01), (by, sticks, nut)
