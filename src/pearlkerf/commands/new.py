"""``new``: a starter board file."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from pearlkerf.board.starter import INSTRUMENTS, Answers, starter_text
from pearlkerf.commands.files import write
from pearlkerf.commands.options import FORCE
from pearlkerf.commands.talk import told_errors
from pearlkerf.errors import Refusal
from pearlkerf.files.toml_values import nearest

DOTS = ("face and side", "side", "none")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--instrument", help='Such as "steel-string guitar"; a wrong name lists them all.')
@click.option("--scale", help='Scale length with its unit, such as "25.4 in" or "650 mm".')
@click.option("--frets", type=int, help="Number of frets.")
@click.option("--dots", type=click.Choice(DOTS), help="Where dots go.")
@click.option("--hand", type=click.Choice(["right", "left"]), help="For whom the board is.")
@click.option(
    "--unit", type=click.Choice(["mm", "in"]), default="mm", help="Of the file's bare numbers; mm if not said."
)
@click.option("--wood", help="The board's wood.")
@click.option("--title", help="What the board is called.")
@FORCE
def new(
    file: Path,
    instrument: str | None,
    scale: str | None,
    frets: int | None,
    dots: str | None,
    hand: str | None,
    unit: str,
    wood: str | None,
    title: str | None,
    force: bool,
) -> None:
    """Write a starter board file, commented, to change.

    Asks a few questions where it runs at a terminal; options answer them.
    """
    kind = _ask(f"Instrument ({', '.join(INSTRUMENTS)})", instrument, "steel-string guitar")
    if kind not in INSTRUMENTS:
        near = nearest(kind, list(INSTRUMENTS))
        known = f"Did you mean '{near}'?" if near else f"Known are {', '.join(INSTRUMENTS)}."
        raise click.UsageError(f"Unknown instrument '{kind}'. {known}")
    usual = INSTRUMENTS[kind]
    where = "face and side" if usual.face_frets else "side"
    answers = Answers(
        instrument=kind,
        title=file.stem if title is None else title,
        scale=_ask("Scale length, with its unit", scale, usual.scale),
        frets=_ask_number("Frets", frets, usual.frets),
        dots=_ask("Dots", dots, where, DOTS),  # type: ignore[arg-type]
        hand=hand or "right",  # type: ignore[arg-type]
        wood="ebony" if wood is None else wood,
        unit=unit,  # type: ignore[arg-type]
    )
    try:
        text = starter_text(answers)
    except Refusal as refusal:
        wrong = refusal.problems[0]
        raise click.UsageError(f"--{wrong.key}: {wrong.found} ({wrong.allowed}).") from None
    with told_errors():
        write(file, text.encode("utf-8"), force)
    click.echo(f"wrote {file}; next: pearlkerf check {file}")


def _ask(label: str, given: str | None, default: str, among: Sequence[str] = ()) -> str:
    """Give an option's value, or ask for it where a person sits at a terminal, until it is one ``among`` these."""
    if given is not None or not sys.stdin.isatty():
        return default if given is None else given
    return str(click.prompt(label, default=default, type=click.Choice(among) if among else str, err=True))


def _ask_number(label: str, given: int | None, default: int) -> int:
    """Give an option's value, or ask for a whole number where a person sits at a terminal."""
    if given is not None or not sys.stdin.isatty():
        return default if given is None else given
    return int(click.prompt(label, default=default, type=int, err=True))
