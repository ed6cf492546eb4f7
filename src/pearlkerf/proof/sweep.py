"""What cuts sweep, as discs: the cutter's flat at points of its path."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import counted, spread_points
from pearlkerf.proof.cover import close_spacing_mm
from pearlkerf.proof.cuts import Cuts

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# rough discs lie this part of a radius apart, and so near that scallops are no deeper than this (mm) by the wall
ROUGH_SPACING = 0.5
ROUGH_SCALLOP_MM = 0.003
# and covers by them want no strips thinner than this, mm
ROUGHLY_MM = 0.004
# by the wall is within this part of a radius of it
BY_THE_WALL = 0.25
# a path turns sharply where the cosine of its turn is less
SHARP = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """Discs: (m, 2) centres, (m,) radius of the flat and height of the lips, mm.

    A disc may be drawn out straight to ``far`` (m, 2), where the lips stand at ``far_height``; else that is its centre.
    """

    centre: Floats
    flat: Floats
    height: Floats
    far: Floats
    far_height: Floats


Points = Callable[[Cuts], tuple[Ints, Floats]]
Sweep = Callable[[Cuts], Swept]


def swept_roughly(cuts: Cuts) -> Swept:
    """Give few discs on cuts: enough for most covers, whatever the number of cuts."""
    return _discs(cuts, _rough_points)


def swept_closely(cuts: Cuts) -> Swept:
    """Give discs at every end of cuts, and between as near as SCALLOP_MM wants."""
    return _discs(cuts, _close_points)


def swept_together(parts: Sequence[Cuts], sweep: Sweep) -> Swept:
    """Give what all cuts sweep that clear anything flat, part by part."""
    return joined(
        [sweep(part if (part.flat > part.slack).all() else part.some(part.flat > part.slack)) for part in parts]
    )


def joined(parts: Sequence[Swept]) -> Swept:
    """Put discs behind each other."""
    if len(parts) == 1:
        return parts[0]
    columns = ([getattr(part, name) for part in parts] for name in Swept.__slots__)
    return Swept(*(np.concatenate(column) for column in columns))


def _discs(cuts: Cuts, points: Points) -> Swept:
    index, share = points(cuts)
    at = cuts.start[index] + (cuts.end[index] - cuts.start[index]) * share[:, None]
    flat, height = cuts.flat[index] - cuts.slack[index], at[:, 2] + cuts.point[index]
    return Swept(at[:, :2], flat, height, at[:, :2], height)


def _close_points(cuts: Cuts) -> tuple[Ints, Floats]:
    place, share = spread_points(cuts.start, cuts.end, close_spacing_mm(cuts.radius))
    goes_on = np.zeros(len(cuts.radius), dtype=bool)
    goes_on[1:] = (cuts.start[1:] == cuts.end[:-1]).all(axis=1)
    once = (share > 0) | ~goes_on[place]  # where cuts follow each other, one disc stands for both ends
    return place[once], share[once]


def _rough_points(cuts: Cuts) -> tuple[Ints, Floats]:
    """Give points at even steps along the whole of each path, and where it begins and ends."""
    radius = cuts.radius
    if not len(radius):
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    by_the_wall = cuts.outside > -BY_THE_WALL * radius
    spacing = ROUGH_SPACING * radius
    spacing[by_the_wall] = np.minimum(spacing, np.sqrt(8 * radius * ROUGH_SCALLOP_MM))[by_the_wall]
    steps = np.linalg.norm((cuts.end - cuts.start)[:, :2], axis=1) / spacing
    after = np.cumsum(steps)
    before = after - steps
    count = np.floor(after).astype(np.int64) - np.floor(before).astype(np.int64)
    place, number = counted(count)
    share = (np.floor(before)[place] + 1 + number - before[place]) / steps[place]
    begins, ends = _turning_points(cuts)
    return (
        np.concatenate([place, begins, ends]),
        np.concatenate([np.clip(share, 0.0, 1.0), np.zeros(len(begins)), np.ones(len(ends))]),
    )


def _turning_points(cuts: Cuts) -> tuple[Ints, Ints]:
    """Give the cuts whose start, and those whose end, a path begins, ends or turns sharply at."""
    start, end = cuts.start, cuts.end
    way = (end - start)[:, :2]
    leaps = (start[1:] != end[:-1]).any(axis=1)
    length = np.linalg.norm(way, axis=1)
    turns = (way[1:] * way[:-1]).sum(axis=1) < SHARP * length[1:] * length[:-1]
    upright = (length[1:] == 0) | (length[:-1] == 0)
    begins = np.append(0, np.flatnonzero(leaps) + 1)
    ends = np.append(np.flatnonzero(leaps | turns | upright), len(start) - 1)
    return begins, ends
