"""Slots through inlays: left at the first visit, a part of the job of their own once the pieces are glued in."""

import re

import pytest

from pearlkerf import way
from pearlkerf.errors import Refusal
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.materials import SHELL_DUST
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import Assumed
from pearlkerf.reading.motions import ProgramText
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


STANDING = BOARD.replace('slots = "after"', 'slots = "after"\nproud = 0.35')


def bytes_of(job) -> list[bytes]:
    return [program.text for program in way.make(job, b"", b"").programs]


def damaged(job, *edits: tuple[str, str]):
    """Give what is found in the second visit's program with some of its words changed."""
    (program,) = way.make(job, b"", b"").programs
    text = program.text.decode()
    for before, after in edits:
        assert before in text
        text = text.replace(before, after, 1)
    return prove_programs(job, {program.file: text.encode()}).findings


def test_the_second_visit_counts_the_wood_as_high_as_its_pieces_stand():
    job = job_of("frets 5 9", board=STANDING)
    # D = crown_allowance + thickness - proud, and the piece stands by thickness - D above the wood
    stands = 0.35 - 0.2
    assert job.clampings.setups[0].stock.glued_mm == pytest.approx(stands)
    (text,) = proved(job)
    assert "pieces may stand up to 0.15 mm above the wood" in text
    bite = job.workplans[0].stages[0].figures.bite_mm
    first = next(float(word) for word in re.findall(r"^G1 Z(\S+)", text, re.MULTILINE))
    assert stands - bite - 0.001 <= first < stands  # no first stroke is deeper than a bite below the piece's top


def test_strokes_that_know_nothing_of_standing_pieces_are_found():
    standing = job_of("frets 5 9", board=STANDING)
    (program,) = way.make(job_of("frets 5 9"), b"", b"").programs
    found = prove_programs(standing, {program.file: program.text}).findings
    assert any(each.rule == 8 and "at once" in each.message for each in found)


def test_one_stroke_as_deep_below_zero_as_a_bite_takes_more_of_a_standing_piece():
    job = job_of("frets 5 9", board=STANDING)
    (text,) = bytes_of(job)
    bite = job.workplans[0].stages[0].figures.bite_mm
    level = re.sub(rb"G1 Z-?[\d.]+", f"G1 Z{-bite:.3f}".encode(), text)
    assert 8 in {each.rule for each in prove_programs(job, {"1-glued-cutter-1.nc": level}).findings}


def test_a_rapid_into_a_standing_piece_is_found():
    stopped = STANDING.replace("depth = 2", 'depth = 2\nends = "stopped"')  # there the cutter goes down over the wood
    job = job_of("frets 5 9", board=stopped)
    assert [each.rule for each in damaged(job, ("G0 Z0.65", "G0 Z0.1"))] == [5]


def test_the_head_of_the_second_visit_tells_of_zero_of_pieces_and_of_dust():
    job = job_of("frets 5 9", board=STANDING)
    (text,) = proved(job)
    for said in (AFTER_GLUING, "(the middle of the slot of fret 6, cut already, lies at X ", *SHELL_DUST):
        assert said in text
    assert any("look first" in each.message for each in damaged(job, ("lies at", "is near")))
    assert any("the dust of shell" in each.message for each in damaged(job, ("(the dust", "(dust")))


def test_dust_of_shell_is_not_told_where_no_shell_is_cut():
    wooden = BOARD.replace("mother-of-pearl", "walnut")
    assert not any(dust in text for text in proved(job_of("frets 5 9", board=wooden)) for dust in SHELL_DUST)


def held(*programs: bytes):
    texts = [ProgramText(f"{number}.nc", text) for number, text in enumerate(programs)]
    return way.prove(way.look(BOARD), read_machine("benchtop-arcs"), texts, Assumed()).verdict


def test_both_visits_are_proved_together_and_nothing_is_left():
    verdict = held(*bytes_of(job_of()), *bytes_of(job_of("frets 5 9")))
    assert verdict.proved
    assert [(each.setup, each.not_claimed) for each in verdict.claims] == [("face", ()), ("glued", ())]


def test_a_slot_that_waits_is_never_cut_as_one_of_the_first_visit():
    (second,) = bytes_of(job_of("frets 5 9"))
    found = held(second.replace(b"(setup=glued", b"(setup=face")).findings
    assert any(each.rule == 7 and "fret" in each.message for each in found)


def test_a_material_must_be_known_through_which_a_slot_is_cut():
    (problem,) = way.look(BOARD.replace('material = "mother-of-pearl"\nslots', "thickness = 1.5\nslots")).problems
    assert problem.found == "nothing says of what the piece of oval on 5 is, and fret 5 is cut through it"


@pytest.mark.parametrize(("material", "profile"), [("brass", "benchtop-arcs"), ("mother-of-pearl", "workshop-saw")])
def test_no_slot_is_cut_through_what_no_table_knows(material, profile):
    with pytest.raises(Refusal) as refusal:
        job_of("frets 5 9", profile=profile, board=BOARD.replace("mother-of-pearl", material))
    (problem,) = refusal.value.problems
    assert f'how "{material}" is cut with this' in problem.found
