"""Lines and arcs through points: as few of them, one after another, as keep every point near.

Each stroke goes as far as it can before the next begins.  That is the fewest chords but for one or two in a
hundred, and the fewest lines and arcs but for as few.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pearlkerf.toolpath.tolerances import LEAST_ARC_MM, MOST_ARC_MM, MOST_ARC_RAD

Point = tuple[float, float]
Points = Sequence[Point]


@dataclass(frozen=True, slots=True)
class Stroke:
    """One piece of a way: to a point, straight where it has no centre, else along an arc about that."""

    end: Point
    centre: Point | None = None
    clockwise: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """How rings are drawn: with which strokes, and how near these stay to a wall's ring and to all others, mm."""

    through: Callable[[Points, float], tuple[Stroke, ...]]
    wall_mm: float
    clearing_mm: float

    def ring(self, points: Points, within: int) -> tuple[Stroke, ...]:
        """Draw a ring with so many others about it; the wall's has none."""
        return self.through(points, self.clearing_mm if within else self.wall_mm)


def chords(points: Points, within_mm: float) -> tuple[Stroke, ...]:
    """Give the few chords from the first point to the last that pass all others within a distance, in their order.

    >>> [stroke.end for stroke in chords([(0.0, 0.0), (1.0, 0.001), (2.0, 0.0), (2.0, 5.0)], 0.002)]
    [(2.0, 0.0), (2.0, 5.0)]
    """
    found, at = [], 0
    while at < len(points) - 1:
        at = farthest(points, at, lambda low, high: is_straight(points, low, high, within_mm))
        found.append(Stroke(points[at]))
    return tuple(found)


def lines_and_arcs(points: Points, within_mm: float) -> tuple[Stroke, ...]:
    """Give the few lines and arcs from the first point to the last that pass all others within a distance.

    An arc keeps so near to what is straight between two points as well, and turns MOST_ARC_RAD at most.
    """
    found: list[Stroke] = []
    at = 0
    while at < len(points) - 1:
        line = farthest(points, at, lambda low, high: is_straight(points, low, high, within_mm))
        arc = line + 1
        if arc < len(points) and arc_through(points, at, arc, within_mm) is not None:
            arc = farthest(points, at, lambda low, high: arc_through(points, low, high, within_mm) is not None, arc)
        else:
            arc = line
        stroke = arc_through(points, at, arc, within_mm) if arc > line else None
        at = line if stroke is None else arc
        found.append(Stroke(points[at]) if stroke is None else stroke)
    return tuple(found)


def turn_about(centre: Point, start: Point, end: Point, clockwise: bool) -> tuple[float, float]:
    """Give the angle of a place seen from a centre, and how far it is from there to another, negative if clockwise."""
    first, last = (math.atan2(y - centre[1], x - centre[0]) for x, y in (start, end))
    return first, -((first - last) % (2 * math.pi)) if clockwise else (last - first) % (2 * math.pi)


def turn_rad(start: Point, stroke: Stroke) -> float:
    """Give how far a stroke turns about its centre from a place on, negative if clockwise; 0 where it has none."""
    return 0.0 if stroke.centre is None else turn_about(stroke.centre, start, stroke.end, stroke.clockwise)[1]


def length_mm(start: Point, stroke: Stroke) -> float:
    """Give how long a stroke is from a place on."""
    if stroke.centre is None:
        return math.dist(start, stroke.end)
    return math.dist(stroke.centre, stroke.end) * abs(turn_rad(start, stroke))


def along(start: Point, stroke: Stroke, share: float) -> Point:
    """Give the place that is such a share of a stroke from its start, 0 to 1."""
    if share == 1:
        return stroke.end
    (x, y), (end_x, end_y) = start, stroke.end
    if stroke.centre is None:
        return x + (end_x - x) * share, y + (end_y - y) * share
    turn, (middle_x, middle_y) = turn_rad(start, stroke) * share, stroke.centre
    cos, sin, away_x, away_y = math.cos(turn), math.sin(turn), x - middle_x, y - middle_y
    return middle_x + cos * away_x - sin * away_y, middle_y + sin * away_x + cos * away_y


