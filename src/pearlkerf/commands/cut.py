"""``cut``: proved programs, the dry-run page and the job card."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE, need_machine
from pearlkerf.commands.reading import lay_out_file, maker, plan_file
from pearlkerf.commands.talk import NO_FILE, NOT_PROVED, Steps, say, tell_verdict, told_errors, warn

if TYPE_CHECKING:
    from pearlkerf.job import Job
    from pearlkerf.proof.motions import Verdict


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The job's folder.")
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def cut(board: Path, machine_name: str | None, output: Path, force: bool, as_json: bool, verbose: bool) -> None:
    """Make proved programs for BOARD in the folder DIR, with the dry-run page and the job card."""
    machine_name = need_machine(machine_name)
    from pearlkerf import job as way
    from pearlkerf import saving
    from pearlkerf.machine.reader import read_machine, read_profile_bytes

    steps = Steps(verbose)
    with told_errors(as_json):
        with steps.step("reading and laying out"):
            read, layout = lay_out_file(board)
            machine = read_machine(machine_name)
        with steps.step("planning and writing the programs"):
            job = plan_file(read, layout, machine)
            programs = way.make_programs(job, maker())
        warn(read.places.put(problem) for problem in job.warnings)
        with saving.staged(output) as stage:
            texts = saving.write_and_read_back(stage, {program.file: program.text for program in programs})
            with steps.step("reading back and proving"):
                verdict = way.prove_programs(job, texts)
            if not verdict.proved:
                tell_verdict(verdict, as_json)
                say("proof failed: nothing was saved")
                raise SystemExit(NOT_PROVED)
            with steps.step("drawing the pages"):
                pictures = way.draw(job, verdict)
            files = {**texts, **pictures}
            record = way.job_file(read.text, read_profile_bytes(machine_name), files, maker())
            saving.write_and_read_back(stage, {**pictures, saving.JOB_FILE: record})
            try:
                stale = saving.move_in(stage, output, names=(*files, saving.JOB_FILE), force=force)
            except saving.InTheWay as blocked:
                say(f"{output}: {', '.join(blocked.files)} would be overwritten; no earlier job made them as they are")
                say("  hint: choose another folder, or say --force; nothing was written")
                raise SystemExit(NO_FILE) from None
    _tell_job(output, job, verdict, tuple(files), stale, as_json)


def _tell_job(
    output: Path, job: "Job", verdict: "Verdict", files: tuple[str, ...], stale: tuple[str, ...], as_json: bool
) -> None:
    from pearlkerf import tables

    if as_json:
        click.echo(json.dumps({"folder": str(output), "files": [*files, "job.json"], "removed": stale,
                               "proof": tables.verdict_data(verdict)}, indent=2))  # fmt: skip
        return
    click.echo(tables.job_text(output, job, verdict, files))
    for name in stale:
        click.echo(f"removed {name}, of the earlier job")
    say("Proved against the board. First run above the work, spindle off, hand on the stop; try it in scrap.")
