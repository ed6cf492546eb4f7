"""``prove``: hold any programs against a board and a machine."""

from collections.abc import Sequence
from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.asked import height_option, marks_option, named_wish
from pearlkerf.commands.files import keep, read_program, tell_changed, write
from pearlkerf.commands.options import (
    AT,
    BOARD,
    FORCE,
    JSON,
    LARGEST,
    MACHINE,
    POINT_HEIGHT,
    SCRAP,
    SMALLEST,
    STEP,
    VERBOSE,
    need_machine,
    usage,
)
from pearlkerf.commands.talk import NOT_PROVED, Steps, say, tell_verdict, told_errors
from pearlkerf.jobs.proving import claims_in_words, cut_apart, other_marks
from pearlkerf.machine.reader import profile_path, read_machine
from pearlkerf.proof.identity import Assumed, SetupUnknown
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText
from pearlkerf.reading.second_opinion import need_second_reader


@click.command()
@click.argument("programs", nargs=-1, type=click.Path(path_type=Path))
@BOARD
@MACHINE
@click.option("--setup", metavar="SETUP", help='The setup, such as "face", where no program says it.')
@click.option("--cutter", "cutters", type=int, multiple=True, help="The cutter's number; once for each, in order.")
@AT
@click.option("--pointing", is_flag=True, help="The programs are pointing runs, where they do not say so themselves.")
@POINT_HEIGHT
@SCRAP
@SMALLEST
@LARGEST
@STEP
@click.option(
    "--tries", metavar="WHAT", help='What a coupon tries, as its job.json says it: "frets", "inlay 3/pockets".'
)
@click.option(
    "--second-reader", is_flag=True, help="Have another library read them too; where it differs is a finding."
)
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
    tries: str | None,
    second_reader: bool,
    page: Path | None,
    force: bool,
    as_json: bool,
    verbose: bool,
) -> None:
    """Hold any PROGRAMS, edited by hand too, against BOARD and a machine.

    The page of a program that fails opens at the finding.  Programs on scrap say what scrap they are
    for; where they do not, say it with --setup coupon (or calibration), --scrap, --tries and the sizes.
    """
    name = _needed(programs, board, machine_name)
    if second_reader:
        with usage():
            need_second_reader()
    with told_errors(as_json), Steps(verbose) as tell:
        keep(page, force, [*programs, board, profile_path(name)])
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        look = way.as_measured(look, marks_option(at, look))
        machine = read_machine(name)
        texts = _texts(programs, look, name)
        described = (scrap, (smallest, largest, step), tries)
        wish = named_wish(setup, described, cutters[0] if cutters else None, look)
        height = height_option(point_height, pointing, look)
        tell("reading back and proving")
        try:
            held = way.prove(look, machine, texts, Assumed(setup, cutters, "point" if pointing else "", height), wish)
        except SetupUnknown as unknown:
            raise click.UsageError(f"{unknown} Say it with --setup and --cutter.") from None
        if second_reader:
            tell("reading with the second reader")
            held = way.read_twice(held, texts)
        _draw(held, page, force, tell)
    _tell(programs, held.verdict, page, as_json, _hints(held, texts, look))


def _needed(programs: tuple[Path, ...], board: Path, machine: str | None) -> str:
    """Give the machine's name; stops where none is given, or no board, for which the last of the files is taken."""
    if not programs or board.suffix.lower() in {path.suffix.lower() for path in programs}:
        raise click.UsageError(f"{board} is taken for the board, which comes last, behind the programs: "
                               "pearlkerf prove 1-face.nc my-board.toml -m MACHINE")  # fmt: skip
    return need_machine(machine)


def _texts(programs: tuple[Path, ...], look: way.Look, machine: str) -> list[ProgramText]:
    """Read the programs, and say where board or profile have changed since they were made."""
    tell_changed(programs, look, machine)
    return [read_program(path, str(path)) for path in programs]


def _draw(held: way.Held, page: Path | None, force: bool, tell: Steps) -> None:
    if page is not None:
        tell("drawing the page")
        write(page, way.draw_held(held), force)


def _hints(held: way.Held, texts: Sequence[ProgramText], look: way.Look) -> list[str]:
    """Give what may be meant by what the proof found."""
    marks = other_marks([text.text for text in texts], look.marks)
    apart = cut_apart(held.verdict, held.clampings.setups, held.machine)
    return [hint for hint in (marks, apart) if hint]


def _tell(programs: tuple[Path, ...], verdict: Verdict, page: Path | None, as_json: bool, hints: Sequence[str]) -> None:
    """Tell what the proof found, with hints; exits where that is anything."""
    tell_verdict(verdict, as_json)
    if page is not None:
        say(f"wrote {page}")
    if not verdict.proved:
        say(f"not proved: {len(verdict.findings)} finding{'' if len(verdict.findings) == 1 else 's'}")
        for hint in hints:
            say(f"  hint: {hint}")
        raise SystemExit(NOT_PROVED)
    if not as_json:
        click.echo(f"proved: {', '.join(str(path) for path in programs)}")
        for each in verdict.claims:
            whose = "" if len(verdict.claims) == 1 else f", {each.setup}"
            click.echo(f"proved{whose}: {claims_in_words(each)}")
