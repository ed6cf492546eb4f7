"""Short ways to read a text and to tell what it does."""

import numpy as np
import pytest

from pearlkerf.reading.motions import ARC, RAPID, Finding, Reading, UnreadableProgram
from pearlkerf.reading.reader import read_program

NAN = float("nan")
ORIGIN = (0.0, 0.0, 0.0)


def read(text: str, start: tuple[float, float, float] = ORIGIN, **more: str) -> Reading:
    """Read a text, its axes standing at ``start`` (mm)."""
    return read_program(text.encode("ascii"), start=start, **more)  # type: ignore[arg-type]


def moves(reading: Reading) -> list[str]:
    """Tell motions as "T x y z" and "F x y z" in mm; an arc with centre and degrees."""
    motions = reading.motions
    told = []
    for row, kind in enumerate(motions.kind):
        words = ["T" if kind == RAPID else "A" if kind == ARC else "F", *_figures(motions.end[row])]
        if kind == ARC:
            words += [*_figures(motions.centre[row]), *_figures([np.degrees(motions.sweep[row])])]
        told.append(" ".join(words))
    return told


def _figures(values) -> list[str]:
    return [f"{round(float(value), 6) + 0.0:g}" for value in values]


def refusal(text: str | bytes, start: tuple[float, float, float] = ORIGIN) -> Finding:
    """Give the one finding that refuses a text."""
    with pytest.raises(UnreadableProgram) as raised:
        read_program(text if isinstance(text, bytes) else text.encode("ascii"), "a.nc", start=start)
    finding = raised.value.finding
    assert finding.rule == 1 and finding.file == "a.nc" and finding.line is not None
    return finding
