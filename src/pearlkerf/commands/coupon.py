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
    OF,
    ONLY_TRIED,
    SCRAP,
    SMALLEST,
    STEP,
    VERBOSE,
    need_machine,
)
from pearlkerf.jobs.pieces import Kind, Wish
from pearlkerf.setups.tries import SEVERAL, OfOneInlay, Several

KINDS = ("fits", "inlay", "calibration")
STEPS_OF = click.option(
    "--steps-of", type=click.Choice(SEVERAL), help="With --kind inlay: what has steps of the gap; pockets if not said."
)


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
@OF
@STEPS_OF
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
    of: str | None,
    steps_of: Several | None,
    cutter: int | None,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Make proved programs for scrap: pockets, slots and holes of BOARD in steps of size, or a calibration piece.

    Cut by the cutters, strategies and feeds of the board, each size marked by notches.  What fits goes
    into the board file as fit.  With --kind inlay a piece is cut from its blank, and pockets for it in steps
    of its gap; what fits is the gap.  Bare numbers of lengths are in the board file's unit, or say one,
    such as "2 thou".
    """
    need_machine(machine_name)
    _belongs("--cutter", cutter is not None, kind == "calibration", "--kind calibration; others have the board's")
    _belongs("--only", bool(only), kind == "fits", "--kind fits; of --kind inlay say --of")
    _belongs("--of", of is not None, kind == "inlay", "--kind inlay")
    _belongs("--steps-of", steps_of is not None, kind == "inlay", "--kind inlay")
    if of is not None and not of.strip():
        raise click.UsageError("--of names no inlay: name one, or leave the option out")
    wish = Wish(kind, cutter=cutter, only=only, one=OfOneInlay(of or "", several=steps_of or "pockets"))
    make_on_scrap(
        Asked(board, machine_name, output, force, as_json, verbose),
        lambda look: wish_option(wish, scrap, (smallest, largest, step), look),
    )


def _belongs(option: str, said: bool, to_it: bool, kind: str) -> None:
    """Stop at an option that is said with another kind than its own."""
    if said and not to_it:
        raise click.UsageError(f"{option} goes with {kind}")
