"""The place where the tip waits while hands are near it: written before stops, and within the travel."""

from dataclasses import replace

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.toolpath.span import beyond_travel


def with_park(x_mm: float, y_mm: float):
    machine = a_machine(cutter_change="stop")
    return replace(machine, motion=replace(machine.motion, park_mm=(x_mm, y_mm)))


def test_the_tip_waits_there_before_the_stop_and_all_is_proved() -> None:
    job = plan_job(clamped(side_dots=None), with_park(-20.0, 60.0))
    texts = {program.file: program.text for program in make_programs(job, "test")}
    (text,) = texts.values()
    before = text.decode("ascii").partition("\nM0\n")[0].split("\n")
    assert "G0 X-20.0 Y60.0" in before[-3:]
    assert prove_programs(job, texts).findings == ()


def test_a_stop_elsewhere_is_refused_by_one_rule_alone() -> None:
    job = plan_job(clamped(side_dots=None), with_park(-20.0, 60.0))
    (program,) = make_programs(job, "test")
    for old, new in ((b"G0 X-20.0 Y60.0\n", b""), (b"G0 X-20.0 Y60.0", b"G0 X-20.0 Y59.9")):
        (finding,) = prove_programs(job, {program.file: program.text.replace(old, new, 1)}).findings
        assert (finding.rule, "not at the park place" in finding.message) == (9, True)


def test_a_place_beyond_the_travel_is_refused_before_anything_is_written() -> None:
    job = plan_job(clamped(side_dots=None), with_park(-20.0, 60.0))
    far = replace(job.toolpaths[0], machine=with_park(-20.0, 400.0))
    (problem,) = beyond_travel(far)
    assert "of travel in Y" in problem.found
