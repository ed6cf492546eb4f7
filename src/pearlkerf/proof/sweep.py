"""What the cuts of a feature sweep, as discs: the cutter's flat at points of its path."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import close_spacing_mm, spread_points
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.floors import FloorLine
from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes import SlotShape
from pearlkerf.proof.tolerances import CUT_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Points = Callable[[Cuts, Ints], tuple[Ints, Floats]]

# rough discs lie this part of a radius apart, and so near that scallops are no deeper than this (mm) by the wall
ROUGH_SPACING = 0.5
ROUGH_SCALLOP_MM = 0.003
# by the wall is within this part of a radius of it
BY_THE_WALL = 0.25
# a cut that leaves its line by no more than this is straight (mm)
STRAIGHT_MM = 0.002
# a cut drawn out is on the floor where it is deep enough within this part of its cutter's radius
UNDER_CUTTER = 0.9
# a path turns sharply where the cosine of its turn is less
SHARP = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Discs: (m, 2) centres, (m,) radius of the flat and height of the lips, mm.

    In a slot a disc may be drawn out along it, by (m,) ``length``, to where the lips stand at ``far_height``.
    """

    centre: Floats
    flat: Floats
    height: Floats
    length: Floats
    far_height: Floats


NOTHING_SWEPT = Swept(np.empty((0, 2)), *(np.empty(0) for _ in range(4)))


def lips_mm(cuts: Cuts, rows: Ints) -> Floats:
    """Give the lowest height of the lips on some cuts, (k,) mm."""
    lips: Floats = np.minimum(cuts.start[rows, 2], cuts.end[rows, 2]) + cuts.point[rows]
    return lips


def swept_roughly(runs: Sequence[Run], feature: int, useful: Sequence[Flags], floor: FloorLine | None = None) -> Swept:
    """Give few discs on the ``useful`` cuts of a feature: enough for most covers, whatever the number of cuts.

    A straight cut along a slot, on its ``floor``, is one disc, drawn out.
    """
    shape, parts = runs[0].shapes[feature], []
    for run, some in zip(runs, useful, strict=True):
        rows = _flat_rows(run.cuts, run.cuts.of(feature)[some])
        if not len(rows):
            continue
        if isinstance(shape, SlotShape) and floor is not None and floor.is_concave:
            drawn, is_drawn = _drawn_out(run.cuts, rows, shape, floor)
            parts.append(drawn)
            rows = rows[~is_drawn]
        parts.append(_discs(run.cuts, rows, _rough_points))
    return _joined(parts) if parts else NOTHING_SWEPT


def swept_closely(runs: Sequence[Run], feature: int, useful: Sequence[Flags], _floor: FloorLine | None = None) -> Swept:
    """Give discs at every end of the ``useful`` cuts of a feature, and between as near as SCALLOP_MM wants."""
    rows = [_flat_rows(run.cuts, run.cuts.of(feature)[some]) for run, some in zip(runs, useful, strict=True)]
    return _joined([_discs(run.cuts, some, _close_points) for run, some in zip(runs, rows, strict=True)])


def _flat_rows(cuts: Cuts, rows: Ints) -> Ints:
    return rows[cuts.flat[rows] > cuts.slack[rows]]


def _joined(parts: Sequence[Swept]) -> Swept:
    columns = ([getattr(part, name) for part in parts] for name in Swept.__slots__)
    return Swept(*(np.concatenate(column) for column in columns))


def _discs(cuts: Cuts, rows: Ints, points: Points) -> Swept:
    place, share = points(cuts, rows)
    index = rows[place]
    at = cuts.start[index] + (cuts.end[index] - cuts.start[index]) * share[:, None]
    flat, height = cuts.flat[index] - cuts.slack[index], at[:, 2] + cuts.point[index]
    return Swept(at[:, :2], flat, height, np.zeros(len(index)), height)


