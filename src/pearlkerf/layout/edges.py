"""The long edges of a board in plan: what lies along them, inside them and square to them.

          nut end                           bridge end
bass    +---------___________
        |                    ---------------+      straight, at an angle to the centre line
centre  + - - - - - - - - - - - - - - - - - +  x
        |        ___________----------------+
treble  +--------

Where frets slant, so may both ends; each edge then ends where it meets them, and has a length of its own.
Whoever needs an edge asks it, and works nothing out from the board's widths.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Blank, Board
from pearlkerf.layout.frets import line_at
from pearlkerf.layout.lines import Line, Point


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge, or a line ``inside_mm`` inside it, square to it: that of a core inside its binding.

    Distances along it count from the nut corner, those out of it away from the wood.
    """

    nut_corner: Point
    far_corner: Point
    inside_mm: float = 0.0

    @property
    def side(self) -> float:
        """Give the sign of Y on its side of the centre line."""
        return math.copysign(1.0, self.nut_corner[1])

    @property
    def angle_rad(self) -> float:
        """Angle between it and the centre line, atan((b - a) / 2 L) for widths a and b; positive where a board widens.

        By similar triangles; for widths of 52 and 62 mm over 460 mm:

        >>> round(math.degrees(Edge((0.0, 26.0), (460.0, 31.0)).angle_rad), 6)
        0.622756
        """
        (x, y), (far_x, far_y) = self.nut_corner, self.far_corner
        return math.atan(self.side * (far_y - y) / (far_x - x))

    @property
    def ends(self) -> tuple[Point, Point]:
        """Give its points at both ends of the board, nut end first."""
        if not self.inside_mm:
            return self.nut_corner, self.far_corner
        (x, _), (far_x, _) = self.nut_corner, self.far_corner
        return (x, self.y_mm(x)), (far_x, self.y_mm(far_x))

    @property
    def length_mm(self) -> float:
        """Length from end to end."""
        return self.along_mm(self.far_corner[0])

    def half_width_mm(self, x_mm: float) -> float:
        """Give its distance from the centre line, square to that; linear along the board.

        Square to the edge a binding is t thick, square to the centre line t / cos(angle of the edge).
        """
        (x, y), (far_x, far_y) = self.nut_corner, self.far_corner
        near, share = self.side * y, (x_mm - x) / (far_x - x)
        return near + (self.side * far_y - near) * share - self.inside_mm / math.cos(self.angle_rad)

    def y_mm(self, x_mm: float) -> float:
        """Give the Y at which it lies."""
        return self.side * self.half_width_mm(x_mm)

    def inside(self, away_mm: float) -> "Edge":
        """Give the line that lies so far inside it, square to it."""
        return replace(self, inside_mm=self.inside_mm + away_mm)

    def along_mm(self, x_mm: float) -> float:
        """Give how far along it a place of the centre line lies: on a tapered board 1 / cos(angle) farther."""
        return (x_mm - self.nut_corner[0]) / math.cos(self.angle_rad)

    def x_mm(self, along_mm: float) -> float:
        """Undo ``along_mm``."""
        return self.nut_corner[0] + along_mm * math.cos(self.angle_rad)

    def at(self, along_mm: float, out_mm: float = 0.0) -> Point:
        """Give the point so far along it and so far out of it, square to it; negative: into the wood."""
        x = self.x_mm(along_mm)
        return x - out_mm * math.sin(self.angle_rad), self.y_mm(x) + self.side * out_mm * math.cos(self.angle_rad)

    def seen_from(self, along_mm: float, point: Point) -> Point:
        """Give where a point lies from a place of the edge: along it, and square to it into the wood."""
        x = self.x_mm(along_mm)
        onward, inward = point[0] - x, self.half_width_mm(x) - self.side * point[1]
        c, s = math.cos(self.angle_rad), math.sin(self.angle_rad)
        return onward * c - inward * s, onward * s + inward * c

    def distance_mm(self, point: Point) -> float:
        """Give how far inside it a point lies, square to it; negative outside."""
        return (self.half_width_mm(point[0]) - self.side * point[1]) * math.cos(self.angle_rad)

    def crossing(self, line: Line) -> Point:
        """Give where it meets a line across the board, carried on."""
        (x, y), (end_x, end_y) = line.start, line.end
        short, beyond = y - self.y_mm(x), end_y - self.y_mm(end_x)
        crossed = x + short / (short - beyond) * (end_x - x)
        return crossed, self.y_mm(crossed)


@dataclass(frozen=True, slots=True)
class Ends:
    """The lines across the board in which both its ends lie."""

    nut: Line
    far: Line


