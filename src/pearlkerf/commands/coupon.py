"""``coupon``: fit coupons and calibration pieces for scrap."""

from pathlib import Path

import click

from pearlkerf.commands.asked import wish_option
from pearlkerf.commands.on_scrap import Asked, make_on_scrap
from pearlkerf.commands.options import (
    BOARD,
    JSON,
    LARGEST,
    MACHINE,
    ONLY_TRIED,
    SCRAP,
    SMALLEST,
    STEP,
    VERBOSE,
    need_machine,
)
from pearlkerf.jobs.pieces import Kind, Wish

KINDS = ("fits", "calibration")


@click.command()
@BOARD
@MACHINE
@click.option("-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="The folder.")
@click.option("--kind", type=click.Choice(KINDS), default="fits", show_default=True, help="What is cut.")
@SCRAP
@SMALLEST
@LARGEST
@STEP
@ONLY_TRIED
@click.option(
    "--cutter", type=int, help="The cutter of a calibration piece, by its number; else the board's widest mill."
)
@click.option("--force", is_flag=True, help="Overwrite files in DIR that no earlier job lists.")
@JSON
@VERBOSE
def coupon(
    board: Path,
    machine_name: str | None,
    output: Path,
    kind: Kind,
    scrap: str | None,
    smallest: str | None,
    largest: str | None,
    step: str | None,
    only: tuple[str, ...],
    cutter: int | None,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Make proved programs for scrap: pockets, slots and holes of BOARD in steps of size, or a calibration piece.

    Cut by the cutters, strategies and feeds of the board, each size marked by notches.  What fits goes
    into the board file as fit.  Bare numbers of lengths are in the board file's unit, or say one, such
    as "2 thou".
    """
    need_machine(machine_name)
    if kind == "fits" and cutter is not None:
        raise click.UsageError("--cutter goes with --kind calibration; a fit coupon is cut by the board's cutters")
    if kind != "fits" and only:
        raise click.UsageError("--only goes with --kind fits; a calibration piece has groups of no board")
    make_on_scrap(
        Asked(board, machine_name, output, force, as_json, verbose),
        lambda look: wish_option(Wish(kind, cutter=cutter, only=only), scrap, (smallest, largest, step), look),
    )
