"""From programs to what the proof says of them: a job's own, whole; or any, against all that they may be for."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pieces import Wish, pieces_of
from pearlkerf.machine.model import Machine
from pearlkerf.program.write import parts_of
from pearlkerf.proof.identity import Assumed
from pearlkerf.proof.measures import Measure, measure
from pearlkerf.proof.prove import prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import Finding, ProgramText, UnreadableProgram
from pearlkerf.reading.second_opinion import second_opinion
from pearlkerf.setups.carrier import carrier_setups, most_steps
from pearlkerf.setups.holding import with_holding
from pearlkerf.setups.lying import OPTION, Mark
from pearlkerf.setups.model import Clampings
from pearlkerf.toolpath.indexing import in_positions
from pearlkerf.toolpath.moves import CutterPath, Toolpath

# a sentence of a program's head goes on in the next comment
_ONWARD: Final = re.compile(r"\)\r?\n(?:N\d+ ?)?\(- ", re.ASCII)


def prove_programs(job: Job, texts: Mapping[str, bytes]) -> Verdict:
    """Hold the bytes of all programs of a job against its setups, whole.

    Each is to be for the setup, and with the cutters, that the job means it for.
    """
    programs = [ProgramText(file, text) for file, text in texts.items()]
    meant = {file: _meant(toolpath, paths) for file, (toolpath, paths) in parts_of(job.toolpaths).items()}
    setups = [toolpath.setup for toolpath in job.toolpaths]
    return prove(programs, setups, job.machine, meant, completeness="whole setups")


def _meant(toolpath: Toolpath, paths: Sequence[CutterPath]) -> Assumed:
    height = paths[0].tip_above_mm if toolpath.setup.purpose == "point" else None
    return Assumed(toolpath.setup.name, tuple(path.cutter.number for path in paths), toolpath.setup.purpose, height)


def sizes_of(job: Job, verdict: Verdict) -> tuple[Measure, ...]:
    """Measure every pocket, hole, slot and notch of a piece on scrap as read back; of a board nothing is measured."""
    return measure(verdict.programs, job.clampings.setups[0], job.machine) if job.piece else ()


def to_prove(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings whose setups any program of a board may be for: in positions, with those of their carrier."""
    placed = in_positions(clampings, machine)
    steps = most_steps(clampings.setups, placed.setups, machine)
    if steps is None or machine.carrier is None:
        return placed
    carriers = carrier_setups(clampings.setups, steps, machine.carrier, machine.travel.x_mm)
    return replace(placed, setups=(*placed.setups, *carriers))


def all_to_prove(
    clampings: Clampings, machine: Machine, programs: Sequence[ProgramText], wish: Wish | None
) -> Clampings:
    """Give all setups that programs may be for: the board's, its carrier's, pieces on scrap, pointing runs.

    A piece is the one that the programs say in their heads, or that is wished for.  Raises Refusal
    where it cannot be set out.
    """
    pieces = pieces_of(programs, clampings, machine, wish)
    board = to_prove(clampings, machine)
    held = with_holding(replace(board, setups=(*board.setups, *pieces)), machine)
    runs = [replace(each, purpose="point") for each in held.setups[: len(board.setups)]]
    return replace(held, setups=(*held.setups, *runs))


def prove_any(programs: Sequence[ProgramText], clampings: Clampings, machine: Machine, said: Assumed) -> Verdict:
    """Hold programs against the setups that they may be for; what they do not say of themselves is ``said``.

    Raises SetupUnknown where nobody says what a program is for.
    """
    return prove(programs, clampings.setups, machine, said)


def with_second_reading(verdict: Verdict, programs: Sequence[ProgramText]) -> Verdict:
    """Give a verdict that also holds where the second reader takes a line otherwise than ours does.

    Raises Refusal where the second reader is not installed.
    """
    differences: list[Finding] = []
    for program in programs:
        try:
            differences += second_opinion(program)
        except UnreadableProgram:
            continue  # the verdict has it already
    return replace(verdict, findings=(*verdict.findings, *differences))


def other_marks(texts: Sequence[bytes], marks: Sequence[Mark]) -> str:
    """Say so where programs tell of other marks in their heads than what they are held against; else nothing."""
    heads = [_ONWARD.sub(" ", text.decode("ascii", errors="replace")) for text in texts]
    told = [head for head in heads if f" {OPTION} " in head]
    if all(f" {OPTION} {mark.written}" in head for head in told for mark in marks) if marks else not told:
        return ""
    return f"these programs say with which {OPTION} they were made; say the same, where the board still lies so"
