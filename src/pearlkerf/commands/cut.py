"""``cut``: proved programs, the dry-run page and the job card."""

from pathlib import Path
from typing import Final

import click

from pearlkerf import way
from pearlkerf.commands.asked import height_option, marks_option
from pearlkerf.commands.folder import save_told, tell_job
from pearlkerf.commands.options import AT, BOARD, JSON, MACHINE, POINT_HEIGHT, VERBOSE, need_machine
from pearlkerf.commands.talk import Steps, told_errors, warn
from pearlkerf.machine.reader import read_machine, read_profile_bytes
from pearlkerf.setups.dry_run import POINTING_OPTION
from pearlkerf.setups.selection import Choice

# what stands in the place of pointing runs that were not asked for
POINTING_NOT_MADE: Final = f"look at every place: {POINTING_OPTION} writes pointing runs"


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The job's folder.")
@click.option("--from", "start", metavar="CUT", help='Only from this cut on, such as "fret 11".')
@click.option(
    "--only", multiple=True, metavar="CUTS", help='Only these: "frets", "face dots 3-9", "fret 7". Repeatable.'
)
@AT
@click.option(
    "--pointing", is_flag=True, help="Also programs that only show: spindle off, a stop with the tip over every place."
)
@POINT_HEIGHT
@click.option("--carrier", is_flag=True, help="The carrier's dowel holes in place of the board.")
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def cut(
    board: Path,
    machine_name: str | None,
    output: Path,
    start: str | None,
    only: tuple[str, ...],
    at: tuple[str, ...],
    pointing: bool,
    point_height: str | None,
    carrier: bool,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Make proved programs for BOARD in the folder DIR, with the dry-run page and the job card."""
    name = need_machine(machine_name)
    if carrier and (start is not None or only or at):
        raise click.UsageError("--carrier drills all of a carrier; leave --from, --only and --at out.")
    with told_errors(as_json), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        look = way.as_measured(look, marks_option(at, look))
        machine = read_machine(name)
        height = height_option(point_height, pointing, look)
        tell("planning and writing the programs")
        job = way.plan(look, machine, way.Order(Choice(start, only), carrier, pointing, height))
        made = way.make(job, look.read.text, read_profile_bytes(name), look.read.files)
        warn(look.warnings_of(job))
        saved = save_told(made, output, force, as_json, tell)
    shown = "the pointing runs" if any(each.setup.purpose == "point" for each in job.toolpaths) else POINTING_NOT_MADE
    word = f"Proved against the board. First {shown}, a pointed pin in the collet; then the first slot in scrap."
    tell_job(output, job, saved, as_json, word)
