"""What shortens a long program, and figures that a mill hardly bears."""

from dataclasses import replace

import pytest

from makers import POCKET_MILL, SIDE_MILL, SLOT_MILL, a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import plan_job
from pearlkerf.jobs.waiting import shortened_by
from pearlkerf.operations.plan import plan
from pearlkerf.reading.duration import MachineTime


def on(mill, **changes):
    return plan_job(clamped(**changes), a_machine(mill, POCKET_MILL, SIDE_MILL))


def time_of(seconds):
    return MachineTime(seconds, seconds, seconds, None, 0.0, 0)


def test_the_shortest_cutting_length_that_serves_is_told_where_it_takes_more_a_pass() -> None:
    (slots,) = [stage for stage in on(replace(SLOT_MILL, reach_mm=8.0)).workplans[0].stages if stage.cutter.number == 1]
    (told,) = [text for text in slots.why if "cutting length" in text]
    assert "slots are up to 3.31 mm deep, a cutting length of 3.4 mm serves" in told
    (slots,) = [stage for stage in on(replace(SLOT_MILL, reach_mm=3.4)).workplans[0].stages if stage.cutter.number == 1]
    assert not [text for text in slots.why if "cutting length" in text]


def test_a_missing_reach_names_the_deepest_slot_rounded_up() -> None:
    with pytest.raises(Refusal) as refused:
        plan(clamped().setups[0], a_machine(replace(SLOT_MILL, reach_mm=2.0), POCKET_MILL, SIDE_MILL))
    (problem,) = refused.value.problems
    assert "reach of 3.4 mm or more" in problem.hint
    plan(clamped().setups[0], a_machine(replace(SLOT_MILL, reach_mm=3.4), POCKET_MILL, SIDE_MILL))


def test_what_shortens_is_told_of_programs_over_an_hour() -> None:
    job = on(replace(SLOT_MILL, reach_mm=8.0))
    told = shortened_by(job, "face", 1, time_of(3601.0))
    assert "a saw with a kerf of 0.58 mm" in told[0]
    assert "cutting length of 3.4 mm" in told[1]
    assert "in scrap" in told[2]
    assert shortened_by(job, "face", 1, time_of(3600.0)) == ()


def test_own_figures_beyond_what_the_tables_let_a_mill_bear_are_told() -> None:
    """0.58 mm at 4.5 mm: 0.197 mm a pass and 0.0048 mm a tooth are 202 MPa, twice the pass is nearly twice as much."""
    own = {"speed_rpm": 24000.0, "feed_mm_min": 230.0}
    warned = [
        [each for each in on(replace(SLOT_MILL, bite_mm=bite, **own)).warnings if "its own figures" in each.found]
        for bite in (0.197, 0.394)
    ]
    assert warned[0] == []
    assert len(warned[1]) == 1
