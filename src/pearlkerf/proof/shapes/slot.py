"""A slot: a straight strip, through the wood or stopped in it, its floor level or following a crown."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.calliper import widths_mm
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.regular import bite_of_loops_mm
from pearlkerf.proof.shapes.sawn_slot import SawnSlot
from pearlkerf.proof.shapes.shape import Grid, points_of
from pearlkerf.proof.shapes.slot_bites import bite_of_passes_mm
from pearlkerf.proof.shapes.slot_cover import left_of_slot
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.telling import far_side
from pearlkerf.proof.tolerances import CUT_MM, FLOOR_STEP_MM, MAP_PITCH, ROUNDING_MM, SLOT_PITCH, WALL_STRIP_MM

Floats = NDArray[np.float64]

# places along a slot at which its width is measured
STATIONS = 25


class SlotShape(SlotLine):
    """A slot on the machine."""

    __slots__ = ()

    @property
    def places(self) -> tuple[tuple[str, Floats], ...]:
        """Both its ends, by the side of the board on which they lie."""
        name, end = self.feature.name, self.placement.to_machine(self.feature.end)
        return (f"{name}, {self.low_side}", self.origin), (f"{name}, {far_side(self.low_side)}", end)

    @property
    def for_saws(self) -> SawnSlot:
        """The slot as a blade meets it."""
        return SawnSlot(self)

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the flat of a cutter goes below the floor anywhere on each piece (k, 3), mm.

        The floor counts where it is highest under the cutter: nearest to the crown line and where the
        crown's radius is greatest.  Under a crown it is concave along a piece: between points no more
        than FLOOR_STEP_MM apart it rises over its chord by at most step**2 / (8 R), which is added
        (with R shortened to its length square to the section, for a floor far down the side).  Pieces
        that stay above the floor even by the bound of their ends alone are not looked at more closely.
        """
        floor = self.feature.floor
        if floor.crown is None:
            return floor.crown_z_mm - np.minimum(start[:, 2], end[:, 2])
        ends = [self._floor_under(part, radius) - part[:, 2] for part in (start, end)]
        bound: Floats = np.maximum(*ends) + self._bulge(np.linalg.norm(end[:, :2] - start[:, :2], axis=1))
        near = np.flatnonzero(bound > 0)
        if len(near):
            bound[near] = self._too_deep_closely(start[near], end[near], radius[near])
        return bound

    def _too_deep_closely(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        length = np.linalg.norm(end[:, :2] - start[:, :2], axis=1)
        steps = np.maximum(1, np.ceil(length / FLOOR_STEP_MM)).astype(np.int64)
        piece = np.repeat(np.arange(len(start)), steps + 1)
        share = (np.arange(len(piece)) - np.repeat(np.cumsum(steps + 1) - steps - 1, steps + 1)) / steps[piece]
        points = start[piece] + (end[piece] - start[piece]) * share[:, None]
        deep = self._floor_under(points, radius[piece]) - points[:, 2]
        between = length / steps
        bulge = self._bulge(between)
        suspect = np.flatnonzero(deep + bulge[piece] > CUT_MM)
        reach = (radius + between)[piece[suspect]]
        beside = self.wood.distance_mm(points[suspect], points[suspect]) >= reach
        deep[suspect[beside]] = -math.inf
        worst: Floats = np.maximum.reduceat(deep, np.cumsum(steps + 1) - steps - 1)
        return worst + bulge

    def _floor_under(self, points: Floats, radius: Floats) -> Floats:
        board = self.placement.to_board(points[:, :2])
        nearest = np.maximum(np.abs(board[:, 1]) - radius, 0.0)
        floor = self.feature.floor
        return np.maximum(floor.z_mm(board[:, 0] - radius, nearest), floor.z_mm(board[:, 0] + radius, nearest))

    def _bulge(self, step: Floats) -> Floats:
        crown = self.feature.floor.crown
        assert crown is not None
        radius = min(crown.nut_radius_mm, crown.end_radius_mm)
        if math.isinf(radius):
            return np.zeros(len(step))
        far = float(
            np.abs(self.placement.to_board(np.stack([self.origin, self.origin + self.along * self.length])))[:, 1].max()
        )
        upright = math.sqrt(max(radius**2 - far**2, 0.0)) or radius
        return step**2 / 8 * radius**2 / upright**3

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what mills leave of the slot; nothing where it is complete."""
        return left_of_slot(self, parts)

    def grid(self, radius: float) -> Grid:
        """Give lines along the slot, with one on its centre line: by the walls a lane cuts what its neighbour does not.

        They lie at most twice MAP_PITCH of ``radius`` apart, from twice WALL_STRIP_MM inside the walls,
        with points SLOT_PITCH of it apart.
        """
        half = self.feature.width_mm / 2
        half -= min(2 * WALL_STRIP_MM, half / 2)
        low, high = np.array([-half, 0.0]), np.array([half, self.length])
        step = radius * np.array([2 * MAP_PITCH, SLOT_PITCH])
        count = np.maximum(np.ceil((high - low) / step - ROUNDING_MM).astype(np.int64), 2)
        count[0] += count[0] % 2
        pitch = (high - low) / count
        low, count = low + np.array([0.0, pitch[1] / 2]), count + np.array([1, 0])
        local = points_of(low, pitch, count)
        return Grid(low, pitch, count, local, self.on_machine(local), np.ones(len(local), dtype=bool))

    def greatest_bite_mm(self, cuts: Cuts) -> float:
        """Bound the bites of one flat cutter's passes to and fro, or of its loops; inf where it does anything else."""
        if not cuts.are_of_one_flat_cutter:
            return math.inf
        path = LocalPath.of(self.local(cuts.start[:, :2]), self.local(cuts.end[:, :2]), cuts)
        worst = bite_of_passes_mm(cuts, path, self)
        return worst if worst < math.inf else bite_of_loops_mm(cuts, path, self.wood)

    def across_mm(self, points: Floats, radii: Floats) -> Floats:
        """Measure the slot's width, square to its centre line, where it is at full width."""
        inset = 0.0 if self.feature.through else self.feature.width_mm / 2
        return widths_mm(np.linspace(inset, self.length - inset, STATIONS), points, radii)
