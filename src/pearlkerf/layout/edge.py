"""A long edge of a board in plan: straight, or of several straight runs; what lies along it, inside it, square to it.

          nut end                           bridge end
        +---------___________
        |                    ---------------+      straight, at an angle to the centre line
centre  + - - - - - - - - - - - - - - - - - +  x
        |        ____
        +-------/    `----------------------+      of several runs
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from pearlkerf.layout.limits import STRAIGHT_RAD
from pearlkerf.layout.lines import Line, Point


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge, or a line ``inside_mm`` inside it, square to it: that of a core inside its binding.

    Distances along it count from the nut corner, those out of it away from the wood.
    """

    nut_corner: Point
    far_corner: Point
    inside_mm: float = 0.0
    toward: float = 0.0  # the sign of Y on its side; 0: that of its nut corner

    @property
    def side(self) -> float:
        """Give the sign of Y on its side of the centre line."""
        return math.copysign(1.0, self.toward or self.nut_corner[1])

    @property
    def joints(self) -> tuple[Point, ...]:
        """Give the points at which it bends: none."""
        return ()

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
        (x, y), (far_x, far_y), side = self.nut_corner, self.far_corner, self.side
        near, share = side * y, (x_mm - x) / (far_x - x)
        at_edge = near + (side * far_y - near) * share
        return at_edge - self.inside_mm / math.cos(self.angle_rad) if self.inside_mm else at_edge

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

    def between(self, nut: Line, far: Line) -> "Edge":
        """Give it from one line across the board to another."""
        return replace(self, nut_corner=self.crossing(nut), far_corner=self.crossing(far))


@dataclass(frozen=True, slots=True)
class BentEdge:
    """An edge of several straight runs, nut end first, each an Edge that ends where the next begins."""

    runs: tuple[Edge, ...]

    @property
    def side(self) -> float:
        """Give the sign of Y on its side of the centre line."""
        return self.runs[0].side

    @property
    def nut_corner(self) -> Point:
        """Give its point at the nut end."""
        return self.runs[0].nut_corner

    @property
    def joints(self) -> tuple[Point, ...]:
        """Give the points at which it bends, nut end first."""
        return tuple(run.nut_corner for run in self.runs[1:])

    @property
    def ends(self) -> tuple[Point, Point]:
        """Give its points at both ends of the board, nut end first."""
        return self.runs[0].nut_corner, self.runs[-1].far_corner

    def _run_at(self, x_mm: float) -> Edge:
        return next((run for run in self.runs if x_mm <= run.far_corner[0]), self.runs[-1])

    def half_width_mm(self, x_mm: float) -> float:
        """Give its distance from the centre line, square to that; its outer runs carried on."""
        return self._run_at(x_mm).half_width_mm(x_mm)

    def y_mm(self, x_mm: float) -> float:
        """Give the Y at which it lies."""
        return self.side * self.half_width_mm(x_mm)

    def along_mm(self, x_mm: float) -> float:
        """Give how far along it, round its bends, a place of the centre line lies."""
        here = self.runs.index(self._run_at(x_mm))
        return sum(run.length_mm for run in self.runs[:here]) + self.runs[here].along_mm(x_mm)

    def inside(self, away_mm: float) -> "BentEdge":
        """Give the line that lies so far inside it, square to each run."""
        lines = [run.inside(away_mm) for run in self.runs]
        corners = [lines[0].ends[0], *(_meet(*pair) for pair in pairwise(lines)), lines[-1].ends[1]]
        return bent(corners, self.side)

    def distance_mm(self, point: Point) -> float:
        """Give how far inside it a point lies; negative outside."""
        near = min(_to_run_mm(run, point) for run in self.runs)
        return math.copysign(near, self.half_width_mm(point[0]) - self.side * point[1])

    def crossing(self, line: Line) -> Point:
        """Give where it meets a line across the board, carried on."""
        found = [run.crossing(line) for run in self.runs]
        for (x, y), run in zip(found, self.runs, strict=True):
            if x <= run.far_corner[0]:
                return x, y
        return found[-1]

    def between(self, nut: Line, far: Line) -> "BentEdge":
        """Give it from one line across the board to another, which cross its outer runs."""
        first, *_, last = self.runs
        inner = [point for point in self.joints if first.crossing(nut)[0] < point[0] < last.crossing(far)[0]]
        return bent([first.crossing(nut), *inner, last.crossing(far)], self.side)


LongEdge = Edge | BentEdge


def bent(corners: list[Point], side: float) -> BentEdge:
    """Give an edge through corners, nut end first, on the side of the centre line with this sign of Y."""
    return BentEdge(tuple(Edge(one, other, toward=side) for one, other in pairwise(corners)))


def _meet(run: Edge, other: Edge) -> Point:
    """Give where two runs meet, both carried on; where one goes straight on into the other, there."""
    if abs(run.angle_rad - other.angle_rad) < STRAIGHT_RAD:
        return run.ends[1]
    return run.crossing(Line(*other.ends))


def _to_run_mm(run: Edge, point: Point) -> float:
    """Give how far a point lies from a run, within its ends."""
    (x, y), (far_x, far_y) = run.ends
    along = Line((x, y), (far_x, far_y)).along
    share = (point[0] - x) * along[0] + (point[1] - y) * along[1]
    nearest = min(max(share, 0.0), math.dist((x, y), (far_x, far_y)))
    return math.dist(point, (x + nearest * along[0], y + nearest * along[1]))
