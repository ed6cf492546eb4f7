"""Features as they lie on the machine: how far a cutter's sweep leaves them, and how deep it may go.

A feature is convex in plan, and so is the set of places where a cutter's centre may stand in it: a
straight piece stays inside exactly when both of its ends do.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.features import Feature, Hole, Slot
from pearlkerf.proof.tolerances import BEYOND_WOOD_MM, CUT_MM, FLOOR_STEP_MM, ROUNDING_MM, SLOT_CUTTER_MATCH_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Placement, Setup

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HoleShape:
    """A hole on the machine."""

    feature: Hole
    centre: Floats  # (2,) mm

    @property
    def anchor(self) -> Floats:
        """A point of the feature, for telling where it is."""
        return self.centre

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the hole, mm; negative inside. Exact."""
        far = np.maximum(np.linalg.norm(start - self.centre, axis=1), np.linalg.norm(end - self.centre, axis=1))
        outside: Floats = far + radius - self.feature.diameter_mm / 2
        return outside

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:  # noqa: ARG002
        """Give how far each piece (k, 3), lips and not point, goes below the deepest floor, mm. Exact."""
        return self.feature.deepest_mm - np.minimum(start[:, 2], end[:, 2])

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points about the centre."""
        return points - self.centre


@dataclass(frozen=True, slots=True, eq=False)
class SlotShape:
    """A slot on the machine; locally u runs across it and v along its centre line from ``start``.

    ``before`` and ``after`` say how far its strip runs on beyond either end: as far as no other wood
    stands in the way of a through slot, not at all for a stopped one.
    """

    feature: Slot
    placement: Placement
    wood: Wood
    origin: Floats  # (2,) mm
    along: Floats  # (2,) unit vector
    length: float
    before: float
    after: float

    @property
    def anchor(self) -> Floats:
        """A point of the feature, for telling where it is."""
        return self.origin + self.along * self.length / 2

    def width_mm(self, radius: Floats) -> Floats:
        """Give the width demanded of cutters of ``radius``: their own where it matches the slot's."""
        own = 2 * radius
        matches = np.abs(own - self.feature.width_mm) <= SLOT_CUTTER_MATCH_MM + ROUNDING_MM
        return np.where(matches, own, self.feature.width_mm)

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points as u, v."""
        x, y = points[:, 0] - self.origin[0], points[:, 1] - self.origin[1]
        dx, dy = self.along
        return np.column_stack([x * dy - y * dx, x * dx + y * dy])

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the slot, mm; negative inside. Exact."""
        half = self.width_mm(radius) / 2
        first, last = self._off_centre(self.local(start), half), self._off_centre(self.local(end), half)
        return np.maximum(first, last) + radius - half

    def _off_centre(self, local: Floats, half: Floats) -> Floats:
        across, along = np.abs(local[:, 0]), local[:, 1]
        low, high = (-self.before, self.length + self.after) if self.feature.through else (half, self.length - half)
        beyond = np.maximum(np.maximum(low - along, along - high), 0.0)
        return np.hypot(across, beyond)

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


Shape = HoleShape | SlotShape


def lay_features(setup: Setup, wood: Wood) -> tuple[Shape, ...]:
    """Lay every feature of a setup on the machine."""
    return tuple(_lay(feature, setup.placement, wood) for feature in setup.features)


def _lay(feature: Feature, placement: Placement, wood: Wood) -> Shape:
    if isinstance(feature, Hole):
        return HoleShape(feature, placement.to_machine(feature.centre))
    start, end = placement.to_machine([feature.start, feature.end])
    length = float(np.linalg.norm(end - start))
    along = (end - start) / length
    before = _free_beyond(start, -along, feature, wood)
    after = _free_beyond(end, along, feature, wood)
    return SlotShape(feature, placement, wood, start, along, length, before, after)


def _free_beyond(tip: Floats, outward: Floats, slot: Slot, wood: Wood) -> float:
    """Give how far a through slot's strip may run on beyond its end: far, unless other wood stands there.

    Within half a width the strip may still cover its own slanted end.
    """
    if not slot.through:
        return 0.0
    half = slot.width_mm / 2
    line = shapely.LineString([tip + outward * (2 * half + ROUNDING_MM), tip + outward * BEYOND_WOOD_MM])
    return BEYOND_WOOD_MM if shapely.distance(line, wood.plan) >= half else half
