"""Bounds of the bites of passes to and fro along a slot."""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.regular import GENTLE, SAME_LINE_MM
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.tolerances import FLOOR_STEP_MM, ROUNDING_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def bite_of_passes_mm(cuts: Cuts, path: LocalPath, line: SlotLine) -> float:
    """Bound the bites of passes to and fro along a slot; inf where they are none."""
    start, end = path.start, path.end
    upright = np.flatnonzero(start[:, 1] == end[:, 1])
    in_air = line.wood.distance_mm(cuts.start[upright], cuts.end[upright]) >= cuts.radius[0]
    if (start[upright, 2] > end[upright, 2])[~in_air].any():
        return math.inf  # it goes straight down in the wood
    after = upright[in_air] + 1
    path = path.beginning_also(after[after < len(start)])  # what goes down beside the wood comes from the air
    level = np.flatnonzero(start[:, 1] != end[:, 1])
    return _of_passes(path.some(level), line, float(cuts.radius[0])) if len(level) else math.inf


def _of_passes(path: LocalPath, line: SlotLine, radius: float) -> float:
    """Bound the bites of passes along lines, each over all that the next one on its line cuts.

    A disc at a place finds nothing higher than what a pass before has left at that very place: a
    point under both lies below the earlier tip there.  A pass that turns within the wood finds what
    the last but one has left, as its own last way does not count yet.
    """
    start, end, begins = path.start, path.end, path.begins
    way, drop = end[:, 1] - start[:, 1], np.abs(end[:, 2] - start[:, 2])
    if (drop > GENTLE * np.abs(way) + ROUNDING_MM).any():
        return math.inf
    turns = np.ones(len(way), dtype=bool)
    turns[1:] = (np.sign(way[1:]) != np.sign(way[:-1])) | (start[1:] != end[:-1]).any(axis=1)
    first = np.flatnonzero(turns | begins)
    lane = start[first, 0]
    off = np.abs(np.stack([start[:, 0], end[:, 0]]) - np.repeat(lane, np.diff(first, append=len(way))))
    if (off > SAME_LINE_MM / 2).any():
        return math.inf
    places = np.unique(np.concatenate([start[:, 1], end[:, 1]]))
    if line.wood.stock.crown is not None:  # a crowned top rises over the chord between two places
        places = np.unique(np.concatenate([places, np.arange(places[0], places[-1], FLOOR_STEP_MM)]))
    on_machine = line.origin + line.along * places[:, None]
    top = line.wood.highest_top_mm(on_machine, on_machine, np.full(len(places), radius))
    left: dict[float, tuple[Floats, Floats]] = {}  # by line: what its last pass has left, and the one before
    worst = 0.0
    heights = _passes_mm(start, end, first, places)
    for number, (low, height) in enumerate(zip(first.tolist(), heights, strict=True)):
        own = next((each for each in left if abs(each - lane[number]) <= SAME_LINE_MM / 2), float(lane[number]))
        before, last = left.get(own, (top, top))
        found = before if begins[low] else np.maximum(before, last)
        cut = ~np.isnan(height)
        worst = max(worst, float((found - height)[cut].max()))
        lower = cut & (height <= before)
        inner = lower.copy()  # beyond its ends, and where it rises out of the wood, a pass leaves all as it was
        inner[1:] &= lower[:-1]
        inner[:-1] &= lower[1:]
        left[own] = (np.where(inner, height, before), before)
    return worst


def _passes_mm(start: Floats, end: Floats, first: Ints, places: Floats) -> Floats:
    """Give the tip's height in each pass (p,), at (m,) places along a slot, (p, m): nan beyond a pass's ends.

    A place less than SAME_LINE_MM / 2 beyond is its end: rounded to the program's step, lanes that lie aslant
    end beside each other.  All passes are laid out one behind the other, far apart, each from its low end
    to its high one.
    """
    apart = float(places[-1] - places[0]) + 1.0
    last = np.append(first[1:], len(start)) - 1
    number = np.repeat(np.arange(len(first)), last - first + 2)
    points = np.insert(start, last + 1, end[last], axis=0)[:, 1:]
    ends = np.sort(np.column_stack([start[first, 1], end[last, 1]]), axis=1)
    ups, each = points[last + 1 + np.arange(len(first)), 0] >= start[first, 1], np.arange(len(points))
    back = (first + last + 1 + 2 * np.arange(len(first)))[number] - each
    along, height = points[np.where(ups[number], each, back)].T
    along = along + number * apart
    on = np.clip(places, ends[:, :1], ends[:, 1:]) + np.arange(len(first))[:, None] * apart
    heights = np.interp(on, along, height)
    heights[(places < ends[:, :1] - SAME_LINE_MM / 2) | (places > ends[:, 1:] + SAME_LINE_MM / 2)] = np.nan
    return np.asarray(heights)
