"""From proved programs to what people look at: the dry-run page, the job card, the card of a piece on scrap."""

from collections.abc import Sequence
from dataclasses import replace

from pearlkerf.files.lengths import Unit
from pearlkerf.jobs.model import Job, Piece
from pearlkerf.jobs.waiting import shortened_by
from pearlkerf.layout.names import in_ranges
from pearlkerf.machine.model import Machine
from pearlkerf.pictures.assembled import draw_assembled, of_fits, of_rows
from pearlkerf.pictures.card.assembly import assembly_of
from pearlkerf.pictures.card.card import draw_card
from pearlkerf.pictures.card.inlay_coupon import draw_inlay_coupon_card
from pearlkerf.pictures.card.model import Beside, Card, CardRows, ProgramRow
from pearlkerf.pictures.card.pieces import draw_pieces_card
from pearlkerf.pictures.card.rows import fill_card, setup_row
from pearlkerf.pictures.card.scrap import ScrapCard, cuts_of, draw_calibration_card, draw_coupon_card
from pearlkerf.pictures.card.strip import draw_strip_card
from pearlkerf.pictures.inlay_words import inlays_told
from pearlkerf.pictures.page.model import DryRun, ProgramRun, dry_run_of
from pearlkerf.pictures.page.page import draw_page
from pearlkerf.pictures.page.run_outs import run_outs_read
from pearlkerf.pictures.paper.paper import draw_row_sheets
from pearlkerf.proof.measures import Measure
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.duration import MachineTime, machine_time
from pearlkerf.reading.header import read_headers
from pearlkerf.reading.motions import Finding, ProgramText, Reading, UnreadableProgram
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.drilling_strip import DrillingStrip
from pearlkerf.setups.model import Clampings
from pearlkerf.toolpath.moves import CutterPath
from pearlkerf.toolpath.run_outs import room_beside, run_out_told

PAGE, CARD = "dry-run.html", "job-card.pdf"
COUPON_CARD = "coupon-card.pdf"
PIECES_CARD, PIECES_SHEET = "pieces-card.pdf", "pieces-sheet.pdf"


def draw_job(job: Job, verdict: Verdict, sizes: Sequence[Measure]) -> dict[str, bytes]:
    """Draw the page and the card of a job, from proved data: file names and bytes.

    ``sizes`` are those that were read back of a piece on scrap.
    """
    times = _times(verdict, job.machine)
    page = _draw_dry_run(job.clampings, job.machine, verdict, times)
    rows = _program_rows(job, verdict, times)
    if job.piece is not None:
        return {PAGE: page, **_draw_piece_card(job, job.piece, rows, sizes)}
    if any(setup.row is not None for setup in job.clampings.setups):
        sheet = draw_row_sheets(job.title, job.clampings.setups)
        of_blanks = [setup.row for setup in job.clampings.setups if setup.row is not None]
        assembly = assembly_of(job.clampings.layout, of_blanks, job.clampings.fits)
        card = draw_pieces_card(_pieces_card(job, rows), assembly)
        return {PAGE: page, PIECES_CARD: card, PIECES_SHEET: sheet}
    return {PAGE: page, CARD: draw_card(_board_card(job, rows))}


def _pieces_card(job: Job, rows: Sequence[ProgramRow]) -> Card:
    beside, changes = _beside(job), job.machine.dialect.cutter_change
    setups = tuple(setup_row(setup, beside[setup.name]) for setup in job.clampings.setups)
    nothing = CardRows((), (), (), ())
    cut = {piece.place for setup in job.clampings.setups if setup.row for piece in setup.row.pieces}
    fits = [fit for fit in job.clampings.fits if any(pocket.identity in cut for pocket in fit.pockets)]
    told = inlays_told(fits)
    return Card(job.title, job.machine.title, job.clampings.layout, setups, tuple(rows), nothing, changes, told)


def _board_card(job: Job, rows: Sequence[ProgramRow]) -> Card:
    changes = job.machine.dialect.cutter_change
    return fill_card(job.clampings, job.machine.title, rows, _beside(job), changes)


