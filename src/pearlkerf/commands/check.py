"""``check``: everything that is wrong with a board, or its positions and depths."""

import json
from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE
from pearlkerf.commands.tables import layout_data, layout_text
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
    job = None
    with told_errors(as_json), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        layout = look.right()
        if machine_name is not None:
            from pearlkerf.machine.reader import read_machine

            tell("planning")
            job = way.plan(look, read_machine(machine_name))
    warnings = look.warnings_of(job) if job else look.warnings
    warn(warnings)
    text, data = [layout_text(layout, look.unit)], layout_data(layout, warnings)
    if job is not None:
        from pearlkerf.commands.job_tables import cutters_data, cutters_text

        text, data = ([], {**data, **cutters_data(job)}) if as_json else ([*text, cutters_text(job)], {})
    click.echo(json.dumps(data, indent=2) if as_json else "\n\n".join(text))
