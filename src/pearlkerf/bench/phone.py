"""The job as one file for the phone at the machine: its dry-run page, with a box to tick for each thing that hands do.

It needs no network and no script of its own: the page's policy stays as it is, boxes tick by themselves.
"""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from typing import Any, Final

from pearlkerf.bench.wrong import CannotBe

MAIN: Final = b"<main>"


def phone_page(dry_run: bytes, programs: Sequence[Mapping[str, Any]]) -> bytes:
    """Give the dry-run page of a job with its steps before the picture; raises CannotBe for a page of another kind."""
    head, main, rest = dry_run.partition(MAIN)
    if not main:
        raise CannotBe("The dry-run page is not one of this tool's: make the job again.", 409)
    return head + main + _steps(programs).encode("utf-8") + rest


def _steps(programs: Sequence[Mapping[str, Any]]) -> str:
    parts = []
    for setup, runs in groupby(programs, key=lambda each: str(each["setup"])):
        lines = "".join(f'<li><label><input type="checkbox"> {step}</label></li>' for step in _of_setup(setup, runs))
        parts.append(f"<h3>{escape(setup or 'programs')}</h3><ol>{lines}</ol>")
    return f'<section class="sheet wide" aria-label="Steps"><h2>At the machine</h2>{"".join(parts)}</section>'


def _of_setup(setup: str, runs: Iterator[Mapping[str, Any]]) -> Iterator[str]:
    yield f"The wood lies and is held as shown for the {escape(setup)} setup; X and Y are zeroed"
    for run in runs:
        cutters = ", ".join(map(str, run["cutters"]))
        what = (
            "a pointing run, spindle off" if run["purpose"] == "point" else f"cutter {cutters} is in, Z zeroed with it"
        )
        yield f"{escape(str(run['file']))}: {what}"
        yield f"run, {_minutes(run)}, a hand on the stop"


def _minutes(run: Mapping[str, Any]) -> str:
    """Say how long a program runs.

    >>> _minutes({"shortest_s": 50.0, "longest_s": 71.0}), _minutes({"shortest_s": None, "longest_s": None})
    ('0:50 to 1:11', 'its time is not known')
    """
    if run["shortest_s"] is None:
        return "its time is not known"
    short, long = (f"{round(run[key]) // 60}:{round(run[key]) % 60:02d}" for key in ("shortest_s", "longest_s"))
    return short if short == long else f"{short} to {long}"
