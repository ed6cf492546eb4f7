"""A drawing's things as elements of SVG: one unit is one millimetre, Y turned downward."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from pearlkerf.pictures.drawing import Arc, Circle, Line, Path, Point, Text, Thing

CAPITAL: Final = 0.72  # height of a capital over the type size, near enough for any sans serif


@dataclass(frozen=True, slots=True)
class Manner:
    """How things are written: the decimals of their mm, and whether texts bring their own face and ink."""

    decimals: int
    face: str = ""
    ink: str = ""


FILE: Final = Manner(6, 'font-family="sans-serif" ', ' fill="black" stroke="none"')
"""For a file that stands alone."""

PAGE: Final = Manner(2)
"""For a page whose style sheet says what layers look like; its millimetres are a few pixels each."""


def element(thing: Thing, manner: Manner = FILE) -> str:
    """Write one thing as one element."""

    def down(point: Point) -> tuple[str, str]:
        return number(point[0], manner), number(-point[1], manner)

    match thing:
        case Line():
            (x1, y1), (x2, y2) = down(thing.start), down(thing.end)
            return f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>'
        case Path():
            name = "polygon" if thing.ends == "closed" else "polyline"
            corners = " ".join(",".join(down(corner)) for corner in thing.corners)
            return f'<{name} points="{corners}"/>'
        case Circle():
            x, y = down(thing.centre)
            return f'<circle cx="{x}" cy="{y}" r="{number(thing.radius_mm, manner)}"/>'
        case Arc():
            # counter-clockwise with Y up is sweep 0 with Y down
            (x1, y1), (x2, y2) = down(_on(thing, thing.start_deg)), down(_on(thing, thing.end_deg))
            radius, large = number(thing.radius_mm, manner), int(thing.end_deg - thing.start_deg > 180.0)
            return f'<path d="M {x1} {y1} A {radius} {radius} 0 {large} 0 {x2} {y2}"/>'
        case Text():
            return _text(thing, down(thing.at), manner)


def number(value: float, manner: Manner = FILE) -> str:
    """Write a number with no more decimals than it needs, never with an exponent or as -0.

    >>> number(1.5), number(-0.0000001), number(12.3456, PAGE)
    ('1.5', '0', '12.35')
    """
    text = f"{value:.{manner.decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def ways(rings: Iterable[Iterable[Sequence[float]]]) -> str:
    """Write rings as one path of a page, in which those within others are holes.

    >>> ways([[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)]])
    'M0 0 4 0 4 -3Z'
    """
    drawn = (" ".join(f"{number(x, PAGE)} {number(-y, PAGE)}" for x, y in ring) for ring in rings)
    return "".join(f"M{way}Z" for way in drawn)


def _on(arc: Arc, angle_deg: float) -> Point:
    angle = math.radians(angle_deg)
    return arc.centre[0] + arc.radius_mm * math.cos(angle), arc.centre[1] + arc.radius_mm * math.sin(angle)


def _text(text: Text, at: tuple[str, str], manner: Manner) -> str:
    x, y = at
    turned = quoteattr(f"rotate({number(-text.angle_deg, manner)} {x} {y})")
    turn = f" transform={turned}" if text.angle_deg else ""
    size = number(text.height_mm / CAPITAL, manner)
    face = f'{manner.face}font-size="{size}" text-anchor="{text.anchor}"{manner.ink}'
    return f'<text x="{x}" y="{y}" {face}{turn}>{escape(text.text)}</text>'
