"""``check``: everything that is wrong with a board, or its positions and depths."""

import json
from pathlib import Path

import click

from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE
from pearlkerf.commands.reading import lay_out_file, plan_file
from pearlkerf.commands.talk import Steps, told_errors, warn


@click.command()
@BOARD
@MACHINE
@JSON
@VERBOSE
def check(board: Path, machine_name: str | None, as_json: bool, verbose: bool) -> None:
    """Tell everything that is wrong with BOARD, at once; else its positions and depths.

    With a machine also which cutter takes what, at which speeds and feeds, and whether it all fits.
    """
    from pearlkerf import tables

    steps = Steps(verbose)
    with told_errors(as_json):
        with steps.step("reading and laying out"):
            read, layout = lay_out_file(board)
        job = None
        if machine_name is not None:
            from pearlkerf.machine.reader import read_machine
            from pearlkerf.setups.set_up import set_up

            with steps.step("planning"):
                job = plan_file(read, set_up(layout), read_machine(machine_name))
    warnings = [read.places.put(problem) for problem in (job.warnings if job else layout.warnings)]
    warn(warnings)
    if as_json:
        click.echo(json.dumps(tables.as_data(layout, job, warnings), indent=2))
    else:
        click.echo(tables.as_text(layout, job))
