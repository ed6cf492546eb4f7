"""From programs to what the proof says of them: a job's own, whole; or any, against all that they may be for."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit
from pearlkerf.jobs.from_blanks import CALLED as OF_ROWS
from pearlkerf.jobs.from_blanks import rows_of
from pearlkerf.jobs.making import with_fits
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pieces import CALLED, Wish, pieces_of
from pearlkerf.layout.features import Feature
from pearlkerf.layout.names import in_ranges
from pearlkerf.machine.model import Machine
from pearlkerf.operations.plan import plan
from pearlkerf.program.write import parts_of
from pearlkerf.proof.identity import Assumed
from pearlkerf.proof.measures import Measure, measure
from pearlkerf.proof.prove import prove
from pearlkerf.proof.verdict import Claimed, Verdict
from pearlkerf.reading.motions import Finding, ProgramText, UnreadableProgram
from pearlkerf.reading.second_opinion import second_opinion
from pearlkerf.setups.after_gluing import first_visit, second_visit
from pearlkerf.setups.carrier import carrier_setups, carrier_title, most_steps
from pearlkerf.setups.coupons import piece_title
from pearlkerf.setups.holding import with_holding
from pearlkerf.setups.lying import OPTION, Mark
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.toolpath.indexing import in_positions
from pearlkerf.toolpath.moves import Cut, CutterPath, Toolpath

# how a head tells of marks, each as the command line takes it
_MARK_TOLD: Final = re.compile(rf" {OPTION} (.*?)(?= {OPTION} |\))")
# the rule of features that are not whole
COMPLETE: Final = 7
# a sentence of a program's head goes on in the next comment
_ONWARD: Final = re.compile(r"\)\r?\n(?:N\d+ ?)?\(- ", re.ASCII)


def prove_programs(job: Job, texts: Mapping[str, bytes]) -> Verdict:
    """Hold the bytes of all programs of a job against its setups, whole.

    Each is to be for the setup, and with the cutters, that the job means it for.
    """
    programs = [ProgramText(file, text) for file, text in texts.items()]
    titles = (job.title,)
    meant = {file: _meant(*part, titles) for file, part in parts_of(job.toolpaths).items()}
    setups = [toolpath.setup for toolpath in job.toolpaths]
    return prove(programs, setups, job.machine, meant, completeness="whole setups")


def _meant(toolpath: Toolpath, paths: Sequence[CutterPath], titles: tuple[str, ...]) -> Assumed:
    height = paths[0].tip_above_mm if toolpath.setup.purpose == "point" else None
    cutters, claims = tuple(path.cutter.number for path in paths), _keys(cut for path in paths for cut in path.cuts)
    return Assumed(toolpath.setup.name, cutters, toolpath.setup.purpose, height, claims, titles)


def _keys(features: Iterable[Cut | Feature]) -> tuple[tuple[str, int], ...]:
    return tuple(dict.fromkeys((each.group, each.number) for each in features))


def said_in(verdict: Verdict, unit: Unit) -> Verdict:
    """Give a verdict with its findings' lengths in a unit."""
    if unit == "mm":
        return verdict
    told = (replace(each, message=in_unit(each.message, unit)) for each in verdict.findings)
    return replace(verdict, findings=tuple(told))


def sizes_of(job: Job, verdict: Verdict) -> tuple[Measure, ...]:
    """Measure every pocket, hole, slot and notch of a piece on scrap as read back; of a board nothing is measured."""
    return measure(verdict.programs, job.clampings.setups[0], job.machine) if job.piece else ()


