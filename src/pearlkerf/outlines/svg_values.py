"""Values of SVG attributes: lengths, transforms, view boxes, path data.

Source: SVG 2 (W3C), chapters 8 (coordinate systems) and 9 (paths), CSS Values 3 for lengths.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.outlines.limits import LARGEST, MOST_NUMBERS, MOST_TRANSFORMS
from pearlkerf.outlines.segments import Affine

# CSS Values and Units 3, section 6.2: absolute lengths, in px of 1/96 in
PX: Final = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "q": 96 / 101.6,
    "pt": 96 / 72,
    "pc": 16.0,
}
PHYSICAL: Final = frozenset({"in", "cm", "mm", "q", "pt", "pc"})
MM_PER_PX: Final = 25.4 / 96

_FIGURE: Final = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_LENGTH: Final = re.compile(rf"\s*({_FIGURE})\s*([a-zA-Z]*|%)\s*", re.ASCII)
_EACH: Final = re.compile(_FIGURE, re.ASCII)
_FIGURES: Final = re.compile(rf"\s*+(?:{_FIGURE}(?:\s*+,?\s*+{_FIGURE})*+)?\s*+", re.ASCII)
_TRANSFORM: Final = re.compile(r"\s*+([a-zA-Z]+)\s*+\(([^()]*+)\)\s*+,?", re.ASCII)
_PATH: Final = re.compile(rf"(?:[\s,]*+(?:[MmZzLlHhVvCcSsQqTtAa]|{_FIGURE}))*+[\s,]*+", re.ASCII)
_PATH_PART: Final = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)", re.ASCII)
# an arc's flags may stand without a blank before what follows
_ARC: Final = re.compile(
    rf"\s*,?\s*({_FIGURE})\s*,?\s*({_FIGURE})\s*,?\s*({_FIGURE})\s*,?\s*([01])\s*,?\s*([01])\s*,?\s*({_FIGURE})\s*,?\s*({_FIGURE})\s*",
    re.ASCII,
)


# how many numbers a path command takes, once or as often as it likes (SVG 2, section 9.3)
NUMBERS_OF: Final = {"M": 2, "Z": 0, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7}


class BadValue(ValueError):
    """A value that is not of its attribute's form; the message says what is wrong."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: its corner, width and height."""

    x: float
    y: float
    width: float
    height: float

    @property
    def diagonal(self) -> float:
        """What per cents of neither width nor height are of (SVG 2, section 8.9)."""
        return math.hypot(self.width, self.height) / math.sqrt(2)


def length(text: str, of: float) -> float:
    """Give a length in px; per cents are ``of`` a length.

    >>> length("25.4mm", 0.0), length("50%", 40.0)
    (96.0, 20.0)
    """
    number, unit = split_length(text)
    return number / 100 * of if unit == "%" else number * PX[unit]


def split_length(text: str) -> tuple[float, str]:
    """Give a length's number and unit, "" where it has none; font-relative units are refused."""
    found = _LENGTH.fullmatch(text)
    if found is None:
        raise BadValue(f'"{text[:40]}" is no length')
    number, unit = float(found[1]), found[2].lower()
    if unit != "%" and unit not in PX:
        raise BadValue(f'"{text[:40]}" is in "{unit}", which hangs on a typeface or a window')
    if not abs(number) <= LARGEST:
        raise BadValue(f'"{text[:40]}" is too large')
    return number, unit


def figures(text: str) -> list[float]:
    """Give a list of numbers, parted by blanks or commas.

    >>> figures("1,2 -3.5.5")
    [1.0, 2.0, -3.5, 0.5]
    """
    if not _FIGURES.fullmatch(text):
        raise BadValue(f'"{text[:40]}" is no list of numbers')
    found = _EACH.findall(text)
    if len(found) > MOST_NUMBERS:
        raise BadValue(f"more than {MOST_NUMBERS} numbers")
    return [_number(item) for item in found]


def _number(text: str) -> float:
    number = float(text)
    if not abs(number) <= LARGEST:
        raise BadValue(f'"{text[:40]}" is too large')
    return number


