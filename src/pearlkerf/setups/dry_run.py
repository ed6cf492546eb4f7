"""The dry run of a setup, in a sentence: its pointing run, how many places that shows, how long its moves take.

A program that cuts for an hour is not watched in the air for an hour: the pointing run goes to the same
places, from the same zero, in minutes.
"""

from dataclasses import dataclass
from typing import Final

# how the command line is asked for pointing runs
POINTING_OPTION: Final = "--pointing"


@dataclass(frozen=True, slots=True)
class DryRun:
    """The pointing run of a setup: at how many places it stops, and the minutes of its moves between the stops."""

    stops: int
    minutes: int


def dry_run_words(setup: str, run: DryRun, file: str = "") -> str:
    """Name the dry run of a setup: ``file`` where it is a program of the same job, else how it is written.

    >>> dry_run_words("face", DryRun(48, 3), "1-face-pointing.nc")
    'dry run of the face setup, 1-face-pointing.nc, spindle off, 48 stops, 3 min of moves'
    >>> dry_run_words("edge", DryRun(9, 1))
    'dry run of the edge setup, its pointing run, written with --pointing, spindle off, 9 stops, 1 min of moves'
    """
    called = file or f"its pointing run, written with {POINTING_OPTION}"
    return f"dry run of the {setup} setup, {called}, spindle off, {run.stops} stops, {run.minutes} min of moves"
