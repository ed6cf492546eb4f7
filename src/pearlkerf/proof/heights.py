"""A map of the wood's height over one feature, lowered cut by cut: what each cut meets.

The map is a lattice of points.  A cut meets a point while the point lies under its disc; each such
meeting has a stretch of the path and the lowest height of the tip on it.  Meetings of all cuts are
sorted by point and path, so that "the height before this meeting" is a running minimum.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes import HoleShape, Shape, SlotShape
from pearlkerf.proof.tolerances import (
    LAG,
    MAP_PITCH,
    RAMP_DEG,
    ROUNDING_MM,
    SHARP_RAD,
    STROKE_SAGITTA_MM,
    WALL_STRIP_MM,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Meetings:
    """The worst of each cut of one feature: depth taken at once, and depth below the raw top; (k,) mm."""

    bite: Floats
    depth: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Lattice:
    """Points (i, j) at (low + pitch * (i, j)) in a feature's own directions; ``top`` (ni, nj) mm, nan off the wood."""

    low: Floats  # (2,)
    pitch: Floats  # (2,)
    top: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """Cuts of a feature one after another: local ends (k, 3) and radius (k,), mm, and the progress made.

    Progress is the way gone in plan less what a descent at RAMP_DEG would have needed for the depth
    gone down, never falling back: a plunge, and stairs that are as good as one, make none.  It leaps
    by more than the lag wherever the cutter comes from outside the wood.  ``done`` (k,) is what was
    made before each cut, ``first`` and ``rate`` (k,) what the cut itself has reached at its start
    (less than ``done`` after a plunge) and makes on each mm in plan.
    """

    start: Floats
    end: Floats
    radius: Floats
    done: Floats
    first: Floats
    rate: Floats

    def progress(self, cut: Ints, along: Floats) -> Floats:
        """Give the progress after ``along`` mm of cuts."""
        return np.maximum(self.done[cut], self.first[cut] + self.rate[cut] * along)


def meet(run: Run, earlier: Sequence[Run], feature: int) -> Meetings:
    """Give what each cut of ``run`` in a feature meets, after all cuts of the ``earlier`` runs."""
    shape = run.shapes[feature]
    path, stroke = _path((*earlier, run), feature)
    bite, depth = _meetings(path, _lattice(shape, run, float(path.radius.min())))
    own = stroke[len(stroke) - len(run.cuts.of(feature)) :]
    return Meetings(bite[own], depth[own])


def _path(runs: Sequence[Run], feature: int) -> tuple[Path, Ints]:
    """Give the path of all runs in a feature, and the stroke of it (an index) that each cut belongs to.

    Short cuts that go on from each other are one stroke, as long as it is shorter than the map's
    pitch, hardly bends (within STROKE_SAGITTA_MM), and keeps going down, or keeps going level or up:
    the map would not tell them apart.
    """
    starts, ends, radii, fresh = [], [], [], []
    for run in runs:
        rows, cuts, shape = run.cuts.of(feature), run.cuts, run.shapes[feature]
        starts.append(np.column_stack([shape.local(cuts.start[rows, :2]), cuts.start[rows, 2]]))
        ends.append(np.column_stack([shape.local(cuts.end[rows, :2]), cuts.end[rows, 2]]))
        radii.append(cuts.radius[rows])
        breaks = cuts.fresh[rows].copy()
        breaks[:1] = True
        breaks[1:] |= np.diff(rows) > 1
        fresh.append(breaks)
    start, end, radius, begins = (np.concatenate(parts) for parts in (starts, ends, radii, fresh))
    length = np.linalg.norm(end[:, :2] - start[:, :2], axis=1)
    sinking = np.maximum(start[:, 2] - end[:, 2], 0.0)
    first = _strokes((end - start)[:, :2], sinking > 0, begins, MAP_PITCH * float(radius.min()))
    length, sinking = np.add.reduceat(length, first), np.add.reduceat(sinking, first)
    last = np.append(first[1:], len(start)) - 1
    gained = length - sinking / math.tan(math.radians(RAMP_DEG))
    reached, most = _progress(gained, begins[first], 2 * LAG * float(radius.max()))
    way = np.maximum(np.linalg.norm(end[last, :2] - start[first, :2], axis=1), ROUNDING_MM)
    path = Path(start[first], end[last], radius[first], most, reached, gained / way)
    return path, np.searchsorted(first, np.arange(len(start)), side="right") - 1


