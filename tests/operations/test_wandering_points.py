"""Drills in woods that lead a point astray: a helix where a mill fits, else a slow start by the same bit."""

from dataclasses import replace

import pytest

from makers import POCKET_MILL, SLOT_MILL, a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.features import Hole
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.moves import Drill

BRAD = Cutter(5, "brad point", 2.0, 2, 20.0, point_length_mm=0.8)
TWIST = Cutter(6, "twist drill", 2.0, 2, 20.0, point_length_mm=0.6)
SMALL = Cutter(7, "end mill", 1.0, 2, 5.0)


def how(wood, *cutters):
    job = plan_job(clamped(wood=wood, fret_slots=None), a_machine(POCKET_MILL, *cutters))
    (edge,) = (plan for plan in job.workplans if plan.setup.name == "edge")
    return {(each.strategy, stage.cutter.number) for stage in edge.stages for each in stage.operations}, edge, job


@pytest.mark.parametrize("bit", [BRAD, TWIST])
@pytest.mark.parametrize("wood", ["wenge", "oak", "padauk", "mahogany"])
def test_a_mill_that_fits_bores_where_a_point_would_wander(wood, bit):
    assert how(wood, bit, SMALL)[0] == {("bore", 7)}
    assert how(wood, bit)[0] == {("spotted plunge", bit.number)}


@pytest.mark.parametrize("wood", ["ebony", "rosewood", "maple"])
def test_a_wood_that_holds_a_point_is_drilled(wood):
    assert how(wood, BRAD, SMALL)[0] == {("plunge", 5)}


@pytest.mark.parametrize("wood", ["", "plywood"])
def test_an_unknown_wood_is_drilled_after_a_slow_start(wood):
    assert how(wood, BRAD, SMALL)[0] == {("spotted plunge", 5)}


def test_a_flat_mill_of_the_holes_diameter_has_no_point_and_goes_down():
    assert how("wenge", Cutter(8, "end mill", 2.0, 2, 6.0), SMALL)[0] == {("plunge", 8)}


def test_what_was_chosen_says_why():
    (edge,) = how("wenge", BRAD, SMALL)[1].stages
    assert "rather than down with cutter 5, a brad point" in edge.why[0]
    assert "leads a point astray" in edge.why[0]
    (edge,) = how("wenge", BRAD)[1].stages
    assert "its point goes in a little first, slowly" in edge.why[0]


@pytest.mark.parametrize("cycles", [False, True])
@pytest.mark.parametrize("bit", [BRAD, TWIST])
def test_a_spotted_hole_begins_shallow_and_slow_and_is_proved(bit, cycles):
    setting = clamped(wood="wenge", fret_slots=None)
    machine = a_machine(POCKET_MILL, bit, drilling_cycles=cycles)
    job = plan_job(setting, machine)
    (path,) = (path for toolpath in job.toolpaths for path in toolpath.paths if path.cutter is bit)
    figures = cutting_figures(machine, bit, "wenge")
    holes = [feature for feature in setting.setups[-1].features if isinstance(feature, Hole)]
    for cut in path.cuts:
        spot, whole = (move for move in cut.moves if isinstance(move, Drill))
        assert 0.2 <= spot.top_mm - spot.bottom_mm <= bit.point_length_mm
        assert spot.feed_mm_min == pytest.approx(figures.plunge_feed_mm_min / 2)
        assert whole.bottom_mm == pytest.approx(holes[0].floor_mm - bit.point_length_mm)
        assert whole.feed_mm_min == figures.plunge_feed_mm_min
    programs = make_programs(job, "Pearlkerf")
    verdict = prove_programs(job, {program.file: program.text for program in programs})
    assert verdict.proved, [str(finding) for finding in verdict.findings]


def test_a_runout_of_two_chips_is_warned_of():
    def warned(runout):
        mill = replace(SLOT_MILL, runout_mm=runout)
        job = plan_job(clamped(), a_machine(mill, POCKET_MILL, SMALL))
        return [problem for problem in job.warnings if "runs out" in problem.found]

    assert warned(0.005) == []
    (told,) = warned(0.02)
    assert told.key == "fret_slots.width"
    assert "runs out 0.020 mm, its chip is 0.0080 mm thick" in told.found
