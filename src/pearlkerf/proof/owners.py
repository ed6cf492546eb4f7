"""The cuts of a program, found among its pieces: each is given to the feature that it leaves least."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import paged
from pearlkerf.proof.cuts import NOBODYS, Cuts
from pearlkerf.proof.pieces import Pieces
from pearlkerf.proof.shapes.shape import Shape
from pearlkerf.proof.tolerances import ROUNDING_MM
from pearlkerf.proof.wood import Wood

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
# how far the cuts at some rows leave a feature, mm
Leaves = Callable[[Shape, Ints], Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Tools:
    """What cuts in each motion: (n,) whether it feeds, and its cutter's radius, flat and point, mm."""

    feeds: NDArray[np.bool_]
    radius: Floats
    flat: Floats
    point: Floats


def find_cuts(pieces: Pieces, tools: Tools, wood: Wood, shapes: Sequence[Shape]) -> Cuts:
    """Find the cuts among all pieces.  What passes beside the wood, in the air, is no cut."""
    radius = tools.radius
    lowest = np.minimum(pieces.start[:, 2], pieces.end[:, 2])
    rows = np.flatnonzero(tools.feeds[pieces.motion] & (lowest < wood.stock.highest_mm - ROUNDING_MM))
    start, end, motion = pieces.start[rows], pieces.end[rows], pieces.motion[rows]
    top = paged(wood.highest_top_mm, start, end, radius[motion]) - ROUNDING_MM
    deep = lowest[rows] < top
    rows, start, end, motion, top = rows[deep], start[deep], end[deep], motion[deep], top[deep]
    clipped_start = start[:, 2] > top
    fresh = clipped_start.copy()
    fresh[:1] = True
    if len(rows) > 1:
        fresh[1:] |= (np.diff(rows) > 1) | (start[1:] != end[:-1]).any(axis=1)
    start, end = _clip(start, end, top)
    slack = pieces.slack[rows]

    def leaves(shape: Shape, rows: Ints) -> Floats:
        return paged(shape.outside_mm, start[rows, :2], end[rows, :2], radius[motion[rows]]) + slack[rows]

    nearest, outside = _owners(fresh, shapes, leaves)
    owner = np.where(outside <= _may_leave_mm(shapes)[nearest], nearest, NOBODYS)
    keep = np.ones(len(rows), dtype=bool)
    stray = np.flatnonzero(owner == NOBODYS)
    keep[stray] = wood.distance_mm(start[stray], end[stray]) < radius[motion[stray]] + slack[stray] - ROUNDING_MM
    fresh[1:] |= ~keep[:-1]
    kept = np.flatnonzero(keep)
    motion, slack = motion[kept], slack[kept]
    return Cuts(
        start[kept], end[kept], motion, rows[kept], slack, radius[motion], tools.flat[motion], tools.point[motion],
        fresh[kept], owner[kept], nearest[kept], outside[kept],
    )  # fmt: skip


def below_floors_mm(cuts: Cuts, shapes: Sequence[Shape]) -> Floats:
    """Give how far the lips of each cut go below its feature's floor, (k,) mm; 0 where it is nobody's."""
    below = np.zeros(len(cuts.motion))
    for feature in np.unique(cuts.owner[cuts.owner != NOBODYS]).tolist():
        rows = cuts.of(feature)
        lift = np.zeros((len(rows), 3))
        lift[:, 2] = cuts.point[rows] - cuts.slack[rows]
        below[rows] = shapes[feature].too_deep_mm(cuts.start[rows] + lift, cuts.end[rows] + lift, cuts.radius[rows])
    return below


def _clip(start: Floats, end: Floats, top: Floats) -> tuple[Floats, Floats]:
    """Cut off what lies above ``top``: heights change evenly along a piece."""
    begin = _lowered(start, end, top)
    return begin, _lowered(end, begin, top)


def _lowered(place: Floats, other: Floats, top: Floats) -> Floats:
    """Give ends (k, 3) of pieces, moved toward their other ends down to ``top`` where they lie above it."""
    rows = np.flatnonzero(place[:, 2] > top)
    if not len(rows):
        return place
    lowered = place.copy()
    share = ((top[rows] - place[rows, 2]) / (other[rows, 2] - place[rows, 2]))[:, None]
    lowered[rows] = place[rows] + (other[rows] - place[rows]) * share
    return lowered


def _owners(fresh: NDArray[np.bool_], shapes: Sequence[Shape], leaves: Leaves) -> tuple[Ints, Floats]:
    """Give the feature that each cut leaves least, and by how much.

    Cuts between two visits to the wood mostly belong together: each visit's first cut names a
    feature, which is tried for all of them; only those that leave it are tried against every other.
    """
    first = np.flatnonzero(fresh)
    if not len(first) or not shapes:
        return np.zeros(len(fresh), dtype=np.int64), np.full(len(fresh), np.inf)
    named = _least(first, shapes, leaves)[0]
    nearest = named[np.cumsum(fresh) - 1]
    outside = np.full(len(fresh), np.inf)
    for feature in sorted(set(named.tolist())):
        rows = np.flatnonzero(nearest == feature)
        outside[rows] = leaves(shapes[feature], rows)
    stray = np.flatnonzero(outside > _may_leave_mm(shapes)[nearest])
    nearest[stray], outside[stray] = _least(stray, shapes, leaves)
    return nearest, outside


def _may_leave_mm(shapes: Sequence[Shape]) -> Floats:
    """Give by how much cuts may leave each feature, (n,) mm; something where there is none, which nobody asks."""
    return np.array([shape.may_leave_mm for shape in shapes] or [0.0]) + ROUNDING_MM


def _least(rows: Ints, shapes: Sequence[Shape], leaves: Leaves) -> tuple[Ints, Floats]:
    nearest, least = np.zeros(len(rows), dtype=np.int64), np.full(len(rows), np.inf)
    for number, shape in enumerate(shapes):
        outside = leaves(shape, rows)
        better = outside < least
        nearest[better], least[better] = number, outside[better]
    return nearest, least
