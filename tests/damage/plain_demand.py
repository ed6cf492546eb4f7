"""The oracle's own demand: features as clouds of points, and how far a disc cuts beyond what may be cut."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import plain_pocket
import shapely
from what_is_harm import ROUNDING

from pearlkerf.layout.features import Slot
from pearlkerf.setups.model import Setup

MATCH = 0.02  # a cutter so near to a slot's width counts as equal to it
POCKETS = ("pocket", "channel")
ALONG = 0.3  # mm between points along a slot


def slot_frame(slot: Slot) -> tuple[np.ndarray, np.ndarray, float]:
    """Give a slot's start, its direction, and its length."""
    start, end = np.array(slot.start), np.array(slot.end)
    length = float(np.linalg.norm(end - start))
    return start, (end - start) / length, length


def outside_mm(feature, points: np.ndarray, radius: float) -> np.ndarray:
    """How far points (n, 2) lie outside a feature, as a cutter of this radius may cut it; below 0 inside."""
    if feature.kind in POCKETS:
        return plain_pocket.outside_mm(feature, points)
    if feature.kind == "hole":
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
    if feature.kind in POCKETS:
        return plain_pocket.over_tabs(feature, points, plain_pocket.floor_mm(feature, points, feature.deepest_mm))
    if feature.kind == "hole":
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
                asked = np.flatnonzero(allowed > 0.0)  # what one feature allows no other need
                beyond = outside_mm(feature, points[asked], float(radius[0]))
                deep = deepest_allowed(feature, points[asked]) - lips[asked]
                allowed[asked] = np.minimum(allowed[asked], np.maximum(beyond, deep))
        result[live] = np.maximum(allowed, 0.0)
    return result.reshape(len(at), -1).max(axis=1)


def has_flat_floor(feature) -> bool:
    """Whether its floor is to be flat."""
    return feature.kind == "hole" or (feature.kind == "pocket" and feature.floor.crown is None)


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
    give = {
        "pocket": plain_pocket.points_of,
        "channel": plain_pocket.points_of,
        "hole": _hole_points,
        "slot": _slot_points,
    }[feature.kind]
    points, wall = give(feature, radius, shrink)
    wood = in_outline(setup, points)
    points, wall = points[wood], wall[wood]
    if feature.kind in POCKETS:
        wanted = plain_pocket.over_tabs(feature, points, plain_pocket.wanted_mm(feature, points, radius), shrink)
    elif feature.kind == "hole":
        wanted = np.full(len(points), feature.shallowest_mm)
    else:
        wanted = _slot_wanted(feature, points, radius)
    top = setup.stock.top_mm(points[:, 0], points[:, 1])
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return Cloud(points, top, wanted, wall >= 0.03, wall >= max(0.03, radius / 4), (x0, y0, x1, y1))


def _hole_points(hole, _radius: float, shrink: float):
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
