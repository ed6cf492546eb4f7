"""Own shapes by the trade's words, each in a box of a length along the board and a width across it, centred on zero.

block, parallelogram, diamond, oval, cat's eye, half moon, snowflake, star, ring, line
"""

import math
from collections.abc import Callable, Sequence
from typing import Final

from pearlkerf.outlines.drawing import Figure, Loop
from pearlkerf.outlines.segments import Arc, Line, Point, Segment

# a parallelogram leans by this share of its length, a ring is so wide, a star's inner corners lie so far in,
# a snowflake's arms are so wide (shares of the half box; our own, to be changed by a drawing)
LEAN: Final = 0.3
RING: Final = 0.3
STAR_POINTS: Final = 5
STAR_INNER: Final = 0.382  # of a regular pentagram: (3 - sqrt 5) / 2
SNOW_ARMS: Final = 6
SNOW_INNER: Final = 0.3
SNOW_WAIST: Final = 0.62


def polygon(points: Sequence[Point]) -> Loop:
    """Give a loop of straight pieces."""
    return tuple(Line(points[n - 1], points[n]) for n in range(len(points)))


def _block(x: float, y: float) -> list[Loop]:
    return [polygon([(-x, -y), (x, -y), (x, y), (-x, y)])]


def _parallelogram(x: float, y: float) -> list[Loop]:
    lean = 2 * x * LEAN
    return [polygon([(-x, -y), (x - lean, -y), (x, y), (-x + lean, y)])]


def _diamond(x: float, y: float) -> list[Loop]:
    return [polygon([(-x, 0.0), (0.0, -y), (x, 0.0), (0.0, y)])]


def _oval(x: float, y: float) -> list[Loop]:
    return [(Arc((0.0, 0.0), (x, 0.0), (0.0, y), 0.0, 2 * math.pi),)]


def _cats_eye(x: float, y: float) -> list[Loop]:
    """Two arcs of circles that meet in points at both ends of the longer side."""
    if x < y:
        return [tuple(_swapped(piece) for piece in reversed(loop)) for loop in _cats_eye(y, x)]
    radius = (x**2 + y**2) / (2 * y)
    half = math.asin(min(x / radius, 1.0))
    low = Arc((0.0, radius - y), (radius, 0.0), (0.0, radius), -math.pi / 2 - half, -math.pi / 2 + half)
    high = Arc((0.0, y - radius), (radius, 0.0), (0.0, radius), math.pi / 2 - half, math.pi / 2 + half)
    return [(low, high)]


def _swapped(piece: Segment) -> Arc:
    """Give an arc with its axes exchanged, which turns it round."""
    assert isinstance(piece, Arc)

    def swap(point: Point) -> Point:
        return point[1], point[0]

    return Arc(swap(piece.centre), swap(piece.u), swap(piece.v), piece.last, piece.first)


def _half_moon(x: float, y: float) -> list[Loop]:
    """Half an ellipse, its straight side toward low Y."""
    arc = Arc((0.0, -y), (x, 0.0), (0.0, 2 * y), 0.0, math.pi)
    return [(arc, Line(arc.end, arc.start))]


def _wheel(count: int, radii: Sequence[float]) -> list[Point]:
    """Give points round a circle, from the right on, their distances from the centre in turn."""
    total = count * len(radii)
    around = [(radii[n % len(radii)], 2 * math.pi * n / total) for n in range(total)]
    return [(radius * math.cos(angle), radius * math.sin(angle)) for radius, angle in around]


def _in_box(points: Sequence[Point], x: float, y: float) -> list[Loop]:
    """Stretch points to a box."""

    def stretched(places: Sequence[float], half: float) -> list[float]:
        low, high = min(places), max(places)
        return [half * (2 * (place - low) / (high - low) - 1) for place in places]

    across, up = zip(*points, strict=True)
    return [polygon(list(zip(stretched(across, x), stretched(up, y), strict=True)))]


def _star(x: float, y: float) -> list[Loop]:
    return _in_box(_wheel(STAR_POINTS, (1.0, STAR_INNER)), x, y)


def _snowflake(x: float, y: float) -> list[Loop]:
    return _in_box(_wheel(SNOW_ARMS, (1.0, SNOW_WAIST, SNOW_INNER, SNOW_WAIST)), x, y)


def _ring(x: float, y: float) -> list[Loop]:
    inner = 1 - RING
    return [*_oval(x, y), *_oval(x * inner, y * inner)]


def _line(x: float, y: float) -> list[Loop]:
    """A bar with round ends, along its longer side."""
    if x < y:
        return [tuple(_turned(piece) for piece in loop) for loop in _line(y, x)]
    if x == y:
        return _oval(x, y)
    right = Arc((x - y, 0.0), (y, 0.0), (0.0, y), -math.pi / 2, math.pi / 2)
    left = Arc((y - x, 0.0), (y, 0.0), (0.0, y), math.pi / 2, 3 * math.pi / 2)
    return [(Line(left.end, right.start), right, Line(right.end, left.start), left)]


def _turned(piece: Segment) -> Segment:
    """Give a piece turned by a right angle."""

    def turn(point: Point) -> Point:
        return -point[1], point[0]

    if isinstance(piece, Line):
        return Line(turn(piece.start), turn(piece.end))
    assert isinstance(piece, Arc)
    return Arc(turn(piece.centre), turn(piece.u), turn(piece.v), piece.first, piece.last)


SHAPES: Final[dict[str, Callable[[float, float], list[Loop]]]] = {
    "block": _block,
    "parallelogram": _parallelogram,
    "diamond": _diamond,
    "oval": _oval,
    "cat's eye": _cats_eye,
    "half moon": _half_moon,
    "snowflake": _snowflake,
    "star": _star,
    "ring": _ring,
    "line": _line,
}


def shape(name: str, length_mm: float, width_mm: float) -> Figure:
    """Give a shape of SHAPES in its box, mm, both sides above zero."""
    return Figure(tuple(SHAPES[name](length_mm / 2, width_mm / 2)), "evenodd", (name,), name)
