"""What the commands share that make a piece in a board's place: a coupon, a calibration piece, a drilling strip."""

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import click

from pearlkerf import way
from pearlkerf.commands.folder import save_told, saved_data, tell_removed
from pearlkerf.commands.job_tables import job_text
from pearlkerf.commands.options import need_machine
from pearlkerf.commands.piece_tables import blanks_told, piece_data, piece_text
from pearlkerf.commands.talk import Steps, say, told_errors, verdict_data, warn
from pearlkerf.commands.used import tell_used, used_data
from pearlkerf.errors import Problem
from pearlkerf.files.inches import in_unit
from pearlkerf.jobs.model import Job, Piece
from pearlkerf.jobs.pieces import Wish
from pearlkerf.machine.reader import read_machine, read_profile_bytes
from pearlkerf.setups.inlay_coupons import InlayCoupon


@dataclass(frozen=True, slots=True)
class Asked:
    """What every such command is asked: for which board, on which machine, into which folder, and how to tell of it."""

    board: Path
    machine: str | None
    output: Path
    force: bool
    as_json: bool
    verbose: bool


def make_on_scrap(asked: Asked, wish_of: Callable[[way.Look], Wish]) -> None:
    """Make the programs of a piece, prove and save them, and print what was made."""
    name, output = need_machine(asked.machine), asked.output
    with told_errors(asked.as_json), Steps(asked.verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(asked.board)
        look.right()
        machine = read_machine(name)
        wish = wish_of(look)
        tell("planning and writing the programs")
        job = way.plan_on_scrap(look, machine, wish)
        made = way.make(job, look.read.text, read_profile_bytes(name), look.read.files)
        warnings = look.warnings_of(job)
        warn(warnings)
        saved = save_told(made, output, asked.force, asked.as_json, tell)
    assert job.piece is not None
    if asked.as_json:
        click.echo(json.dumps({**_data(output, job.piece, saved, warnings), **_used(job)}, indent=2))
    else:
        _tell(output, job, job.piece, saved)


def _tell(output: Path, job: Job, piece: Piece, saved: way.Saved) -> None:
    scrap = piece.of.scrap
    click.echo(job_text(output, job, saved.verdict, saved.files))
    size = f"{scrap.length_mm:.1f} mm long, {scrap.width_mm:.1f} mm wide, {scrap.thickness_mm:.2f} mm thick"
    click.echo(f"for {'a strip' if piece.of.setup.kind == 'strip' else 'scrap'} {in_unit(size, job.unit)}")
    if isinstance(piece.of, InlayCoupon):
        click.echo(in_unit(blanks_told(piece.of), job.unit))
    click.echo(piece_text(piece.of, saved.sizes, job.unit))
    tell_removed(saved)
    if isinstance(piece.of, InlayCoupon):
        tell_used(job)
    say("Proved against the piece. Watch its first cut with a hand on the stop.")


def _used(job: Job) -> dict[str, Any]:
    assert job.piece is not None
    return used_data(job) if isinstance(job.piece.of, InlayCoupon) else {}


def _data(output: Path, piece: Piece, saved: way.Saved, warnings: tuple[Problem, ...]) -> dict[str, Any]:
    return {
        **saved_data(output, saved),
        "scrap": asdict(piece.of.scrap),
        **piece_data(piece.of, saved.sizes),
        "warnings": [asdict(problem) for problem in warnings],
        "proof": verdict_data(saved.verdict),
    }
