"""Files that a command reads and writes, one by one: never over another without a word, never over what it reads."""

from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from pearlkerf.commands.talk import NO_FILE, say
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import JOB_FILE, is_unfinished, made_from
from pearlkerf.files.whole import read_program_file, replace_file
from pearlkerf.machine.reader import read_profile_bytes
from pearlkerf.reading.motions import ProgramText
from pearlkerf.way import Look


def read_program(path: Path, name: str) -> ProgramText:
    """Read a program, which is called ``name`` in what is told of it; warn where it may be of two jobs."""
    if is_unfinished(path.parent):
        say(f"warning: {path.parent} is unfinished, its programs may be of two jobs: say pearlkerf cut again")
    return ProgramText(name, read_program_file(path))


def tell_changed(programs: Sequence[Path], look: Look, machine: str) -> None:
    """Say where board or profile are no longer what the programs were made from, by the record of their job."""
    board, profile = digest(look.read.text), digest(read_profile_bytes(machine))
    for folder, made in {path.parent: made_from(path) for path in programs}.items():
        for what, then, now in (("the board file", made and made.board_sha256, board),
                                (f"the profile {machine}", made and made.machine_sha256, profile)):  # fmt: skip
            if then and then != now:
                say(f"note: {what} is not as it was when {folder} was made, as {JOB_FILE} there says")


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
