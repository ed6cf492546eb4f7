"""Arguments and options that several commands share."""

from pathlib import Path

import click

BOARD = click.argument("board", type=click.Path(path_type=Path))
MACHINE = click.option("-m", "--machine", "machine_name", metavar="MACHINE", help="A profile's name, or a path to one.")
JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object on standard output.")
VERBOSE = click.option("-v", "--verbose", is_flag=True, help="Say what is done, and how long it takes.")
FORCE = click.option("--force", is_flag=True, help="Overwrite a FILE that exists.")


def need_machine(name: str | None) -> str:
    """Give the machine's name; raises UsageError where none is given, which says how to find one."""
    if name is None:
        raise click.UsageError("Missing option '-m' / '--machine'. The profiles: pearlkerf machines")
    return name
