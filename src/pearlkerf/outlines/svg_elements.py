"""Elements of an SVG drawing: their attributes read strictly, and the lines of paths and basic shapes.

Source: SVG 2 (W3C), chapters 9 (paths) and 10 (basic shapes).
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, TypeVar

from pearlkerf.errors import Refusal
from pearlkerf.outlines.drawing import Loop, refused
from pearlkerf.outlines.pens import PathPen
from pearlkerf.outlines.segments import Arc, Line, Point
from pearlkerf.outlines.svg_values import BadValue, Box, figures, length, path_data

LINE: Final = "the line in the file"  # an attribute that no file can have, blanks being forbidden in names
SHAPES: Final = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
Value = TypeVar("Value")
Subpath = tuple[Loop, bool]  # pieces, and whether the file closes them


@dataclass(frozen=True, slots=True)
class Element:
    """An element of the file, to be asked for its attributes."""

    file: str
    xml: Any

    @property
    def name(self) -> str:
        """Its name, without its namespace."""
        return str(self.xml.tag).rpartition("}")[2]

    @property
    def identity(self) -> str:
        """Its id, "" where it has none."""
        return str(self.xml.get("id") or "")

    @property
    def place(self) -> str:
        """Where it stands, for people."""
        named = f' "{self.identity[:40]}"' if self.identity else ""
        return f"line {self.xml.get(LINE)}, {self.name}{named}"

    def refused(self, found: str, hint: str) -> Refusal:
        """Give the refusal of this element, to be raised."""
        return refused(self.file, self.place, found, hint)

    def text(self, name: str) -> str:
        """Give an attribute's text, "" where it is not there."""
        return str(self.xml.get(name) or "")

    def value(self, name: str, read: Callable[[str], Value], default: Value) -> Value:
        """Read an attribute; ``default`` where it is not there or empty, a refusal where it is not of its form."""
        text = self.text(name)
        if not text.strip():
            return default
        try:
            return read(text)
        except BadValue as fault:
            raise self.refused(f"{name}: {fault}", "save the drawing again") from None

    def size(self, name: str, of: float, default: float = 0.0) -> float:
        """Read a place, px; per cents are ``of`` a length."""
        return self.value(name, lambda text: length(text, of), default)

    def span(self, name: str, of: float, default: float = 0.0) -> float:
        """Read a length, px, which is not below zero; per cents are ``of`` a length."""
        found = self.size(name, of, default)
        if found < 0:
            raise self.refused(f"{name} is {self.text(name)[:40]}", "give it a length of zero or more")
        return found

    def box(self, port: Box, width: float = 0.0, height: float = 0.0) -> Box:
        """Read x, y, width and height within a viewport."""
        return Box(
            self.size("x", port.width),
            self.size("y", port.height),
            self.span("width", port.width, width),
            self.span("height", port.height, height),
        )


def subpaths(element: Element, port: Box) -> Iterator[Subpath]:
    """Give the lines of a path or a basic shape, in its own axes, px."""
    match element.name:
        case "path":
            yield from _path(element)
        case "polyline" | "polygon":
            yield from _corners(element)
        case "line":
            first, last = ((element.size(f"x{n}", port.width), element.size(f"y{n}", port.height)) for n in (1, 2))
            yield (Line(first, last),), False
        case "rect":
            yield from _rectangle(element.box(port), _radii(element, port))
        case "circle" | "ellipse":
            yield from _ellipse(element, port)


def _path(element: Element) -> Iterator[Subpath]:
    from fontTools.svgLib.path import parse_path

    pen = PathPen()
    try:
        parse_path(element.value("d", path_data, ""), pen)
    except ValueError as fault:
        found = f"d: path data that cannot be read ({str(fault)[:80]})"
        raise element.refused(found, "save the drawing again") from None
    yield from pen.subpaths()


def _corners(element: Element) -> Iterator[Subpath]:
    numbers = element.value("points", figures, list[float]())
    if len(numbers) % 2:
        raise element.refused(f"points holds {len(numbers)} numbers, which make no pairs", "save the drawing again")
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    pieces = tuple(Line(a, b) for a, b in pairwise(points))
    closes = element.name == "polygon"
    if pieces:
        yield (*pieces, Line(points[-1], points[0])) if closes else pieces, closes


def _ellipse(element: Element, port: Box) -> Iterator[Subpath]:
    if element.name == "circle":
        across = down = element.span("r", port.diagonal)
    else:
        across, down = _radii(element, port)
    if across > 0 and down > 0:
        centre = element.size("cx", port.width), element.size("cy", port.height)
        yield (Arc(centre, (across, 0.0), (0.0, down), 0.0, 2 * math.pi),), True


def _radii(element: Element, port: Box) -> Point:
    """Give rx and ry; one that is not said, or "auto", is as the other."""
    across = element.span("rx", port.width) if element.text("rx") not in ("", "auto") else None
    down = element.span("ry", port.height) if element.text("ry") not in ("", "auto") else None
    return (across if across is not None else down or 0.0), (down if down is not None else across or 0.0)


def _rectangle(box: Box, radii: Point) -> Iterator[Subpath]:
    """Give a rectangle with its corners rounded, clockwise from its upper left (SVG 2, section 10.2)."""
    if box.width <= 0 or box.height <= 0:
        return
    rx, ry = min(radii[0], box.width / 2), min(radii[1], box.height / 2)
    x, y, right, low = box.x, box.y, box.x + box.width, box.y + box.height
    if not rx or not ry:
        corners = [(x, y), (right, y), (right, low), (x, low)]
        yield tuple(Line(corners[n], corners[(n + 1) % 4]) for n in range(4)), True
        return
    quarters = [
        ((right - rx, y + ry), -90),
        ((right - rx, low - ry), 0),
        ((x + rx, low - ry), 90),
        ((x + rx, y + ry), 180),
    ]
    arcs = [Arc(centre, (rx, 0.0), (0.0, ry), math.radians(turn), math.radians(turn + 90)) for centre, turn in quarters]
    lines = [Line(arcs[n - 1].end, arcs[n].start) for n in range(4)]
    yield tuple(piece for pair in zip(lines, arcs, strict=True) for piece in pair), True
