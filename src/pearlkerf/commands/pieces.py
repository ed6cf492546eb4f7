"""``pieces``: proved programs that cut the pieces of inlays from their blanks."""

import json
from pathlib import Path
from typing import Final

import click

from pearlkerf import way
from pearlkerf.commands.folder import save_told, saved_data, tell_job
from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE, need_machine, usage
from pearlkerf.commands.talk import Steps, told_errors, verdict_data, warn
from pearlkerf.commands.used import tell_used, used_data
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.machine.reader import read_machine, read_profile_bytes
from pearlkerf.setups.asked import asked_apart_mm
from pearlkerf.setups.piece_setups import USUAL_APART_MM

PROVED: Final = "Proved against the board: every piece goes into its pocket as that is drawn for this machine."


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The job's folder.")
@click.option(
    "--only", multiple=True, metavar="PIECES", help='Only these: "wave 5/3", "wave 5", "wave", "face dots". Repeatable.'
)
@click.option("--spares", type=click.IntRange(0, 9), default=0, help="So many more of each piece; none if not said.")
@click.option("--apart", metavar="LENGTH", help="Between the blanks of a row; 10 mm if not said.")
@click.option(
    "--pointing", is_flag=True, help="Also programs that only show: spindle off, a stop with the tip over every piece."
)
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def pieces(
    board: Path,
    machine_name: str | None,
    output: Path,
    only: tuple[str, ...],
    spares: int,
    apart: str | None,
    pointing: bool,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Make proved programs that cut the pieces of BOARD's inlays from their blanks, with page and card."""
    name = need_machine(machine_name)
    with told_errors(as_json), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        machine = read_machine(name)
        with usage(look.unit):
            wish = PiecesWish(only, spares, USUAL_APART_MM if apart is None else asked_apart_mm(apart, look.unit))
        tell("laying pieces on blanks and writing the programs")
        job = way.plan_pieces(look, machine, wish, pointing=pointing)
        made = way.make(job, look.read.text, read_profile_bytes(name), look.read.files)
        warn(look.warnings_of(job))
        saved = save_told(made, output, force, as_json, tell)
    if as_json:
        data = {**saved_data(output, saved), **used_data(job), "proof": verdict_data(saved.verdict)}
        click.echo(json.dumps(data, indent=2))
        return
    tell_job(output, job, saved, as_json, PROVED)
    tell_used(job)