def draw_dry_run(clampings: Clampings, machine: Machine, verdict: Verdict) -> bytes:
    """Draw the dry-run page of programs that were held against a board, proved or not."""
    return _draw_dry_run(clampings, machine, verdict, _times(verdict, machine))


def draw_alone(program: ProgramText, machine: Machine | None) -> tuple[bytes, tuple[Finding, ...]]:
    """Draw the dry-run page of any program, with what keeps it from being read; no board is held against it."""
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
    unit: Unit = "in" if reading is not None and "G20" in reading.stated else "mm"
    page = draw_page(DryRun(program.file, (run,), *shop, findings, held="shown alone", unit=unit))
    return page.encode("utf-8"), findings


def _draw_piece_card(job: Job, piece: Piece, rows: Sequence[ProgramRow], sizes: Sequence[Measure]) -> dict[str, bytes]:
    beside, changes = _beside(job), job.machine.dialect.cutter_change
    setups = tuple(setup_row(setup, beside[setup.name]) for setup in job.clampings.setups)
    rows = tuple(replace(row, cuts=cuts_of(piece.of, row)) for row in rows)
    layout = job.clampings.layout
    card = Card(layout.board.title, job.machine.title, layout, setups, rows, CardRows((), (), (), ()), changes)
    scrap_card = ScrapCard(card, tuple(sizes), tuple(problem.found for problem in piece.left_out))
    match piece.of:
        case Coupon():
            return {COUPON_CARD: draw_coupon_card(piece.of, scrap_card)}
        case Calibration():
            return {"calibration-card.pdf": draw_calibration_card(piece.of, scrap_card)}
        case DrillingStrip():
            return {"strip-card.pdf": draw_strip_card(piece.of, scrap_card)}
        case _:
            sheet = draw_row_sheets(job.title, job.clampings.setups)
            return {COUPON_CARD: draw_inlay_coupon_card(piece.of, scrap_card), PIECES_SHEET: sheet}


def _beside(job: Job) -> dict[str, Beside]:
    """Give by the names of setups how far their cuts run out of the wood, the room for clamps, their dry run."""
    return {
        each.setup.name: Beside(run_out_told(each), room_beside(each), each.dry_run)
        for each in job.toolpaths
        if each.setup.purpose == "cut"
    }


def _times(verdict: Verdict, machine: Machine) -> list[MachineTime | None]:
    return [machine_time(each.reading, machine) if each.reading else None for each in verdict.programs]


def _draw_dry_run(
    clampings: Clampings, machine: Machine, verdict: Verdict, times: Sequence[MachineTime | None]
) -> bytes:
    seconds = [time.motions_s if time else None for time in times]
    title = clampings.layout.board.title
    run = dry_run_of(title, verdict, clampings.setups, (machine.title, machine.cutters), seconds)
    outs, unit = run_outs_read(verdict, clampings.setups, machine), clampings.layout.board.unit
    rows = [setup.row for setup in clampings.setups if setup.row is not None and setup.purpose == "cut"]
    seen = of_rows(rows, clampings.fits) if rows else of_fits(clampings.fits)
    run = replace(run, run_outs=outs, inlays=inlays_told(clampings.fits), unit=unit)
    run = replace(run, assembled=draw_assembled(clampings.layout, seen))
    return draw_page(run).encode("utf-8")


def _program_rows(job: Job, verdict: Verdict, times: Sequence[MachineTime | None]) -> list[ProgramRow]:
    paths: dict[tuple[str, str, int], CutterPath] = {(each.setup.name, each.setup.purpose, path.cutter.number): path
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
                    notes=(*path.notes, *shortened_by(job, proved.setup, number, time)),
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
    """Name what a cutter cuts, each group once: "face dots 3, 5, 7; frets 1-20"."""
    return "; ".join(f"{group} {', '.join(in_ranges(each))}" for group, each in path.numbers_by_group.items())
