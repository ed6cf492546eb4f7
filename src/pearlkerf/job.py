"""The whole way, from a layout to proved programs and their pictures."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.saving import digest
from pearlkerf.machine.model import Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.plan import order_of, plan
from pearlkerf.program.write import Program, parts_of, write_programs
from pearlkerf.proof.identity import Assumed
from pearlkerf.proof.prove import prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.duration import MachineTime, machine_time
from pearlkerf.reading.motions import Finding, ProgramText, Reading, UnreadableProgram
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.carrier import carrier_setups, most_steps, with_carrier
from pearlkerf.setups.holding import with_holding
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.selection import EVERYTHING, Choice, choose_part
from pearlkerf.toolpath.holding import in_the_way_of, nut_meets_wood
from pearlkerf.toolpath.indexing import in_positions
from pearlkerf.toolpath.moves import CutterPath, Toolpath
from pearlkerf.toolpath.pointing import POINT_HEIGHT_MM, point_out
from pearlkerf.toolpath.reach import shank_meets_wood
from pearlkerf.toolpath.span import beyond_travel
from pearlkerf.toolpath.trace import trace

if TYPE_CHECKING:
    from pearlkerf.pictures.card.model import ProgramRow
    from pearlkerf.proof.measures import Measure
    from pearlkerf.setups.calibration import Calibration
    from pearlkerf.setups.coupons import Coupon


@dataclass(frozen=True, slots=True)
class Job:
    """A board on a machine: how it is cut, and the programs that cut it."""

    clampings: Clampings
    machine: Machine
    workplans: tuple[Workplan, ...]
    toolpaths: tuple[Toolpath, ...]

    @property
    def asked(self) -> dict[str, object]:
        """Its pointing runs as the job's record keeps them: how high over the wood their tip stops."""
        runs = [each for each in self.toolpaths if each.setup.purpose == "point"]
        return {"point_height_mm": runs[0].paths[0].tip_above_mm} if runs else {}

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What the maker should be told, of the board and of the way that it is cut, each once."""
        told = [*self.clampings.warnings, *(warning for each in self.workplans for warning in each.warnings)]
        return tuple(dict.fromkeys(told))


def plan_job(clampings: Clampings, machine: Machine, choice: Choice = EVERYTHING) -> Job:
    """Plan all setups of a board, in positions where the travel is too short, or the chosen part of them.

    Raises Refusal with every problem of every setup.
    """
    clampings = with_holding(in_positions(clampings, machine), machine)
    if choice != EVERYTHING:
        clampings = choose_part(clampings, [order_of(plan(setup, machine)) for setup in clampings.setups], choice)
    problems: list[Problem] = []
    workplans: list[Workplan] = []
    for setup in clampings.setups:
        try:
            workplans.append(plan(setup, machine))
        except Refusal as refusal:
            problems += refusal.problems
    toolpaths = tuple(trace(workplan) for workplan in workplans)
    problems += [problem for toolpath in toolpaths for problem in beyond_travel(toolpath)]
    for toolpath in toolpaths:
        problems += [*shank_meets_wood(toolpath), *nut_meets_wood(toolpath), *in_the_way_of(toolpath)]
    if problems:
        raise Refusal(dict.fromkeys(problems))
    return Job(clampings, machine, tuple(workplans), toolpaths)


def with_pointing(job: Job, height_mm: float | None = None) -> Job:
    """Give a job with a pointing run before each setup's cuts, its tip ``height_mm`` over the wood, or as usual.

    Raises Refusal where that cannot be.
    """
    height = POINT_HEIGHT_MM if height_mm is None else height_mm
    runs = [point_out(workplan, height) for workplan in job.workplans]
    problems = [
        problem for run in runs for problem in (*beyond_travel(run), *shank_meets_wood(run), *in_the_way_of(run))
    ]
    if problems:
        raise Refusal(problems)
    paired = zip(runs, job.toolpaths, strict=True)
    return replace(job, toolpaths=tuple(toolpath for pair in paired for toolpath in pair))


def plan_carrier(clampings: Clampings, machine: Machine) -> Job:
    """Plan the carrier on which a board is cut in positions; raises Refusal where there is none to be made."""
    try:
        return plan_job(with_carrier(clampings, in_positions(clampings, machine), machine), machine)
    except Refusal as refusal:  # what is wrong with one position is wrong with all
        raise Refusal({problem.key: problem for problem in reversed(refusal.problems)}.values()) from None


def to_prove(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings whose setups any program of a board may be for: in positions, with those of their carrier."""
    placed = in_positions(clampings, machine)
    steps = most_steps(clampings.setups, placed.setups, machine)
    if steps is None or machine.carrier is None:
        return placed
    carriers = carrier_setups(clampings.setups, steps, machine.carrier, machine.travel.x_mm)
    return replace(placed, setups=(*placed.setups, *carriers))


