"""A job as one file for the phone at the machine: its dry-run page, its card, a box to tick for each thing to do.

It needs no network and no script of its own: the page's policy stays as it is, boxes tick by themselves, and the
card lies in the file.
"""

import base64
from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby
from pathlib import Path
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import JOB_FILE, MadeFrom, recorded
from pearlkerf.files.whole import read_file
from pearlkerf.jobs.pages import PAGE
from pearlkerf.jobs.saved import SavedProgram, saved_programs
from pearlkerf.machine.model import Machine

MAIN: Final = b"<main>"
PRINTED: Final = ".pdf"
MOST_FILE_BYTES: Final = 64 << 20


def phone_of(folder: Path, machine: Machine | None) -> bytes:
    """Give the job of a folder as one file, with the times of a machine where that is known.

    Raises Refusal where the folder has no job, or its page or card are not as the job made them; OSError.
    """
    record = recorded(folder)
    if record is None:
        raise Refusal([Problem(f"{folder.name} holds no job: it has no {JOB_FILE}, or none that can be read",
                               "the folder of a job", "make it first, with pearlkerf cut")])  # fmt: skip
    page = _as_made(folder, PAGE, record)
    printed = {name: _as_made(folder, name, record) for name in record.files if name.endswith(PRINTED)}
    head, main, rest = page.partition(MAIN)
    if not main:
        raise _changed(PAGE)
    told = _steps(saved_programs(folder, record.files, machine)) + _cards(printed)
    return head + main + told.encode("utf-8") + rest


def _as_made(folder: Path, name: str, record: MadeFrom) -> bytes:
    """Give a file of a job as it was made."""
    data = read_file(folder / name, MOST_FILE_BYTES)
    if record.files.get(name) != digest(data):
        raise _changed(name)
    return data


def _changed(name: str) -> Refusal:
    return Refusal([Problem(f"{name} was changed since the job was made", f"as {JOB_FILE} lists it",
                            "make the job again")])  # fmt: skip


def _cards(printed: dict[str, bytes]) -> str:
    """Give what is printed with the job, whole in the file: a phone that takes it keeps it beside."""
    links = "".join(
        f'<p><a download="{escape(name)}" href="data:application/pdf;base64,{base64.b64encode(data).decode("ascii")}">'
        f"{escape(name)}</a></p>"
        for name, data in printed.items()
    )
    return f'<section class="sheet wide" aria-label="To print"><h2>To print, or to keep</h2>{links}</section>'


def _steps(programs: Sequence[SavedProgram]) -> str:
    parts = []
    for setup, runs in groupby(programs, key=lambda each: each.setup):
        lines = "".join(f'<li><label><input type="checkbox"> {step}</label></li>' for step in _of_setup(setup, runs))
        parts.append(f"<h3>{escape(setup or 'programs')}</h3><ol>{lines}</ol>")
    return f'<section class="sheet wide" aria-label="Steps"><h2>At the machine</h2>{"".join(parts)}</section>'


def _of_setup(setup: str, runs: Iterator[SavedProgram]) -> Iterator[str]:
    yield f"The wood lies and is held as shown for the {escape(setup)} setup; X and Y are zeroed"
    for run in runs:
        cutters = ", ".join(map(str, run.cutters))
        what = "a pointing run, spindle off" if run.purpose == "point" else f"cutter {cutters} is in, Z zeroed with it"
        yield f"{escape(run.file)}: {what}"
        yield f"run, {_minutes(run)}, a hand on the stop"


def _minutes(run: SavedProgram) -> str:
    """Say how long a program runs.

    >>> _minutes(SavedProgram("a.nc", shortest_s=50.0, longest_s=71.0)), _minutes(SavedProgram("a.nc"))
    ('0:50 to 1:11', 'its time is not known')
    """
    if run.shortest_s is None or run.longest_s is None:
        return "its time is not known"
    short, long = (f"{round(each) // 60}:{round(each) % 60:02d}" for each in (run.shortest_s, run.longest_s))
    return short if short == long else f"{short} to {long}"
