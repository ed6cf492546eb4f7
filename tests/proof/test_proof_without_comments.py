"""Programs for a controller that takes no comments: the job says what the text cannot."""

import pytest

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.model import Cutter

SLOT_MILL, SIDE_DRILL = Cutter(1, "end mill", 0.58, 2, 4.5), Cutter(3, "brad point", 2.0, 2, 20.0, point_length_mm=0.5)
CUTTERS = (SLOT_MILL, Cutter(2, "end mill", 3.0, 2, 12.0), SIDE_DRILL)


def job_and_texts(**dialect):
    job = plan_job(clamped(), a_machine(*CUTTERS, comments=False, **dialect))
    return job, {program.file: program.text for program in make_programs(job, "test")}


@pytest.mark.parametrize("change", ["file", "automatic"])
def test_programs_without_a_comment_are_proved(change):
    job, texts = job_and_texts(cutter_change=change)
    assert not any(b"(" in text for text in texts.values())
    verdict = prove_programs(job, texts)
    assert verdict.findings == ()
    assert len(verdict.notes) == len(texts) and all("people are told nothing" in note for note in verdict.notes)


def test_the_wrong_text_in_a_file_is_found():
    job, texts = job_and_texts(cutter_change="file")
    assert len(texts) == 3
    first, second, third = texts
    exchanged = {first: texts[second], second: texts[first], third: texts[third]}
    assert not prove_programs(job, exchanged).proved


def test_a_program_meant_for_another_setup_is_found_by_its_header():
    job = plan_job(clamped(), a_machine(*CUTTERS))
    texts = {program.file: program.text for program in make_programs(job, "test")}
    first, *_, last = texts
    texts[first], texts[last] = texts[last], texts[first]
    told = [finding.message for finding in prove_programs(job, texts).findings if finding.rule == 1]
    assert any("names the setup edge" in message for message in told)