def _strokes(way: Floats, sinks: NDArray[np.bool_], begins: NDArray[np.bool_], longest: float) -> Ints:
    """Give the first cut of every stroke."""
    length = np.hypot(way[:, 0], way[:, 1])
    turn = np.zeros(len(way))
    turn[1:] = np.abs(np.arctan2(way[:-1, 0] * way[1:, 1] - way[:-1, 1] * way[1:, 0], (way[:-1] * way[1:]).sum(axis=1)))
    around = np.full(len(way), np.inf)  # the radius of the bend
    np.divide(length[1:] + length[:-1], 2 * turn[1:], out=around[1:], where=turn[1:] > 0)
    apart = np.minimum(longest, np.sqrt(8 * STROKE_SAGITTA_MM * around))
    total = np.cumsum(length / np.maximum(apart, ROUNDING_MM))
    joins = (length > 0) & ~begins & (turn < SHARP_RAD)
    joins[1:] &= (sinks[1:] == sinks[:-1]) & (np.floor(total[1:]) == np.floor(total[:-1])) & (length[:-1] > 0)
    joins[:1] = False
    return np.flatnonzero(~joins)


def _progress(gained: Floats, begins: NDArray[np.bool_], leap: float) -> tuple[Floats, Floats]:
    """Give what is reached (k,) before each cut, and the most (k,) that ever was, leaping where one ``begins``."""
    visit = np.cumsum(begins) - 1
    first = np.flatnonzero(begins)
    before = np.cumsum(gained) - gained
    reached = before - before[first][visit]  # within each visit, from zero
    apart = float(np.abs(reached).max() + np.abs(gained).max()) + 1.0
    most = np.maximum.accumulate(reached + 2 * apart * visit) - 2 * apart * visit
    last = np.append(first[1:], len(gained)) - 1
    total = np.maximum(most[last], (reached + gained)[last]) + leap
    offset = (np.cumsum(total) - total)[visit]
    return reached + offset, most + offset


def _lattice(shape: Shape, run: Run, radius: float) -> Lattice:
    if isinstance(shape, HoleShape):
        half = shape.feature.diameter_mm / 2
        low, high = np.array([-half, -half]), np.array([half, half])
        step = np.array([radius * MAP_PITCH] * 2)
    else:
        half = shape.feature.width_mm / 2
        low, high = np.array([-half, 0.0]), np.array([half, shape.length])
        step = np.array([2 * radius * MAP_PITCH, radius])
    count = np.maximum(np.ceil((high - low) / step).astype(int), 2)
    pitch = (high - low) / count
    across, along = (low[axis] + pitch[axis] * (np.arange(count[axis]) + 0.5) for axis in (0, 1))
    local = np.stack(np.meshgrid(across, along, indexing="ij"), axis=-1).reshape(-1, 2)
    points = shape.centre + local if isinstance(shape, HoleShape) else _on_machine(shape, local)
    within = run.wood.holds(points)
    if isinstance(shape, HoleShape):
        within &= np.hypot(local[:, 0], local[:, 1]) <= half
    top = np.where(within, run.wood.top_mm(points), np.nan)
    return Lattice(low + pitch / 2, pitch, top.reshape(count))


def _on_machine(shape: SlotShape, local: Floats) -> Floats:
    dx, dy = shape.along
    points: Floats = shape.origin + local[:, :1] * np.array([dy, -dx]) + local[:, 1:] * shape.along
    return points


def _meetings(path: Path, lattice: Lattice) -> tuple[Floats, Floats]:
    met = _under_discs(path, lattice, *_under_boxes(path, lattice))
    cut, top = met.cut, lattice.top.ravel()[met.cell]
    begun, ended = path.progress(cut, met.first), path.progress(cut, met.last)
    before = _height_before(met, begun - LAG * path.radius[cut], ended, top)
    bite, depth = np.zeros(len(path.radius)), np.zeros(len(path.radius))
    np.maximum.at(bite, cut[met.well], (np.minimum(before, top) - met.lowest)[met.well])
    np.maximum.at(depth, cut, top - met.lowest)
    return bite, depth