def to_prove(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings whose setups any program of a board may be for: in positions, with those of their carrier.

    What is cut at a second visit, once pieces are glued in, is for setups of that alone.
    """
    later = second_visit(clampings, machine)
    placed = whole = in_positions(clampings, machine)
    if later.setups:
        first = in_positions(first_visit(clampings), machine)
        placed = replace(first, setups=(*first.setups, *in_positions(later, machine).setups))
    steps = most_steps(clampings.setups, whole.setups, machine)
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
    clampings = with_fits(clampings, machine)
    board = to_prove(clampings, machine)
    rows = rows_of(programs, clampings, machine)
    if {each.name for each in rows} & {each.name for each in pieces}:
        raise Refusal([Problem("pieces of a board and pieces of a coupon are both called so in programs",
                               "programs of one of them", "prove each by itself")])  # fmt: skip
    pointed_at = (*board.setups, *rows)
    held = with_holding(replace(board, setups=(*pointed_at, *pieces)), machine)
    runs = [replace(each, purpose="point") for each in held.setups[: len(pointed_at)]]
    return replace(held, setups=(*held.setups, *runs))


def prove_any(programs: Sequence[ProgramText], clampings: Clampings, machine: Machine, said: Assumed) -> Verdict:
    """Hold programs against the setups that they may be for; what they do not say of themselves is ``said``.

    Where comments are not known, all that the cutters cut in their setup is demanded.  Raises
    SetupUnknown where nobody says what a program is for, Refusal where that cannot be planned.
    """
    claims = () if machine.dialect.comments else _all_of(said, clampings, machine)
    title = clampings.layout.board.title
    titles = (title, carrier_title(title), *(piece_title(title, what) for what in (*CALLED.values(), OF_ROWS)))
    return prove(programs, clampings.setups, machine, replace(said, claims=claims, titles=titles))


def _all_of(said: Assumed, clampings: Clampings, machine: Machine) -> tuple[tuple[str, int], ...]:
    """Give all that some cutters cut in a setup as it is planned, or all places of a pointing run."""
    named = [setup for setup in clampings.setups if setup.name == said.setup]
    setup = next((setup for setup in named if setup.purpose == (said.purpose or "cut")), None)
    if setup is None:
        return ()
    if setup.purpose == "point":
        return _keys(setup.features)
    stages = [stage for stage in plan(setup, machine).stages if stage.cutter.number in said.cutters]
    return _keys(operation.feature for stage in stages for operation in stage.operations)


def claims_in_words(claimed: Claimed) -> str:
    """Say what is proved of a setup, and what it demands that no program claims.

    >>> dots, frets = (("face dots", 3), ("face dots", 5)), (("frets", 1), ("frets", 2))
    >>> claims_in_words(Claimed("face", "cut", dots, frets))
    'face dots 3 5; not claimed: frets'
    """
    proved = ", ".join(_named(group, numbers) for group, numbers in by_group(claimed.claimed).items())
    every = by_group((*claimed.claimed, *claimed.not_claimed))
    missing = ", ".join(
        group if numbers == every[group] else _named(group, numbers)
        for group, numbers in by_group(claimed.not_claimed).items()
    )
    return f"{proved}; not claimed: {missing}" if missing else proved


def by_group(claims: Iterable[tuple[str, int]]) -> dict[str, list[int]]:
    """Give the numbers of claims, ascending, by group."""
    groups: dict[str, list[int]] = {}
    for group, number in sorted(claims):
        groups.setdefault(group, []).append(number)
    return groups


def _named(group: str, numbers: Sequence[int]) -> str:
    return " ".join([group, *in_ranges(numbers)])


def cut_apart(verdict: Verdict, setups: Sequence[Setup], machine: Machine) -> str:
    """Say so where a feature is not whole, and the job cuts it with a cutter that none of the programs has.

    A program for each cutter leaves what the other takes: it is whole with both alone.
    """
    unfinished = {finding.feature for finding in verdict.findings if finding.rule == COMPLETE and finding.feature}
    for setup in (each for each in setups if unfinished and each.purpose == "cut"):
        here = {cutter for each in verdict.programs if each.setup == setup.name for cutter in each.cutters}
        for name, cutters in _of_several(setup, machine) if here else ():
            if name in unfinished and here & cutters and not cutters <= here:
                numbers = " and ".join(map(str, sorted(cutters)))
                return f"{name} is cut by cutters {numbers}: hold all programs of the {setup.name} setup together"
    return ""


def _of_several(setup: Setup, machine: Machine) -> list[tuple[str, set[int]]]:
    """Give the features that more than one cutter cuts, as a setup is planned, each with their numbers."""
    try:
        stages = plan(setup, machine).stages
    except Refusal:
        return []
    return [
        (operation.feature.name, {stage.cutter.number, operation.after.number})
        for stage in stages for operation in stage.operations if operation.after is not None
    ]  # fmt: skip


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
    told = [_MARK_TOLD.findall(head) for head in heads]
    said = {mark.written: mark.position for mark in marks}
    if all(_are_said(each, said) for each in told if each):
        return ""
    return f"these programs say with which {OPTION} they were made; say the same, where the board still lies so"


def _are_said(told: Sequence[str], said: Mapping[str, int]) -> bool:
    """Say whether a head tells of all marks that are said for its position, and of no others."""
    return set(told) == {mark for mark, position in said.items() if position == said.get(told[0])}
