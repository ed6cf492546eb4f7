"""``coupon``: fit coupons and calibration pieces for scrap."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import click

from pearlkerf import way
from pearlkerf.commands.asked import wish_option
from pearlkerf.commands.folder import save_told
from pearlkerf.commands.job_tables import job_text
from pearlkerf.commands.options import BOARD, JSON, LARGEST, MACHINE, SCRAP, SMALLEST, STEP, VERBOSE, need_machine
from pearlkerf.commands.piece_tables import piece_data, piece_text
from pearlkerf.commands.talk import Steps, say, told_errors, verdict_data, warn
from pearlkerf.errors import Problem
from pearlkerf.jobs.model import Job, Piece
from pearlkerf.jobs.pieces import Kind
from pearlkerf.machine.reader import read_machine, read_profile_bytes

KINDS = ("fits", "calibration")


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
    with told_errors(as_json), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        machine = read_machine(name)
        wish = wish_option(kind, scrap, (smallest, largest, step), cutter, look)
        tell("planning and writing the programs")
        job = way.plan_on_scrap(look, machine, wish)
        made = way.make(job, look.read.text, read_profile_bytes(name))
        warnings = look.warnings_of(job)
        warn(warnings)
        saved = save_told(made, output, force, as_json, tell)
    assert job.piece is not None
    if as_json:
        click.echo(json.dumps(told_data(output, job.piece, saved, warnings), indent=2))
    else:
        tell_piece(output, job, job.piece, saved)


def tell_piece(output: Path, job: Job, piece: Piece, saved: way.Saved) -> None:
    scrap = piece.of.scrap
    click.echo(job_text(output, job, saved.verdict, saved.files))
    size = f"{scrap.length_mm:.1f} mm long, {scrap.width_mm:.1f} mm wide, {scrap.thickness_mm:.2f} mm thick"
    click.echo(f"for {'a strip' if piece.of.setup.kind == 'strip' else 'scrap'} {size}")
    click.echo(piece_text(piece.of, saved.sizes))
    for name in saved.stale:
        click.echo(f"removed {name}, of the earlier job")
    say("Proved against the piece. First run above the work, spindle off, hand on the stop.")


def told_data(output: Path, piece: Piece, saved: way.Saved, warnings: tuple[Problem, ...]) -> dict[str, Any]:
    return {
        "folder": str(output),
        "files": [*saved.files, "job.json"],
        "removed": saved.stale,
        "kept": saved.kept,
        "scrap": asdict(piece.of.scrap),
        **piece_data(piece.of, saved.sizes),
        "warnings": [asdict(problem) for problem in warnings],
        "proof": verdict_data(saved.verdict),
    }
