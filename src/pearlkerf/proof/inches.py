"""What a program in inches tells people, read back in millimetres, so that one rule holds both."""

import re
from typing import Final

from pearlkerf.machine.model import Dialect
from pearlkerf.reading.tolerances import MM_PER_INCH

# decimals of a mm that lose nothing of an inch's
DECIMALS: Final = 6
_N: Final = r"[-+]?\d+(?:\.\d+)?"
_INCHES: Final = re.compile(
    rf"(?<![\w.])(?P<figures>{_N}(?:(?:, plunge | to | and | x ){_N})*) (?P<unit>in/min|in)\b"
    rf"|(?<!\w)(?P<axis>[XYZ] )(?P<place>[-+]?\d+\.\d+)(?P<on> (?:to [-+]?\d+\.\d+|in\b))?",
    re.ASCII | re.IGNORECASE,
)


def told_in_mm(text: str, dialect: Dialect) -> str:
    """Give a sentence of a program with its lengths in mm, as near as its figures are.

    >>> told_in_mm("end mill 0.125 in, deepest 0.0906 in below zero, at X 0.484 to 17.05", Dialect("in"))
    'end mill 3.175000 mm, deepest 2.301240 mm below zero, at X 12.293600 to 433.070000'
    """
    return _INCHES.sub(_in_mm, text) if dialect.unit == "in" else text


def _in_mm(found: re.Match[str]) -> str:
    def back(figure: re.Match[str]) -> str:
        return f"{float(figure[0]) * MM_PER_INCH:.{DECIMALS}f}"

    if found["axis"] is not None:
        on = re.sub("in$", "mm", found["on"] or "")
        return str(found["axis"]) + re.sub(_N, back, f"{found['place']}{on}")
    unit = "mm/min" if found["unit"].lower() == "in/min" else "mm"
    return f"{re.sub(_N, back, found['figures'])} {unit}"
