"""Clamps in a saw's way: refused before anything is written, by how much; moved off so far, they are proved clear."""

import math
from dataclasses import replace

import pytest

from makers import POCKET_MILL, SIDE_MILL, a_board, a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.in_the_way import too_near_mm, visit
from pearlkerf.proof.prove import prove
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.model import Box

SAW = Cutter(4, "saw", 63.0, 100, 9.0, 3000, 9000, plunges=False, kerf_mm=0.58, flange_mm=32.0, lowest_teeth="away")
ROUTER = a_machine(POCKET_MILL, SIDE_MILL, SAW)
MACHINE = replace(ROUTER, motion=replace(ROUTER.motion, clearance_mm=20.0))
FLAT = replace(a_board().radius, nut_mm=math.inf, end_mm=math.inf)


def setting():
    return clamped(radius=FLAT, face_dots=None, side_dots=None)


def held(box):
    found = setting()
    return replace(found, setups=(replace(found.setups[0], holding=(box,)),))


def slot_of(found, number):
    return next(each for each in found.setups[0].features if isinstance(each, Slot) and each.number == number)


def clamp(off, height, number=7, wide=10.0):
    """A clamp beside a slot, ``off`` the bass edge there, so high above the wood."""
    slot = slot_of(setting(), number)
    x, y = slot.start
    corners = ((x - wide, y - off - 30.0), (x + wide, y - off - 30.0), (x + wide, y - off), (x - wide, y - off))
    return Box("the clamp", corners, height, "holding.0")


def needed(number, height):
    """What design and handbook give: half the chord and 1 mm of run-out, and the blade's reach at that height."""
    depth = -slot_of(setting(), number).floor.crown_z_mm
    reach = math.sqrt((depth + height) * (63.0 - depth - height)) if depth + height < 31.5 else 31.5
    return math.sqrt(depth * (63.0 - depth)) + 1.0 + reach


@pytest.mark.parametrize("height", [0.0, 3.0, 10.0])
def test_a_clamp_is_refused_by_how_much_it_is_too_near(height):
    box = clamp(20.0, height, wide=0.5)
    with pytest.raises(Refusal) as refused:
        plan_job(held(box), MACHINE)
    (problem,) = refused.value.problems
    assert problem.key == "holding.0"
    assert (
        f"the clamp stands in the way of the saw, cutter 4: by {needed(7, height) - 20.0:.1f} mm in fret 7"
        in problem.found
    )


@pytest.mark.parametrize("height", [0.0, 3.0, 10.0])
def test_a_clamp_that_stands_off_as_far_as_asked_is_proved_clear_and_one_nearer_is_not(height):
    far = needed(7, height)
    clear, near = (held(clamp(far + off, height, wide=0.5)) for off in (0.01, -0.3))
    job = plan_job(clear, MACHINE)
    programs = [ProgramText(program.file, program.text) for program in make_programs(job, "test")]
    assert prove(programs, job.clampings.setups, MACHINE).proved
    verdict = prove(programs, near.setups, MACHINE)
    assert {finding.rule for finding in verdict.findings} == {1, 5}  # the head tells of the clamp as it stood
    (met, *_) = (finding for finding in verdict.findings if finding.rule == 5)
    assert "runs the saw's blade" in met.message


def test_a_clamp_between_two_slots_is_met_by_the_arbor_alone():
    slot, after = slot_of(setting(), 1), slot_of(setting(), 2)
    x = (slot.start[0] + after.start[0]) / 2
    corners = ((x - 3, -5.0), (x + 3, -5.0), (x + 3, 5.0), (x - 3, 5.0))
    above = 31.5 - 16.0 - 2.2  # of the flange above the wood, the tip 2.2 mm deep
    setup = setting().setups[0]
    assert too_near_mm(visit(slot, setup, SAW), SAW, Box("a screw", corners, above - 0.01)) == 0.0
    assert too_near_mm(visit(slot, setup, SAW), SAW, Box("a screw", corners, above + 0.1)) > 0.0
    low, high = (replace(setting(), setups=(replace(setup, holding=(Box("a screw", corners, top, "holding.0"),)),))
                 for top in (above - 0.01, above + 0.1))  # fmt: skip
    job = plan_job(low, MACHINE)
    programs = [ProgramText(program.file, program.text) for program in make_programs(job, "test")]
    assert prove(programs, job.clampings.setups, MACHINE).proved
    findings = prove(programs, high.setups, MACHINE).findings
    assert {finding.rule for finding in findings} == {1, 5}  # the head tells of the screw as it stood
    (met, *_) = (finding for finding in findings if finding.rule == 5)
    assert "runs the saw's flange or arbor 0.100 mm into a screw" in met.message
    with pytest.raises(Refusal):
        plan_job(high, MACHINE)


def test_what_lies_below_the_slots_is_in_nobodys_way():
    assert plan_job(held(clamp(1.0, -3.0)), MACHINE)
