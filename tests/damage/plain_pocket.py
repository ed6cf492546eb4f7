"""The oracle's own pockets: any outline as points along its walls and between them."""

from functools import lru_cache

import numpy as np
import shapely

from pearlkerf.layout.features import Pocket

TIMES = 3.0  # what is cut of a pocket's wall counts so many times: an inlay's gap is a few hundredths wide
FAR = 0.1  # mm: what is cut farther outside is harm, and not measured
STEP = 0.25  # mm between points along a wall
POINTS = 4000  # inside, at most about so many
SLIVER = 0.7  # of the radius across a way: rings that are left out leave slivers of wood, which no cutter feels
LEAST = 0.0105  # mm: nearer to a wall than this nothing need be cut, and a little that is rounded


def outside_mm(pocket: Pocket, points: np.ndarray) -> np.ndarray:
    """How far points (n, 2) lie outside a pocket, times TIMES; 0 inside."""
    outside = np.zeros(len(points))
    shapely.prepare(pocket.region)
    out = np.flatnonzero(~shapely.contains_xy(pocket.region, points[:, 0], points[:, 1]))
    outside[out] = TIMES * FAR  # harm, however far it is
    near = out[shapely.contains_xy(_near(pocket.region), points[out, 0], points[out, 1])]
    # a prepared geometry gives its nearest place many times as fast as its distance
    outside[near] = TIMES * shapely.length(shapely.shortest_line(pocket.region, shapely.points(points[near])))
    return outside


@lru_cache(64)
def _near(region: shapely.Polygon) -> shapely.Geometry:
    """What lies less than FAR from a region."""
    grown = region.buffer(FAR)
    shapely.prepare(grown)
    return grown


def floor_mm(pocket: Pocket, points: np.ndarray, crown_mm: float) -> np.ndarray:
    """Where a floor lies at points (n, 2) that stands at ``crown_mm`` on the crown line."""
    return pocket.floor.z_mm(points[:, 0], points[:, 1]) - pocket.floor.crown_z_mm + crown_mm


def over_tabs(pocket: Pocket, points: np.ndarray, floor: np.ndarray, shrink: float = 0.0) -> np.ndarray:
    """The floor of a channel with tabs: only in the sections between them the whole, less ``shrink`` at their ends."""
    sections = getattr(pocket, "between", ())
    if not sections:
        return floor
    between = shapely.union_all(sections).buffer(-shrink)
    return np.where(shapely.contains_xy(between, points[:, 0], points[:, 1]), floor, pocket.tabs_z_mm)


def points_of(pocket: Pocket, radius: float, shrink: float) -> tuple[np.ndarray, np.ndarray]:
    """Points of a pocket at least ``shrink`` from its walls (never less than LEAST), and how far each is from them."""
    shrink = max(shrink, LEAST) if shrink else 0.0
    found = []
    for ring in (pocket.region.exterior, *pocket.region.interiors):
        corners = shapely.get_coordinates(shapely.segmentize(ring, STEP))
        way = np.diff(corners, axis=0)
        here, beside = corners[:-1] + way / 2, np.column_stack([-way[:, 1], way[:, 0]]) / np.hypot(*way.T)[:, None]
        found += [here + off * beside for by in (shrink, 0.04) for off in (by + 1e-6, -by - 1e-6)]
    (west, south, east, north), area = pocket.region.bounds, pocket.region.area
    step = max(0.35 * radius, (area / POINTS) ** 0.5)
    grid = np.meshgrid(np.arange(west, east, step), np.arange(south, north, step))
    points = np.concatenate([*found, np.column_stack([part.ravel() for part in grid])])
    points = points[shapely.contains_xy(pocket.region, points[:, 0], points[:, 1])]
    wall = shapely.distance(pocket.region.boundary, shapely.points(points))
    kept = wall >= shrink
    return points[kept], wall[kept]


def wanted_mm(pocket: Pocket, points: np.ndarray, radius: float) -> np.ndarray:
    """How low points must be cut: under a crown as low as a flat tip a diameter nearer to the crown line comes."""
    y = points[:, 1]
    nearer = np.column_stack([points[:, 0], np.sign(y) * np.maximum(np.abs(y) - 2 * radius, 0.0)])
    return floor_mm(pocket, nearer, pocket.shallowest_mm)


def wide_bites(pocket: Pocket, points: np.ndarray, met: tuple, strokes, limit: float) -> np.ndarray:
    """The deepest bite of each stroke (k,); no more than a limit where what is deeper is a sliver across its way."""
    stroke, point, depth = met
    deepest, across = np.zeros(len(strokes.row)), np.zeros((2, len(strokes.row)))
    np.maximum.at(deepest, stroke, depth)
    if pocket.kind not in ("pocket", "channel"):
        return deepest
    deep = depth > limit
    stroke, place = stroke[deep], points[point[deep]]
    way = (strokes.b - strokes.a)[stroke, :2]
    length = np.hypot(*way.T)
    square = np.column_stack([-way[:, 1], way[:, 0]]) / np.where(length > 0, length, 1.0)[:, None]
    off = ((place - strokes.a[stroke, :2]) * square).sum(axis=1)
    across[0], across[1] = np.inf, -np.inf
    np.minimum.at(across[0], stroke, off)
    np.maximum.at(across[1], stroke, off)
    still = np.hypot(*(strokes.b - strokes.a)[:, :2].T) == 0
    sliver = ~still & (across[1] - across[0] < SLIVER * strokes.radius)
    return np.where(sliver, np.minimum(deepest, limit), deepest)
