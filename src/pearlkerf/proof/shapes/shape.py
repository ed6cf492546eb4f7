"""What every feature answers, as it lies on the machine; a rule asks, a shape answers.

Nothing here says that a feature is convex, round or straight: how a sweep leaves it, and what is left of
it, is its own affair.  A new kind of feature is a module beside hole.py and slot.py, and a row in lay.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Feature
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.sawn_slot import SawnSlot

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """The points over a feature at which the depth of bites is counted.

    Point (i, j) lies at ``low + pitch * (i, j)``, (2,) mm each, in the feature's own axes; there are
    ``count`` (2,) of them, row by row in ``local`` (n, 2) mm, ``on_machine`` (n, 2) mm, and ``within``
    (n,) where they lie in the feature.
    """

    low: Floats
    pitch: Floats
    count: Ints
    local: Floats
    on_machine: Floats
    within: NDArray[np.bool_]


class Shape(Protocol):
    """A feature on the machine.  Arrays of (k,) figures are for k straight pieces of motion, lengths are mm."""

    @property
    def feature(self) -> Feature:
        """What is demanded."""

    @property
    def may_leave_mm(self) -> float:
        """By how much a cut may leave it."""

    @property
    def may_differ_mm(self) -> float:
        """By how much its width, measured as with a calliper, may differ from what is demanded."""

    @property
    def places(self) -> tuple[tuple[str, Floats], ...]:
        """What a pointing run shows of it: places (2,) mm, each with its name."""

    @property
    def runs_out(self) -> bool:
        """Whether its cuts run on beyond the wood, through the air."""

    def side(self, y_mm: float) -> str:
        """Name the side of the board toward which a place of it lies, as ", bass side"; nothing where none needs it."""

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points in its own axes."""

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves it anywhere, (k,) mm; negative inside.

        Never too little, whatever its form: the ends of a piece may lie inside and its middle not.
        """

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the flat of a cutter goes below its floor anywhere on each piece (k, 3), (k,) mm.

        Never too little; the flat stands at the lips of the cutter, and ``radius`` is the cutter's.
        """

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what cuts that stay in it, of one program after another, leave of it; nothing where it is complete.

        Its full extent and depth are wanted, less CUT_MM, and a flat floor where there is to be one.
        """

    def grid(self, radius: float) -> Grid:
        """Give the points at which the bites of cutters no smaller than ``radius`` are counted."""

    def greatest_bite_mm(self, cuts: Cuts) -> float:
        """Give a depth that no bite of cuts that stay in it exceeds; inf where only the map (heights.py) can tell."""

    @property
    def for_saws(self) -> SawnSlot | None:
        """What the rules for saws are asked of; None where no blade can cut such a feature."""

    def across_mm(self, points: Floats, radii: Floats) -> Floats:
        """Measure what discs about (m, 2) local points open, as with a calliper, at several places: (n,) mm."""


def points_of(low: Floats, pitch: Floats, count: Ints) -> Floats:
    """Give the points (n, 2) of a lattice in its own axes, row by row."""
    first, second = (low[axis] + pitch[axis] * np.arange(count[axis]) for axis in (0, 1))
    return np.column_stack([np.repeat(first, count[1]), np.tile(second, count[0])])
