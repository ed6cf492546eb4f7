"""Bounds of the bites of passes along a slot, to and fro or in and out."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.regular import GENTLE, SAME_LINE_MM
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.tolerances import FLOOR_STEP_MM, LAG, LEAST_STEP_MM, RAMP_DEG, ROUNDING_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# ways on one floor lie as near above each other as numbers of the coarser unit are rounded
SAME_FLOOR_MM = LEAST_STEP_MM["in"]


def bite_of_passes_mm(cuts: Cuts, path: LocalPath, line: SlotLine) -> float:
    """Bound the bites of passes along a slot; inf where they are none."""
    way, drop = (np.abs(path.end - path.start)[:, axis] for axis in (1, 2))
    steep = np.flatnonzero((way == 0) | (drop > GENTLE * way + ROUNDING_MM))
    in_air = line.wood.distance_mm(cuts.start[steep], cuts.end[steep]) >= cuts.radius[0]
    upright, beside = steep[~in_air & (way[steep] == 0)], steep[in_air]
    down = upright[path.start[upright, 2] > path.end[upright, 2]]
    if len(down) and not _go_on(path, down, upright):
        return math.inf
    after = beside + 1
    path = path.beginning_also(after[after < len(way)])  # what goes down beside the wood comes from the air
    along = way != 0
    along[beside] = False
    return _of_passes(path.some(along), line, float(cuts.radius[0])) if along.any() else math.inf


def _go_on(path: LocalPath, down: Ints, upright: Ints) -> bool:
    """Say whether they go straight down in the wood, and a pass that tells of it begins from the floor of each."""
    after = down + 1
    if after[-1] == len(path.start) or np.isin(after, upright).any() or path.begins[after].any():
        return False
    return bool((path.start[after] == path.end[down]).all() and (path.start[down, 0] == path.end[down, 0]).all())


@dataclass(frozen=True, slots=True, eq=False)
class Pass:
    """A pass along a line: the tip's height at places (m,), nan off it, and where it begins and ends.

    Progress is counted where it begins and ends, and at the end of its first cut, ``opened_at``: where it turned in
    the wood, the tip may have gone back a little there, before it goes down.
    """

    height: Floats
    begun: float  # mm of progress
    opened: float
    ended: float
    began_at: float  # mm along the line
    opened_at: float
    ended_at: float


def _of_passes(path: LocalPath, line: SlotLine, radius: float) -> float:
    """Bound the bites of passes along lines, each over all that the next one on its line cuts.

    A disc at a place finds nothing higher than what a pass before has left at that very place: a
    point under both lies below the earlier tip there.  But what was cut within LAG radii of progress (heights.py)
    does not count yet.  A pass that has ended by so much before another begins counts for it everywhere.  Else it
    counts from 2 + LAG radii off its end: whatever lies under a disc there it had left by LAG radii before it ended.
    """
    start, end = path.start, path.end
    way, drop = end[:, 1] - start[:, 1], np.abs(end[:, 2] - start[:, 2])
    if (drop > GENTLE * np.abs(way) + ROUNDING_MM).any():
        return math.inf
    first = _first(path)
    lane = start[first, 0]
    off = np.abs(np.stack([start[:, 0], end[:, 0]]) - np.repeat(lane, np.diff(first, append=len(way))))
    if (off > SAME_LINE_MM / 2).any():
        return math.inf
    places = np.unique(np.concatenate([start[:, 1], end[:, 1]]))
    if line.wood.stock.crown is not None:  # a crowned top rises over the chord between two places
        places = np.unique(np.concatenate([places, np.arange(places[0], places[-1], FLOOR_STEP_MM)]))
    on_machine = line.origin + line.along * places[:, None]
    top = line.wood.highest_top_mm(on_machine, on_machine, np.full(len(places), radius))
    progress, last = _progress_mm(path, 2 * LAG * radius), np.append(first[1:], len(start)) - 1
    counted = (progress[first, 0], np.where(path.begins, progress[:, 0], progress[:, 1])[first], progress[last, 1])
    at = (start[first, 1], end[first, 1], end[last, 1])
    heights = _nothing_beyond(
        _passes_mm(start, end, first, places), line.wood.distance_mm(on_machine[:-1], on_machine[1:]) >= radius
    )
    passes = map(Pass, heights, *(each.tolist() for each in (*counted, *at)))
    lines: dict[float, list[Pass]] = {}
    for own, each in zip(lane.tolist(), passes, strict=True):
        lines.setdefault(next((at for at in lines if abs(at - own) <= SAME_LINE_MM / 2), own), []).append(each)
    return max(max(_bites_mm(some, places, top, radius)) for some in lines.values())


def _first(path: LocalPath) -> Ints:
    """Give the first cut of each pass: where one begins or turns."""
    start, end = path.start, path.end
    way = np.sign(end[:, 1] - start[:, 1])
    turns = np.ones(len(way), dtype=bool)
    turns[1:] = (way[1:] != way[:-1]) | (start[1:] != end[:-1]).any(axis=1)
    return np.flatnonzero(turns | path.begins)


def _nothing_beyond(heights: Floats, clear: Flags) -> Floats:
    """Give heights of passes (p, m) that leave nothing beyond an end of theirs beside the wood, where none is: -inf.

    ``clear`` (m - 1,) says between which places, one after another, the whole cutter is off the wood.
    """
    before, after = np.logical_and.accumulate(clear), np.logical_and.accumulate(clear[::-1])
    count, number = heights.shape[1], np.arange(heights.shape[1])
    low, high = int(before.sum()), count - 1 - int(after.sum())  # the innermost places that are so far off
    on = ~np.isnan(heights)
    first, last = on.argmax(axis=1)[:, None], count - 1 - on[:, ::-1].argmax(axis=1)[:, None]
    off = ((first <= low) & (low > 0) & (number < first)) | ((last >= high) & (high < count - 1) & (number > last))
    return np.where(off, -math.inf, heights)


def _bites_mm(passes: list[Pass], places: Floats, top: Floats, radius: float) -> Iterator[float]:
    """Bound the bite of each pass on one line at its worst place: on its first cut, and on all of it from there on."""
    left, waiting = top, list[Pass]()  # what those leave that count everywhere, and those that do not yet
    for each in passes:
        whole = (each.opened, np.isfinite(each.height))
        # what comes from the air, or goes down steeply, is held at once
        for begun, on in (whole,) if each.opened == each.begun else ((each.begun, _opening(each, places)), whole):
            while waiting and waiting[0].ended <= begun - LAG * radius:
                left = _lowered(left, waiting.pop(0).height)
            found = left
            for other in waiting:
                far = np.abs(places - other.ended_at) >= (2 + LAG) * radius
                found = _lowered(found, np.where(far, other.height, np.nan))
            yield float((found[on] - each.height[on]).max())
        waiting.append(each)


def _opening(each: Pass, places: Floats) -> Flags:
    """Say which places (m,) a pass's first cut goes over."""
    low, high = sorted((each.began_at, each.opened_at))
    return (places >= low) & (places <= high)


