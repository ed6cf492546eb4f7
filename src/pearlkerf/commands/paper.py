"""``paper``: the 1:1 template."""

from pathlib import Path
from typing import Literal

import click

from pearlkerf.commands.options import BOARD
from pearlkerf.commands.reading import lay_out_file
from pearlkerf.commands.talk import told_errors, warn


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
def paper(board: Path, output: Path, sheet: Literal["A4", "Letter"]) -> None:
    """Draw the 1:1 paper template of BOARD."""
    from pearlkerf.pictures.paper import paper as template

    with told_errors():
        read, layout = lay_out_file(board)
        makers = {
            ".pdf": lambda: template.draw_template(layout, sheet),
            ".svg": lambda: template.layout_svg(layout),
            ".dxf": lambda: template.layout_dxf(layout),
            ".csv": lambda: template.layout_csv(layout),
        }
        make = makers.get(output.suffix.lower())
        if make is None:
            raise click.UsageError(f"{output}: FILE must end in .pdf, .svg, .dxf or .csv")
        warn(read.places.put(problem) for problem in layout.warnings)
        output.write_bytes(make())
    click.echo(f"wrote {output}")
