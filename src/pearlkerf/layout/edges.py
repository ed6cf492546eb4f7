"""The long edges of a board in plan, and its ends: finished, inside its binding, and of the wood on the machine.

          nut end                           bridge end
bass    +---------___________
        |                    ---------------+      straight, or of several runs
centre  + - - - - - - - - - - - - - - - - -(   x
        |        ___________----------------+      an end may be square, run with a fret, be hollowed
treble  +--------

Where frets slant, so may both ends; each edge then ends where it meets them, and has a length of its own.
Whoever needs an edge asks it, and works nothing out from the board's widths.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Blank, Board
from pearlkerf.board.shares import share_at
from pearlkerf.layout.edge import Edge, LongEdge, bent
from pearlkerf.layout.frets import formula_mm, line_at
from pearlkerf.layout.limits import END_POINTS
from pearlkerf.layout.lines import Line, Point


@dataclass(frozen=True, slots=True)
class Ends:
    """The lines across the board in which both its ends lie."""

    nut: Line
    far: Line


@dataclass(frozen=True, slots=True)
class Hollow:
    """A far end hollowed by an arc about a point of the centre line beyond it, as a soundhole wants it."""

    centre_mm: float
    radius_mm: float

    @property
    def deepest_mm(self) -> float:
        """Give the X on the centre line to which it reaches in."""
        return self.centre_mm - self.radius_mm

    def points(self, far: Line) -> list[Point]:
        """Give points of its arc between the corners of the far end, low Y first."""
        (_, low), (_, high) = far.start, far.end
        inner = np.linspace(low, high, END_POINTS)[1:-1].tolist()
        return [(self.centre_mm - math.sqrt(self.radius_mm**2 - y**2), y) for y in inner]

    def left_mm(self, line: Line) -> float:
        """Give how much wood stays between a line across the board and the arc."""
        return line.beyond_mm((self.centre_mm, 0.0)) - self.radius_mm


@dataclass(frozen=True, slots=True)
class Sides:
    """A piece of wood in plan between its two long edges, that at low Y and that at high Y.

    ``cut`` are its ends; None where the edges themselves say where they are, square to the centre line.
    """

    low: LongEdge
    high: LongEdge
    cut: Ends | None = None
    hollow: Hollow | None = None

    @property
    def stations_mm(self) -> tuple[float, ...]:
        """Give every X at which one of its edges begins, bends or ends, ascending."""
        points = (*self.low.ends, *self.low.joints, *self.high.ends, *self.high.joints)
        return tuple(sorted({x for x, _ in points}))

    @property
    def far_mm(self) -> float:
        """Give where the centre line leaves it at the far end."""
        return self.ends.far.x_mm() if self.hollow is None else self.hollow.deepest_mm

    @property
    def ends(self) -> Ends:
        """Give its ends, from edge to edge, low Y first."""
        if self.cut is not None:
            return Ends(self.across(self.cut.nut), self.across(self.cut.far))
        (low, low_far), (high, high_far) = self.low.ends, self.high.ends
        return Ends(Line(low, high), Line(low_far, high_far))

    @property
    def corners(self) -> NDArray[np.float64]:
        """Its outline, (n, 2) float, mm, counter-clockwise from the nut end at low Y; read-only."""
        nut, far = self.ends.nut, self.ends.far
        hollow = () if self.hollow is None else self.hollow.points(far)
        corners = (nut.start, *self.low.joints, far.start, *hollow, far.end, *self.high.joints[::-1], nut.end)
        array = np.array(corners, dtype=np.float64)
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
        return Sides(self.low.between(ends.nut, ends.far), self.high.between(ends.nut, ends.far), ends)


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of a board: finished, inside its binding, and of the wood on the machine in the face setup.

    ``bass`` and ``treble`` are of the finished ones, or, of an edge that bends, the straight run that has its dots.
    """

    finished: Sides
    core: Sides
    wood: Sides
    bass: Edge
    treble: Edge

    def across_from(self, edge: Edge) -> LongEdge:
        """Give the whole edge on the other side, on which a board stands while this one is up."""
        return self.finished.high if edge.side < 0 else self.finished.low

    def finished_edge(self, edge: Edge) -> LongEdge:
        """Give the whole edge that one of its runs belongs to."""
        return self.finished.low if edge.side < 0 else self.finished.high

    def begins_at_nut(self, edge: Edge) -> bool:
        """Say whether an edge, or the run of it that has the dots, begins at the board's nut end."""
        return edge.nut_corner == self.finished_edge(edge).nut_corner

    def standing_mm(self, edge: Edge) -> tuple[float, float]:
        """Give how far an edge lies above the one that the board then stands on: at that one's nut end and far end.

        Square to the centre line.
        """
        if self.finished.cut is None and isinstance(self.across_from(edge), Edge):
            return self.finished.end_widths_mm
        other = self.across_from(edge)
        nut, far = (edge.half_width_mm(x) + other.half_width_mm(x) for x, _ in other.ends)
        return nut, far