def make_programs(job: Job, maker: str) -> tuple[Program, ...]:
    """Write the programs of a job; raises Refusal where the profile cannot express them."""
    return write_programs(job.toolpaths, job.clampings.layout.board.title, maker)


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


def job_file(
    board: bytes, profile: bytes, files: Mapping[str, bytes], maker: str, asked: Mapping[str, object] | None = None
) -> bytes:
    """Give job.json: what it was made from, every file with its hash, and what was ``asked`` for beyond the board."""
    listed = [{"file": name, "sha256": digest(data)} for name, data in files.items()]
    record = {
        "made_by": maker,
        "board_sha256": digest(board),
        "machine_sha256": digest(profile),
        **(asked or {}),
        "files": listed,
    }
    return (json.dumps(record, indent=2) + "\n").encode("ascii")


def draw(job: Job, verdict: Verdict) -> dict[str, bytes]:
    """Draw what people look at, from proved data: file names and bytes."""
    from pearlkerf.pictures.card.card import draw_card
    from pearlkerf.pictures.card.rows import fill_card

    times = _times(verdict, job.machine)
    page = _draw_dry_run(job.clampings, job.machine, verdict, times)
    card = draw_card(fill_card(job.clampings, job.machine.title, _program_rows(job, verdict, times)))
    return {"dry-run.html": page, "job-card.pdf": card}


def measure_piece(job: Job, verdict: Verdict) -> "tuple[Measure, ...]":
    """Measure every pocket, hole, slot and notch of a job on scrap in what was read back of its programs."""
    from pearlkerf.proof.measures import measure

    return measure(verdict.programs, job.clampings.setups[0], job.machine)


def draw_piece(
    job: Job, piece: "Coupon | Calibration", verdict: Verdict, of: "tuple[Sequence[Measure], Sequence[Problem]]"
) -> dict[str, bytes]:
    """Draw what people look at of a coupon or a calibration piece: file names and bytes.

    ``of`` is what was measured in the proof, and what is left out.
    """
    from pearlkerf.pictures.card.model import Card, CardRows, SetupRow
    from pearlkerf.pictures.card.rows import stock_size
    from pearlkerf.pictures.card.scrap_card import ScrapCard, cuts_of, draw_calibration_card, draw_coupon_card, spoken
    from pearlkerf.setups.coupons import Coupon

    times = _times(verdict, job.machine)
    setups = tuple(SetupRow(each.name, spoken(each), stock_size(each), each) for each in job.clampings.setups)
    rows = tuple(replace(row, cuts=cuts_of(piece, row)) for row in _program_rows(job, verdict, times))
    layout = job.clampings.layout
    card = Card(layout.board.title, job.machine.title, layout, setups, rows, CardRows((), (), (), ()))
    scrap_card = ScrapCard(card, tuple(of[0]), tuple(problem.found for problem in of[1]))
    page = _draw_dry_run(job.clampings, job.machine, verdict, times)
    if isinstance(piece, Coupon):
        return {"dry-run.html": page, "coupon-card.pdf": draw_coupon_card(piece, scrap_card)}
    return {"dry-run.html": page, "calibration-card.pdf": draw_calibration_card(piece, scrap_card)}


