"""A bound of the bites of levels: ways in plan that are gone again and again, each time a little lower.

    level 1   ____________________     A disc that comes back to a place finds nothing under it that is
    level 2   ____________________     higher than its tip stood there before: all of that was cut then.
    level 3   ____________________     What it takes is at most how much lower it stands now.

So it does not matter in which order rings, links and parts of a level are cut, nor where the cutter goes
down: only that it is on a way on which it has been.  On a way that is gone for the first time the wood
counts as uncut, whatever its neighbours took.  Where ways meet each other aslant, or only some of one is
gone, each is taken from corner to corner of both.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.regular import GENTLE
from pearlkerf.proof.tolerances import LAG, RAMP_DEG, ROUNDING_MM
from pearlkerf.proof.wood import Wood

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# a corner so near to a way lies on it, mm: both are rounded to the program's step
ON_A_WAY_MM = 0.003
# of the times that a way was gone before, the last few are looked at
LAST_TIMES = 3


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Cuts from corner to corner of all ways, in order: (n,) each, ``height`` (n, 2).

    ``one`` and ``other`` are the numbers of its corners, the lesser first, and ``height`` where the tip
    stands at them; ``cut`` is the cut that it is of.
    """

    cut: Ints
    one: Ints
    other: Ints
    height: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Gone:
    """The progress made along all cuts (heights.Path says what that is) before and after each, (k,), mm."""

    before: Floats
    after: Floats


def bite_of_levels_mm(cuts: Cuts, wood: Wood) -> float:
    """Bound the bites of cuts of one flat cutter, of which none goes down steeply but in a place where it was before.

    What it has cut within LAG of its radius of way counts as uncut, as on the map.
    """
    length = np.hypot(*(cuts.end - cuts.start)[:, :2].T)
    sinks = cuts.start[:, 2] - cuts.end[:, 2]
    if ((length > 0) & (sinks > GENTLE * length + ROUNDING_MM)).any():
        return math.inf
    gone, lag = _gone(length, sinks), LAG * float(cuts.radius[0])
    fresh = wood.highest_top_mm(cuts.start, cuts.end, cuts.radius) - np.minimum(cuts.start[:, 2], cuts.end[:, 2])
    along, upright = _stretches(cuts, np.flatnonzero(length > 0)), np.flatnonzero((length == 0) & (sinks > 0))
    corner = _corner_numbers(cuts)
    key = along.one * (int(corner.max(initial=0)) + 1) + along.other
    bites = [_lowered_mm(key, along.height, along.cut, gone, lag, fresh)]
    if len(upright):
        # a corner is passed by every stretch that ends in it
        key = np.concatenate([along.one, along.other, corner[upright, 0]])
        height = np.concatenate([along.height.T.ravel(), cuts.end[upright, 2]])[:, None]
        cut = np.concatenate([along.cut, along.cut, upright])
        bites.append(_lowered_mm(key, height, cut, gone, lag, fresh)[-len(upright) :])
    return float(np.concatenate(bites).max())


def _gone(length: Floats, sinks: Floats) -> Gone:
    gained = length - np.maximum(sinks, 0.0) / math.tan(math.radians(RAMP_DEG))
    most = np.maximum.accumulate(np.append(0.0, np.cumsum(gained)))
    return Gone(most[:-1], most[1:])


def _lowered_mm(key: Ints, height: Floats, cut: Ints, gone: Gone, lag: float, fresh: Floats) -> Floats:
    """Give how much lower at most each row stands than a row of the same key did before, (n,) mm.

    It stands at ``height`` (n, c) in its c corners; where it was not there before, or only within the
    ``lag``, its cut takes what ``fresh`` (k,) says.
    """
    order = np.lexsort((cut, key))
    key, height, cut = key[order], height[order], cut[order]
    least = fresh[cut]
    for times in range(1, LAST_TIMES + 1):
        now, then = np.arange(times, len(key)), np.arange(len(key) - times)
        known = (key[now] == key[then]) & (gone.after[cut[then]] <= gone.before[cut[now]] - lag)
        now, then = now[known], then[known]
        least[now] = np.minimum(least[now], (height[then] - height[now]).max(axis=1))
    lowered = np.empty(len(least))
    lowered[order] = least
    return lowered


def _corner_numbers(cuts: Cuts) -> Ints:
    """Number the places (k, 2) at which cuts start and end, in plan."""
    places = np.concatenate([cuts.start[:, :2], cuts.end[:, :2]])
    _, number = np.unique(places[:, 0] + 1j * places[:, 1], return_inverse=True)
    return number.reshape(2, -1).T


def _stretches(cuts: Cuts, rows: Ints) -> Stretches:
    """Part cuts at every corner that lies on them."""
    corner = _corner_numbers(cuts)
    row, middle, share = _corners_between(cuts, rows, corner)
    row = np.concatenate([rows, rows, row])
    number = np.concatenate([corner[rows, 0], corner[rows, 1], middle])
    share = np.concatenate([np.zeros(len(rows)), np.ones(len(rows)), share])
    order = np.lexsort((share, row))
    row, number, share = row[order], number[order], share[order]
    height = cuts.start[row, 2] + (cuts.end - cuts.start)[row, 2] * share
    same = row[1:] == row[:-1]
    one, other = number[:-1][same], number[1:][same]
    heights = np.column_stack([height[:-1][same], height[1:][same]])
    turned = one > other
    heights[turned] = heights[turned, ::-1]
    return Stretches(row[1:][same], np.minimum(one, other), np.maximum(one, other), heights)


def _corners_between(cuts: Cuts, rows: Ints, corner: Ints) -> tuple[Ints, Ints, Floats]:
    """Give which corners lie on which cuts, within ON_A_WAY_MM, and after which share of the way."""
    ways = np.sort(corner[rows], axis=1)
    _, first, whose = np.unique(
        ways[:, 0] * (int(corner.max()) + 1) + ways[:, 1], return_index=True, return_inverse=True
    )
    unique = rows[first]  # one cut of all that go the same way
    start, end = cuts.start[unique, :2], cuts.end[unique, :2]
    flat = corner.T.ravel()
    numbers, where = np.unique(flat, return_index=True)
    places = np.concatenate([cuts.start[:, :2], cuts.end[:, :2]])[where]
    tree = shapely.STRtree(np.asarray(shapely.linestrings(np.stack([start, end], axis=1))))
    place, way = tree.query(shapely.points(places), predicate="dwithin", distance=ON_A_WAY_MM)
    along = end[way] - start[way]
    share = ((places[place] - start[way]) * along).sum(axis=1) / (along**2).sum(axis=1)
    far = np.minimum(share, 1 - share) * np.hypot(*along.T) > ON_A_WAY_MM
    place, way, share = place[far], way[far], share[far]
    # and all cuts that go the same way, those that go it back counted from their own start
    order = np.argsort(whose, kind="stable")
    begin, count = np.searchsorted(whose[order], np.arange(len(unique))), np.bincount(whose, minlength=len(unique))
    each = np.repeat(np.arange(len(way)), count[way])
    nth = np.arange(len(each)) - np.repeat(np.cumsum(count[way]) - count[way], count[way])
    row = rows[order[begin[way[each]] + nth]]
    back = corner[row, 0] != corner[unique[way[each]], 0]
    return row, numbers[place[each]], np.where(back, 1 - share[each], share[each])