def edges_of(board: Board) -> Edges:
    """Give a board's edges; where there is no binding, its core is all of it."""
    finished = _finished(board)
    binding, blank = board.binding, board.blank
    core = finished if binding is None else finished.inside(binding.thickness_mm)
    wood = core if binding is not None and binding.put_on == "after" else finished
    if blank is not None:
        wood = _rectangle(finished, blank)
    low, high = (_run(board, edge) for edge in (finished.low, finished.high))
    bass, treble = (low, high) if board.hand == "right" else (high, low)
    return Edges(finished, core, wood, bass, treble)


def _finished(board: Board) -> Sides:
    sides = _bent_sides(board) if board.widths else _sides(board)
    scale = board.scale
    if scale.slanted or scale.zero_fret or board.end == "slanted":
        sides = sides.between(_ends(board, sides))
    if board.end_arc_mm is None:
        return sides
    far, radius = sides.ends.far, board.end_arc_mm
    half = min(max(abs(y) for _, y in (far.start, far.end)), radius)
    return replace(sides, hollow=Hollow(board.length_mm + math.sqrt(radius**2 - half**2), radius))


def _sides(board: Board) -> Sides:
    """Give the two edges that mirror each other in the centre line."""
    nut, far = (0.0, board.nut_width_mm / 2), (board.length_mm, board.end_width_mm / 2)
    return Sides(Edge((nut[0], -nut[1]), (far[0], -far[1])), Edge(nut, far))


def _bent_sides(board: Board) -> Sides:
    """Give the edges through all stations; a left hand mirrors them."""
    mirrored = 1.0 if board.hand == "right" else -1.0
    edges = [[(x, mirrored * station[side]) for x, *station in board.widths] for side in (0, 1)]
    low, high = edges if board.hand == "right" else edges[::-1]
    return Sides(bent(low, -1.0), bent(high, 1.0))


def _ends(board: Board, sides: Sides) -> Ends:
    """Give the ends of a board that slants, or has a zero fret: they run with fret 0 and the last, or are square."""
    scale = board.scale
    nut = sides.across(line_at(board, 0.0, -scale.behind_zero_mm if scale.zero_fret else 0.0))
    if board.nut == "square" and scale.slanted:
        nut = _square(min(nut.start[0], nut.end[0]) - board.before_nut_mm)
    if board.end == "slanted":
        return Ends(nut, line_at(board, share_at(scale, scale.there[-1]), board.length_mm))
    return Ends(nut, _square(board.length_mm))


def _square(x_mm: float) -> Line:
    return Line((x_mm, -1.0), (x_mm, 1.0))


def _run(board: Board, edge: LongEdge) -> Edge:
    """Give the straight run of an edge that has most of the side dots; of equal ones the longest."""
    if isinstance(edge, Edge):
        return edge
    numbers = () if board.side_dots is None else board.side_dots.frets
    places = dict(zip(board.scale.there, formula_mm(board).tolist(), strict=True))
    dots = [places[number] for number in numbers if number in places]

    def has(run: Edge) -> tuple[int, float]:
        inside = sum(run.nut_corner[0] < x <= run.far_corner[0] for x in dots)
        return inside, run.length_mm

    return max(edge.runs, key=has)


def _rectangle(finished: Sides, blank: Blank) -> Sides:
    """Give a blank, in whose middle the board's widest box lies."""
    (low_x, low_y), (high_x, high_y) = finished.box_mm
    near, far = low_x - blank.beyond_nut_mm, high_x + blank.beyond_end_mm
    low, high = ((low_y + high_y + side * blank.width_mm) / 2 for side in (-1, 1))
    return Sides(Edge((near, low), (far, low), toward=-1.0), Edge((near, high), (far, high), toward=1.0))
