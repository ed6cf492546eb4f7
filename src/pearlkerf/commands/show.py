"""``show``: the dry-run page of any program."""

from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.files import keep, read_program, write
from pearlkerf.commands.options import FORCE, MACHINE
from pearlkerf.commands.talk import NOT_PROVED, say, told_errors
from pearlkerf.machine.reader import profile_path, read_machine


@click.command()
@click.argument("program", type=click.Path(path_type=Path))
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The page; else beside PROGRAM.")
@FORCE
def show(program: Path, machine_name: str | None, output: Path | None, force: bool) -> None:
    """Draw the dry-run page of any RS-274 PROGRAM; no board is held against it.

    With a machine its cutters are known, and the times are those of that machine.
    """
    page = program.with_suffix(".html") if output is None else output
    with told_errors():
        machine = None if machine_name is None else read_machine(machine_name)
        keep(page, force, [program, *([] if machine_name is None else [profile_path(machine_name)])])
        text = read_program(program, program.name)
        drawn, findings = way.show(text, machine)
        write(page, drawn, force)
    click.echo(f"wrote {page}")
    for finding in findings:
        say(str(finding))
    if findings:
        raise SystemExit(NOT_PROVED)
