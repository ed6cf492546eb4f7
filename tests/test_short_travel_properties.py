"""Random boards on random short machines: positions hold every feature once, and prove, and so do parts of them.

More examples by hand: PEARLKERF_EXAMPLES=500 python -m pytest tests/test_short_travel_properties.py
"""

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from makers import a_machine
from pearlkerf.board.model import Board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_carrier, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs, to_prove
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.carriers import FEWEST_AT_ONCE, holes_at_once
from pearlkerf.machine.model import Carrier, Cutter, Machine, Travel
from pearlkerf.proof.prove import prove
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.set_up import set_up
from random_boards import sound_boards

MILLS = (Cutter(1, "end mill", 0.38, 2, 6.0), Cutter(2, "end mill", 2.0, 2, 14.0), Cutter(3, "end mill", 0.7, 2, 6.0))
DIALECTS = ({}, {"unit": "in", "decimals": 4}, {"arcs": False}, {"cutter_change": "stop"})


@st.composite
def short_machines(draw: st.DrawFn) -> Machine:
    travel, pitch = draw(st.integers(180, 520)), draw(st.none() | st.integers(12, 120))
    assume(pitch is None or holes_at_once(pitch, 6.0, travel) >= FEWEST_AT_ONCE)
    machine = a_machine(*MILLS, **draw(st.sampled_from(DIALECTS)))
    carrier = None if pitch is None else Carrier(float(pitch))
    return replace(machine, travel=Travel(float(travel), 400.0, 90.0), carrier=carrier)


def proves(job: Job) -> list[ProgramText]:
    programs = make_programs(job, "test")
    verdict = prove_programs(job, {program.file: program.text for program in programs})
    assert verdict.findings == (), [str(finding) for finding in verdict.findings]
    return [ProgramText(program.file, program.text) for program in programs]


def features(clampings: Clampings) -> list[str]:
    return sorted(repr(feature) for setup in clampings.setups for feature in setup.features)


@settings(max_examples=EXAMPLES or 6)
@given(sound_boards(), short_machines(), st.data())
def test_positions_and_parts_of_them_prove(board: Board, machine: Machine, data: st.DataObject) -> None:
    try:
        clampings = set_up(lay_out(board))
        job = plan_job(clampings, machine)
    except Refusal as refusal:
        assert all(problem.hint for problem in refusal.problems)
        assert machine.carrier is None or not any("of travel in X" in problem.found for problem in refusal.problems)
        return
    assert features(job.clampings) == features(clampings)
    proves(job)
    names = [feature.name for setup in job.clampings.setups for feature in setup.features]
    part = plan_job(clampings, machine, Choice(data.draw(st.sampled_from(names))))
    assert set(features(part.clampings)) <= set(features(clampings))
    texts = proves(part)
    assert prove(texts, to_prove(clampings, machine).setups, machine).proved


@settings(max_examples=EXAMPLES or 6)
@given(sound_boards(), short_machines())
def test_the_carrier_of_a_board_proves(board: Board, machine: Machine) -> None:
    try:
        job = plan_carrier(set_up(lay_out(board)), machine)
    except Refusal as refusal:
        assert machine.carrier is None or refusal.problems[0].key != "carrier.dowel"
        return
    holes = [hole.number for setup in job.clampings.setups for hole in setup.features]
    assert holes == list(range(1, len(holes) + 1))
    proves(job)
