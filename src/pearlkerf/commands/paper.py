"""``paper``: the 1:1 template."""

from pathlib import Path
from typing import Literal

import click

from pearlkerf import way
from pearlkerf.commands.files import keep, write
from pearlkerf.commands.options import BOARD, FORCE
from pearlkerf.commands.talk import told_errors, warn
from pearlkerf.pictures.paper.paper import draw_template, layout_csv, layout_dxf, layout_svg


@click.command()
@BOARD
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FILE",
    help="A .pdf at 1:1, or the same layout as .svg, .dxf or .csv.",
)
@click.option("--sheet", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Paper of the PDF.")
@FORCE
def paper(board: Path, output: Path, sheet: Literal["A4", "Letter"], force: bool) -> None:
    """Draw the 1:1 paper template of BOARD."""
    with told_errors():
        keep(output, force, [board])
        look = way.look_at(board)
        layout = look.right()
        makers = {
            ".pdf": lambda: draw_template(layout, sheet),
            ".svg": lambda: layout_svg(layout),
            ".dxf": lambda: layout_dxf(layout),
            ".csv": lambda: layout_csv(layout),
        }
        make = makers.get(output.suffix.lower())
        if make is None:
            raise click.UsageError(f"{output}: FILE must end in .pdf, .svg, .dxf or .csv")
        warn(look.warnings)
        write(output, make(), force)
    click.echo(f"wrote {output}")
