"""The ways on which cutters stand on a pocket's floor, gathered by their radius."""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.counting import counted
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.pocket_cover import Ways
from pearlkerf.proof.tolerances import ARC_SAGITTA_MM, ROUNDING_MM

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def floor_ways(parts: Sequence[Cuts], low: Sequence[Flags]) -> Iterator[Ways]:
    """Give the ways of cuts of which (k, 2) ends are ``low``, for each radius that they clear flat, the greatest first.

    A cut counts where both its ends are low, and the end alone where only one is.  Arcs count for less by what
    their chords may lie off them; one that is followed less finely than ARC_SAGITTA_MM does not count at all.
    """
    ways = [_ways(cuts, each) for cuts, each in zip(parts, low, strict=True)]
    start, end, flat, slack = (np.concatenate(each) for each in zip(*ways, strict=True))
    fine = slack <= ARC_SAGITTA_MM + ROUNDING_MM
    start, end, flat, slack = start[fine], end[fine], flat[fine], slack[fine]
    for radius in np.unique(flat)[::-1].tolist():
        own = flat == radius
        clears = radius - float(slack[own].max())
        if clears > 0:
            for plan in _drawn(start[own], end[own]):
                shapely.prepare(plan)
                yield Ways(clears, plan)


def _ways(cuts: Cuts, low: Flags) -> tuple[Floats, Floats, Floats, Floats]:
    kept = low.any(axis=1)
    low, start, end = low[kept], cuts.start[kept, :2], cuts.end[kept, :2]
    start, end = np.where(low[:, :1], start, end), np.where(low[:, 1:], end, start)
    return start, end, cuts.flat[kept], cuts.slack[kept]


def _drawn(start: Floats, end: Floats) -> Iterator[BaseGeometry]:
    """Draw ways (k, 2) as lines that go on as far as they can, and as points where they stay in a place."""
    along = (start != end).any(axis=1)
    if along.any():
        yield _lines(start[along], end[along])
    ends = set(map(tuple, np.concatenate([start[along], end[along]]).tolist()))
    places = [place for place in dict.fromkeys(map(tuple, start[~along].tolist())) if place not in ends]
    if places:
        yield shapely.MultiPoint(places)


def _lines(start: Floats, end: Floats) -> shapely.MultiLineString:
    begins = np.ones(len(start), dtype=bool)
    begins[1:] = (start[1:] != end[:-1]).any(axis=1)
    first = np.flatnonzero(begins)
    line, number = counted(np.diff(first, append=len(start)) + 1)
    way = first[line] + np.maximum(number - 1, 0)
    points = np.where((number == 0)[:, None], start[way], end[way])
    return shapely.MultiLineString(np.asarray(shapely.linestrings(points, indices=line)).tolist())
