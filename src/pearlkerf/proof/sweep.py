"""What the cuts of a feature sweep, as discs: the cutter's flat at points of its path."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import close_spacing_mm, spread_points
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.runs import Run

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Points = Callable[[Cuts, Ints], tuple[Ints, Floats]]

# rough discs lie this part of a radius apart, and so near that scallops are no deeper than this (mm) by the wall
ROUGH_SPACING = 0.5
ROUGH_SCALLOP_MM = 0.003
# by the wall is within this part of a radius of it
BY_THE_WALL = 0.25
# a path turns sharply where the cosine of its turn is less
SHARP = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Discs: (m, 2) centres, (m,) radius of the flat, height of the lips, mm."""

    centre: Floats
    flat: Floats
    height: Floats


def lips_mm(cuts: Cuts) -> Floats:
    """Give the lowest height of the lips on every cut, (k,) mm."""
    lips: Floats = np.minimum(cuts.start[:, 2], cuts.end[:, 2]) + cuts.point
    return lips


def swept_roughly(runs: Sequence[Run], feature: int, useful: Sequence[Flags]) -> Swept:
    """Give few discs on the ``useful`` cuts of a feature: enough for most covers, whatever the number of cuts."""
    return _swept(runs, feature, useful, _rough_points)


def swept_closely(runs: Sequence[Run], feature: int, useful: Sequence[Flags]) -> Swept:
    """Give discs at every end of the ``useful`` cuts of a feature, and between as near as SCALLOP_MM wants."""
    return _swept(runs, feature, useful, _close_points)


def _swept(runs: Sequence[Run], feature: int, useful: Sequence[Flags], points: Points) -> Swept:
    parts = []
    for run, some in zip(runs, useful, strict=True):
        cuts = run.cuts
        rows = cuts.of(feature)[some]
        rows = rows[cuts.flat[rows] > cuts.slack[rows]]
        place, share = points(cuts, rows)
        index = rows[place]
        at = cuts.start[index] + (cuts.end[index] - cuts.start[index]) * share[:, None]
        parts.append((at[:, :2], cuts.flat[index] - cuts.slack[index], at[:, 2] + cuts.point[index]))
    centre, flat, height = (np.concatenate(column) for column in zip(*parts, strict=True))
    return Swept(centre, flat, height)


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
