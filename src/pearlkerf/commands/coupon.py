"""``coupon``: fit coupons and calibration pieces for scrap."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pearlkerf.commands.folder import Folder, Making, Saved, save_proved
from pearlkerf.commands.options import BOARD, JSON, LARGEST, MACHINE, SCRAP, SMALLEST, STEP, VERBOSE, need_machine
from pearlkerf.commands.reading import lay_out_file, maker
from pearlkerf.commands.scrap import KINDS, Kind, Wish, lay_out_piece, scrap_option, steps_option, unit_of
from pearlkerf.commands.scrap_words import piece_data, piece_text
from pearlkerf.commands.talk import NOT_PROVED, Steps, say, told_errors, warn

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from pearlkerf.board.reader import BoardFile
    from pearlkerf.errors import Problem
    from pearlkerf.job import Job
    from pearlkerf.layout.model import Layout
    from pearlkerf.machine.model import Machine
    from pearlkerf.proof.measures import Measure
    from pearlkerf.proof.verdict import Verdict
    from pearlkerf.setups.calibration import Calibration
    from pearlkerf.setups.coupons import Coupon


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The folder.")
@click.option("--kind", type=click.Choice(KINDS), default="fits", show_default=True, help="What is cut.")
@SCRAP
@SMALLEST
@LARGEST
@STEP
@click.option(
    "--cutter", type=int, help="The cutter of a calibration piece, by its number; else the board's widest mill."
)
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def coupon(
    board: Path,
    machine_name: str | None,
    output: Path,
    kind: Kind,
    scrap: str | None,
    smallest: str | None,
    largest: str | None,
    step: str | None,
    cutter: int | None,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Make proved programs for scrap: pockets, slots and holes of BOARD in steps of size, or a calibration piece.

    Cut by the cutters, strategies and feeds of the board, each size marked by notches.  What fits goes
    into the board file as fit.  Bare numbers of lengths are in the board file's unit, or say one, such
    as "2 thou".
    """
    name = need_machine(machine_name)
    if kind == "fits" and cutter is not None:
        raise click.UsageError("--cutter goes with --kind calibration; a fit coupon is cut by the board's cutters")
    from pearlkerf.setups.set_up import set_up

    steps = Steps(verbose)
    with told_errors(as_json):
        read, machine, layout = _read(board, name, steps)
        unit = unit_of(read)
        size = None if scrap is None else scrap_option(scrap, unit)
        wish = Wish(kind, size, steps_option((smallest, largest, step), unit), cutter)
        piece, left_out = lay_out_piece(set_up(layout), machine, wish)
        made = _make((read, name), Folder(output, force, as_json, steps), (layout, machine), (piece, left_out))
    if as_json:
        click.echo(json.dumps(_data(output, piece, made), indent=2))
    else:
        _tell(output, piece, made)


@dataclass(frozen=True, slots=True)
class Made:
    """What came of it: the job, what was saved, every size as read back, and the warnings."""

    job: "Job"
    saved: Saved
    measures: "tuple[Measure, ...]"
    warnings: "tuple[Problem, ...]"


def _read(board: Path, machine_name: str, steps: Steps) -> "tuple[BoardFile, Machine, Layout]":
    from pearlkerf.machine.reader import read_machine

    with steps.step("reading and laying out"):
        read, layout = lay_out_file(board)
        return read, read_machine(machine_name), layout


def _make(
    files: "tuple[BoardFile, str]",
    folder: Folder,
    on: "tuple[Layout, Machine]",
    of: "tuple[Coupon | Calibration, tuple[Problem, ...]]",
) -> Made:
    """Plan, write, prove, measure and save a piece."""
    from pearlkerf import job as way
    from pearlkerf.errors import Refusal
    from pearlkerf.machine.reader import read_profile_bytes
    from pearlkerf.setups.coupons import on_scrap

    (read, machine_name), (layout, machine), (piece, left_out) = files, on, of
    with folder.steps.step("planning and writing the programs"):
        what = "calibration piece" if piece.setup.name == "calibration" else "fit coupon"
        try:
            job = way.plan_job(on_scrap(layout, piece.setup, what), machine)
        except Refusal as refusal:
            raise Refusal(_placed(read, refusal.problems)) from None
        programs = way.make_programs(job, maker())
    told = _placed(read, (*left_out, *job.warnings))
    warn(told)
    measures: list[Measure] = []
    asked = {"piece": piece.setup.name, "scrap": str(piece.scrap)}
    saved = save_proved(
        folder,
        Making(
            programs,
            lambda texts: _prove(job, texts, measures),
            lambda verdict: way.draw_piece(job, piece, verdict, (measures, left_out)),
            lambda made: way.job_file(read.text, read_profile_bytes(machine_name), made, maker(), asked),
        ),
    )
    return Made(job, saved, tuple(measures), told)


def _placed(read: "BoardFile", problems: "Iterable[Problem]") -> "tuple[Problem, ...]":
    """Give problems with their places in the board file; those of an option have none."""
    return tuple(each if each.key.startswith("--") else read.places.put(each) for each in problems)


def _prove(job: "Job", texts: "Mapping[str, bytes]", measures: "list[Measure]") -> "Verdict":
    """Prove the programs, and hold every size that was read back to the one stated; exits where one is off."""
    from pearlkerf import job as way
    from pearlkerf.proof.tolerances import SIZE_MM

    verdict = way.prove_programs(job, texts)
    if verdict.proved:
        measures += way.measure_piece(job, verdict)
        off = [each for each in measures if not each.holds]
        for each in off:
            found = f"{each.least_mm:.4f} to {each.greatest_mm:.4f} mm"
            say(f"{each.name}: {found} where {each.stated_mm:.4f} mm is stated (within {SIZE_MM:.3f} mm)")
        if off:
            say("  hint: more decimals in [program] of the profile, or arcs, make it truer; nothing was saved")
            raise SystemExit(NOT_PROVED)
    return verdict


def _tell(output: Path, piece: "Coupon | Calibration", made: Made) -> None:
    from pearlkerf import tables

    scrap, saved = piece.scrap, made.saved
    click.echo(tables.job_text(output, made.job, saved.verdict, saved.files))
    size = f"{scrap.length_mm:.1f} mm long, {scrap.width_mm:.1f} mm wide, {scrap.thickness_mm:.2f} mm thick"
    click.echo(f"for scrap {size}")
    click.echo(piece_text(piece, made.measures))
    for name in saved.stale:
        click.echo(f"removed {name}, of the earlier job")
    say("Proved against the piece. First run above the work, spindle off, hand on the stop.")


def _data(output: Path, piece: "Coupon | Calibration", made: Made) -> dict[str, Any]:
    from pearlkerf import tables

    return {
        "folder": str(output),
        "files": [*made.saved.files, "job.json"],
        "removed": made.saved.stale,
        "scrap": asdict(piece.scrap),
        **piece_data(piece, made.measures),
        "warnings": [asdict(problem) for problem in made.warnings],
        "proof": tables.verdict_data(made.saved.verdict),
    }
