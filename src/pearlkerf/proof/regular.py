"""Cuts so regular that their bites need no map: a slot's passes to and fro, its loops, a bore's helix.

What is given is an upper bound of every bite, or nothing where the cuts are not of that kind: then
the map (heights.py) decides.  What an earlier program may have cut away already only makes bites less.

    slot, along its centre line                    bore, its ring laid out flat
      top   ------------------------                 top  ------------------------
      pass 1  \\__________________/                        \\.                 turn 1
      pass 2  \\__________________/                           `-.___           turn 2 ...

A slot cut in lanes has several such lines, each judged by itself as if the others left all the wood, or
it is cut round and round on one closed line of any form: laid out flat, that is as the bore's ring.
"""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes import HoleShape, SlotShape
from pearlkerf.proof.tolerances import FLOOR_STEP_MM, ROUNDING_MM, WALL_STRIP_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Path = tuple[Floats, Floats, NDArray[np.bool_]]  # (k, 3) starts and ends in the feature's own axes, (k,) begins anew

# passes follow each other on one line, and turns on one ring, to less than half a strip that does not count
SAME_LINE_MM = WALL_STRIP_MM / 2
# a loop is longer than this many radii, so that what it cut a loop before counts as cut
LOOP = 2.0
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
    worst = _of_lines(run, feature, (start, end, begins), radius)
    return worst if worst < math.inf else _of_loops(run, rows, (start, end, begins), radius)


def _of_lines(run: Run, feature: int, path: Path, radius: float) -> float:
    """Bound the bites of passes to and fro along a slot; inf where they are none."""
    (start, end, begins), rows, shape, cuts = path, run.cuts.of(feature), run.shapes[feature], run.cuts
    assert isinstance(shape, SlotShape)
    upright = np.flatnonzero(start[:, 1] == end[:, 1])
    in_air = run.wood.distance_mm(cuts.start[rows[upright]], cuts.end[rows[upright]]) >= radius
    if (start[upright, 2] > end[upright, 2])[~in_air].any():
        return math.inf  # it goes straight down in the wood
    after = upright[in_air] + 1
    begins = begins.copy()
    begins[after[after < len(begins)]] = True  # what goes down beside the wood comes from the air
    level = np.flatnonzero(start[:, 1] != end[:, 1])
    if not len(level):
        return math.inf
    return _of_passes(run, shape, (start[level], end[level], begins[level]), radius)


def _of_passes(run: Run, shape: SlotShape, path: Path, radius: float) -> float:
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
    heights = _passes_mm(start, end, first, places)
    for number, (low, height) in enumerate(zip(first.tolist(), heights, strict=True)):
        own = next((each for each in left if abs(each - line[number]) <= SAME_LINE_MM / 2), float(line[number]))
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

    All passes are laid out one behind the other, far apart, each from its low end to its high one.
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
    on = places + np.arange(len(first))[:, None] * apart
    heights = np.interp(on, along, height)
    heights[(places < ends[:, :1]) | (places > ends[:, 1:])] = np.nan
    return np.asarray(heights)


def _of_loops(run: Run, rows: Ints, path: Path, radius: float) -> float:
    """Bound the bites of ways round and round one closed line; inf where they are none.

    A loop later the disc stands at the same place, and finds nothing higher than its tip lay then.
    On the first loop the wood counts as uncut.
    """
    start, end, begins = path
    rises = (start[:, :2] == end[:, :2]).all(axis=1) & (end[:, 2] >= start[:, 2])  # cuts nothing where a cut ended
    follows = np.append(False, (start[1:] == end[:-1]).all(axis=1)) & ~begins
    if (rises & ~follows).any():
        return math.inf
    begins = begins.copy()
    begins[1:] |= rises[:-1]
    start, end, begins, rows = (each[~rises] for each in (start, end, begins, rows))
    way, drop = np.hypot(*(end - start)[:, :2].T), np.abs(end[:, 2] - start[:, 2])
    if (drop > GENTLE * way + ROUNDING_MM).any():
        return math.inf
    top = run.wood.highest_top_mm(run.cuts.start[rows, :2], run.cuts.end[rows, :2], np.full(len(rows), radius))
    bite = top - np.minimum(start[:, 2], end[:, 2])
    worst, visits = 0.0, np.append(np.flatnonzero(begins), len(begins))
    for first, last in zip(visits[:-1].tolist(), visits[1:].tolist(), strict=True):
        if (start[first + 1 : last] != end[first : last - 1]).any():
            return math.inf
        points, along = np.vstack([start[first:last], end[last - 1]]), np.append(0.0, np.cumsum(way[first:last]))
        back = np.hypot(*(points - points[0])[:, :2].T) <= SAME_LINE_MM / 2
        closed = np.flatnonzero(back & (along > LOOP * radius))
        once = int(closed[0]) if len(closed) else last - first
        worst = max(worst, float(bite[first : first + once].max()), _of_rounds(points, along, float(along[once])))
    return worst


def _of_rounds(points: Floats, along: Floats, loop: float) -> float:
    """Bound how much lower a way lies than a loop before; inf where it is not on the same line then."""
    at = np.unique(np.concatenate([along, along + loop]))
    at = at[(at >= loop) & (at <= along[-1])]
    if not len(at):
        return 0.0
    across, on, height = ([np.interp(when, along, axis) for when in (at, at - loop)] for axis in points.T)
    if (np.hypot(across[0] - across[1], on[0] - on[1]) > SAME_LINE_MM / 2).any():
        return math.inf
    return float((height[1] - height[0]).max())


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
