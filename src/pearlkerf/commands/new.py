"""``new``: a starter board file."""

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from pearlkerf.board.instruments import INSTRUMENTS, Instrument, find_instrument, near_instrument
from pearlkerf.board.spoken import lacks_unit, spoken_length
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.commands.files import write
from pearlkerf.commands.options import FORCE
from pearlkerf.commands.talk import told_errors
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import Unit, told_in

DOTS = ("face and side", "side", "none")
HANDS, UNITS = ("right", "left"), ("mm", "in")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--instrument", help='Such as "steel-string guitar", or "steel"; a wrong name lists them all.')
@click.option("--scale", help='Scale length with its unit, such as "25.4 in" or "650 mm".')
@click.option("--frets", type=int, help="Number of frets.")
@click.option("--dots", type=click.Choice(DOTS), help="Where dots go.")
@click.option("--hand", type=click.Choice(HANDS), help="For whom the board is.")
@click.option("--unit", type=click.Choice(UNITS), help="Of the file's bare numbers; mm if not said.")
@click.option("--wood", help="The board's wood.")
@click.option("--tang", help='The fretwire\'s bare tang as measured, such as "0.52 mm"; the slot is made for it.')
@click.option("--nut-width", help='Width at the nut with its unit, such as "1 3/4 in".')
@click.option("--width-at-twelfth", "width_at_12", help="Width at fret 12 with its unit.")
@click.option("--title", help="What the board is called.")
@FORCE
def new(file: Path, force: bool, title: str | None, **options: str | int | None) -> None:
    """Write a starter board file, commented, to change.

    Asks a few questions where it runs at a terminal; options answer them.
    """
    answers = _answers(file.stem if title is None else title, options)
    try:
        text = starter_text(answers)
    except Refusal as refusal:
        wrong = refusal.problems[0]
        raise click.UsageError(f"--{wrong.key}: {wrong.found} ({wrong.allowed}).") from None
    with told_errors():
        write(file, text.encode("utf-8"), force)
    click.echo(f"wrote {file}; next: pearlkerf check {file}")


def _answers(title: str, options: dict[str, str | int | None]) -> Answers:
    """Give what options say, and what a person at a terminal answers to the rest."""
    given = {name: None if value is None else str(value) for name, value in options.items()}
    kind = _instrument(given["instrument"])
    unit = _ask("Unit of the file's bare numbers", given["unit"], "mm", _one_of(UNITS))
    width, at_12 = (told_in(each, "in" if unit == "in" else "mm", 1) for each in (kind.nut_width, kind.width_at_12))
    return Answers(
        instrument=kind.name,
        title=title,
        hand=_ask("Hand", given["hand"], "right", _one_of(HANDS)),  # type: ignore[arg-type]
        scale=_ask("Scale length, with its unit", given["scale"], kind.scale, _length),
        frets=int(_ask("Frets", given["frets"], str(kind.frets), _whole)),
        dots=_ask("Dots", given["dots"], DOTS[0] if kind.face else DOTS[1], _one_of(DOTS)),  # type: ignore[arg-type]
        wood=_ask("Wood", given["wood"], "ebony", str.strip),
        unit=unit,  # type: ignore[arg-type]
        tang=_asked(_ask("The fretwire's bare tang, as measured", given["tang"], NOT_YET, _length_or_not)),
        nut_width=_ask("Width at the nut", given["nut_width"], width, _length) if _said(given, "nut_width") else None,
        width_at_12=_ask("Width at fret 12", given["width_at_12"], at_12, _length)
        if _said(given, "width_at_12") else None,
    )  # fmt: skip


NOT_YET = "not yet"


def at_terminal() -> bool:
    """Say whether a person is there to be asked."""
    return sys.stdin.isatty()


def _asked(answer: str) -> str | None:
    return None if answer == NOT_YET else answer


def _said(given: dict[str, str | None], name: str) -> bool:
    """Say whether an option was given, or a person is there to be asked."""
    return given[name] is not None or at_terminal()


def _instrument(called: str | None) -> Instrument:
    if called is None and at_terminal():
        click.echo(f"Instruments: {', '.join(INSTRUMENTS)}.", err=True)
    return INSTRUMENTS[_ask("Instrument", called, "steel-string guitar", _known)]


def _known(called: str) -> str:
    """Give the full name of an instrument; raises UsageError for one that is not known."""
    found = find_instrument(called)
    if found is not None:
        return found.name
    near = near_instrument(called)
    known = f"Did you mean '{near}'?" if near else f"Known are {', '.join(INSTRUMENTS)}."
    raise click.UsageError(f"Unknown instrument '{called}'. {known}")


def _one_of(words: Sequence[str]) -> Callable[[str], str]:
    def take(answer: str) -> str:
        if answer.strip().lower() not in words:
            raise click.UsageError(f"'{answer}' is not one of {', '.join(words)}.")
        return answer.strip().lower()

    return take


def _whole(answer: str) -> str:
    try:
        return str(int(answer))
    except ValueError:
        raise click.UsageError(f"'{answer}' is not a whole number.") from None


def _length(answer: str) -> str:
    """Give a length with its unit, which is asked for where nobody said it; raises UsageError."""
    unit: Unit | None = None
    if lacks_unit(answer) and at_terminal():
        unit = _unit(click.prompt(f"{answer.strip()} of which unit", value_proc=_one_of(UNITS), err=True))
    try:
        return spoken_length(answer, unit)
    except Refusal as refusal:
        wrong = refusal.problems[0]
        raise click.UsageError(f"{wrong.found} ({wrong.allowed}).") from None


def _unit(word: str) -> Unit:
    return "in" if word == "in" else "mm"


def _length_or_not(answer: str) -> str:
    return answer if answer == NOT_YET else _length(answer)


def _ask(label: str, given: str | None, default: str, take: Callable[[str], str]) -> str:
    """Give an option's value; where a person sits at a terminal ask for it, again after a wrong answer."""
    if given is not None:
        try:
            return take(given)
        except click.UsageError as wrong:
            raise click.UsageError(f"{label}: {wrong.message}") from None
    if not at_terminal():
        return default
    return str(click.prompt(label, default=default, value_proc=take, err=True))
