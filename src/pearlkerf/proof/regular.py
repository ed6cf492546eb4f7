"""Cuts so regular that their bites need no map: a slot's passes to and fro, a bore's helix.

What is given is an upper bound of every bite, or nothing where the cuts are not of that kind: then
the map (heights.py) decides.  What an earlier program may have cut away already only makes bites less.

    slot, along its centre line                    bore, its ring laid out flat
      top   ------------------------                 top  ------------------------
      pass 1  \\__________________/                        \\.                 turn 1
      pass 2  \\__________________/                           `-.___           turn 2 ...

A slot cut in lanes has several such lines, each judged by itself as if the others left all the wood.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes import HoleShape, SlotShape
from pearlkerf.proof.tolerances import FLOOR_STEP_MM, ROUNDING_MM, WALL_STRIP_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# passes follow each other on one line, and turns on one ring, to less than half a strip that does not count
SAME_LINE_MM = WALL_STRIP_MM / 2
# what goes down more steeply than this is no pass
GENTLE = math.tan(math.radians(10.0))


def greatest_bite_mm(run: Run, feature: int) -> float:
    """Give a depth, mm, that no bite of the run in a feature exceeds; inf where only the map can tell."""
    rows, shape, cuts = run.cuts.of(feature), run.shapes[feature], run.cuts
    radius = float(cuts.radius[rows[0]])
    one_cutter = bool((cuts.radius[rows] == radius).all() and (cuts.flat[rows] == radius).all())
    if not one_cutter or (cuts.point[rows] != 0).any():
        return math.inf
    start = np.column_stack([shape.local(cuts.start[rows, :2]), cuts.start[rows, 2]])
    end = np.column_stack([shape.local(cuts.end[rows, :2]), cuts.end[rows, 2]])
    begins = cuts.fresh[rows]
    begins[0] = True
    begins[1:] |= np.diff(rows) > 1
    if isinstance(shape, HoleShape):
        return _of_helices(start, end, begins, radius)
    upright = np.flatnonzero(start[:, 1] == end[:, 1])
    in_air = run.wood.distance_mm(cuts.start[rows[upright]], cuts.end[rows[upright]]) >= radius
    if (start[upright, 2] > end[upright, 2])[~in_air].any():
        return math.inf  # it goes straight down in the wood
    after = upright[in_air] + 1
    begins[after[after < len(begins)]] = True  # what goes down beside the wood comes from the air
    level = np.flatnonzero(start[:, 1] != end[:, 1])
    if not len(level):
        return math.inf
    return _of_passes(run, shape, (start[level], end[level], begins[level]), radius)


def _of_passes(run: Run, shape: SlotShape, path: tuple[Floats, Floats, NDArray[np.bool_]], radius: float) -> float:
    """Bound the bites of passes along lines, each over all that the next one on its line cuts.

    A disc at a place finds nothing higher than what a pass before has left at that very place: a
    point under both lies below the earlier tip there.  A pass that turns within the wood finds what
    the last but one has left, as its own last way does not count yet.
    """
    start, end, begins = path
    way, drop = end[:, 1] - start[:, 1], np.abs(end[:, 2] - start[:, 2])
    if (drop > GENTLE * np.abs(way) + ROUNDING_MM).any():
        return math.inf
    turns = np.ones(len(way), dtype=bool)
    turns[1:] = (np.sign(way[1:]) != np.sign(way[:-1])) | (start[1:] != end[:-1]).any(axis=1)
    first = np.flatnonzero(turns | begins)
    line = start[first, 0]
    off = np.abs(np.stack([start[:, 0], end[:, 0]]) - np.repeat(line, np.diff(first, append=len(way))))
    if (off > SAME_LINE_MM / 2).any():
        return math.inf
    places = np.unique(np.concatenate([start[:, 1], end[:, 1]]))
    if run.wood.stock.crown is not None:  # a crowned top rises over the chord between two places
        places = np.unique(np.concatenate([places, np.arange(places[0], places[-1], FLOOR_STEP_MM)]))
    on_machine = shape.origin + shape.along * places[:, None]
    top = run.wood.highest_top_mm(on_machine, on_machine, np.full(len(places), radius))
    left: dict[float, tuple[Floats, Floats]] = {}  # by line: what its last pass has left, and the one before
    worst = 0.0
    for number, (low, high) in enumerate(zip(first.tolist(), [*first[1:].tolist(), len(way)], strict=True)):
        own = next((each for each in left if abs(each - line[number]) <= SAME_LINE_MM / 2), float(line[number]))
        height = _pass_mm(start[low:high], end[low:high], places)
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


def _pass_mm(start: Floats, end: Floats, places: Floats) -> Floats:
    """Give the tip's height at places along a slot in one pass, nan beyond it."""
    along, height = np.concatenate((start, end[-1:]))[:: 1 if end[-1, 1] > start[0, 1] else -1, 1:].T
    return np.asarray(np.interp(places, along, height, left=np.nan, right=np.nan))


def _of_helices(start: Floats, end: Floats, begins: NDArray[np.bool_], radius: float) -> float:
    """Bound the bites of helices on rings about a hole's centre, and of what moves over their floor.

    A turn later the disc stands at the same place: nothing under it lies higher than the tip lay
    then.  Before the first turn on a ring the wood counts as uncut.  After a level turn all that it
    swept is cut to its floor; where rings reach each other from the middle on, so is the whole disc
    that they sweep together, and what stays in that disc and above that floor cuts nothing.
    """
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
