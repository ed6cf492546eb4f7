"""What is said of blanks once pieces are cut from them: what the board file is to be told is gone."""

from typing import Any, Final

import click

from pearlkerf.commands.talk import say
from pearlkerf.files.inches import in_unit
from pearlkerf.jobs.model import Job
from pearlkerf.setups.used_places import UsedLine, used_lines, with_others

GONE: Final = (
    "Once they are cut, say in the board file what of the blanks is gone, each line in place of the used that stands "
    "in its table; then a broken piece is cut again with --only from what is left."
)


def tell_used(job: Job) -> None:
    """Say which lines the board file gets, one for each of its blanks."""
    say(in_unit(f"{GONE}{with_others(job.clampings.setups)}", job.unit))
    for each in _used(job):
        click.echo(f"{in_unit(each.of, job.unit)}: {each.line}")


def used_data(job: Job) -> dict[str, Any]:
    """Give the same as plain data: ``used``, each a ``line`` for one ``inlay_blank``, counted from 0."""
    return {"used": [{"inlay_blank": each.entry, "line": each.line} for each in _used(job)]}


def _used(job: Job) -> tuple[UsedLine, ...]:
    return used_lines(job.clampings.setups, job.clampings.layout.board.inlay_blanks, job.unit)
