"""A program that stops is read once, places after a stop unknown: by that, what it does if nobody touches anything.

The plain reading is the reference: it must agree in every figure, as far as it is asked.
"""

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.machine.model import Spindle
from pearlkerf.reading.reader import read_program
from pearlkerf.reading.stops import as_it_stood

GOLDEN = sorted(path for path in (Path(__file__).parents[1] / "golden").glob("*/*") if path.is_file())
BY_HAND = replace(a_machine(), spindle=Spindle(8000.0, 24000.0, "hand"))
AUTOMATIC = replace(a_machine(), dialect=replace(a_machine().dialect, cutter_change="automatic"))
MADE = [
    program.text
    for on in (a_machine(), BY_HAND, AUTOMATIC)
    for program in make_programs(with_pointing(plan_job(clamped(side_dots=None), on)), "test")
]  # fmt: skip
STOPS = "G21 G90\nG0 Z5.0\nG0 X1.0 Y2.0\nG1 Z-1.0 F100.0\n{}\nM0\n{}\nM2\n"
BY_A_HAND = {
    "on in place": STOPS.format("G1 X3.0", "G0 Z5.0\nG0 Z1.0"),
    "one axis alone": STOPS.format("G0 Z5.0", "G0 Z5.0\nG0 X9.0\nG1 Z-1.0 F50.0"),
    "two stops": STOPS.format("M0", "M0\nG0 Y4.0\nG0 Z2.0"),
    "a stop before all": "M0\nG21 G90\nG0 Z5.0\nM0\nG0 X1.0\nM2\n",
    "another cutter after a stop": STOPS.format("G0 Z5.0", "T2 M6\nG0 X2.0\nG0 Z4.0\nG0 Y1.0"),
    "another length after a stop": STOPS.format("G0 Z5.0", "G0 X2.0\nG43 H1\nG0 Y3.0\nG0 Z4.0"),
    "another cutter before a stop": STOPS.format("T2 M6\nG0 X2.0", "G0 Y3.0\nG0 Z4.0"),
}


def differ(text: bytes) -> list[str]:
    """The columns in which the two readings differ; None as it is where it must be read once more."""
    plain, careful = read_program(text), read_program(text, after_stop="unknown")
    derived = as_it_stood(careful)
    assert derived is not None
    assert (derived.events, derived.comments, derived.lines) == (plain.events, plain.comments, plain.lines)
    names = [field.name for field in fields(plain.motions)]
    pairs = [(getattr(plain.motions, name), getattr(derived.motions, name), name) for name in names]
    return [name for one, other, name in pairs if not np.array_equal(one, other, equal_nan=True)]


@pytest.mark.parametrize("text", [*(path.read_bytes() for path in GOLDEN), *MADE], ids=lambda text: str(len(text)))
def test_our_own_programs_are_read_alike(text: bytes) -> None:
    assert differ(text) == []


@pytest.mark.parametrize("name", BY_A_HAND)
def test_programs_that_go_on_after_a_stop_in_odd_ways_are_read_alike(name: str) -> None:
    text = BY_A_HAND[name].encode("ascii")
    assert b"M0" in text
    assert differ(text) == []


def test_a_feed_that_nobody_said_again_is_read_once_more() -> None:
    text = STOPS.format("G0 Z5.0", "G0 Z5.0\nG0 X9.0 Y1.0\nG1 Z-1.0").encode("ascii")
    assert as_it_stood(read_program(text, after_stop="unknown")) is None
