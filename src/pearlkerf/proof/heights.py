"""A map of the wood's height over features, lowered cut by cut: what each cut meets.

The map is a lattice of points over each feature.  A cut meets a point while the point lies under its disc; each such
meeting has a stretch of the path and the lowest height of the tip on it.  Meetings of all cuts are
sorted by point and path, so that "the height before this meeting" is a running minimum.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import counted
from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes.paths import LocalPath
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


# features are followed together while their cuts are fewer than this: many small arrays are slow, one huge one is large
CUTS_AT_ONCE = 20_000


@dataclass(frozen=True, slots=True, eq=False)
class Meetings:
    """The worst of each cut of a run: depth taken at once, and depth below the raw top; (k,) mm, 0 where not asked."""

    bite: Floats
    depth: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Lattice:
    """The lattices of f features, one after another.

    Feature g has ``count[g]`` points (i, j) at ``low[g] + pitch[g] * (i, j)`` in its own directions,
    numbered row by row from ``first[g]``; ``local`` (points, 2) mm says so for each; ``top`` is
    (points,) mm, nan off the wood.
    """

    low: Floats  # (f, 2) mm
    pitch: Floats  # (f, 2) mm
    count: Ints  # (f, 2)
    first: Ints  # (f,)
    local: Floats
    top: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """Cuts of features one after another: local ends (k, 3) and radius (k,), mm, and the progress made.

    Progress is the way gone in plan less what a descent at RAMP_DEG would have needed for the depth
    gone down, never falling back: a plunge, and stairs that are as good as one, make none.  It leaps
    by more than the lag wherever the cutter comes from outside the wood.  ``done`` (k,) is what was
    made before each cut, ``first`` and ``rate`` (k,) what the cut itself has reached at its start
    (less than ``done`` after a plunge) and makes on each mm in plan.  ``feature`` (k,) is the place
    of each cut's feature among those followed together.
    """

    start: Floats
    end: Floats
    radius: Floats
    done: Floats
    first: Floats
    rate: Floats
    feature: Ints

    def progress(self, cut: Ints, along: Floats) -> Floats:
        """Give the progress after ``along`` mm of cuts."""
        return np.maximum(self.done[cut], self.first[cut] + self.rate[cut] * along)


def meet(run: Run, earlier: Sequence[Run], features: Sequence[int]) -> Meetings:
    """Give what each cut of ``run`` in some features meets, after all cuts of the ``earlier`` runs."""
    bite, depth = np.zeros(len(run.cuts.motion)), np.zeros(len(run.cuts.motion))
    for some in _followed_together((*earlier, run), features):
        rows, bite[rows], depth[rows] = _meet_together(run, earlier, some)
    return Meetings(bite, depth)


def _followed_together(runs: Sequence[Run], features: Sequence[int]) -> Iterator[list[int]]:
    """Give the features in groups, each until it has CUTS_AT_ONCE."""
    some: list[int] = []
    waiting = 0
    for feature in features:
        some.append(feature)
        waiting += sum(len(run.cuts.of(feature)) for run in runs)
        if waiting >= CUTS_AT_ONCE or feature == features[-1]:
            yield some
            some, waiting = [], 0


def _meet_together(run: Run, earlier: Sequence[Run], features: Sequence[int]) -> tuple[Ints, Floats, Floats]:
    """Give the cuts (indexes) of ``run`` in these features, and the bite and the depth of each."""
    parts = [_part(each, feature, place) for place, feature in enumerate(features) for each in (*earlier, run)]
    path, stroke = _path(parts, len(features))
    least = np.full(len(features), math.inf)
    np.minimum.at(least, path.feature, path.radius)
    bite, depth = _meetings(path, _lattice(run, features, least))
    own = np.repeat([part.run is run for part in parts], [len(part.rows) for part in parts])
    return np.concatenate([part.rows for part in parts if part.run is run]), bite[stroke[own]], depth[stroke[own]]


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """The cuts (indexes) of one run in one feature, the ``place``-th of those followed together, as its path there."""

    run: Run
    rows: Ints
    place: int
    path: LocalPath


def _part(run: Run, feature: int, place: int) -> Part:
    cuts, local = run.inside[feature], run.shapes[feature].local
    path = LocalPath.of(local(cuts.start[:, :2]), local(cuts.end[:, :2]), cuts)
    return Part(run, run.cuts.of(feature), place, path)


def _path(parts: Sequence[Part], features: int) -> tuple[Path, Ints]:
    """Give the path of all parts, and the stroke of it (an index) that each cut belongs to.

    Short cuts that go on from each other are one stroke, as long as it is shorter than the map's
    pitch, hardly bends (within STROKE_SAGITTA_MM), and keeps going down, or keeps going level or up:
    the map would not tell them apart.  Where cuts are so unlike that they bend by a strip that counts,
    each is a stroke of its own.
    """
    start = np.concatenate([part.path.start for part in parts])
    end = np.concatenate([part.path.end for part in parts])
    begins = np.concatenate([part.path.begins for part in parts])
    radius = np.concatenate([part.run.cuts.radius[part.rows] for part in parts])
    feature = np.repeat([part.place for part in parts], [len(part.rows) for part in parts])
    least = np.full(features, math.inf)
    np.minimum.at(least, feature, radius)
    length = np.linalg.norm(end[:, :2] - start[:, :2], axis=1)
    sinking = np.maximum(start[:, 2] - end[:, 2], 0.0)
    first = _strokes(start[:, :2], end[:, :2], sinking > 0, begins, MAP_PITCH * least[feature])
    length, sinking = np.add.reduceat(length, first), np.add.reduceat(sinking, first)
    last = np.append(first[1:], len(start)) - 1
    gained = length - sinking / math.tan(math.radians(RAMP_DEG))
    reached, most = _progress(gained, begins[first], 2 * LAG * float(radius.max()))
    feature = feature[first]
    whose = np.searchsorted(feature, np.arange(features))  # every feature counts from its own first cut
    reached, most = reached - most[whose][feature], most - most[whose][feature]
    way = np.maximum(np.linalg.norm(end[last, :2] - start[first, :2], axis=1), ROUNDING_MM)
    path = Path(start[first], end[last], radius[first], most, reached, gained / way, feature)
    return path, np.searchsorted(first, np.arange(len(start)), side="right") - 1


def _strokes(start: Floats, end: Floats, sinks: NDArray[np.bool_], begins: NDArray[np.bool_], longest: Floats) -> Ints:
    """Give the first cut of every stroke."""
    way = end - start
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
    return np.flatnonzero(~joins | _of_bent_strokes(start, end, np.flatnonzero(~joins)))


def _of_bent_strokes(start: Floats, end: Floats, first: Ints) -> NDArray[np.bool_]:
    """Say which cuts (k,) are of a stroke that strays from the straight way to its end by more than WALL_STRIP_MM.

    A long cut whose end alone lies near a corner may: what it goes round is then no longer what it has cut.
    """
    if not len(first):
        return np.zeros(0, dtype=bool)
    count = np.diff(first, append=len(start))
    begin = np.repeat(start[first], count, axis=0)
    way = np.repeat(end[first + count - 1], count, axis=0) - begin
    share = ((end - begin) * way).sum(axis=1) / np.maximum((way**2).sum(axis=1), ROUNDING_MM**2)
    off = np.hypot(*(end - begin - way * np.clip(share, 0.0, 1.0)[:, None]).T)
    return np.repeat(np.maximum.reduceat(off, first) > WALL_STRIP_MM, count)


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


def _lattice(run: Run, features: Sequence[int], radius: Floats) -> Lattice:
    """Give the lattices of some features for cutters no smaller than ``radius`` (f,)."""
    grids = [run.shapes[feature].grid(least) for feature, least in zip(features, radius.tolist(), strict=True)]
    every = np.concatenate([grid.on_machine for grid in grids])
    within = run.wood.holds(every) & np.concatenate([grid.within for grid in grids])
    top = np.where(within, run.wood.top_mm(every), np.nan)
    low, pitch, count = (np.array([getattr(grid, name) for grid in grids]) for name in ("low", "pitch", "count"))
    size = np.array([len(grid.local) for grid in grids])
    return Lattice(low, pitch, count, np.cumsum(size) - size, np.concatenate([grid.local for grid in grids]), top)


def _meetings(path: Path, lattice: Lattice) -> tuple[Floats, Floats]:
    met = _under_discs(path, lattice)
    cut, top = met.cut, lattice.top[met.cell]
    begun, ended = path.progress(cut, met.first), path.progress(cut, met.last)
    before = _height_before(met, begun - LAG * path.radius[cut], ended, top)
    bite, depth = np.zeros(len(path.radius)), np.zeros(len(path.radius))
    np.maximum.at(bite, cut[met.well], (np.minimum(before, top) - met.lowest)[met.well])
    np.maximum.at(depth, cut, top - met.lowest)
    return bite, depth


def _under_boxes(path: Path, lattice: Lattice) -> tuple[Ints, Ints]:
    """Give how many lattice points lie in the box round each cut's sweep, (k,), and all of them, cut by cut."""
    shape, origin, pitch = lattice.count[path.feature], lattice.low[path.feature], lattice.pitch[path.feature]
    reach = path.radius[:, None]
    low = np.minimum(path.start[:, :2], path.end[:, :2]) - reach
    high = np.maximum(path.start[:, :2], path.end[:, :2]) + reach
    first = np.clip(np.ceil((low - origin) / pitch), 0, shape).astype(np.int64)
    last = np.clip(np.floor((high - origin) / pitch) + 1, first, shape).astype(np.int64)
    rows, columns = (last - first).T
    begin = lattice.first[path.feature] + first[:, 0] * shape[:, 1] + first[:, 1]
    cut, number = counted(rows)
    begin_of_row = begin[cut] + number * shape[cut, 1]
    row, number = counted(columns[cut])
    return rows * columns, begin_of_row[row] + number


