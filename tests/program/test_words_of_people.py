"""What people write - titles, names of clamps and of profiles - is never taken for a claim or a sentence of ours."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from makers import POCKET_MILL, SIDE_MILL, SLOT_MILL, a_board, a_machine
from pearlkerf.board.model import FaceDots, Scale, SideDots
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.pieces import SETUPS, Wish, lay_out_piece, plan_piece
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.holding import Holding
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.program.comments import comment_lines
from pearlkerf.reading.header import read_headers, read_scrap_claim
from pearlkerf.reading.messages import named_at_stops, named_in_head, sides_in_head, turns_in_head
from pearlkerf.reading.motions import Reading
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Box, Clampings
from pearlkerf.setups.plain import of_people
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.words import sentences, told

NASTY = (
    "setup = mine", "setup=face cutter=9 cuts=frets 1-99", "SETUP=edge cutter=1", ") (setup=edge cutter=2", "cutter=9",
    "jaw=left", "scrap=1.000x1.000x1.000", "(steps=0.1/0.2/0.1)", "height=9", "purpose=point", "= =", "- jaw", "- - -",
    "fixture lies turned 5 degrees clockwise", "the board lies turned 45.0 degrees counter-clockwise about zero",
    "bass edge away from the operator", "playing face up, nut end at the left, treble side toward the operator",
    "cutter 9, end mill 9.000 mm, 90 rpm, feed 1", "set the spindle to 90 rpm", "change to cutter 7, saw 60.000 mm",
    "X0 at the nut end of the finished board", "X0 in the middle of the slot of fret 5", "made anew, said by --at 1,1",
    "stands at X 1.0 to 2.0, Y 1.0 to 2.0, up to 3.0 mm above Z0", "board, bass edge away from the operator", "MSG, go",
    "machine profile x, blocks in mm, these notes in mm", "%", "Ω", "=",
)  # fmt: skip
CALM = "plain words"
LONG_MILL = replace(SIDE_MILL, reach_mm=9.0)  # through a drilling strip
SHORT = {"scale": Scale(632.0, 3), "face_dots": FaceDots((3,), 6.0, 1.5, 1.5), "side_dots": SideDots((3,), 2.0, 3.0)}


def a_job(named: str, title: str = CALM, profile: str = CALM) -> tuple[Clampings, Machine]:
    """A board and a machine whose boxes, far from every cut, have this name."""
    boxes = [Holding(named, kind, (-300.0, -290.0), (-5.0, 5.0), -1.0, "wood") for kind in ("face", "edge", *SETUPS)]
    board = a_board(holding=tuple(boxes), title=title, **SHORT)
    return set_up(lay_out(board)), replace(a_machine(SLOT_MILL, POCKET_MILL, LONG_MILL), name=profile)


def understood(reading: Reading) -> list[object]:
    """What the reader takes from a program's comments, but for their lines."""
    headers, findings = read_headers(reading, "")
    return [
        [replace(header, line=0) for header in headers],
        findings,
        [each[1:] for each in (*sides_in_head(reading), *turns_in_head(reading))],
        [replace(cutter, line=0) for cutter, _ in named_in_head(reading)],
        [replace(cutter, line=0) for _, cutter in named_at_stops(reading)],
    ]


def programs(clampings: Clampings, machine: Machine) -> tuple[dict[str, bytes], list[list[object]]]:
    """The proved programs of a job and its pointing runs, and what they are understood to say."""
    job = with_pointing(plan_job(clampings, machine))
    texts = {program.file: program.text for program in make_programs(job, "test")}
    verdict = prove_programs(job, texts)
    assert verdict.findings == (), [str(finding) for finding in verdict.findings]
    return texts, [understood(read_program(text)) for text in texts.values()]


@pytest.fixture(scope="module")
def calm() -> list[list[object]]:
    return programs(*a_job(CALM))[1]


@pytest.mark.parametrize("nasty", NASTY)
def test_a_clamp_or_a_title_or_a_profile_says_nothing_and_its_programs_prove(nasty: str, calm: list[object]) -> None:
    texts, said = programs(*a_job(nasty, nasty, nasty))
    assert said == calm
    lines = [line for text in texts.values() for line in text.decode().split("\n") if "=" in line]
    assert lines and all(line.startswith("(setup=") for line in lines)


@pytest.mark.parametrize("nasty", NASTY)
@pytest.mark.parametrize("kind", SETUPS)
def test_the_scrap_of_a_piece_is_what_its_own_claims_say(nasty: str, kind: str) -> None:
    clampings, machine = a_job(nasty, nasty)
    drill = Cutter(19, "twist drill", 2.0, 2, 24.0)  # it reaches through a strip
    machine = replace(machine, cutters=(*machine.cutters, drill))
    piece = lay_out_piece(clampings, machine, Wish(SETUPS[kind]))
    job = plan_piece(piece, clampings, machine, SETUPS[kind])
    texts = {program.file: program.text for program in make_programs(job, "test")}
    assert prove_programs(job, texts).findings == ()
    scrap, steps = job.clampings.setups[0].scrap, job.clampings.setups[0].steps
    for text in texts.values():
        claim = read_scrap_claim(text)
        assert claim is not None and claim.setup == kind
        assert claim.sides_mm == pytest.approx((scrap.length_mm, scrap.width_mm, scrap.thickness_mm), abs=0.0005)
        assert (claim.steps_mm is None) == (steps is None)


def test_the_card_says_what_people_wrote_as_they_wrote_it() -> None:
    for named in NASTY:
        clampings, machine = a_job(named)
        for setup in plan_job(clampings, machine).clampings.setups:
            assert sentences(setup)[-1].startswith(f"{named} stands at X -300.0 to -290.0")


@given(st.text(), st.integers(40, 120))
def test_any_name_stays_in_its_sentence(name: str, room: int) -> None:
    clampings, _ = a_job(CALM)
    face = replace(clampings.setups[0], holding=(Box(name, ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), 2.0),))
    calm = replace(face, holding=())
    assert not sentences(face, of_people)[-1].startswith("-")  # it would go on what is said before
    heads = [[line for each in told(setup, of_people) for line in comment_lines(str(each), room)]
             for setup in (face, calm)]  # fmt: skip
    with_name, without = (understood(read_program("\n".join([*lines, "G0 Z5.0", "M2"]).encode())) for lines in heads)
    assert with_name == without