def draw_dry_run(clampings: Clampings, machine: Machine, verdict: Verdict) -> bytes:
    """Draw the dry-run page of programs that were held against a board, proved or not."""
    return _draw_dry_run(clampings, machine, verdict, _times(verdict, machine))


def draw_alone(program: ProgramText, machine: Machine | None) -> tuple[bytes, tuple[Finding, ...]]:
    """Draw the dry-run page of any program, with what keeps it from being read; no board is held against it."""
    from pearlkerf.pictures.page.model import DryRun, ProgramRun
    from pearlkerf.pictures.page.page import draw_page
    from pearlkerf.reading.header import read_headers

    reading: Reading | None = None
    findings: tuple[Finding, ...] = ()
    try:
        reading = read_program(program.text, program.file, dwell_unit=machine.dialect.dwell_unit if machine else "s")
    except UnreadableProgram as refusal:
        findings = (refusal.finding,)
    run = ProgramRun(program, reading)
    if machine is not None and reading is not None:
        named = tuple(dict.fromkeys(header.cutter for header in read_headers(reading, program.file)[0]))
        run = ProgramRun(program, reading, cutters=named, seconds=machine_time(reading, machine).motions_s)
    shop = (machine.title, machine.cutters) if machine else ("", ())
    page = draw_page(DryRun(program.file, (run,), *shop, findings, held="shown alone"))
    return page.encode("utf-8"), findings


def _times(verdict: Verdict, machine: Machine) -> list[MachineTime | None]:
    return [machine_time(each.reading, machine) if each.reading else None for each in verdict.programs]


def _draw_dry_run(
    clampings: Clampings, machine: Machine, verdict: Verdict, times: Sequence[MachineTime | None]
) -> bytes:
    from pearlkerf.pictures.page.model import dry_run_of
    from pearlkerf.pictures.page.page import draw_page

    seconds = [time.motions_s if time else None for time in times]
    title = clampings.layout.board.title
    run = dry_run_of(title, verdict, clampings.setups, (machine.title, machine.cutters), seconds)
    return draw_page(run).encode("utf-8")


def _program_rows(job: Job, verdict: Verdict, times: Sequence[MachineTime | None]) -> "list[ProgramRow]":
    from pearlkerf.pictures.card.model import ProgramRow

    paths = {(each.setup.name, each.setup.purpose, path.cutter.number): path
             for each in job.toolpaths for path in each.paths}  # fmt: skip
    rows = []
    for proved, time in zip(verdict.programs, times, strict=True):
        for number in proved.cutters:
            path = paths[proved.setup, proved.purpose, number]
            figures, cutter = path.figures, path.cutter
            rows.append(
                ProgramRow(
                    file=proved.program.file,
                    setup=proved.setup,
                    cutter_number=number,
                    cutter_kind=cutter.kind,
                    cutter_diameter_mm=cutter.diameter_mm,
                    speed_rpm=figures.speed_rpm,
                    feed_mm_min=figures.feed_mm_min,
                    plunge_feed_mm_min=figures.plunge_feed_mm_min,
                    deepest_mm=path.deepest_mm,
                    bite_mm=figures.bite_mm,
                    time=_time_text(time, len(proved.cutters)),
                    cuts=_cuts_text(path),
                    notes=path.notes,
                    tip_above_mm=path.tip_above_mm,
                    stops=tuple(cut.name for cut in path.cuts if cut.stop),
                )
            )
    return rows


def _time_text(time: MachineTime | None, cutters: int) -> str:
    """Say a program's running time as a range of minutes, stops and cutter changes not counted."""
    if time is None:
        return "not known"
    shortest, longest = (max(1, round(seconds / 60)) for seconds in (time.shortest_s, time.longest_s))
    span = f"{shortest} min" if shortest == longest else f"{shortest} to {longest} min"
    return span if cutters == 1 else f"{span}, all cutters"


def _cuts_text(path: CutterPath) -> str:
    """Name what a cutter cuts, each group once: "face dots 3, 5, 7; frets 1, 2"."""
    return "; ".join(f"{group} {', '.join(map(str, each))}" for group, each in path.numbers_by_group.items())
