"""Sentences of millimetres, said in inches: for boards and programs that are in inches.

Every sentence of the house is made in mm, a figure before its unit, in one of these forms:

    0.58 mm     3 to 4.5 mm     feed 480, plunge 120 mm/min     X 12.3 Y -4.56     10 um

Here its figures, and nothing else of it, are said in the other unit.  What a file says stands in
quotation marks, and stays; so does a figure that is given in both units.
"""

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Final

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import MM_PER_UNIT, Unit

MM_PER_INCH: Final = float(MM_PER_UNIT["in"])
# decimals of an inch for those of a millimetre: as fine, to half a thousandth of a millimetre
DECIMALS: Final = {0: 2, 1: 3, 2: 4, 3: 4}
# so many decimals of an inch are kept, zeros too: a thousandth is what is read off a calliper
KEPT_DECIMALS: Final = 3
M_PER_FOOT: Final = 12 * MM_PER_INCH / 1000
UM_PER_THOU: Final = float(MM_PER_UNIT["thou"]) * 1000

_N: Final = r"[-+]?\d+(?:\.\d+)?"
_JOINED: Final = r"(?:, plunge | to | and | or | x )"
_LIMIT: Final = r"(?P<limit>\bat most |\bless than |\bat least |\bmore than )?"
_FIGURES: Final = rf"(?P<figures>{_N}(?:{_JOINED}{_N})*)"
_QUOTED: Final = r'(?P<quoted>"[^"\n]*")'
_MM: Final = re.compile(
    rf"{_QUOTED}|{_LIMIT}(?<![\w.]){_FIGURES} (?P<unit>mm/min|m/min|mm|um)\b(?P<open> or more| or less)?(?! \({_N} in)"
    rf"|(?<!\w)(?P<axis>[XYZ] )(?P<place>[-+]?\d+\.\d+)(?P<on> (?:to [-+]?\d+\.\d+|mm\b))?",
    re.ASCII,
)
_IN_INCHES: Final = {"mm": "in", "mm/min": "in/min", "um": "thou", "m/min": "ft/min"}
Round = Callable[[float], int]
# a limit is rounded to the side on which it holds
_WAYS: Final[dict[str, Round]] = {
    "at most ": math.floor, "less than ": math.floor, " or less": math.floor,
    "at least ": math.ceil, "more than ": math.ceil, " or more": math.ceil,
}  # fmt: skip


def in_unit(words: str, unit: Unit) -> str:
    """Give a sentence of millimetres in a unit; in mm it stays as it is.

    A figure keeps the thousandth of an inch, and more where the millimetre's was finer; what is allowed
    is rounded to the side on which it holds.

    >>> in_unit("end mill 3.175 mm, feed 480, plunge 120 mm/min, at most 4.5 mm at X 12.3 Y -4.56", "in")
    'end mill 0.125 in, feed 18.9, plunge 4.7 in/min, at most 0.177 in at X 0.484 Y -0.1795'
    >>> in_unit('"6 mm": 6 mm (0.236 in), 0.5 to 0.66 mm, a reach of 3.4 mm or more', "in")
    '"6 mm": 6 mm (0.236 in), 0.020 to 0.0259 in, a reach of 0.134 in or more'
    """
    return words if unit == "mm" else _MM.sub(_said_in_inches, words)


def in_both(words: str) -> str:
    """Give a sentence of millimetres with inches behind them: for a file whose bare numbers are mm.

    >>> in_both("at most 1500 mm/min, a reach of 4.5 mm")
    'at most 1500 mm/min (59 in/min), a reach of 4.5 mm (0.177 in)'
    """

    def both(found: re.Match[str]) -> str:
        said = found[0]
        if found["unit"] is None:
            return said
        inches = _said_in_inches(found)
        return f"{said} ({inches.removeprefix(found['limit'] or '')})"

    return _MM.sub(both, words)


def problem_in(problem: Problem, unit: Unit) -> Problem:
    """Give a problem with its lengths in a unit."""
    if unit == "mm":
        return problem
    found, allowed, hint = (in_unit(words, unit) for words in (problem.found, problem.allowed, problem.hint))
    return replace(problem, found=found, allowed=allowed, hint=hint)


def problems_in(problems: Iterable[Problem], unit: Unit) -> tuple[Problem, ...]:
    """Say problems in a unit, as ``problem_in`` says one."""
    return tuple(problem_in(problem, unit) for problem in problems)


def problem_in_both(problem: Problem) -> Problem:
    """Give a problem with its lengths in both units."""
    found, allowed, hint = (in_both(words) for words in (problem.found, problem.allowed, problem.hint))
    return replace(problem, found=found, allowed=allowed, hint=hint)


def length_in(length_mm: float, unit: Unit, decimals: int = 3) -> str:
    """Give a length with its unit, so many decimals of a mm; one in inches as near as a person wrote it.

    >>> length_in(3.175, "mm"), length_in(3.175, "in"), length_in(1.190625, "in"), length_in(0.5842, "in")
    ('3.175 mm', '0.125 in', '0.04688 in', '0.023 in')
    """
    if unit == "mm":
        return f"{length_mm:.{decimals}f} mm"
    return f"{_inches(length_mm, decimals + 2, round)} in"


def _said_in_inches(found: re.Match[str]) -> str:
    if found["quoted"] is not None:
        return found[0]
    if found["axis"] is not None:
        rest = found["on"] or ""
        return found["axis"] + re.sub(_N, _length, found["place"] + rest.replace("mm", "in"))
    limit, opened = found["limit"] or "", found["open"] or ""
    low, to, high = found["figures"].partition(" to ")
    if to:  # what lies between them is allowed
        figures = f"{_figure(low, found['unit'], math.ceil)} to {_figure(high, found['unit'], math.floor)}"
    else:
        figures = _figure(low, found["unit"], _WAYS.get(limit or opened, round))
    return f"{limit}{figures} {_IN_INCHES[found['unit']]}{opened}"


def _figure(figures: str, unit: str, way: Round) -> str:
    """Give figures of a unit in inches, rounded one way."""

    def said(found: re.Match[str]) -> str:
        figure, decimals = float(found[0]), len(found[0].partition(".")[2])
        if unit == "um":
            return f"{figure / UM_PER_THOU:.{decimals + 1}f}"
        if unit == "m/min":
            return f"{figure / M_PER_FOOT:.0f}"
        if unit == "mm/min":
            return f"{way(figure / MM_PER_INCH * 10) / 10:.1f}".removesuffix(".0")
        return _inches(figure, _decimals(found[0]), way)

    return re.sub(_N, said, figures)


def _length(found: re.Match[str]) -> str:
    return _inches(float(found[0]), _decimals(found[0]), round)


def _decimals(figure: str) -> int:
    given = len(figure.partition(".")[2])
    return DECIMALS.get(given, given + 1)


def _inches(length_mm: float, decimals: int, way: Round) -> str:
    scaled = length_mm / MM_PER_INCH * 10**decimals
    counts = round(scaled) if math.isclose(scaled, round(scaled)) else way(scaled)
    text = f"{counts / 10**decimals:.{decimals}f}"
    while len(text.partition(".")[2]) > KEPT_DECIMALS and text.endswith("0"):
        text = text[:-1]
    return text
