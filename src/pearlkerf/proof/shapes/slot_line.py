"""A slot as it lies on the machine: its centre line, and what runs along it and across."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.proof.telling import side_of
from pearlkerf.proof.tolerances import BEYOND_WOOD_MM, ROUNDING_MM, SLOT_CUTTER_MATCH_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Placement, Setup

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SlotLine:
    """A slot on the machine; locally u runs across it and v along its centre line from ``origin``.

    ``before`` and ``after`` say how far its strip runs on beyond either end: as far as no other wood
    stands in the way of a through slot, not at all for a stopped one.
    """

    feature: Slot
    placement: Placement
    wood: Wood
    low_side: str  # of the board: what lies toward the operator
    origin: Floats  # (2,) mm
    along: Floats  # (2,) unit vector
    length: float
    before: float
    after: float

    @classmethod
    def of(cls, slot: Slot, setup: Setup, wood: Wood) -> Self:
        """Lay a slot on the machine."""
        start, end = setup.placement.to_machine([slot.start, slot.end])
        length = float(np.linalg.norm(end - start))
        along = (end - start) / length
        before = _free_beyond(start, -along, slot, wood)
        after = _free_beyond(end, along, slot, wood)
        return cls(slot, setup.placement, wood, setup.low_side, start, along, length, before, after)

    @property
    def across(self) -> Floats:
        """The unit vector (2,) square to the centre line, in which u runs."""
        return np.array([self.along[1], -self.along[0]])

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points as u, v."""
        x, y = points[:, 0] - self.origin[0], points[:, 1] - self.origin[1]
        dx, dy = self.along
        return np.column_stack([x * dy - y * dx, x * dx + y * dy])

    def on_machine(self, local: Floats) -> Floats:
        """Undo ``local``."""
        points: Floats = self.origin + local[:, :1] * self.across + local[:, 1:] * self.along
        return points

    def side(self, y_mm: float) -> str:
        """Name the side of the board that a place lies on, as ", bass side"; nothing near the slot's middle."""
        middle = self.origin + self.along * self.length / 2
        return side_of(self.low_side, y_mm - float(middle[1]))

    def width_mm(self, radius: Floats) -> Floats:
        """Give the width demanded of cutters of ``radius``: their own where it matches the slot's."""
        own = 2 * radius
        matches = np.abs(own - self.feature.width_mm) <= SLOT_CUTTER_MATCH_MM + ROUNDING_MM
        return np.where(matches, own, self.feature.width_mm)

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the slot, mm; negative inside.

        Exact: a slot is convex, so a straight piece stays in it when both of its ends do.
        """
        half = self.width_mm(radius) / 2
        first, last = self._off_centre(self.local(start), half), self._off_centre(self.local(end), half)
        return np.maximum(first, last) + radius - half

    def _off_centre(self, local: Floats, half: Floats) -> Floats:
        across, along = np.abs(local[:, 0]), local[:, 1]
        low, high = (-self.before, self.length + self.after) if self.feature.through else (half, self.length - half)
        beyond = np.maximum(np.maximum(low - along, along - high), 0.0)
        return np.hypot(across, beyond)


def _free_beyond(tip: Floats, outward: Floats, slot: Slot, wood: Wood) -> float:
    """Give how far a through slot's strip may run on beyond its end: far, unless other wood stands there.

    Within half a width the strip may still cover its own slanted end.
    """
    if not slot.through:
        return 0.0
    half = slot.width_mm / 2
    line = shapely.LineString([tip + outward * (2 * half + ROUNDING_MM), tip + outward * BEYOND_WOOD_MM])
    return BEYOND_WOOD_MM if shapely.distance(line, wood.plan) >= half else half
