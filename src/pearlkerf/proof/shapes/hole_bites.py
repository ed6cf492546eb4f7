"""Bounds of the bites of helices in a hole."""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.regular import SAME_LINE_MM
from pearlkerf.proof.tolerances import ROUNDING_MM

Floats = NDArray[np.float64]


def bite_of_helices_mm(path: LocalPath, radius: float) -> float:
    """Bound the bites of helices on rings about a hole's centre, and of what moves over their floor.

    A turn later the disc stands at the same place: nothing under it lies higher than the tip lay
    then.  Before the first turn on a ring the wood counts as uncut.  After a level turn all that it
    swept is cut to its floor; where rings reach each other from the middle on, so is the whole disc
    that they sweep together, and what stays in that disc and above that floor cuts nothing.
    """
    start, end, begins = path.start, path.end, path.begins
    worst, swept, floor = 0.0, 0.0, -math.inf
    visits = np.append(np.flatnonzero(begins), len(begins))
    far = np.maximum(np.hypot(*start[:, :2].T), np.hypot(*end[:, :2].T))
    near = np.hypot(*((start + end)[:, :2] / 2).T)  # a chord comes nearest in its middle
    near = np.minimum(near, np.minimum(np.hypot(*start[:, :2].T), np.hypot(*end[:, :2].T)))
    low = np.minimum(start[:, 2], end[:, 2])
    for first, last in zip(visits[:-1].tolist(), visits[1:].tolist(), strict=True):
        ring = float(np.hypot(*start[first, :2]))
        off = np.flatnonzero((np.maximum(far - ring, ring - near) > SAME_LINE_MM / 2)[first:last])
        count = int(off[0]) if len(off) else last - first
        if count == 0 or ring <= SAME_LINE_MM or ring - radius > swept:
            return math.inf
        bite, level = _of_turns(start[first : first + count], end[first : first + count])
        worst, floor, swept = max(worst, bite), max(floor, level), max(swept, ring + radius)
        after = slice(first + count, last)
        if (low[after] < floor - ROUNDING_MM).any() or (far[after] + radius > swept + SAME_LINE_MM / 2).any():
            return math.inf
    return worst


def _of_turns(start: Floats, end: Floats) -> tuple[float, float]:
    """Give a bound of the bites of turns on one ring, and the height that all under them is cut to; inf if unsteady."""
    angle = np.arctan2(start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0], (start[:, :2] * end[:, :2]).sum(axis=1))
    turned = np.append(0.0, np.cumsum(np.abs(angle)))
    height = np.append(start[:, 2], end[-1, 2])
    if (np.sign(angle) != np.sign(angle[0])).any() or (np.diff(height) > ROUNDING_MM).any():
        return math.inf, math.inf
    at = np.unique(np.concatenate([turned, turned + 2 * math.pi]))
    at = at[at <= turned[-1]]
    before = np.interp(at - 2 * math.pi, turned, height, left=0.0)
    level = float(np.interp(turned[-1] - 2 * math.pi, turned, height, left=math.inf))
    return float((before - np.interp(at, turned, height)).max()), level
