"""``phone``: a made job as one file, for the phone at the machine."""

from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.files import keep, write
from pearlkerf.commands.options import FORCE, MACHINE
from pearlkerf.commands.talk import told_errors
from pearlkerf.machine.reader import read_machine


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False, exists=True))
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The file; else DIR.html.")
@FORCE
def phone(folder: Path, machine_name: str | None, output: Path | None, force: bool) -> None:
    """Give the job in DIR as one file for the phone at the machine: dry run, pictures, card, a box for each step.

    With the machine that it was made for the steps say how long each program runs.
    """
    file = folder.with_name(f"{folder.name}.html") if output is None else output
    with told_errors():
        keep(file, force)
        write(file, way.phone(folder, None if machine_name is None else read_machine(machine_name)), force)
    click.echo(f"wrote {file}")
