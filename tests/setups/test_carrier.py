"""The carrier: its holes, and how a strip longer than the travel is drilled on its own holes."""

from dataclasses import replace

import pytest

from makers import a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_carrier
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.carriers import holes_at_once
from pearlkerf.machine.model import Carrier, Machine, Travel
from pearlkerf.setups.carrier import carrier_setups, most_steps, with_carrier
from pearlkerf.setups.model import Setup
from pearlkerf.setups.words import sentences
from pearlkerf.toolpath.indexing import in_positions

PITCH = 25.0


def shop(travel: float = 200.0, **carrier: float) -> Machine:
    return replace(a_machine(), travel=Travel(travel, 220.0, 70.0), carrier=Carrier(PITCH, **carrier))


def setups(steps: int, travel: float = 200.0) -> tuple[Setup, ...]:
    return carrier_setups(clamped().setups, steps, Carrier(PITCH), travel)


@pytest.mark.parametrize("steps", [0, 1, 3, 9, 30])
def test_holes_a_pitch_apart_each_drilled_once_with_room_for_every_step(steps: int) -> None:
    parts = setups(steps)
    holes = [hole for part in parts for hole in part.features]
    assert [hole.number for hole in holes] == list(range(1, len(holes) + 1))
    assert [hole.centre[0] for hole in holes] == [PITCH * n for n in range(len(holes))]
    into_bed = [hole.number for hole in holes if hole.floor_mm < -6.5]
    assert into_bed[0] == 1 and len(into_bed) == 2
    apart = into_bed[1] - 1
    assert len(holes) == steps + apart + 1  # with the board moved by all steps, both dowels find a hole


@pytest.mark.parametrize(("travel", "steps"), [(100.0, 12), (200.0, 30), (300.0, 9)])
def test_a_long_strip_is_drilled_on_holes_that_are_there_and_clear_of_the_dowels(travel: float, steps: int) -> None:
    parts = setups(steps, travel)
    assert len(parts) > 1
    dowels = [hole.centre[0] for hole in parts[0].features if hole.floor_mm < -6.5]
    there: set[float] = set()
    for part in parts:
        moved = -part.placement.x_mm
        assert moved % PITCH == 0.0
        places = [hole.centre[0] for hole in part.features]
        if there:
            assert all(dowel + moved in there for dowel in dowels)
            assert min(places) - moved > max(dowels)
        assert max(places) - moved - min(0.0, min(places) - moved) <= travel - 6.0
        there |= set(places)


def test_a_strip_that_fits_is_one_setup() -> None:
    (whole,) = setups(0)
    assert whole.name == "carrier" and whole.kind == "carrier"
    assert whole.stock.thickness_mm == 6.0 + 5.0 + 3.0


def test_how_many_holes_fit_counts_their_walls_and_the_approach() -> None:
    assert holes_at_once(50.0, 6.0, 110.0) == 3
    assert holes_at_once(50.0, 6.0, 109.9) == 2


@pytest.mark.parametrize("pitch", [20.0, 45.0, 90.0])
def test_a_carrier_proves_and_serves_every_position_of_its_board(pitch: float) -> None:
    machine = replace(shop(), carrier=Carrier(pitch))
    job = plan_carrier(clamped(), machine)
    programs = make_programs(job, "test")
    verdict = prove_programs(job, {program.file: program.text for program in programs})
    assert verdict.proved, verdict.findings
    holes = sum(len(setup.features) for setup in job.clampings.setups)
    for setup in in_positions(clamped(), machine).setups:
        words = sentences(setup)[0].partition("holes ")[2].split()
        assert 1 <= int(words[0]) < int(words[2]) <= holes


def test_the_programs_drill_through_the_strip_and_into_the_bed() -> None:
    job = plan_carrier(clamped(), shop(thickness_mm=4.0, into_bed_mm=7.0))
    floors = [hole.floor_mm for setup in job.clampings.setups for hole in setup.features]
    assert sorted(set(floors)) == [-11.0, -4.5] and floors.count(-11.0) == 2


def test_a_cutter_that_does_not_reach_the_bed_is_told_by_the_carriers_key() -> None:
    with pytest.raises(Refusal) as refused:
        plan_carrier(clamped(), shop(thickness_mm=12.0))
    (problem,) = refused.value.problems
    assert problem.key == "carrier.dowel" and "a reach of 17 mm or more" in problem.hint


def test_no_carrier_without_its_table_or_without_need() -> None:
    setting = clamped()
    for machine, words in ((replace(shop(), carrier=None), "has no carrier"), (shop(450.0), "no setup of this board")):
        with pytest.raises(Refusal, match=words) as refused:
            with_carrier(setting, in_positions(setting, machine), machine)
        assert refused.value.problems[0].key == "carrier"
    assert most_steps(setting.setups, setting.setups, shop()) is None
