"""Many of each: how rows are repeated and numbered, how points are spread along straight ways."""

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
# rows that are worked on at once, where every row counts by itself: what is needed on the way stays small
PAGE: Final = 100_000


def pages(count: int) -> Iterator[slice]:
    """Give the slices that divide so many rows into pages."""
    return (slice(first, first + PAGE) for first in range(0, count, PAGE))


def paged(give: Callable[..., Floats], *rows: Floats) -> Floats:
    """Give what a function that takes each row by itself gives of some rows, a page at a time."""
    if len(rows[0]) <= PAGE:
        return give(*rows)
    return np.concatenate([give(*(each[page] for each in rows)) for page in pages(len(rows[0]))])


def counted(count: Ints) -> tuple[Ints, Ints]:
    """Repeat each row so often, and number it each time: give the (m,) row and the (m,) number from 0.

    >>> counted(np.array([2, 0, 3]))
    (array([0, 0, 2, 2, 2]), array([0, 1, 0, 1, 2]))
    """
    row = np.repeat(np.arange(len(count)), count)
    return row, np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)


def spread_points(start: Floats, end: Floats, spacing: Floats | float) -> tuple[Ints, Floats]:
    """Give points along straight cuts, ends included, in plan no further apart than ``spacing``, (k,) or one, mm.

    Returns the (m,) index of the cut that each point is on, and its (m,) share of the way.
    """
    length = np.linalg.norm(end[:, :2] - start[:, :2], axis=1)
    steps = np.maximum(1, np.ceil(length / spacing)).astype(np.int64)
    index, number = counted(steps + 1)
    return index, number / steps[index]
