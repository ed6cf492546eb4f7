"""Curves as chords, no farther from them than is asked: the one place where an outline loses its exactness."""

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pearlkerf.outlines.segments import Arc, Cubic, Segment

Floats = NDArray[np.float64]
# no arc is chorded more finely than this
LEAST_STEP_RAD = 1e-4


def steps(piece: Segment, chord: float) -> int:
    """Give into how many chords a piece is to be cut, so that none is farther than ``chord`` from it.

    A cubic leaves its chord over a step h of its parameter by at most h**2 / 8 max abs(B''), and B'' is
    at most 6 times the greater second difference of its points.  Over a step h of its angle a chord lies
    within r (1 - cos(h / 2)) of an ellipse whose half axes are at most r.
    """
    if isinstance(piece, Cubic):
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = piece.defined_by
        bend = 6 * max(math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2), math.hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3))
        return max(1, math.ceil(math.sqrt(bend / (8 * chord))))
    if isinstance(piece, Arc):
        longest = math.hypot(*piece.u, *piece.v)
        step = 2 * math.acos(max(1 - chord / longest, -1.0)) if longest > 0 else math.inf
        return max(1, math.ceil(abs(piece.last - piece.first) / max(min(step, math.pi / 2), LEAST_STEP_RAD)))
    return 1


def count(loops: Iterable[Sequence[Segment]], chord: float) -> int:
    """Give how many points chords need in all."""
    return sum(steps(piece, chord) for loop in loops for piece in loop)


def flat_loops(loops: Iterable[Sequence[Segment]], chord: float) -> Iterator[Floats]:
    """Give the points of each loop, (n, 2) float, its first once, its chords no farther than ``chord`` from it."""
    for loop in loops:
        of_each = np.array([steps(piece, chord) for piece in loop])
        last = np.cumsum(of_each) - 1
        points = np.empty((int(of_each.sum()), 2))
        _cubics(points, loop, of_each, last)
        for number, piece in enumerate(loop):
            if isinstance(piece, Arc):
                points[last[number] + 1 - of_each[number] : last[number] + 1] = _arc(piece, int(of_each[number]))
        points[last] = [piece.end for piece in loop]
        yield points


def _cubics(points: Floats, loop: Sequence[Segment], of_each: NDArray[np.int64], last: NDArray[np.int64]) -> None:
    """Put the points of a loop's cubics in their places."""
    where = np.array([number for number, piece in enumerate(loop) if isinstance(piece, Cubic)], dtype=np.int64)
    if not len(where):
        return
    p = np.array([piece.defined_by for piece in loop if isinstance(piece, Cubic)])
    cubic = np.repeat(np.arange(len(where)), of_each[where])
    within = np.arange(len(cubic)) - np.repeat(np.cumsum(of_each[where]) - of_each[where], of_each[where])
    t = ((within + 1) / of_each[where][cubic])[:, None]
    q = p[cubic]
    along = (1 - t) ** 3 * q[:, 0] + 3 * (1 - t) ** 2 * t * q[:, 1] + 3 * (1 - t) * t**2 * q[:, 2] + t**3 * q[:, 3]
    points[(last[where] + 1 - of_each[where])[cubic] + within] = along


def _arc(piece: Arc, number: int) -> Floats:
    angles = piece.first + (piece.last - piece.first) * np.arange(1, number + 1) / number
    along: Floats = np.array(piece.centre) + np.outer(np.cos(angles), piece.u) + np.outer(np.sin(angles), piece.v)
    return along
