"""How the board lies: marks measured on it, as the command line says them."""

import re
from typing import TYPE_CHECKING

import click

from pearlkerf.commands.reading import lay_out_file
from pearlkerf.commands.scrap import length_option, unit_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from pearlkerf.board.reader import BoardFile
    from pearlkerf.files.lengths import Unit
    from pearlkerf.setups.marks import Mark
    from pearlkerf.setups.model import Clampings

AT = click.option(
    "--at",
    multiple=True,
    metavar="[SLOT=]X,Y",
    help='Where the centre line was measured: at the far end, "448.0,0.35", or at a slot, "fret 12=316.2,0.2"; '
    "the nut end is zero. Once or twice: the face is cut as the board lies.",
)
FORM = '"448.0,0.35" for the far end, or "fret 12=316.2,0.2" for a slot'

# a sentence of a program's head goes on in the next comment
_ONWARD = re.compile(r"\)\r?\n(?:N\d+ ?)?\(- ", re.ASCII)


def lay_out_turned(path: "Path", at: "Sequence[str]") -> "tuple[BoardFile, Clampings, tuple[Mark, ...]]":
    """Read and lay out a board as the marks of the command line say that it lies.

    Bare numbers are in the board file's unit.  Raises Refusal with every mistake of the file, or of the marks.
    """
    from pearlkerf.setups.marks import turn_to_marks
    from pearlkerf.setups.set_up import set_up

    read, layout = lay_out_file(path)
    marks = tuple(_mark(text, unit_of(read)) for text in at)
    return read, turn_to_marks(set_up(layout), marks), marks


def _mark(text: str, unit: "Unit") -> "Mark":
    from pearlkerf.setups.marks import FAR_END, Mark

    name, equals, place = text.rpartition("=")
    parts = place.split(",")
    if len(parts) != len(("x", "y")) or (equals and not name.strip()):
        raise click.UsageError(f'--at: "{text[:80]}" is not a mark and its place; write {FORM}')
    x, y = (length_option(part.strip(), f'--at "{text[:80]}"', unit) for part in parts)
    return Mark(" ".join(name.lower().split()) or FAR_END, (x, y))


def hint_at_marks(texts: "Sequence[bytes]", marks: "Sequence[Mark]") -> str:
    """Say so where programs tell of other marks in their heads than the command line; else nothing."""
    heads = [_ONWARD.sub(" ", text.decode("ascii", errors="replace")) for text in texts]
    told = [head for head in heads if " --at " in head]
    if all(f" --at {mark.written}" in head for head in told for mark in marks) if marks else not told:
        return ""
    return "these programs say with which --at they were made; say the same, where the board still lies so"