def without_last(start: Point, strokes: Sequence[Stroke], way_mm: float) -> tuple[Stroke, ...]:
    """Give strokes from a place on, less so much of their way at its end."""
    starts = (start, *(stroke.end for stroke in strokes[:-1]))
    for number, begin in reversed(list(enumerate(starts))):
        stroke = strokes[number]
        length = length_mm(begin, stroke)
        if way_mm < length:
            end = along(begin, stroke, 1 - way_mm / length)
            return (*strokes[:number], Stroke(end, stroke.centre, stroke.clockwise))
        way_mm -= length
    return ()


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed way, begun and ended at ``start``."""

    start: Point
    strokes: tuple[Stroke, ...]

    def last(self, way_mm: float) -> tuple[Point, tuple[Stroke, ...]]:
        """Give where to begin, and how to go on, so as to go so far round it and end where it begins."""
        lengths = [length_mm(start, stroke) for start, stroke in self._begun()]
        rounds, rest = divmod(way_mm, sum(lengths))
        strokes: tuple[Stroke, ...] = ()
        begin = self.start
        for (start, stroke), length in zip(reversed(self._begun()), reversed(lengths), strict=True):
            if rest <= 0:
                break
            begin = along(start, stroke, max(0.0, 1 - rest / length)) if rest < length else start
            strokes = (stroke, *strokes)
            rest -= length
        return begin, strokes + self.strokes * int(rounds)

    def _begun(self) -> list[tuple[Point, Stroke]]:
        """Give its strokes, each with where it begins."""
        starts = (self.start, *(stroke.end for stroke in self.strokes[:-1]))
        return list(zip(starts, self.strokes, strict=True))


def farthest(points: Points, start: int, holds: Callable[[int, int], bool], known: int | None = None) -> int:
    """Give how far along points something holds from one on: by leaps twice as long each time, then between two."""
    last, good = len(points) - 1, start + 1 if known is None else known
    step, bad = max(good - start, 1), last + 1
    while good < last:
        tried = min(good + step, last)
        if not holds(start, tried):
            bad = tried
            break
        good, step = tried, 2 * step
    while bad - good > 1:
        middle = (good + bad) // 2
        if holds(start, middle):
            good = middle
        else:
            bad = middle
    return good


def is_straight(points: Points, low: int, high: int, within_mm: float) -> bool:
    """Say whether all points from one to another lie near the chord between these, and go along it."""
    (x, y), (end_x, end_y) = points[low], points[high]
    along_x, along_y = end_x - x, end_y - y
    length = math.hypot(along_x, along_y)
    if length == 0:
        return high - low == 1
    along_x, along_y = along_x / length, along_y / length
    for place in range(low + 1, high):
        off_x, off_y = points[place][0] - x, points[place][1] - y
        if abs(off_y * along_x - off_x * along_y) > within_mm:
            return False
        if not -within_mm <= off_x * along_x + off_y * along_y <= length + within_mm:
            return False
    return True


def arc_through(points: Points, low: int, high: int, within_mm: float) -> Stroke | None:
    """Give the arc from one point to another that lies nearest to those between; None where some lie too far off.

    With u along the chord from its middle and v aside, the circle through both ends has its centre at v = t, where
    u^2 + v^2 - 2 t v = (c / 2)^2 : t by least squares over the points between.
    """
    (x, y), (end_x, end_y) = points[low], points[high]
    chord = math.hypot(end_x - x, end_y - y)
    if chord == 0 or high - low < 2:
        return None
    along_x, along_y, middle_x, middle_y = (end_x - x) / chord, (end_y - y) / chord, (x + end_x) / 2, (y + end_y) / 2
    over = under = 0.0
    for place in range(low + 1, high):
        off_x, off_y = points[place][0] - middle_x, points[place][1] - middle_y
        aside = off_y * along_x - off_x * along_y
        over += aside * (off_x * off_x + off_y * off_y - chord * chord / 4)
        under += 2 * aside * aside
    if under == 0:
        return None
    t = over / under
    radius = math.hypot(chord / 2, t)
    if not LEAST_ARC_MM <= radius <= MOST_ARC_MM:
        return None
    centre = (middle_x - t * along_y, middle_y + t * along_x)
    turn = _turn_rad(points, low, high, (centre, radius, within_mm))
    if turn is None or abs(turn) > MOST_ARC_RAD:
        return None
    return Stroke(points[high], centre, clockwise=turn < 0)


def _turn_rad(points: Points, low: int, high: int, circle: tuple[Point, float, float]) -> float | None:
    """Give how far points go round a circle's centre; None where they go to and fro, or lie too far off the circle."""
    (centre_x, centre_y), radius, within_mm = circle
    longest = math.sqrt(8 * radius * within_mm)  # of a chord beyond which the arc swings too far
    old_x, old_y = points[low][0] - centre_x, points[low][1] - centre_y
    turn, way = 0.0, 0.0
    for place in range(low + 1, high + 1):
        x, y = points[place][0] - centre_x, points[place][1] - centre_y
        if abs(math.hypot(x, y) - radius) > within_mm:
            return None
        cross = old_x * y - old_y * x
        if cross * way < 0 or math.hypot(x - old_x, y - old_y) > longest:
            return None
        way = cross or way
        turn += math.atan2(cross, old_x * x + old_y * y)
        old_x, old_y = x, y
    return turn
