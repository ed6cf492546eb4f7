"""Files that a command reads and writes, one by one: never over another without a word, never over what it reads."""

from collections.abc import Iterable
from pathlib import Path

import click

from pearlkerf.commands.talk import NO_FILE, say
from pearlkerf.files.saving import is_unfinished
from pearlkerf.files.whole import read_program_file, replace_file
from pearlkerf.reading.motions import ProgramText


def read_program(path: Path, name: str) -> ProgramText:
    """Read a program, which is called ``name`` in what is told of it; warn where it may be of two jobs."""
    if is_unfinished(path.parent):
        say(f"warning: {path.parent} is unfinished, its programs may be of two jobs: say pearlkerf cut again")
    return ProgramText(name, read_program_file(path))


def keep(file: Path | None, force: bool, read: Iterable[Path] = ()) -> None:
    """Stop before a file that exists is overwritten, where nobody forces it, or where it is one that is read."""
    if file is None or not file.exists():
        return
    for each in read:
        if each.exists() and file.samefile(each):
            raise click.UsageError(f"{file} is {each}, which is read here; choose another name")
    if not force:
        say(f"{file} exists already; choose another name, or say --force")
        raise SystemExit(NO_FILE)


def write(file: Path, data: bytes, force: bool) -> None:
    """Write a file whole or not at all; stop where one has come there in the meantime."""
    keep(file, force)
    replace_file(file, data)
