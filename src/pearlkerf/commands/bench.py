"""``bench``: the bench page, for who would rather see a board than type a file."""

import webbrowser
from pathlib import Path

import click

from pearlkerf.commands.talk import say, told_errors


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False, exists=True), default=".", required=False)
@click.option("--no-browser", is_flag=True, help="Only print the address; open it yourself, once.")
def bench(folder: Path, no_browser: bool) -> None:
    """Open a page in the browser for the boards of FOLDER: draw, mend, make, print, without typing a file.

    It answers on this machine alone, and needs no network.  FOLDER is where boards and jobs lie, here if not said.
    Ctrl-C ends it; everything on the page is saved by then.
    """
    from pearlkerf.bench.server import Bench

    with told_errors():
        at = Bench(folder.resolve())
    click.echo(at.door.address)
    say("The bench is open; the address serves once. Ctrl-C closes it.")
    if not no_browser:
        webbrowser.open(at.door.address)
    try:
        at.serve()
    except KeyboardInterrupt:
        say("The bench is closed.")
