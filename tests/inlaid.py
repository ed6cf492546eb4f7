"""A small board with inlays of shell and a dot of it, its pockets and its pieces made on a profile; each once."""

from functools import cache

from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish, every_piece, lay_out_pieces, plan_pieces
from pearlkerf.jobs.making import make_programs, with_fits
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import NOBODY_ASSUMED, identify
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import NOTHING_SAID
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Setup

BOARD = """\
unit = "mm"
title = "Dunlin"
[scale]
length = 632
frets = 12
[board]
wood = "ebony"
length = 320
nut_width = 44
end_width = 52
thickness = 6.5
[face_dots]
frets = [9]
diameter = 5
fit = 0.1
thickness = 1.5
material = "mother-of-pearl"
[[inlay]]
shape = "half moon"
name = "moon"
frets = [3, 5]
length = 9
width = 7
gap = {gap}
detail = 0.8
material = "mother-of-pearl"
[[inlay]]
shape = "ring"
frets = [7]
length = 9
width = 9
gap = {gap}
material = "mother-of-pearl"
[[inlay_blank]]
material = "mother-of-pearl"
thickness = 1.5
length = 40
width = 25
count = 4
"""
EVERY = PiecesWish()
PROFILES = ("benchtop-arcs", "benchtop-inch-hand", "production-automatic")


@cache
def look(gap: float = 0.05, more: str = "", swap: tuple[str, str] = ("", "")) -> way.Look:
    """Give the board; ``more`` is written after it, one text in place of another before."""
    text = BOARD.format(gap=gap).replace(*swap) if swap[0] else BOARD.format(gap=gap)
    found = way.look(text + more)
    assert found.problems == (), found.problems
    return found


@cache
def pieces(profile: str, gap: float = 0.05, wish: PiecesWish = EVERY) -> tuple[ProgramText, ...]:
    """Give the programs of its pieces."""
    job = plan_pieces(look(gap).clamped(), read_machine(profile), wish)
    return tuple(ProgramText(f"pieces/{program.file}", program.text) for program in make_programs(job, "test"))


@cache
def pockets(profile: str, gap: float = 0.05) -> tuple[ProgramText, ...]:
    """Give the programs of its pockets."""
    job = way.plan(look(gap), read_machine(profile))
    return tuple(ProgramText(program.file, program.text) for program in make_programs(job, "test"))


def held(profile: str, programs: tuple[ProgramText, ...], gap: float = 0.05) -> Verdict:
    """Hold programs against the board."""
    return way.prove(look(gap), read_machine(profile), programs, NOBODY_ASSUMED).verdict


@cache
def rows(profile: str, gap: float = 0.05, wish: PiecesWish = EVERY) -> tuple[Setup, ...]:
    """Give the setups of its pieces."""
    machine = read_machine(profile)
    fitted = with_fits(look(gap).clamped(), machine)
    return lay_out_pieces(every_piece(fitted, machine, wish.only), fitted, machine, wish)[0]


@cache
def runs(profile: str) -> tuple[Run, ...]:
    """Give the runs of pockets and pieces, ready for a rule."""
    return ready(look(), profile, (*pockets(profile), *pieces(profile)))


def ready(board: way.Look, profile: str, programs: tuple[ProgramText, ...]) -> tuple[Run, ...]:
    """Give programs of a board as runs, ready for a rule."""
    against = way.prove(board, read_machine(profile), programs, NOBODY_ASSUMED)
    return tuple(run_of(program, against.clampings.setups, against.machine) for program in programs)


def run_of(program: ProgramText, setups: tuple[Setup, ...], machine: Machine) -> Run:
    """Give a program as a run of one of some setups."""
    reading = read_program(program.text, program.file)
    identity = identify(reading, program.file, setups, machine)
    return prepare(reading, program.file, identity, machine, NOTHING_SAID)
