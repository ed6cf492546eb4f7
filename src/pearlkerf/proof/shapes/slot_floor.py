"""A slot's floor along its centre line, and back: how far along a height is low enough."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.shapes.slot_line import SlotLine

Floats = NDArray[np.float64]
# points of the table lie this close, mm: between them a crown of 100 mm radius leaves the chord by 4e-6 mm
TABLE_STEP_MM = 0.05
# binary fractions of a height, mm
BINARY_MM = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class FloorLine:
    """The floor's height (m,) at (m,) distances along a slot; it falls to either side of its ``peak`` (index)."""

    along: Floats
    height: Floats
    peak: int

    @classmethod
    def of(cls, line: SlotLine) -> "FloorLine":
        """Tabulate the floor of a slot, ends included."""
        count = max(2, int(np.ceil(line.length / TABLE_STEP_MM)) + 1)
        along = np.linspace(0.0, line.length, count)
        board = line.placement.to_board(line.origin + line.along * along[:, None])
        height = line.feature.floor.z_mm(board[:, 0], board[:, 1])
        return cls(along, height, int(np.argmax(height)))

    @property
    def is_concave(self) -> bool:
        """Say whether the floor rises over each of its chords, as a crowned one does, or is straight."""
        return bool((np.diff(self.height, 2) <= BINARY_MM).all())

    def at(self, along: Floats) -> Floats:
        """Give the floor's height at distances along the slot."""
        return np.asarray(np.interp(along, self.along, self.height))

    def highest_near(self, along: Floats, distance: Floats) -> Floats:
        """Give the floor's greatest height within ``distance`` of places along the slot, its ends going on straight.

        Where the floor is concave, so is what is given: over a stretch it lies above its chord.
        """
        near = np.clip(self.along[self.peak], along - distance, along + distance)
        first, last = np.diff(self.height[:2])[0], np.diff(self.height[-2:])[0]
        beyond = np.minimum(near - self.along[0], 0.0) * first + np.maximum(near - self.along[-1], 0.0) * last
        return np.asarray(self.at(near) + beyond / (self.along[1] - self.along[0]))

    def reach(self, height: Floats) -> tuple[Floats, Floats]:
        """Give between which distances the floor lies at or above (k,) heights; an empty stretch where nowhere."""
        left, right = self.height[: self.peak + 1], self.height[self.peak :][::-1]
        low = np.interp(height, left, self.along[: self.peak + 1], left=-np.inf)
        high = np.interp(height, right, self.along[self.peak :][::-1], left=np.inf)
        over = height > self.height[self.peak]
        return np.where(over, np.inf, low), np.where(over, -np.inf, high)
