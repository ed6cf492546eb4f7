"""The oracle's own wood: features as clouds of points, and what each straight stroke of a cutter does to them.

A stroke of a flat disc of radius r over a point q at height z(t), t from 0 to 1:

          A --t0====q====t1-- B      the disc covers q from t0 to t1; it enters at z(t0) and takes
                                     everything above the lower of z(t0) and z(t1)
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from what_is_harm import ROUNDING

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.setups.model import Setup

ARC_STEP = math.radians(5.0)  # chords of arcs: within 0.002 mm for every bore of these boards
MATCH = 0.02  # a cutter so near to a slot's width counts as equal to it
ALONG = 0.3  # mm between points along a slot


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
    count = max(2, math.ceil(sweep / ARC_STEP))
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


# --- the demand


def slot_frame(slot: Slot) -> tuple[np.ndarray, np.ndarray, float]:
    """Give a slot's start, its direction, and its length."""
    start, end = np.array(slot.start), np.array(slot.end)
    length = float(np.linalg.norm(end - start))
    return start, (end - start) / length, length


def outside_mm(feature, points: np.ndarray, radius: float) -> np.ndarray:
    """How far points (n, 2) lie outside a feature, as a cutter of this radius may cut it; below 0 inside."""
    if isinstance(feature, Hole):
        return np.linalg.norm(points - feature.centre, axis=1) - feature.diameter_mm / 2
    start, way, length = slot_frame(feature)
    half = effective_width(feature, radius) / 2
    rel = points - start
    across = np.abs(rel[:, 0] * way[1] - rel[:, 1] * way[0])
    if feature.through:
        return across - half
    along = rel @ way
    beyond = np.maximum(np.maximum(half - along, along - (length - half)), 0.0)
    return np.hypot(across, beyond) - half


def effective_width(slot: Slot, radius: float) -> float:
    """A slot is as wide as a cutter that almost fits."""
    return 2 * radius if abs(2 * radius - slot.width_mm) <= MATCH + 1e-6 else slot.width_mm


def deepest_allowed(feature, points: np.ndarray) -> np.ndarray:
    """The lowest that lips may come at points (n, 2) of a feature."""
    if isinstance(feature, Hole):
        return np.full(len(points), feature.deepest_mm)
    return feature.floor.z_mm(points[:, 0], points[:, 1])


def in_outline(setup: Setup, points: np.ndarray, by_mm: float = 0.0) -> np.ndarray:
    """Say which points lie in the wood, at least so far from its edge."""
    inside = np.ones(len(points), dtype=bool)
    corners = np.asarray(setup.stock.outline, dtype=float)
    sides = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([-sides[:, 1], sides[:, 0]]) / np.linalg.norm(sides, axis=1)[:, None]
    if ((np.roll(sides, -1, axis=0) * normals).sum(axis=1) < -ROUNDING).any():  # a step, or a hollow
        return _in_hollow_outline(corners.tobytes(), by_mm, points)
    for corner, normal in zip(corners, normals, strict=True):
        inside &= (points - corner) @ normal >= by_mm
    return inside


def _in_hollow_outline(corners: bytes, by_mm: float, points: np.ndarray) -> np.ndarray:
    """The same for an outline that is not convex."""
    return shapely.intersects_xy(_hollow(corners, by_mm), points[:, 0], points[:, 1])


@lru_cache(64)
def _hollow(corners: bytes, by_mm: float) -> shapely.Geometry:
    wood = shapely.Polygon(np.frombuffer(corners).reshape(-1, 2)).buffer(-by_mm, join_style="mitre")
    shapely.prepare(wood)
    return wood


def excess_mm(setup: Setup, boxes: np.ndarray, at: np.ndarray, radius: np.ndarray, point: np.ndarray) -> np.ndarray:
    """How far the disc of each sample cuts beyond what may be cut, mm."""
    angle = np.arange(32) * 2 * math.pi / 32
    rim = np.column_stack([np.cos(angle), np.sin(angle)])
    disc = np.concatenate([rim, 0.5 * rim[::2], np.zeros((1, 2))])
    points = (at[:, None, :2] + radius[:, None, None] * disc).reshape(-1, 2)
    lips = np.repeat(at[:, 2] + point, len(disc))
    excess = setup.stock.top_mm(points[:, 0], points[:, 1]) - lips
    live = np.flatnonzero((excess > 0.0) & in_outline(setup, points))
    result = np.zeros(len(points))
    if len(live):
        points, lips, allowed = points[live], lips[live], excess[live]
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        for feature, (left, near, right, far) in zip(setup.features, boxes, strict=True):
            if left <= x1 + 1 and right >= x0 - 1 and near <= y1 + 1 and far >= y0 - 1:
                beyond = outside_mm(feature, points, float(radius[0]))
                deep = deepest_allowed(feature, points) - lips
                allowed = np.minimum(allowed, np.maximum(beyond, deep))
        result[live] = np.maximum(allowed, 0.0)
    return result.reshape(len(at), -1).max(axis=1)