@dataclass(frozen=True, slots=True)
class Sides:
    """A piece of wood in plan between its two long edges, that at low Y and that at high Y.

    ``cut`` are its ends; None where the edges themselves say where they are, square to the centre line.
    """

    low: Edge
    high: Edge
    cut: Ends | None = None

    @property
    def ends(self) -> Ends:
        """Give its ends, from edge to edge, low Y first."""
        if self.cut is not None:
            return Ends(self.across(self.cut.nut), self.across(self.cut.far))
        (low, low_far), (high, high_far) = self.low.ends, self.high.ends
        return Ends(Line(low, high), Line(low_far, high_far))

    @property
    def corners(self) -> NDArray[np.float64]:
        """Its outline, (4, 2) float, mm, counter-clockwise from the nut end at low Y; read-only."""
        ends = self.ends
        array = np.array([ends.nut.start, ends.far.start, ends.far.end, ends.nut.end], dtype=np.float64)
        array.setflags(write=False)
        return array

    @property
    def box_mm(self) -> tuple[Point, Point]:
        """Give the low and the high corner of the box along the centre line that holds it."""
        (low_x, low_y), (high_x, high_y) = self.corners.min(axis=0).tolist(), self.corners.max(axis=0).tolist()
        return (low_x, low_y), (high_x, high_y)

    @property
    def end_widths_mm(self) -> tuple[float, float]:
        """Its widths, square to the centre line, at the nut end and at the far end, at their outermost places."""
        if self.cut is not None:
            (near, _), (far, _) = self.box_mm
            return self.width_mm(near), self.width_mm(far)
        (near_low, far_low), (near_high, far_high) = self.low.ends, self.high.ends
        return near_high[1] - near_low[1], far_high[1] - far_low[1]

    def width_mm(self, x_mm: float) -> float:
        """Give its width at a distance from the nut end."""
        return self.low.half_width_mm(x_mm) + self.high.half_width_mm(x_mm)

    def distance_mm(self, point: Point) -> float:
        """Give how far a point lies from the nearer edge; negative outside."""
        return min(self.low.distance_mm(point), self.high.distance_mm(point))

    def across(self, line: Line) -> Line:
        """Give the part of a line that lies between the edges, low Y first."""
        return Line(self.low.crossing(line), self.high.crossing(line))

    def inside(self, away_mm: float) -> "Sides":
        """Give what is left when so much is off both edges."""
        return replace(self, low=self.low.inside(away_mm), high=self.high.inside(away_mm))

    def between(self, ends: Ends) -> "Sides":
        """Give the piece between these ends; its edges begin and end there."""
        low, high = (
            replace(edge, nut_corner=edge.crossing(ends.nut), far_corner=edge.crossing(ends.far))
            for edge in (self.low, self.high)
        )
        return Sides(low, high, ends)


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of a board: finished, inside its binding, and of the wood on the machine in the face setup."""

    finished: Sides
    core: Sides
    wood: Sides
    bass: Edge  # one of the finished ones

    @property
    def treble(self) -> Edge:
        """The finished edge across from the bass edge."""
        return self.finished.high if self.bass is self.finished.low else self.finished.low

    @property
    def standing_mm(self) -> tuple[float, float]:
        """Give how far the bass edge lies above the treble edge that it stands on: at that one's nut end and far end.

        Square to the centre line.
        """
        if self.finished.cut is None:
            return self.finished.end_widths_mm
        (near, _), (far, _) = self.treble.ends
        return self.finished.width_mm(near), self.finished.width_mm(far)


def edges_of(board: Board) -> Edges:
    """Give a board's edges; where there is no binding, its core is all of it."""
    finished = _sides((0.0, board.nut_width_mm / 2), (board.length_mm, board.end_width_mm / 2))
    if board.scale.slanted or board.scale.zero_fret:
        finished = finished.between(_ends(board, finished))
    binding, blank = board.binding, board.blank
    core = finished if binding is None else finished.inside(binding.thickness_mm)
    wood = core if binding is not None and binding.put_on == "after" else finished
    if blank is not None:
        wood = _rectangle(finished, blank)
    return Edges(finished, core, wood, finished.low if board.hand == "right" else finished.high)


def _ends(board: Board, sides: Sides) -> Ends:
    """Give the ends of a board that slants, or has a zero fret: the nut end runs with fret 0, or is square."""
    scale = board.scale
    nut = sides.across(line_at(board, 0.0, -scale.behind_zero_mm if scale.zero_fret else 0.0))
    if board.nut == "square" and scale.slanted:
        x = min(nut.start[0], nut.end[0]) - board.before_nut_mm
        nut = Line((x, nut.start[1]), (x, nut.end[1]))
    far = board.length_mm
    return Ends(nut, Line((far, nut.start[1]), (far, nut.end[1])))


def _rectangle(finished: Sides, blank: Blank) -> Sides:
    """Give a blank, in whose middle the board lies."""
    (low_x, low_y), (high_x, high_y) = finished.box_mm
    near, far = low_x - blank.beyond_nut_mm, high_x + blank.beyond_end_mm
    low, high = ((low_y + high_y + side * blank.width_mm) / 2 for side in (-1, 1))
    return Sides(Edge((near, low), (far, low)), Edge((near, high), (far, high)))


def _sides(nut: Point, far: Point) -> Sides:
    """Give the two edges that mirror each other in the centre line."""
    return Sides(Edge((nut[0], -nut[1]), (far[0], -far[1])), Edge(nut, far))
