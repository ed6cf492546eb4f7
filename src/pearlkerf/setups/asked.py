"""What is asked for in words, at the command line or in a form's field: marks, scrap, steps of size, a height.

Bare numbers are in the unit that is given, the board file's.  What cannot be taken is refused, with the
option that it was said with as its key.
"""

import re
from dataclasses import astuple
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import LengthError, Unit, read_length_mm
from pearlkerf.setups.lying import FAR_END, OPTION, Mark
from pearlkerf.setups.scrap import OPTION as SCRAP_OPTION
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps

STEP_OPTIONS: Final = ("--smallest", "--largest", "--step")
APART_OPTION: Final = "--apart"
# blanks nearer to each other cannot be laid or taken off; farther apart they are no row
LEAST_APART_MM, MOST_APART_MM = 2.0, 500.0
USUAL: Final = Steps()
SIDES: Final = ("length", "width", "thickness")
# programs keep sizes of scrap and steps to these decimals of a millimetre, and so is what is asked for
SCRAP_DECIMALS, STEP_DECIMALS = 3, 4
LONGEST_SHOWN: Final = 80  # characters of what was said, in what is told of it
MARK_FORM: Final = (
    '"448.0,0.35" for the far end, or "fret 12=316.2,0.2" for a slot; in a later position "face-2=132.0,0.1" or '
    '"face-2 fret 20=91.5,0.0"'
)
_POSITION: Final = re.compile(r"face-([1-9]\d?)(?: (.*))?", re.ASCII)
SCRAP_FORM: Final = '200x40x6 or "8 in x 2 in x 6 mm"'


def asked_length_mm(text: str, option: str, unit: Unit) -> float:
    """Give a length, mm; raises Refusal."""
    try:
        return read_length_mm(text, unit)
    except LengthError as wrong:
        raise Refusal([Problem(wrong.found, wrong.allowed, key=option)]) from None


def asked_apart_mm(text: str, unit: Unit) -> float:
    """Give how far the blanks of a row lie apart, mm; raises Refusal."""
    apart = asked_length_mm(text, APART_OPTION, unit)
    if not LEAST_APART_MM <= apart <= MOST_APART_MM:
        raise Refusal([Problem(f"{apart:g} mm between blanks", f"{LEAST_APART_MM:g} to {MOST_APART_MM:g} mm",
                               key=APART_OPTION)])  # fmt: skip
    return round(apart, SCRAP_DECIMALS)


def asked_mark(text: str, unit: Unit) -> Mark:
    """Give a mark and where it was measured, from X,Y or SLOT=X,Y, a position before it; raises Refusal.

    >>> asked_mark("fret 12=316.2,0.2", "mm")
    Mark(name='fret 12', measured=(316.2, 0.2), position=1)
    >>> asked_mark("face-2=132,0.1", "mm")
    Mark(name='far end', measured=(132.0, 0.1), position=2)
    """
    name, equals, place = text.rpartition("=")
    parts = place.split(",")
    if len(parts) != len(("x", "y")) or (equals and not name.strip()):
        found = f'"{text[:LONGEST_SHOWN]}" is not a mark and its place; write {MARK_FORM}'
        raise Refusal([Problem(found, key=OPTION)])
    x, y = (asked_length_mm(part.strip(), f'{OPTION} "{text[:LONGEST_SHOWN]}"', unit) for part in parts)
    named = " ".join(name.lower().split())
    position = _POSITION.fullmatch(named)
    if position is None:
        return Mark(named or FAR_END, (x, y))
    return Mark(position[2] or FAR_END, (x, y), int(position[1]))


def asked_scrap(text: str, unit: Unit, option: str = SCRAP_OPTION) -> Scrap:
    """Give the scrap from LENGTHxWIDTHxTHICKNESS; raises Refusal.

    >>> asked_scrap("8 in x 2 in x 6 mm", "mm")
    Scrap(length_mm=203.2, width_mm=50.8, thickness_mm=6.0)
    """
    sides = re.split(r"[xX×]", text)
    if len(sides) != len(SIDES):
        found = f'"{text}" is not LENGTHxWIDTHxTHICKNESS, such as {SCRAP_FORM}'
        raise Refusal([Problem(found, key=option)])
    found_mm = [round(asked_length_mm(side, f"{option}, {name}", unit), SCRAP_DECIMALS)
                for side, name in zip(sides, SIDES, strict=True)]  # fmt: skip
    for side_mm, name in zip(found_mm, SIDES, strict=True):
        if side_mm <= 0:
            raise Refusal([Problem(f"the {name} is {side_mm:g} mm", "more than 0", key=option)])
    return Scrap(*found_mm)


def asked_steps(texts: tuple[str | None, str | None, str | None], unit: Unit, usually: Steps = USUAL) -> Steps | None:
    """Give the steps of size from smallest, largest and step, the usual where one is None; None where all are.

    Raises Refusal.
    """
    if texts == (None, None, None):
        return None
    figures = [
        usual if text is None else round(asked_length_mm(text, option, unit), STEP_DECIMALS)
        for text, option, usual in zip(texts, STEP_OPTIONS, astuple(usually), strict=True)
    ]
    return Steps(*figures)