def _drawn_out(cuts: Cuts, rows: Ints, shape: SlotShape, floor: FloorLine) -> tuple[Swept, Flags]:
    """Give the cuts of ``rows`` that run straight along a slot on its floor, drawn out, and which these are.

    On the floor: deep enough, at either end, for some place under the cutter, as it is where a floor falls
    to either side; then it is so all the way, for a crowned floor rises over its chord, and so does the
    highest place within a distance.  What a cut leaves its line by is taken off its radius.
    """
    ends = np.stack([cuts.start[rows], cuts.end[rows]])
    local = np.stack([shape.local(each[:, :2]) for each in ends])
    height = ends[:, :, 2] + cuts.point[rows]
    off, length = np.abs(local[1] - local[0]).T
    highest = floor.highest_near(local[:, :, 1], UNDER_CUTTER * cuts.flat[rows])
    deep = (height <= highest + CUT_MM).all(axis=0)
    drawn = deep & (off <= STRAIGHT_MM) & (length > ROUGH_SPACING * cuts.radius[rows]) & (cuts.flat[rows] > 4 * off)
    some, number = rows[drawn], np.arange(int(drawn.sum()))
    low = np.where(local[0, drawn, 1] <= local[1, drawn, 1], 0, 1)
    centre, height = ends[low, np.flatnonzero(drawn), :2], height[:, drawn]
    flat = cuts.flat[some] - cuts.slack[some] - off[drawn]
    return Swept(centre, flat, height[low, number], length[drawn], height[1 - low, number]), drawn


def _close_points(cuts: Cuts, rows: Ints) -> tuple[Ints, Floats]:
    place, share = spread_points(cuts.start[rows], cuts.end[rows], close_spacing_mm(cuts.radius[rows]))
    goes_on = np.zeros(len(rows), dtype=bool)
    goes_on[1:] = (cuts.start[rows[1:]] == cuts.end[rows[:-1]]).all(axis=1)
    once = (share > 0) | ~goes_on[place]  # where cuts follow each other, one disc stands for both ends
    return place[once], share[once]


def _rough_points(cuts: Cuts, rows: Ints) -> tuple[Ints, Floats]:
    """Give points at even steps along the whole of each path, and where it begins and ends."""
    if not len(rows):
        return rows, np.zeros(0)
    radius = cuts.radius[rows]
    by_the_wall = cuts.outside[rows] > -BY_THE_WALL * radius
    spacing = ROUGH_SPACING * radius
    spacing[by_the_wall] = np.minimum(spacing, np.sqrt(8 * radius * ROUGH_SCALLOP_MM))[by_the_wall]
    steps = np.linalg.norm(cuts.end[rows, :2] - cuts.start[rows, :2], axis=1) / spacing
    after = np.cumsum(steps)
    before = after - steps
    count = np.floor(after).astype(np.int64) - np.floor(before).astype(np.int64)
    place = np.repeat(np.arange(len(rows)), count)
    number = np.arange(len(place)) - np.repeat(np.cumsum(count) - count, count)
    share = (np.floor(before)[place] + 1 + number - before[place]) / steps[place]
    begins, ends = _turning_points(cuts, rows)
    return (
        np.concatenate([place, begins, ends]),
        np.concatenate([np.clip(share, 0.0, 1.0), np.zeros(len(begins)), np.ones(len(ends))]),
    )


def _turning_points(cuts: Cuts, rows: Ints) -> tuple[Ints, Ints]:
    """Give the cuts (places in ``rows``) whose start, and those whose end, a path begins, ends or turns sharply at."""
    start, end = cuts.start[rows], cuts.end[rows]
    way = (end - start)[:, :2]
    leaps = (start[1:] != end[:-1]).any(axis=1)
    length = np.linalg.norm(way, axis=1)
    turns = (way[1:] * way[:-1]).sum(axis=1) < SHARP * length[1:] * length[:-1]
    upright = (length[1:] == 0) | (length[:-1] == 0)
    begins = np.append(0, np.flatnonzero(leaps) + 1)
    ends = np.append(np.flatnonzero(leaps | turns | upright), len(rows) - 1)
    return begins, ends
