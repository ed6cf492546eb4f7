"""``cut``: proved programs, the dry-run page and the job card."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pearlkerf.commands.folder import Folder, Making, Saved, save_proved
from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE, need_machine
from pearlkerf.commands.placing import AT, lay_out_turned
from pearlkerf.commands.pointing import POINT_HEIGHT, POINTING, height_option
from pearlkerf.commands.reading import maker, plan_carrier_file, plan_file
from pearlkerf.commands.talk import Steps, say, told_errors, warn

if TYPE_CHECKING:
    from pearlkerf.job import Job


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The job's folder.")
@click.option("--from", "start", default="", metavar="CUT", help='Only from this cut on, such as "fret 11".')
@click.option(
    "--only", multiple=True, metavar="CUTS", help='Only these: "frets", "face dots 3-9", "fret 7". Repeatable.'
)
@AT
@POINTING
@POINT_HEIGHT
@click.option("--carrier", is_flag=True, help="The carrier's dowel holes in place of the board.")
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def cut(
    board: Path,
    machine_name: str | None,
    output: Path,
    start: str,
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
    machine_name = need_machine(machine_name)
    if carrier and (start or only or at):
        raise click.UsageError("--carrier drills all of a carrier; leave --from, --only and --at out.")
    from pearlkerf import job as way
    from pearlkerf.machine.reader import read_machine, read_profile_bytes
    from pearlkerf.setups.marks import asked_of
    from pearlkerf.setups.selection import Choice

    steps = Steps(verbose)
    with told_errors(as_json):
        with steps.step("reading and laying out"):
            read, clampings, marks = lay_out_turned(board, at)
            machine = read_machine(machine_name)
            height = height_option(point_height, pointing, read)
        with steps.step("planning and writing the programs"):
            choice = Choice(start, only)
            of = (read, clampings, machine)
            job = plan_carrier_file(*of) if carrier else plan_file(*of, choice)
            job = way.with_pointing(job, height) if pointing else job
            asked = {**choice.asked, **asked_of(clampings, marks), **job.asked}
            asked = {"carrier": True, **asked} if carrier else asked
            programs = way.make_programs(job, maker())
        warn(problem if problem.key.startswith("--") else read.places.put(problem) for problem in job.warnings)
        saved = save_proved(
            Folder(output, force, as_json, steps),
            Making(
                programs,
                lambda texts: way.prove_programs(job, texts),
                lambda verdict: way.draw(job, verdict),
                lambda files: way.job_file(read.text, read_profile_bytes(machine_name), files, maker(), asked),
            ),
        )
    _tell_job(output, job, saved, as_json)


def _tell_job(output: Path, job: "Job", saved: Saved, as_json: bool) -> None:
    from pearlkerf import tables

    if as_json:
        click.echo(json.dumps({"folder": str(output), "files": [*saved.files, "job.json"], "removed": saved.stale,
                               "proof": tables.verdict_data(saved.verdict)}, indent=2))  # fmt: skip
        return
    click.echo(tables.job_text(output, job, saved.verdict, saved.files))
    for name in saved.stale:
        click.echo(f"removed {name}, of the earlier job")
    say("Proved against the board. First run above the work, spindle off, hand on the stop; try it in scrap.")
