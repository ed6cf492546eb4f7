"""A pocket's floor, level or following a crown: where on it a flat cutter stands, told by one height for all places."""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Crown
from pearlkerf.proof.counting import spread_points
from pearlkerf.proof.tolerances import FLOOR_STEP_MM
from pearlkerf.setups.model import Placement

Floats = NDArray[np.float64]


def at_crown_mm(pocket: Pocket, placement: Placement, points: Floats, radius: Floats) -> Floats:
    """Give how high on the crown line the floor lies that flat cutters at (n, 3) points stand on, (n,) mm.

    On a level floor that is their own height.  On one that follows a crown a flat cutter touches the highest
    place under it, nearest to the crown line and where the crown's radius is greatest: as much lower does its
    floor lie there than on the crown line.
    """
    crown = pocket.floor.crown
    if crown is None:
        return points[:, 2].copy()
    board = placement.to_board(points[:, :2])
    nearest = np.maximum(np.abs(board[:, 1]) - radius, 0.0)
    fallen = np.minimum(crown.fall_mm(board[:, 0] - radius, nearest), crown.fall_mm(board[:, 0] + radius, nearest))
    return np.asarray(points[:, 2] + fallen)


def lowest_at_crown_mm(pocket: Pocket, placement: Placement, start: Floats, end: Floats, radius: Floats) -> Floats:
    """Bound from below the least of ``at_crown_mm`` anywhere on each piece (k, 3), (k,) mm.

    Under a crown it is convex along a piece: between places no more than FLOOR_STEP_MM apart it hangs below
    its chord by no more than a bound that is taken off.
    """
    crown = pocket.floor.crown
    if crown is None:
        return np.minimum(start[:, 2], end[:, 2])
    piece, share = spread_points(start, end, FLOOR_STEP_MM)
    first = np.searchsorted(piece, np.arange(len(start)))
    points = start[piece] + (end[piece] - start[piece]) * share[:, None]
    lowest = np.minimum.reduceat(at_crown_mm(pocket, placement, points, radius[piece]), first)
    step = np.linalg.norm((end - start)[:, :2], axis=1) / (np.diff(first, append=len(piece)) - 1)
    hang: Floats = step**2 / 8 * _bend(crown, pocket)
    return np.asarray(lowest - hang)


def _bend(crown: Crown, pocket: Pocket) -> float:
    """Bound how much a crown bends over a pocket, along any way, 1/mm.

    With R = R0 + k x the fall bends along (dx, dy) by (R dy - k y dx)**2 / (R**2 - y**2)**1.5: most where
    R is least and y greatest.
    """
    radius = min(crown.nut_radius_mm, crown.end_radius_mm)
    if math.isinf(radius):
        return 0.0
    low_y, high_y = pocket.region.bounds[1], pocket.region.bounds[3]
    far = min(max(abs(low_y), abs(high_y)), radius / 2)  # no board is as wide as its crown's radius
    widens = abs(crown.end_radius_mm - crown.nut_radius_mm) / crown.length_mm
    return float((radius + widens * far) ** 2 / (radius**2 - far**2) ** 1.5)
