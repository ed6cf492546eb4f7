"""The oracle's own wood: what each straight stroke of a cutter does to the points of a feature.

A stroke of a flat disc of radius r over a point q at height z(t), t from 0 to 1:

          A --t0====q====t1-- B      the disc covers q from t0 to t1; it enters at z(t0) and takes
                                     everything above the lower of z(t0) and z(t1)
"""

import math
from dataclasses import dataclass

import numpy as np
from plain_demand import Cloud

from pearlkerf.setups.model import Setup

ARC_STEP, ARC_WITHIN = math.radians(5.0), 0.001  # chords of arcs: so long at most, and within so many mm of them


@dataclass
class Strokes:
    """Straight pieces, in order: (k,) each; ``row`` is the motion they belong to."""

    a: np.ndarray  # (k, 3) mm, in the board's axes
    b: np.ndarray  # (k, 3)
    row: np.ndarray
    radius: np.ndarray
    point: np.ndarray  # how far a drill's point lies below its lips
    rapid: np.ndarray
    saw: np.ndarray  # the cutter's number where it is a saw, else -1

    def some(self, which: np.ndarray) -> "Strokes":
        """Give some of them."""
        return Strokes(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    @property
    def lowest(self) -> np.ndarray:
        """The lowest tip of each."""
        return np.fmin(self.a[:, 2], self.b[:, 2])


def joined(parts: list[Strokes]) -> Strokes:
    """Put strokes one after another, in the order of execution."""
    return Strokes(*(np.concatenate([getattr(part, name) for part in parts]) for name in Strokes.__dataclass_fields__))


def strokes_of(table: np.ndarray, setup: Setup, machine, first_row: int = 0) -> Strokes:
    """Turn motions (rows of the plain reader) into strokes; what starts or ends nowhere has nan."""
    kind = table[:, 0]
    start, end = table[:, 1:4].copy(), table[:, 4:7].copy()
    # a start that nobody knows: along a motion in Z alone it does not matter
    for axis in range(3):
        unknown = np.isnan(start[:, axis])
        start[unknown, axis] = end[unknown, axis]
    starts, ends, rows = [], [], []
    plain = np.flatnonzero(kind < 2)
    starts.append(start[plain])
    ends.append(end[plain])
    rows.append(plain)
    for row in np.flatnonzero(kind >= 2).tolist():
        points = _arc_points(start[row], end[row], table[row, 7:9], kind[row] == 2)
        starts.append(points[:-1])
        ends.append(points[1:])
        rows.append(np.full(len(points) - 1, row))
    row = np.concatenate(rows)
    order = np.argsort(row, kind="stable")
    row = row[order]
    a, b = np.concatenate(starts)[order], np.concatenate(ends)[order]
    for part in (a, b):
        part[:, :2] = setup.placement.to_board(part[:, :2])
    radii = {cutter.number: (cutter.radius_mm, cutter.point_length_mm) for cutter in machine.cutters}
    both = np.array([radii.get(int(number), (math.nan, math.nan)) for number in table[:, 12]]).reshape(-1, 2)
    saws = np.array([cutter.number for cutter in machine.cutters if cutter.kind == "saw"])
    saw = np.where(np.isin(table[:, 12], saws), table[:, 12], -1)
    return Strokes(a, b, row + first_row, both[row, 0], both[row, 1], kind[row] == 0, saw[row])


def _arc_points(start, end, centre, clockwise: bool) -> np.ndarray:
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = (first - last if clockwise else last - first) % (2 * math.pi)
    if sweep < 1e-9 or math.dist(start[:2], end[:2]) < 1e-9:
        sweep = 2 * math.pi
    step = min(ARC_STEP, math.sqrt(8 * ARC_WITHIN / max(math.dist(start[:2], centre), ARC_WITHIN)))
    count = max(2, math.ceil(sweep / step))
    share = np.linspace(0.0, 1.0, count + 1)
    angle = first + (-sweep if clockwise else sweep) * share
    ends = [math.dist(start[:2], centre), math.dist(end[:2], centre)]
    reach = ends[0] + (ends[1] - ends[0]) * share
    points = np.column_stack([centre[0] + reach * np.cos(angle), centre[1] + reach * np.sin(angle),
                              start[2] + (end[2] - start[2]) * share])  # fmt: skip
    points[0], points[-1] = start, end
    return points


def lengths_mm(table: np.ndarray) -> np.ndarray:
    """Lengths of the ways of motions (rows of the plain reader), along arcs and helices, mm."""
    way = table[:, 4:7] - table[:, 1:4]
    length = np.linalg.norm(way, axis=1)
    for k in np.flatnonzero(table[:, 0] >= 2).tolist():
        row = table[k]
        turn = math.atan2(row[2] - row[8], row[1] - row[7]) - math.atan2(row[5] - row[8], row[4] - row[7])
        turn = (turn if row[0] == 2 else -turn) % (2 * math.pi) or 2 * math.pi
        length[k] = math.hypot(math.hypot(row[1] - row[7], row[2] - row[8]) * turn, way[k, 2])
    return length


@dataclass
class Cutting:
    """What strokes (k) do to a cloud (n), in order."""

    final: np.ndarray  # (n,) height in the end
    takes: np.ndarray  # (k,) the most that each stroke lowers a point by
    bites: np.ndarray  # (k,) the deepest engagement of the cutter in inner points
    well: np.ndarray  # (k,) the same in points well inside
    met: tuple[np.ndarray, np.ndarray, np.ndarray]  # of all those that any stroke meets there: stroke, point, depth


def cut(cloud: Cloud, strokes: Strokes) -> Cutting:
    """Follow strokes over a cloud: pairs of a stroke and a point it covers, point by point in order of time."""
    final, (takes, bites, well) = cloud.top.copy(), np.zeros((3, len(strokes.row)))
    stroke, point = _near_pairs(cloud.points, strokes)
    stroke, point, low, entry = _coverage(cloud.points[point], strokes, stroke, point)
    if not len(stroke):
        nothing = np.zeros(0, dtype=int)
        return Cutting(final, takes, bites, well, (nothing, nothing, np.zeros(0)))
    order = np.argsort(point, kind="stable")
    stroke, point, low, entry = stroke[order], point[order], low[order], entry[order]
    fresh = np.concatenate([[True], point[1:] != point[:-1]])
    # a running minimum for each point: each is shifted far below the one before it
    shift = np.cumsum(fresh) * 1e4
    reached = np.minimum(np.minimum.accumulate(low - shift) + shift, cloud.top[point])
    before = np.where(fresh, cloud.top[point], np.concatenate([[0.0], reached[:-1]]))
    final[point] = reached  # the last of each point stays
    np.maximum.at(takes, stroke, np.maximum(before - low, 0.0))
    engaged = np.maximum(before - entry, _plunged(strokes, stroke, fresh, before, low))
    for some, deepest in ((cloud.inner[point], bites), (cloud.well[point], well)):
        np.maximum.at(deepest, stroke[some], engaged[some])
    deep = cloud.well[point]
    return Cutting(final, takes, bites, well, (stroke[deep], point[deep], engaged[deep]))


def _near_pairs(points: np.ndarray, strokes: Strokes) -> tuple[np.ndarray, np.ndarray]:
    """Pairs of strokes and points that may meet, by their range along the longer side of the cloud."""
    axis = int(np.argmax(np.ptp(points, axis=0)))
    order = np.argsort(points[:, axis], kind="stable")
    place = points[order, axis]
    low = np.searchsorted(place, np.minimum(strokes.a[:, axis], strokes.b[:, axis]) - strokes.radius - 1e-6)
    high = np.searchsorted(place, np.maximum(strokes.a[:, axis], strokes.b[:, axis]) + strokes.radius + 1e-6)
    count = high - low
    stroke = np.repeat(np.arange(len(count)), count)
    within = np.arange(len(stroke)) - np.repeat(np.cumsum(count) - count, count)
    return stroke, order[np.repeat(low, count) + within]


def _coverage(places: np.ndarray, strokes: Strokes, stroke: np.ndarray, point: np.ndarray):
    """The pairs that do meet, the lowest lips there, and the lips where the disc enters (inf if it stood there)."""
    way = strokes.b - strokes.a
    length = np.hypot(way[:, 0], way[:, 1])
    safe = np.where(length < 1e-9, 1.0, length)
    ux, uy = np.where(length < 1e-9, 0.0, way[:, 0] / safe), np.where(length < 1e-9, 0.0, way[:, 1] / safe)
    rx, ry = places[:, 0] - strokes.a[stroke, 0], places[:, 1] - strokes.a[stroke, 1]
    still = (length < 1e-9)[stroke]
    along = rx * ux[stroke] + ry * uy[stroke]
    across2 = np.where(still, rx * rx + ry * ry, (rx * uy[stroke] - ry * ux[stroke]) ** 2)
    room = (strokes.radius[stroke] + 1e-7) ** 2 - across2
    half = np.sqrt(np.maximum(room, 0.0))
    t0, t1 = (along - half) / safe[stroke], (along + half) / safe[stroke]
    met = (room >= 0.0) & (still | ((t0 <= 1.0) & (t1 >= 0.0)))
    stroke, point, still, t0, t1 = stroke[met], point[met], still[met], t0[met], t1[met]
    enters = (t0 > 1e-9) & ~still
    t0 = np.where(still, 0.0, np.clip(t0, 0.0, 1.0))
    t1 = np.where(still, 1.0, np.clip(t1, 0.0, 1.0))
    lips, fall = (strokes.a[:, 2] + strokes.point)[stroke], way[stroke, 2]
    z0, z1 = lips + t0 * fall, lips + t1 * fall
    return stroke, point, np.minimum(z0, z1), np.where(enters, z0, np.inf)


def _plunged(strokes: Strokes, stroke: np.ndarray, fresh: np.ndarray, before: np.ndarray, low: np.ndarray):
    """How deep a run of steep strokes has gone by each, from where the first of them met the wood."""
    way = strokes.b - strokes.a
    steep = -way[:, 2] > np.tan(math.radians(30.0)) * np.hypot(way[:, 0], way[:, 1])
    run = np.where(steep, np.cumsum(~steep), -1)
    of_pair = run[stroke]
    on = np.concatenate([[False], (of_pair[1:] == of_pair[:-1]) & (of_pair[1:] >= 0)]) & ~fresh
    start = before.copy()
    for _ in range(60):
        follows = np.flatnonzero(on & (start != np.concatenate([[0.0], start[:-1]])))
        if not len(follows):
            break
        start[follows] = start[follows - 1]
    return np.where(of_pair >= 0, start - low, 0.0)
