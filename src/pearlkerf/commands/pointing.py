"""Pointing runs: what the command line says of them."""

from typing import TYPE_CHECKING

import click

from pearlkerf.commands.scrap import length_option, unit_of

if TYPE_CHECKING:
    from pearlkerf.board.reader import BoardFile

POINTING = click.option(
    "--pointing", is_flag=True, help="Also programs that only show: spindle off, a stop with the tip over every place."
)
SHOWS = click.option(
    "--pointing", is_flag=True, help="The programs are pointing runs, where they do not say so themselves."
)
POINT_HEIGHT = click.option(
    "--point-height", metavar="HEIGHT", help="How high over the wood the tip stops; 1 mm if not said."
)


def height_option(text: str | None, pointing: bool, board: "BoardFile") -> float | None:
    """Give the height of the tip over the wood, mm, None where none is said; a bare number is in the board's unit."""
    if text is None:
        return None
    if not pointing:
        raise click.UsageError("--point-height goes with --pointing")
    return length_option(text, "--point-height", unit_of(board))


def purpose_option(pointing: bool, text: str | None, board: "BoardFile") -> tuple[str, float | None]:
    """Give what programs are for where they do not say it, "" for what their heads say, and their tip's height."""
    return "point" if pointing else "", height_option(text, pointing, board)