def _lowered(before: Floats, height: Floats) -> Floats:
    """Give what a pass leaves at places (m,), so that it lies below the line from each to the next as well.

    Beyond its ends, and where it rises out of what it found, it leaves all as it was.
    """
    nothing = np.isneginf(before)
    lower = (height <= before + SAME_FLOOR_MM) | nothing  # nan, off the pass: never
    inner = lower.copy()
    inner[1:] &= lower[:-1]
    inner[:-1] &= lower[1:]
    left = np.where(inner, height, np.where(lower, np.maximum(before, height), before))
    return np.where(nothing, before, left)


def _progress_mm(path: LocalPath, leap: float) -> Floats:
    """Give the progress (k, 2) at which each cut begins and ends, as the map's: less what going down steeply undoes.

    It leaps by more than ``leap`` wherever the cutter comes from the air.
    """
    start, end = path.start, path.end
    steep = math.tan(math.radians(RAMP_DEG))
    sunk = np.maximum(start[:, 2] - end[:, 2], 0.0)
    gained = np.abs(end[:, 1] - start[:, 1]) - sunk / steep
    plunged = np.append(0.0, np.maximum(end[:-1, 2] - start[1:, 2], 0.0)) / steep
    apart = leap + float(plunged.sum())
    before = np.where(path.begins, apart, -plunged)
    return np.maximum.accumulate(np.column_stack([before, gained]).ravel().cumsum()).reshape(-1, 2)


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
