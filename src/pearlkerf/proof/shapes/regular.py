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

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.tolerances import ROUNDING_MM, WALL_STRIP_MM
from pearlkerf.proof.wood import Wood

Floats = NDArray[np.float64]

# passes follow each other on one line, and turns on one ring, to less than half a strip that does not count
SAME_LINE_MM = WALL_STRIP_MM / 2
# a loop is longer than this many radii, so that what it cut a loop before counts as cut
LOOP = 2.0
# what goes down more steeply than this is no pass
GENTLE = math.tan(math.radians(10.0))


def bite_of_loops_mm(cuts: Cuts, path: LocalPath, wood: Wood) -> float:
    """Bound the bites of ways round and round one closed line, of any form; inf where they are none.

    A loop later the disc stands at the same place, and finds nothing higher than its tip lay then.
    On the first loop the wood counts as uncut.
    """
    start, end, radius = path.start, path.end, float(cuts.radius[0])
    rises = (start[:, :2] == end[:, :2]).all(axis=1) & (end[:, 2] >= start[:, 2])  # cuts nothing where a cut ended
    follows = np.append(False, (start[1:] == end[:-1]).all(axis=1)) & ~path.begins
    if (rises & ~follows).any():
        return math.inf
    path = path.beginning_also(np.flatnonzero(rises[:-1]) + 1).some(~rises)
    start, end, begins, cuts = path.start, path.end, path.begins, cuts.some(~rises)
    way, drop = np.hypot(*(end - start)[:, :2].T), np.abs(end[:, 2] - start[:, 2])
    if (drop > GENTLE * way + ROUNDING_MM).any():
        return math.inf
    top = wood.highest_top_mm(cuts.start[:, :2], cuts.end[:, :2], cuts.radius)
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