def transform(text: str) -> Affine:
    """Give the map of a transform attribute: the functions of SVG 2, section 8.5, the last done first.

    >>> transform("translate(10) scale(2)").point((1.0, 1.0))
    (12.0, 2.0)
    """
    whole, at, count = Affine(), 0, 0
    while at < len(text):
        item = _TRANSFORM.match(text, at)
        if item is None:
            raise BadValue(f'"{text[at : at + 40]}" is no transform')
        whole = whole @ _function(item[1], figures(item[2]))
        at, count = item.end(), count + 1
        if count > MOST_TRANSFORMS:
            raise BadValue(f"more than {MOST_TRANSFORMS} of them")
    return whole


def _function(name: str, given: list[float]) -> Affine:
    match name, given:
        case "matrix", [a, b, c, d, e, f]:
            return Affine(a, b, c, d, e, f)
        case "translate", [x, *rest] if len(rest) <= 1:
            return Affine(e=x, f=rest[0] if rest else 0.0)
        case "scale", [x, *rest] if len(rest) <= 1:
            return Affine(a=x, d=rest[0] if rest else x)
        case "rotate", [angle, *rest] if len(rest) in (0, 2):
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            x, y = rest or (0.0, 0.0)
            return Affine(e=x, f=y) @ Affine(c, s, -s, c) @ Affine(e=-x, f=-y)
        case "skewX", [angle]:
            return Affine(c=math.tan(math.radians(angle)))
        case "skewY", [angle]:
            return Affine(b=math.tan(math.radians(angle)))
    raise BadValue(f'"{name[:40]}" with {len(given)} numbers is no transform')


def view_box(text: str) -> Box:
    """Give a view box; one without width or height, which draws nothing, is refused."""
    numbers = figures(text)
    if len(numbers) != 4 or not numbers[2] > 0 or not numbers[3] > 0:
        raise BadValue(f'"{text[:40]}" is not four numbers, the last two above zero')
    return Box(*numbers)


def fit(box: Box, port: Box, aspect: str) -> Affine:
    """Give the map from a view box into a viewport, as preserveAspectRatio says (SVG 2, section 8.6 and 8.7)."""
    across, down = port.width / box.width, port.height / box.height
    align, *rest = aspect.split() or ["xMidYMid"]
    found = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", align)
    if align != "none" and (found is None or rest not in ([], ["meet"], ["slice"])):
        raise BadValue(f'preserveAspectRatio "{aspect[:40]}"')
    x, y = port.x - box.x * across, port.y - box.y * down
    if found is not None:
        across = down = (max if rest == ["slice"] else min)(across, down)
        share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
        x = port.x - box.x * across + (port.width - box.width * across) * share[found[1]]
        y = port.y - box.y * down + (port.height - box.height * down) * share[found[2]]
    return Affine(a=across, d=down, e=x, f=y)


def path_data(text: str) -> str:
    """Give path data whose numbers every parser reads alike; refuses what is not path data to the last sign."""
    if not _PATH.fullmatch(text):
        good = _PATH.match(text)
        at = good.end() if good else 0
        raise BadValue(f'path data cannot be read from "{text[at : at + 20]}" on')
    return "".join(_plain(text))


def _plain(text: str) -> Iterator[str]:
    for command, numbers in _PATH_PART.findall(text):
        parts = list(_arcs(numbers)) if command in "Aa" else figures(numbers.rstrip(" \t\r\n\f,"))
        of_each = NUMBERS_OF[command.upper()]
        if (not parts or len(parts) % of_each) if of_each else parts:
            raise BadValue(f'the path command "{command}" has {len(parts)} numbers, not {of_each} or as many again')
        yield command + " ".join(map(repr, parts))


def _arcs(numbers: str) -> Iterator[float | int]:
    """Give the numbers of arcs, the fourth and fifth of each seven flags."""
    at = 0
    while at < len(numbers):
        arc = _ARC.match(numbers, at)
        if arc is None:
            raise BadValue(f'path data cannot be read from the arc "{numbers[at : at + 40]}" on')
        yield from (int(item) if place in (4, 5) else _number(item) for place, item in enumerate(arc.groups(), 1))
        at = arc.end()
