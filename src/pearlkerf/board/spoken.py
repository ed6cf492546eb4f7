"""Lengths as people say them at a terminal: "25.34 inches", or without a unit, which is then to be asked for."""

from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import LengthError, Unit, parse_length_mm

SPOKEN_UNITS: Final = (("inches", "in"), ("inch", "in"), ("millimetres", "mm"), ("millimeters", "mm"))


def spoken_length(text: str, unit: Unit | None = None) -> str:
    """Give a length as people say it in the words that a board file takes; a bare number has ``unit``.

    Raises Refusal for one that is none, or that nobody says the unit of.

    >>> spoken_length("25.34 inches"), spoken_length(" 25 1/2", "in"), spoken_length("650mm")
    ('25.34 in', '25 1/2 in', '650mm')
    """
    said = " ".join(text.split())
    for word, short in SPOKEN_UNITS:
        if said.lower().endswith(word):
            said = f"{said[: -len(word)].rstrip()} {short}"
    try:
        parse_length_mm(said, "mm")
    except LengthError as wrong:
        if unit is None or said[-1:].isalpha():
            raise Refusal([Problem(wrong.found, wrong.allowed, wrong.hint)]) from None
        return spoken_length(f"{said} {unit}")
    return said


def lacks_unit(text: str) -> bool:
    """Say whether a length is one but for its unit.

    >>> lacks_unit("25.34"), lacks_unit("25.34 inches"), lacks_unit("lots")
    (True, False, False)
    """
    try:
        spoken_length(text)
    except Refusal:
        try:
            spoken_length(text, "mm")
        except Refusal:
            return False
        return True
    return False
