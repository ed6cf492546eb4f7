"""A slot: a straight strip, through the wood or stopped in it, its floor level or following a crown."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.surfaces import Crown
from pearlkerf.proof.counting import spread_points
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.calliper import widths_mm
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.regular import bite_of_loops_mm
from pearlkerf.proof.shapes.sawn_slot import SawnSlot
from pearlkerf.proof.shapes.shape import Grid, points_of
from pearlkerf.proof.shapes.slot_bites import bite_of_passes_mm
from pearlkerf.proof.shapes.slot_cover import left_of_slot
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.tolerances import CUT_MM, FLOOR_STEP_MM, MAP_PITCH, ROUNDING_MM, SIZE_MM, SLOT_PITCH, WALL_STRIP_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# places along a slot at which its width is measured
STATIONS = 25


@dataclass(frozen=True, slots=True, eq=False)
class Bend:
    """How much a crowned floor bends along ways, at most: by ``across`` (k,) squared over ``upright`` cubed, both mm.

    The floor z = sqrt(R**2 - y**2) - R, with R = R0 + k x, bends along the unit vector (dx, dy) by
    (R dy - k y dx)**2 / (R**2 - y**2)**1.5; most where R is least and y greatest.
    """

    across: Floats
    upright: float

    def rise_mm(self, step: Floats) -> Floats:
        """Give how far the floor rises over its chord on steps (k,) mm: step**2 / 8 of its bend."""
        rise: Floats = step**2 / 8 * self.across**2 / self.upright**3
        return rise

    def some(self, rows: Ints) -> "Bend":
        """Give a part of the ways'."""
        return Bend(self.across[rows], self.upright)


class SlotShape(SlotLine):
    """A slot on the machine."""

    __slots__ = ()

    @property
    def may_leave_mm(self) -> float:
        """A tenth of a shaving."""
        return CUT_MM

    @property
    def may_differ_mm(self) -> float:
        """Half a hundredth."""
        return SIZE_MM

    @property
    def places(self) -> tuple[tuple[str, Floats], ...]:
        """Both its ends, by the side of the board on which they lie."""
        ends = self.origin, self.placement.to_machine(self.feature.end)
        return tuple((f"{self.feature.name}, {side}", end) for side, end in zip(self.sides, ends, strict=True))

    @property
    def runs_out(self) -> bool:
        """Where it goes through."""
        return self.feature.through

    @property
    def for_saws(self) -> SawnSlot:
        """The slot as a blade meets it."""
        return SawnSlot(self)

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the flat of a cutter goes below the floor anywhere on each piece (k, 3), mm.

        The floor counts where it is highest under the cutter: nearest to the crown line and where the
        crown's radius is greatest, whatever way the slot runs.  Under a crown it is concave along a
        piece: between points no more than FLOOR_STEP_MM apart it rises over its chord by a bound that
        is added.  Pieces that stay above the floor even by the bound of their ends alone are not
        looked at more closely.
        """
        floor = self.feature.floor
        if floor.crown is None:
            return floor.crown_z_mm - np.minimum(start[:, 2], end[:, 2])
        ends = [self._floor_under(part, radius) - part[:, 2] for part in (start, end)]
        way = (end - start)[:, :2]
        bend = self._bend(floor.crown, way)
        bound: Floats = np.maximum(*ends) + bend.rise_mm(np.linalg.norm(way, axis=1))
        near = np.flatnonzero(bound > 0)
        if len(near):
            bound[near] = self._too_deep_closely(start[near], end[near], radius[near], bend.some(near))
        return bound

    def _too_deep_closely(self, start: Floats, end: Floats, radius: Floats, bend: "Bend") -> Floats:
        piece, share = spread_points(start, end, FLOOR_STEP_MM)
        first = np.searchsorted(piece, np.arange(len(start)))
        points = start[piece] + (end[piece] - start[piece]) * share[:, None]
        deep = self._floor_under(points, radius[piece]) - points[:, 2]
        between = np.linalg.norm(end[:, :2] - start[:, :2], axis=1) / (np.diff(first, append=len(piece)) - 1)
        bulge = bend.rise_mm(between)
        suspect = np.flatnonzero(deep + bulge[piece] > CUT_MM)
        reach = (radius + between)[piece[suspect]]
        beside = self.wood.distance_mm(points[suspect], points[suspect]) >= reach
        deep[suspect[beside]] = -math.inf
        worst: Floats = np.maximum.reduceat(deep, first)
        return worst + bulge

    def _floor_under(self, points: Floats, radius: Floats) -> Floats:
        board = self.placement.to_board(points[:, :2])
        nearest = np.maximum(np.abs(board[:, 1]) - radius, 0.0)
        floor = self.feature.floor
        return np.maximum(floor.z_mm(board[:, 0] - radius, nearest), floor.z_mm(board[:, 0] + radius, nearest))

    def _bend(self, crown: Crown, way: Floats) -> "Bend":
        """Bound how the floor bends along ways (k, 2) on the machine.

        With k the crown's widening dR/dx, R dy - k y dx is at most R + k y dx - R dx**2 / 2; where that
        falls short of R, as across the crown line, R is taken.
        """
        radius = min(crown.nut_radius_mm, crown.end_radius_mm)
        if math.isinf(radius):
            return Bend(np.zeros(len(way)), 1.0)
        half = self.feature.width_mm / 2
        corners = self.on_machine(np.array([[u, v] for u in (-half, half) for v in (0.0, self.length)]))
        far = float(np.abs(self.placement.to_board(corners))[:, 1].max())
        bend = np.full(len(way), radius)
        if crown.nut_radius_mm != crown.end_radius_mm:
            lengthwise = self.placement.to_machine((1.0, 0.0)) - self.placement.to_machine((0.0, 0.0))
            dx = np.abs(way @ lengthwise) / np.maximum(np.hypot(*way.T), ROUNDING_MM)
            widens = abs(crown.end_radius_mm - crown.nut_radius_mm) / crown.length_mm
            bend += np.maximum(widens * far * dx - radius * dx**2 / 2, 0.0)
        return Bend(bend, math.sqrt(max(radius**2 - far**2, 0.0)) or radius)

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what mills leave of the slot; nothing where it is complete."""
        return left_of_slot(self, parts)

    def grid(self, radius: float) -> Grid:
        """Give lines along the slot, with one on its centre line: by the walls a lane cuts what its neighbour does not.

        They lie at most twice MAP_PITCH of ``radius`` apart, from twice WALL_STRIP_MM inside the walls,
        with points SLOT_PITCH of it apart; beyond the slot's ends, too, where it leaves the wood so far aslant.
        """
        half = self.feature.width_mm / 2
        half -= min(2 * WALL_STRIP_MM, half / 2)
        first, last = self.strip_ends(half)
        aslant = max(-first, last - self.length) > MAP_PITCH * radius
        first, last = (first, last) if aslant else (0.0, self.length)
        low, high = np.array([-half, first]), np.array([half, last])
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