def _under_boxes(path: Path, lattice: Lattice) -> tuple[Ints, Ints]:
    """Give pairs of cut and lattice point whose point lies in the box round the cut's sweep."""
    shape = np.array(lattice.top.shape)
    reach = path.radius[:, None]
    low = np.minimum(path.start[:, :2], path.end[:, :2]) - reach
    high = np.maximum(path.start[:, :2], path.end[:, :2]) + reach
    first = np.clip(np.ceil((low - lattice.low) / lattice.pitch), 0, shape).astype(np.int64)
    last = np.clip(np.floor((high - lattice.low) / lattice.pitch) + 1, first, shape).astype(np.int64)
    size = last - first
    count = size[:, 0] * size[:, 1]
    cut = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(cut)) - np.repeat(np.cumsum(count) - count, count)
    across, along = np.divmod(number, np.maximum(size[cut, 1], 1))
    cell = (first[cut, 0] + across) * shape[1] + first[cut, 1] + along
    on_wood = ~np.isnan(lattice.top.ravel()[cell])
    return cut[on_wood], cell[on_wood]


@dataclass(frozen=True, slots=True, eq=False)
class Met:
    """Meetings of a cut and a lattice point; (m,) each."""

    cut: Ints
    cell: Ints
    first: Floats  # mm along the cut, where the point comes under the disc
    last: Floats  # where it leaves it
    lowest: Floats  # mm, the tip between the two
    well: NDArray[np.bool_]  # True where the point comes further under the disc than WALL_STRIP_MM


def _under_discs(path: Path, lattice: Lattice, cut: Ints, cell: Ints) -> Met:
    """Keep the pairs of cut and point that meet."""
    i, j = np.divmod(cell, lattice.top.shape[1])
    way = (path.end - path.start)[:, :2]
    length = np.hypot(way[:, 0], way[:, 1])
    unit = way / np.maximum(length, ROUNDING_MM)[:, None]
    x = lattice.low[0] + lattice.pitch[0] * i - path.start[cut, 0]
    y = lattice.low[1] + lattice.pitch[1] * j - path.start[cut, 1]
    along = x * unit[cut, 0] + y * unit[cut, 1]
    aside2 = np.maximum(x * x + y * y - along * along, 0.0)
    nearest2 = aside2 + (along - np.clip(along, 0.0, length[cut])) ** 2
    met = np.flatnonzero(nearest2 <= path.radius[cut] ** 2)
    cut, cell, along, aside2, nearest2 = cut[met], cell[met], along[met], aside2[met], nearest2[met]
    radius = path.radius[cut]
    half = np.sqrt(np.maximum(radius**2 - aside2, 0.0))
    first, last = np.maximum(along - half, 0.0), np.minimum(along + half, length[cut])
    drop = (path.end[:, 2] - path.start[:, 2]) / np.maximum(length, ROUNDING_MM)
    lowest = path.start[cut, 2] + np.minimum(drop[cut] * first, drop[cut] * last)
    upright = length[cut] <= ROUNDING_MM
    lowest[upright] = np.minimum(path.start[:, 2], path.end[:, 2])[cut[upright]]
    well = nearest2 <= (radius - np.minimum(WALL_STRIP_MM, radius / 4)) ** 2
    return Met(cut, cell, first, last, lowest, well)


def _height_before(met: Met, limit: Floats, ended: Floats, top: Floats) -> Floats:
    """Give the height that each meeting finds: the least of all at its point that ``ended`` within its ``limit``."""
    cell, lowest = met.cell, met.lowest
    if not len(cell):
        return np.zeros(0)
    apart = float(ended.max() - min(ended.min(), limit.min())) + 1.0
    order = np.argsort(cell * apart + ended, kind="stable")
    key, sorted_cell = (cell * apart + ended)[order], cell[order]
    range_mm = float(top.max() - lowest.min()) + 1.0
    least = np.minimum.accumulate(lowest[order] - sorted_cell * range_mm) + sorted_cell * range_mm
    found = np.searchsorted(key, cell * apart + limit, side="right") - 1
    same = (found >= 0) & (sorted_cell[found] == cell)
    before: Floats = np.where(same, least[found], math.inf)
    return before
