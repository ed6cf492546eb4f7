"""``prove``: hold any programs against a board and a machine."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pearlkerf.commands.options import (
    BOARD,
    FORCE,
    JSON,
    LARGEST,
    MACHINE,
    SCRAP,
    SMALLEST,
    STEP,
    VERBOSE,
    need_machine,
)
from pearlkerf.commands.placing import AT, hint_at_marks, lay_out_turned
from pearlkerf.commands.pointing import POINT_HEIGHT, SHOWS, purpose_option
from pearlkerf.commands.scrap import Wish, pieces_of, unit_of, wish_option
from pearlkerf.commands.talk import NOT_PROVED, Steps, keep, say, tell_verdict, told_errors

if TYPE_CHECKING:
    from pearlkerf.machine.model import Machine
    from pearlkerf.proof.verdict import Verdict
    from pearlkerf.reading.motions import ProgramText
    from pearlkerf.setups.model import Clampings


@click.command()
@click.argument("programs", nargs=-1, required=True, type=click.Path(path_type=Path))
@BOARD
@MACHINE
@click.option("--setup", metavar="SETUP", help='The setup, such as "face", where no program says it.')
@click.option("--cutter", "cutters", type=int, multiple=True, help="The cutter's number; once for each, in order.")
@AT
@SHOWS
@POINT_HEIGHT
@SCRAP
@SMALLEST
@LARGEST
@STEP
@click.option("--page", type=click.Path(path_type=Path), metavar="FILE", help="Also draw the dry-run page, as .html.")
@FORCE
@JSON
@VERBOSE
def prove(
    programs: tuple[Path, ...],
    board: Path,
    machine_name: str | None,
    setup: str | None,
    cutters: tuple[int, ...],
    at: tuple[str, ...],
    pointing: bool,
    point_height: str | None,
    scrap: str | None,
    smallest: str | None,
    largest: str | None,
    step: str | None,
    page: Path | None,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Hold any PROGRAMS, edited by hand too, against BOARD and a machine.

    The page of a program that fails opens at the finding.  Programs on scrap say what scrap they are
    for; where they do not, say it with --setup coupon (or calibration), --scrap and the sizes.
    """
    machine_name = need_machine(machine_name)
    from pearlkerf import job as way
    from pearlkerf.machine.reader import read_machine
    from pearlkerf.proof.prove import Assumed, SetupUnknown
    from pearlkerf.proof.prove import prove as hold
    from pearlkerf.reading.motions import ProgramText

    steps = Steps(verbose)
    with told_errors(as_json):
        keep(page, force)
        with steps.step("reading and laying out"):
            read, clampings, marks = lay_out_turned(board, at)
            machine = read_machine(machine_name)
            texts = [ProgramText(str(path), path.read_bytes()) for path in programs]
            wish = wish_option(setup, (scrap, (smallest, largest, step)), cutters, unit_of(read))
            shows = purpose_option(pointing, point_height, read)
            clampings = _all_setups(clampings, machine, texts, wish)
        try:
            with steps.step("reading back and proving"):
                verdict = hold(texts, clampings.setups, machine, Assumed(setup, cutters, *shows))
        except SetupUnknown as unknown:
            raise click.UsageError(f"{unknown} Say it with --setup and --cutter.") from None
        if page is not None:
            with steps.step("drawing the page"):
                page.write_bytes(way.draw_dry_run(clampings, machine, verdict))
    _tell(programs, verdict, page, as_json, hint_at_marks([text.text for text in texts], marks))


def _tell(programs: Sequence[Path], verdict: "Verdict", page: Path | None, as_json: bool, hint: str) -> None:
    """Tell what the proof found, with a hint; exits where that is anything."""
    tell_verdict(verdict, as_json)
    if page is not None:
        say(f"wrote {page}")
    if not verdict.proved:
        say(f"not proved: {len(verdict.findings)} finding{'' if len(verdict.findings) == 1 else 's'}")
        if hint:
            say(f"  hint: {hint}")
        raise SystemExit(NOT_PROVED)
    if not as_json:
        click.echo(f"proved: {', '.join(str(path) for path in programs)}")


def _all_setups(
    clampings: "Clampings", machine: "Machine", texts: "Sequence[ProgramText]", wish: Wish | None
) -> "Clampings":
    """Give all setups that programs may be for: the board's, its carrier's, pieces on scrap, pointing runs."""
    from pearlkerf.job import to_prove
    from pearlkerf.setups.holding import with_holding

    pieces = pieces_of(texts, clampings, machine, wish)
    board = to_prove(clampings, machine)
    held = with_holding(replace(board, setups=(*board.setups, *pieces)), machine)
    runs = [replace(each, purpose="point") for each in held.setups[: len(board.setups)]]
    return replace(held, setups=(*held.setups, *runs))