@dataclass
class Cloud:
    """Points of a feature: where they are, the raw top above them, the height that must be reached."""

    points: np.ndarray  # (n, 2)
    top: np.ndarray
    wanted: np.ndarray  # lips must come down to here
    inner: np.ndarray  # inside the walls: what counts for bites
    well: np.ndarray  # further from them than a quarter of the cutter's radius: a thinner strip is a shaving
    box: tuple[float, float, float, float]


def cloud_of(feature, setup: Setup, radius: float, shrink: float) -> Cloud:
    """Give the cloud of a feature as a cutter of this radius must cut it, less ``shrink`` at its walls."""
    points, wall = (_hole_points if isinstance(feature, Hole) else _slot_points)(feature, radius, shrink)
    wood = in_outline(setup, points)
    points, wall = points[wood], wall[wood]
    if isinstance(feature, Hole):
        wanted = np.full(len(points), feature.shallowest_mm)
    else:
        wanted = _slot_wanted(feature, points, radius)
    top = setup.stock.top_mm(points[:, 0], points[:, 1])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return Cloud(points, top, wanted, wall >= 0.03, wall >= max(0.03, radius / 4), (x0, y0, x1, y1))


def _hole_points(hole: Hole, _radius: float, shrink: float):
    half = hole.diameter_mm / 2 - shrink
    rings = [half, *np.arange(half - max(0.04, half / 25), 0.0, -max(0.1, half / 8)), 0.0]
    points, wall = [], []
    for ring in rings:
        count = max(1, min(90, math.ceil(2 * math.pi * ring / (half / 12))))
        angle = np.arange(count) * 2 * math.pi / count + 0.1
        points.append(np.column_stack([ring * np.cos(angle), ring * np.sin(angle)]) + hole.centre)
        wall.append(np.full(count, hole.diameter_mm / 2 - ring))
    return np.concatenate(points), np.concatenate(wall)


def _slot_points(slot: Slot, radius: float, shrink: float):
    start, way, length = slot_frame(slot)
    half = effective_width(slot, radius) / 2
    across = np.array([-half + shrink, -half + 0.04, -0.4 * half, 0.0, 0.4 * half, half - 0.04, half - shrink])
    first, last = (0.0, length) if slot.through else (shrink, length - shrink)
    along = np.linspace(first, last, math.ceil((last - first) / ALONG) + 1)
    if not slot.through:  # closer points in the round ends
        near = np.linspace(shrink, 2 * half, 12)
        along = np.unique(np.concatenate([along, near, length - near]))
    grid_along, grid_across = (part.ravel() for part in np.meshgrid(along, across, indexing="ij"))
    points = start + grid_along[:, None] * way + grid_across[:, None] * np.array([way[1], -way[0]])
    outside = outside_mm(slot, points, radius)
    inside = outside <= -shrink + 1e-9
    return points[inside], -outside[inside]


def _slot_wanted(slot: Slot, points: np.ndarray, radius: float) -> np.ndarray:
    """On the centre line the floor itself; toward the walls, and in lanes, what a flat tip reaches."""
    start, way, length = slot_frame(slot)
    y = points[:, 1]
    floor = slot.floor.z_mm(points[:, 0], y)
    reachable = slot.floor.z_mm(points[:, 0], np.sign(y) * np.maximum(np.abs(y) - radius, 0.0))
    rel = points - start
    across = np.abs(rel[:, 0] * way[1] - rel[:, 1] * way[0])
    along = rel @ way
    lanes = abs(effective_width(slot, radius) - 2 * radius) > 1e-6
    near_end = np.zeros(len(points), dtype=bool) if slot.through else np.minimum(along, length - along) < slot.width_mm
    weak = (across > 0.005) | lanes
    ended = slot.floor.z_mm(points[:, 0], np.sign(y) * np.maximum(np.abs(y) - 2 * radius, 0.0))
    return np.where(near_end, ended, np.where(weak, reachable, floor))  # a tip stops a radius short of an end


# --- cutting


@dataclass
class Cutting:
    """What strokes (k) do to a cloud (n), in order."""

    final: np.ndarray  # (n,) height in the end
    takes: np.ndarray  # (k,) the most that each stroke lowers a point by
    bites: np.ndarray  # (k,) the deepest engagement of the cutter in inner points
    well: np.ndarray  # (k,) the same in points well inside


def cut(cloud: Cloud, strokes: Strokes) -> Cutting:
    """Follow strokes over a cloud: pairs of a stroke and a point it covers, point by point in order of time."""
    final, (takes, bites, well) = cloud.top.copy(), np.zeros((3, len(strokes.row)))
    stroke, point = _near_pairs(cloud.points, strokes)
    stroke, point, low, entry = _coverage(cloud.points[point], strokes, stroke, point)
    if not len(stroke):
        return Cutting(final, takes, bites, well)
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
    return Cutting(final, takes, bites, well)


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