@dataclass(frozen=True, slots=True, eq=False)
class Met:
    """Meetings of a cut and a lattice point; (m,) each."""

    cut: Ints
    cell: Ints
    first: Floats  # mm along the cut, where the point comes under the disc
    last: Floats  # where it leaves it
    lowest: Floats  # mm, the tip between the two
    well: NDArray[np.bool_]  # True where the point comes further under the disc than WALL_STRIP_MM


def _under_discs(path: Path, lattice: Lattice) -> Met:
    """Give the meetings: the pairs of a cut and a point of the wood that comes under its disc."""
    count, cell = _under_boxes(path, lattice)
    way = (path.end - path.start)[:, :2]
    length = np.hypot(way[:, 0], way[:, 1])
    unit = way / np.maximum(length, ROUNDING_MM)[:, None]
    x = lattice.local[cell, 0] - np.repeat(path.start[:, 0], count)
    y = lattice.local[cell, 1] - np.repeat(path.start[:, 1], count)
    along = x * np.repeat(unit[:, 0], count) + y * np.repeat(unit[:, 1], count)
    aside2 = np.maximum(x * x + y * y - along * along, 0.0)
    beyond = np.maximum(np.maximum(-along, along - np.repeat(length, count)), 0.0)
    nearest2 = aside2 + beyond * beyond
    met = np.flatnonzero((nearest2 <= np.repeat(path.radius**2, count)) & ~np.isnan(lattice.top[cell]))
    cut = np.repeat(np.arange(len(count)), count)[met]
    cell, along, aside2, nearest2 = cell[met], along[met], aside2[met], nearest2[met]
    radius, whole = path.radius[cut], length[cut]
    half = np.sqrt(np.maximum(radius**2 - aside2, 0.0))
    first, last = np.maximum(along - half, 0.0), np.minimum(along + half, whole)
    drop = ((path.end[:, 2] - path.start[:, 2]) / np.maximum(length, ROUNDING_MM))[cut]
    lowest = path.start[cut, 2] + np.minimum(drop * first, drop * last)
    upright = whole <= ROUNDING_MM
    lowest[upright] = np.minimum(path.start[:, 2], path.end[:, 2])[cut[upright]]
    well = nearest2 <= (radius - np.minimum(WALL_STRIP_MM, radius / 4)) ** 2
    return Met(cut, cell, first, last, lowest, well)


def _height_before(met: Met, limit: Floats, ended: Floats, top: Floats) -> Floats:
    """Give the height that each meeting finds: the least of all at its point that ``ended`` within its ``limit``."""
    cell, lowest = met.cell, met.lowest
    if not len(cell):
        return np.zeros(0)
    apart = float(ended.max() - min(ended.min(), limit.min())) + 1.0
    key = cell * apart + ended
    order = np.argsort(key)
    key, sorted_cell = key[order], cell[order]
    range_mm = float(top.max() - lowest.min()) + 1.0
    least = np.minimum.accumulate(lowest[order] - sorted_cell * range_mm) + sorted_cell * range_mm
    found = np.searchsorted(key, sorted_cell * apart + limit[order], side="right") - 1  # in order: near in memory
    same = (found >= 0) & (sorted_cell[found] == sorted_cell)
    before = np.empty(len(cell))
    before[order] = np.where(same, least[found], math.inf)
    return before
