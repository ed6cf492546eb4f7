"""A picture of a board: parts in the order of drawing, each known by the table that asks for it and by its name.

Mm, true to scale, X to the right and Y up; letters are as high as the reader wants them, whatever the scale.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.lines import Point
from pearlkerf.pictures.drawing import Anchor, Layer, Line, Path, Text, Thing

ARROW_PX: Final = 5.0
LETTERS: Final[Layer] = "notes"


@dataclass(frozen=True, slots=True)
class Part:
    """Things that belong together: a layer's look, the table of the file that they come from, and their name.

    ``figure`` is the dotted key that a dimension tells the value of, nothing for wood and cuts.
    """

    layer: str
    things: tuple[Thing, ...]
    table: str = ""
    name: str = ""
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture, what is to be seen in it for those who hear it, its low and high corner, and its parts."""

    name: str
    in_words: str
    low: Point
    high: Point
    parts: tuple[Part, ...]
    px_a_mm: float


@dataclass(frozen=True, slots=True)
class Manner:
    """How large a picture is on its page: pixels for a millimetre, and the height of its capitals in pixels."""

    px_a_mm: float
    letter_px: float = 11.0

    @property
    def letter_mm(self) -> float:
        """Give the height of a capital, in the picture's own mm."""
        return self.letter_px / self.px_a_mm

    def mm(self, pixels: float) -> float:
        """Give a length on the page in the picture's own mm."""
        return pixels / self.px_a_mm

    def text(self, at: Point, text: str, anchor: Anchor = "middle", angle_deg: float = 0.0) -> Text:
        """Give a line of text."""
        return Text(LETTERS, at, text, self.letter_mm, anchor, angle_deg)


def dimension(start: Point, end: Point, told: str, manner: Manner, key: str, beside: float = 1.0) -> Part:
    """Give a dimension between two points: a line with an arrow at either end, and its figure beside its middle.

    ``beside`` says on which side the figure stands: to the left of the way from start to end, or to the right (-1).
    """
    (x, y), (end_x, end_y) = start, end
    length = math.dist(start, end) or 1.0
    along = ((end_x - x) / length, (end_y - y) / length)
    left = (-along[1], along[0])
    arrow = min(manner.mm(ARROW_PX), length / 2)
    heads = (_head(start, along, arrow), _head(end, (-along[0], -along[1]), arrow))
    upright = abs(along[1]) > abs(along[0])
    middle = ((x + end_x) / 2, (y + end_y) / 2)
    away = manner.mm(4.0)
    if upright:
        side = left[0] * beside
        at = (middle[0] + math.copysign(away, side), middle[1] - manner.letter_mm / 2)
        text = manner.text(at, told, "start" if side > 0 else "end")
    else:
        up = left[1] * beside > 0
        text = manner.text((middle[0], middle[1] + (away if up else -away - manner.letter_mm)), told)
    return Part("dimension", (Line("notes", start, end), *heads, text), figure=key)


def _head(tip: Point, along: Point, size: float) -> Path:
    wide = size / 2.6
    foot = (tip[0] + along[0] * size, tip[1] + along[1] * size)
    sides = tuple((foot[0] - along[1] * wide * sign, foot[1] + along[0] * wide * sign) for sign in (1.0, -1.0))
    return Path("notes", (tip, *sides))


def box_of(points: Iterable[Point]) -> tuple[Point, Point]:
    """Give the low and the high corner of a box that holds some points."""
    held = list(points)
    return (min(x for x, _ in held), min(y for _, y in held)), (max(x for x, _ in held), max(y for _, y in held))
