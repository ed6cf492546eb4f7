"""What a program makes of a pocket, simulated by sampling: shares nothing with the proof.

Words are read by ``sampled_motion``; a point counts as cut where it is no farther from a way than the
cutter's radius, and a way cuts at points of the disc's rim.  Distances are worked out here, in plain
numpy, a point against all of a way's pieces that are near.
"""

from dataclasses import dataclass

import numpy as np
import shapely

from sampled_motion import sample

STEP = 0.03  # mm between points along walls and ways
RIM = 72  # points of a disc's rim
WALL = 0.0105  # mm from the wall, where points are looked at
POINTS = 6000  # inside, at random


@dataclass
class Simulated:
    """What is found, mm: the greatest depth into the wanted of a point that is not cut, and beyond the wall of one
    that is; the lowest tip.
    """

    left: float
    over: float
    lowest: float


def simulated(texts, region, radii, level):
    """Follow programs, by cutter's radius, through a region; its floor counts as cut at or below a level."""
    low, every = [], []
    for text in texts:
        for cutter, path in sample(text).items():
            for run in path.runs:
                inside = run[:, 2] < -1e-6
                every.append((radii[cutter], run[inside]))
                both = (run[:-1, 2] <= level) & (run[1:, 2] <= level)
                low += [(radii[cutter], np.stack([run[:-1][both], run[1:][both]], axis=1)[:, :, :2])]
    points = wanted_points(region)
    far = np.full(len(points), np.inf)
    for radius in {each for each, _ in low}:
        pieces = np.concatenate([piece for own, piece in low if own == radius])
        far = np.minimum(far, distances(points, np.unique(pieces, axis=0)) - radius)
    wall = shapely.distance(region.boundary, shapely.points(points[far > 0])) if (far > 0).any() else np.zeros(1)
    lowest = min(float(run[:, 2].min()) for _, run in every if len(run))
    return Simulated(float(wall.max()), beyond(every, region), lowest)


def wanted_points(region):
    """Points along the walls, WALL from them, and inside by chance."""
    found = []
    for ring in (region.exterior, *region.interiors):
        at = np.arange(0.0, ring.length, STEP)
        here, there = (shapely.get_coordinates(shapely.line_interpolate_point(ring, at + by)) for by in (0.0, 1e-4))
        way = there - here
        left = np.column_stack([-way[:, 1], way[:, 0]]) / np.hypot(*way.T)[:, None] * WALL
        found += [here + left, here - left]
    low_x, low_y, high_x, high_y = region.bounds
    found.append(np.random.default_rng(1).uniform((low_x, low_y), (high_x, high_y), (POINTS, 2)))
    points = np.concatenate(found)
    points = points[shapely.contains_xy(region, points[:, 0], points[:, 1])]
    return points[shapely.distance(region.boundary, shapely.points(points)) >= WALL - 0.0005]


def distances(points, pieces):
    """How far points (n, 2) are from the nearest of straight pieces (k, 2, 2); far ones are not looked at."""
    cell, reach = 1.0, 3.0
    start, way = pieces[:, 0], pieces[:, 1] - pieces[:, 0]
    length2 = np.maximum((way**2).sum(axis=1), 1e-18)
    found = np.full(len(points), np.inf)
    places = np.floor(points / cell).astype(int)
    for place in np.unique(places, axis=0):
        rows = np.flatnonzero((places == place).all(axis=1))
        low, high = place * cell - reach, (place + 1) * cell + reach
        near = ((pieces.max(axis=1) >= low) & (pieces.min(axis=1) <= high)).all(axis=1)
        if near.any():
            rel = points[rows, None] - start[near]
            share = np.clip((rel * way[near]).sum(axis=2) / length2[near], 0.0, 1.0)
            found[rows] = np.hypot(*np.moveaxis(rel - way[near] * share[..., None], -1, 0)).min(axis=1)
    return found


def beyond(runs, region):
    """How far the rims of discs along runs lie outside a region, at most, mm."""
    angle = np.arange(RIM) * 2 * np.pi / RIM
    worst = 0.0
    for radius, run in runs:
        at = np.unique(run[:, :2], axis=0)
        if len(at) > 1:
            at = shapely.get_coordinates(shapely.segmentize(shapely.LineString(run[:, :2]), 10 * STEP))
        rim = (at[:, None] + radius * np.column_stack([np.cos(angle), np.sin(angle)])).reshape(-1, 2)
        out = rim[~shapely.contains_xy(region, rim[:, 0], rim[:, 1])]
        if len(out):
            worst = max(worst, float(shapely.distance(region, shapely.points(out)).max()))
    return worst
