"""Lines, cubics and arcs: the pieces of which every outline is made, exact under any affine map.

A circle stays a circle, an ellipse an ellipse: an arc is  centre + u cos t + v sin t, and an affine
map moves its centre and maps u and v.
"""

import math
import operator
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Affine:
    """The map (x, y) -> (a x + c y + e, b x + d y + f), letters as in SVG 2, section 8.5."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __matmul__(self, first: "Affine") -> "Affine":
        """Give the map that does ``first`` first and this one after it.

        >>> Affine(e=5.0) @ Affine(a=2.0)
        Affine(a=2.0, b=0.0, c=0.0, d=1.0, e=5.0, f=0.0)
        """
        e, f = self.point((first.e, first.f))
        a, b = self.direction((first.a, first.b))
        c, d = self.direction((first.c, first.d))
        return Affine(a, b, c, d, e, f)

    def point(self, place: Point) -> Point:
        """Map a point."""
        x, y = place
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def direction(self, way: Point) -> Point:
        """Map a direction, which no shift moves."""
        x, y = way
        return self.a * x + self.c * y, self.b * x + self.d * y

    def inverse(self) -> "Affine | None":
        """Give the map that undoes it; None where it lays everything on a line.

        >>> Affine(a=2.0, e=6.0).inverse().point((10.0, 4.0))
        (2.0, 4.0)
        """
        determinant = self.a * self.d - self.b * self.c
        if determinant == 0:
            return None
        back = Affine(self.d / determinant, -self.b / determinant, -self.c / determinant, self.a / determinant)
        e, f = back.direction((self.e, self.f))
        return Affine(back.a, back.b, back.c, back.d, -e, -f)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece."""

    start: Point
    end: Point

    @property
    def defined_by(self) -> tuple[Point, ...]:
        """The points that it is made from."""
        return self.start, self.end

    def mapped(self, by: Affine) -> "Line":
        """Give it as a map moves it."""
        return Line(by.point(self.start), by.point(self.end))

    def extremes(self) -> Sequence[Point]:
        """Give points whose box is its own."""
        return (self.start, self.end)


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic Bezier curve; a quadratic one is raised to it exactly."""

    start: Point
    first: Point
    second: Point
    end: Point

    @property
    def defined_by(self) -> tuple[Point, ...]:
        """The points that it is made from."""
        return self.start, self.first, self.second, self.end

    @classmethod
    def raised(cls, start: Point, control: Point, end: Point) -> "Cubic":
        """Raise a quadratic curve."""
        (x0, y0), (x1, y1), (x2, y2) = start, control, end
        first = (x0 + (x1 - x0) * 2 / 3, y0 + (y1 - y0) * 2 / 3)
        second = (x2 + (x1 - x2) * 2 / 3, y2 + (y1 - y2) * 2 / 3)
        return cls(start, first, second, end)

    def at(self, t: float) -> Point:
        """Give the point at a parameter from 0 to 1."""
        weights = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
        x, y = (sum(map(operator.mul, weights, along)) for along in zip(*self.defined_by, strict=True))
        return x, y

    def mapped(self, by: Affine) -> "Cubic":
        """Give it as a map moves it."""
        return Cubic(by.point(self.start), by.point(self.first), by.point(self.second), by.point(self.end))

    def extremes(self) -> Sequence[Point]:
        """Give points whose box is its own: its ends, and where it runs along an axis."""
        turns = [
            turn
            for p0, p1, p2, p3 in zip(*self.defined_by, strict=True)
            for turn in _roots(p1 - p0 - 2 * (p2 - p1) + (p3 - p2), 2 * (p2 - 2 * p1 + p0), p1 - p0)
            if 0 < turn < 1
        ]
        return [self.start, *map(self.at, turns), self.end]


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Give the real roots of a t**2 + b t + c, none where it is flat."""
    if a == 0:
        return () if b == 0 else (-c / b,)
    under = b * b - 4 * a * c
    if under < 0:
        return ()
    # of the two, the one that does not cancel, and by it the other
    q = -(b + math.copysign(math.sqrt(under), b)) / 2
    return (q / a,) if q == 0 else (q / a, c / q)


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece of an ellipse: centre + u cos t + v sin t for t from ``first`` to ``last``, radians."""

    centre: Point
    u: Point
    v: Point
    first: float
    last: float

    @property
    def defined_by(self) -> tuple[Point, ...]:
        """The point and the directions that it is made from, and its angles as one more."""
        return self.centre, self.u, self.v, (self.first, self.last)

    def at(self, angle: float) -> Point:
        """Give the point at a parameter."""
        c, s = math.cos(angle), math.sin(angle)
        return self.centre[0] + self.u[0] * c + self.v[0] * s, self.centre[1] + self.u[1] * c + self.v[1] * s

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.at(self.first)

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.at(self.last)

    @property
    def radius(self) -> float | None:
        """Give its radius where it is of a circle, None where it is of an ellipse."""
        u, v = math.hypot(*self.u), math.hypot(*self.v)
        square = abs(self.u[0] * self.v[0] + self.u[1] * self.v[1])
        is_circle = abs(u - v) <= ROUND * u and square <= ROUND * u * v
        return u if is_circle else None

    def mapped(self, by: Affine) -> "Arc":
        """Give it as a map moves it."""
        return Arc(by.point(self.centre), by.direction(self.u), by.direction(self.v), self.first, self.last)

    def extremes(self) -> Sequence[Point]:
        """Give points whose box is its own: its ends, and where it runs along an axis."""
        low, high = sorted((self.first, self.last))
        turns = []
        for axis in (0, 1):
            angle = math.atan2(self.v[axis], self.u[axis])
            angle += math.ceil((low - angle) / math.pi) * math.pi
            while angle < high:
                turns.append(angle)
                angle += math.pi
        return [self.start, *map(self.at, turns), self.end]


Segment = Line | Cubic | Arc


def turned_round(piece: Segment) -> Segment:
    """Give a piece from its end to its start."""
    if isinstance(piece, Arc):
        return Arc(piece.centre, piece.u, piece.v, piece.last, piece.first)
    if isinstance(piece, Cubic):
        return Cubic(piece.end, piece.second, piece.first, piece.start)
    return Line(piece.end, piece.start)


# an ellipse whose axes differ by less than this share is a circle: what affine maps leave by rounding
ROUND = 1e-9
# an arc whose ends lie nearer together than this share of its radius: binary fractions say no more of its centre
LEAST_ARC = 1e-12


def svg_arc(start: Point, radii: Point, rotation_deg: float, flags: tuple[bool, bool], end: Point) -> Segment | None:
    """Give an elliptical arc from its end points; None where they are one point.

    ``flags`` are large-arc and sweep.  Radii that are too small are scaled up until they serve.
    Source: SVG 2, appendix B.2.4 and B.2.5.
    """
    if start == end:
        return None
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return Line(start, end)
    phi = math.radians(rotation_deg)
    c, s = math.cos(phi), math.sin(phi)
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = c * dx + s * dy, -s * dx + c * dy
    scale = math.hypot(x / rx, y / ry)
    if scale < LEAST_ARC:
        return Line(start, end)
    if scale > 1:
        rx, ry = rx * scale, ry * scale
    factor = math.sqrt(max(1 / scale**2 - 1, 0.0)) * (-1.0 if flags[0] == flags[1] else 1.0)
    cx, cy = factor * rx * y / ry, -factor * ry * x / rx
    centre = (c * cx - s * cy + (start[0] + end[0]) / 2, s * cx + c * cy + (start[1] + end[1]) / 2)
    first = math.atan2((y - cy) / ry, (x - cx) / rx)
    sweep = math.atan2((-y - cy) / ry, (-x - cx) / rx) - first
    if flags[1] and sweep < 0:
        sweep += 2 * math.pi
    elif not flags[1] and sweep > 0:
        sweep -= 2 * math.pi
    return Arc(centre, (rx * c, rx * s), (-ry * s, ry * c), first, first + sweep)
