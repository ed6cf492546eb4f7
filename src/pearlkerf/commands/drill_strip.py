"""``drill-strip``: a strip to drill a board's side dots through by hand."""

from pathlib import Path

import click

from pearlkerf.commands.asked import strip_option
from pearlkerf.commands.on_scrap import Asked, make_on_scrap
from pearlkerf.commands.options import BOARD, JSON, MACHINE, VERBOSE


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
    make_on_scrap(
        Asked(board, machine_name, output, force, as_json, verbose),
        lambda look: strip_option(strip, look),
    )
