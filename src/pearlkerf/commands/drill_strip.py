"""``drill-strip``: a strip to drill a board's side dots through by hand."""

import json
from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.asked import wish_option
from pearlkerf.commands.coupon import tell_piece, told_data
from pearlkerf.commands.folder import save_told
from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE, need_machine
from pearlkerf.commands.talk import Steps, told_errors, warn
from pearlkerf.machine.reader import read_machine, read_profile_bytes


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The folder.")
@click.option(
    "--strip", metavar="LxWxT", help="The strip's length, width and thickness; else as long as needed, 8 mm thick."
)
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def drill_strip(
    board: Path, machine_name: str | None, output: Path, strip: str | None, force: bool, as_json: bool, verbose: bool
) -> None:
    """Make a proved program for a flat strip with the side dots' holes of BOARD, to drill its edge by hand.

    For who has no height to stand the board on its edge.  The strip is clamped on the bass edge, board
    and strip on one flat bench, its nut end against the board's; a drill in its holes finds every place.
    """
    name = need_machine(machine_name)
    with told_errors(as_json), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        machine = read_machine(name)
        wish = wish_option("strip", strip, (None, None, None), None, look)
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
