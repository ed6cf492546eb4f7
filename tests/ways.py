"""How long a way through the air is, for the tests of the order of cuts and their benchmark."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def way_mm(order: Sequence[int], between: Floats, goal: Floats) -> float:
    """Give the length of a way through all places."""
    return float(sum(between[a, b] for a, b in pairwise(order)) + (goal[order[-1]] if len(order) else 0.0))
