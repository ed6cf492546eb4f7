"""Slots through inlays: left at the first visit, a part of the job of their own once the pieces are glued in."""

import pytest

from pearlkerf import way
from pearlkerf.errors import Refusal
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.words import AFTER_GLUING

BOARD = """\
unit = "mm"
[scale]
length = 632
frets = 12
[board]
wood = "maple"
length = 400
nut_width = 44
end_width = 54
thickness = 6.5
[fret_slots]
width = 0.58
depth = 2
[[inlay]]
shape = "oval"
on_frets = [5, 9]
length = 16
width = 9
material = "mother-of-pearl"
slots = "after"
[[inlay_blank]]
material = "mother-of-pearl"
thickness = 1.5
"""


def job_of(*only: str, profile: str = "benchtop-arcs", board: str = BOARD):
    return way.plan(way.look(board), read_machine(profile), way.Order(Choice(only=only)))


def cut(job) -> set[tuple[str, int]]:
    return {(feature.group, feature.number) for setup in job.clampings.setups for feature in setup.features}


def proved(job):
    made = way.make(job, b"", b"")
    verdict = prove_programs(job, {program.file: program.text for program in made.programs})
    assert verdict.findings == () and verdict.proved
    return [program.text.decode().replace(")\n(- ", " ") for program in made.programs]


def test_the_first_visit_leaves_the_slots_that_cross_and_says_so():
    job = job_of()
    assert cut(job) == {("inlays", 1), ("inlays", 2), *(("frets", n) for n in range(1, 13) if n not in (5, 9))}
    (told,) = (each for each in job.warnings if each.key == "inlay.0.slots")
    assert told.found.startswith("the slots of frets 5 9 cross inlays and are left")
    assert '--only "frets 5 9"' in told.hint
    assert not any(AFTER_GLUING in text for text in proved(job))


def test_the_second_visit_cuts_them_alone_by_the_slower_material_s_figures():
    job = job_of("frets 5 9")
    assert cut(job) == {("frets", 5), ("frets", 9)}
    (text,) = proved(job)
    assert AFTER_GLUING in text
    machine = read_machine("benchtop-arcs")
    thin = machine.cutters[0]
    shell, maple = (cutting_figures(machine, thin, each) for each in ("mother-of-pearl", "maple"))
    assert shell.feed_mm_min < maple.feed_mm_min
    assert job.workplans[0].stages[0].figures.feed_mm_min == shell.feed_mm_min


def test_slots_that_wait_are_no_part_of_the_first_visit_however_it_is_asked_for():
    assert ("frets", 5) not in cut(job_of("frets"))
    with pytest.raises(Refusal, match='there is no "fret 5"'):
        job_of("fret 4", "fret 5")


def test_no_position_is_zeroed_on_a_slot_that_waits():
    longer = BOARD.replace("frets = 12", "frets = 20").replace("length = 400", "length = 450")
    job = job_of(profile="engraver-300", board=longer)
    zeros = [setup.lying.zero.slot for setup in job.clampings.setups]
    assert len(zeros) > 1
    assert not {"fret 5", "fret 9"} & set(zeros)
    proved(job)


def test_pieces_that_would_stand_above_the_wood_at_the_second_visit_are_refused():
    (problem,) = way.look(BOARD.replace('slots = "after"', 'slots = "after"\nproud = 0.35')).problems
    assert problem.found == (
        "the piece of oval on 5 stands up to 0.15 mm above the wood when the slot of fret 5 is cut through it"
    )
    assert problem.hint == 'set proud to at most 0.20 mm, or write slots = "by hand"'
