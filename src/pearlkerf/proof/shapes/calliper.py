"""What discs open, measured as with a calliper: a hole's diameters, a slot's widths."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
# directions in which a hole is measured across
DIRECTIONS = 90
# pairs of a point and a direction that are looked at together: what a small machine's memory holds
PAIRS_AT_ONCE = 2_000_000


def diameters_mm(points: Floats, radii: Floats) -> Floats:
    """Give how wide discs about (m, 2) points open a hole about (0, 0), in every direction, (DIRECTIONS,) mm."""
    angles = np.arange(2 * DIRECTIONS) * (np.pi / DIRECTIONS)
    reach = np.full(2 * DIRECTIONS, -np.inf)
    for some in _shares(len(points), 2 * DIRECTIONS):
        along = points[some] @ np.stack([np.cos(angles), np.sin(angles)])
        beside = points[some] @ np.stack([-np.sin(angles), np.cos(angles)])
        reach = np.maximum(reach, _reach(along, beside, radii[some]).max(axis=0))
    return reach[:DIRECTIONS] + reach[DIRECTIONS:] if len(points) else np.zeros(0)


def widths_mm(stations: Floats, points: Floats, radii: Floats) -> Floats:
    """Give how wide discs about (m, 2) points (u, v) open a slot along v, at every station (n,) along it, mm."""
    right, left = np.full(len(stations), -np.inf), np.full(len(stations), -np.inf)
    for some in _shares(len(points), len(stations)):
        beside = points[some, 1][:, None] - stations
        across = np.broadcast_to(points[some, 0][:, None], beside.shape)
        right = np.maximum(right, _reach(across, beside, radii[some]).max(axis=0))
        left = np.maximum(left, _reach(-across, beside, radii[some]).max(axis=0))
    return right + left if len(points) else np.zeros(0)


def _reach(along: Floats, beside: Floats, radii: Floats) -> Floats:
    """Give how far discs reach along lines that pass them ``beside`` their centres; -inf where they are not met."""
    inside = radii[:, None] ** 2 - beside**2
    return np.where(inside >= 0, along + np.sqrt(np.maximum(inside, 0.0)), -np.inf)


def _shares(count: int, lines: int) -> Iterator[slice]:
    step = max(1, PAIRS_AT_ONCE // lines)
    return (slice(first, first + step) for first in range(0, count, step))
