"""The cuts of a feature as a path in its own axes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cuts import Cuts

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class LocalPath:
    """Straight cuts in the order of execution: ends (k, 3) mm, and whether each ``begins`` (k,) a visit to the wood."""

    start: Floats
    end: Floats
    begins: Flags

    @classmethod
    def of(cls, start: Floats, end: Floats, cuts: Cuts) -> "LocalPath":
        """Put the local places (k, 2) and the heights of cuts together."""
        return cls(np.column_stack([start, cuts.start[:, 2]]), np.column_stack([end, cuts.end[:, 2]]), cuts.fresh)

    def some(self, rows: Ints | Flags) -> "LocalPath":
        """Give a part of the cuts."""
        return LocalPath(self.start[rows], self.end[rows], self.begins[rows])

    def beginning_also(self, rows: Ints | Flags) -> "LocalPath":
        """Give the same cuts, of which these begin a visit, too."""
        begins = self.begins.copy()
        begins[rows] = True
        return LocalPath(self.start, self.end, begins)
