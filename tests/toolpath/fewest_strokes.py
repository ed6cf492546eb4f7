"""The fewest strokes through points, by trying all: what the makers' own are held against."""

import math
from collections.abc import Callable

import numpy as np


def fewest(points: list[tuple[float, float]], fits: Callable[[int, int], bool], given_up: float = math.inf) -> int:
    """Give the fewest from the first point to the last; none longer is tried after so many that do not fit."""
    best = np.full(len(points), len(points))
    best[0] = 0
    for start in range(len(points) - 1):
        failed, end = 0, start + 1
        while end < len(points) and failed < given_up:
            feasible = end == start + 1 or fits(start, end)
            failed = 0 if feasible else failed + 1
            if feasible:
                best[end] = min(best[end], best[start] + 1)
            end += 1
    return int(best[-1])
