"""The cuts of a program: the parts of its feed motions that lie below the wood's top, and whose they are."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.pieces import Pieces
from pearlkerf.proof.shapes import Shape
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.proof.wood import Wood

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NOBODYS = -1


@dataclass(frozen=True, slots=True, eq=False)
class Cuts:
    """Straight cuts in the order of execution, clipped to what lies below the wood's top; (k,) each.

    ``owner`` is the feature (an index into the setup's) that a cut stays in, within CUT_MM, or
    NOBODYS; ``nearest`` the feature that it leaves least, and ``outside`` by how much.
    """

    start: Floats  # (k, 3) mm
    end: Floats  # (k, 3) mm
    motion: Ints
    slack: Floats  # mm, from arcs
    radius: Floats  # mm, of the cutter
    flat: Floats  # mm, radius of what the cutter clears flat, within CUT_MM of its tip
    point: Floats  # mm, of the cutter: its lips stand so much above its tip
    fresh: NDArray[np.bool_]  # True where the cutter comes from outside the wood
    owner: Ints
    nearest: Ints
    outside: Floats  # mm

    def of(self, feature: int) -> Ints:
        """Give the indexes of the cuts that stay in a feature."""
        return np.flatnonzero(self.owner == feature)


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
    rows = np.flatnonzero(tools.feeds[pieces.motion] & (lowest < -ROUNDING_MM))  # no top lies above zero
    start, end, motion = pieces.start[rows], pieces.end[rows], pieces.motion[rows]
    top = wood.highest_top_mm(start, end, radius[motion]) - ROUNDING_MM
    deep = lowest[rows] < top
    rows, start, end, motion, top = rows[deep], start[deep], end[deep], motion[deep], top[deep]
    clipped_start = start[:, 2] > top
    fresh = clipped_start.copy()
    fresh[:1] = True
    if len(rows) > 1:
        fresh[1:] |= (np.diff(rows) > 1) | (start[1:] != end[:-1]).any(axis=1)
    start, end = _clip(start, end, top)
    slack = pieces.slack[rows]
    nearest, outside = _owners(start, end, radius[motion], slack, fresh, shapes)
    owner = np.where(outside <= CUT_MM + ROUNDING_MM, nearest, NOBODYS)
    keep = np.ones(len(rows), dtype=bool)
    stray = np.flatnonzero(owner == NOBODYS)
    keep[stray] = wood.distance_mm(start[stray], end[stray]) < radius[motion[stray]] + slack[stray] - ROUNDING_MM
    fresh[1:] |= ~keep[:-1]
    kept = np.flatnonzero(keep)
    motion, slack = motion[kept], slack[kept]
    return Cuts(
        start[kept], end[kept], motion, slack, radius[motion], tools.flat[motion], tools.point[motion],
        fresh[kept], owner[kept], nearest[kept], outside[kept],
    )  # fmt: skip


def _clip(start: Floats, end: Floats, top: Floats) -> tuple[Floats, Floats]:
    """Cut off what lies above ``top``: heights change evenly along a piece."""
    for a, b in ((start, end), (end, start)):
        rows = np.flatnonzero(a[:, 2] > top)
        share = ((top[rows] - a[rows, 2]) / (b[rows, 2] - a[rows, 2]))[:, None]
        a[rows] = a[rows] + (b[rows] - a[rows]) * share
    return start, end


def _owners(
    start: Floats, end: Floats, radius: Floats, slack: Floats, fresh: NDArray[np.bool_], shapes: Sequence[Shape]
) -> tuple[Ints, Floats]:
    """Give the feature that each cut leaves least, and by how much.

    Cuts between two visits to the wood mostly belong together: each visit's first cut names a
    feature, which is tried for all of them; only those that leave it are tried against every other.
    """
    nearest = np.zeros(len(start), dtype=np.int64)
    outside = np.full(len(start), np.inf)
    if not shapes:
        return nearest, outside
    a, b = start[:, :2], end[:, :2]
    visit = np.cumsum(fresh) - 1
    first = np.flatnonzero(fresh)
    named = _least(a[first], b[first], radius[first], slack[first], shapes)[0]
    nearest = named[visit] if len(first) else nearest
    for feature in sorted(set(named.tolist())):
        rows = np.flatnonzero(nearest == feature)
        outside[rows] = shapes[feature].outside_mm(a[rows], b[rows], radius[rows]) + slack[rows]
    stray = np.flatnonzero(outside > CUT_MM + ROUNDING_MM)
    nearest[stray], outside[stray] = _least(a[stray], b[stray], radius[stray], slack[stray], shapes)
    return nearest, outside


def _least(start: Floats, end: Floats, radius: Floats, slack: Floats, shapes: Sequence[Shape]) -> tuple[Ints, Floats]:
    nearest = np.zeros(len(start), dtype=np.int64)
    least = np.full(len(start), np.inf)
    for number, shape in enumerate(shapes):
        outside = shape.outside_mm(start, end, radius) + slack
        better = outside < least
        nearest[better], least[better] = number, outside[better]
    return nearest, least
