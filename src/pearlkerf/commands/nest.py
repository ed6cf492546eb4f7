"""``nest``: a closer packing of pieces on their blanks, written into the board file."""

from pathlib import Path

import click

from pearlkerf import way
from pearlkerf.commands.options import BOARD, MACHINE, VERBOSE, need_machine
from pearlkerf.commands.talk import Steps, say, told_errors
from pearlkerf.files.whole import NotAsItWas, replace_file
from pearlkerf.jobs.nests import Nested, nested_text
from pearlkerf.machine.reader import read_machine


@click.command()
@BOARD
@MACHINE
@click.option("--seconds", type=click.IntRange(1, 600), default=10, help="How long to look; 10 if not said.")
@VERBOSE
def nest(board: Path, machine_name: str | None, seconds: int, verbose: bool) -> None:
    """Look for a closer packing of the pieces of BOARD on their blanks, and write it into BOARD."""
    name = need_machine(machine_name)
    with told_errors(), Steps(verbose) as tell:
        tell("reading and laying out")
        look = way.look_at(board)
        look.right()
        machine = read_machine(name)
        tell("looking for a closer packing")
        found = way.nest(look, machine, seconds)
        for each in found:
            click.echo(_told(each))
        if not any(each.added for each in found):
            say("The file stays as it is.")
            return
        text = nested_text(look.read, found)
        _write(board, look.read.text, text)
    say(f"{board} has the places now; pieces follow them.")


def _told(nested: Nested) -> str:
    asked = nested.asked
    used = len({each.blank for each in nested.boxes})
    as_boxes = f"{asked.material}: {len(nested.boxes)} of {len(asked.pieces)} pieces on {used} blanks as boxes"
    if nested.closer is None:
        return f"{as_boxes}; no closer packing was found"
    return f"{as_boxes}; all of them on {len({each.blank for each in nested.closer})}, closer"


def _write(path: Path, was: bytes, text: str) -> None:
    """Write a board file, unless somebody else has meanwhile."""
    try:
        replace_file(path, text.encode("utf-8"), lambda now: now == was)
    except NotAsItWas:
        raise OSError(f"{path} was changed while it was packed; nothing is written") from None
