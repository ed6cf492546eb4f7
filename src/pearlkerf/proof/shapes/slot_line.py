"""A slot as it lies on the machine: its centre line, and what runs along it and across."""

from dataclasses import dataclass, replace
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.proof.telling import side_of
from pearlkerf.proof.tolerances import BEYOND_WOOD_MM, CUT_MM, ROUNDING_MM, SLOT_CUTTER_MATCH_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Placement, Setup

Floats = NDArray[np.float64]

# a slot leaves the wood so aslant, at most, that it meets as many half widths of it beyond its end: at 80 degrees
GRAZING = 6.0


@dataclass(frozen=True, slots=True, eq=False)
class SlotLine:
    """A slot on the machine; locally u runs across it and v along its centre line from ``origin``.

    ``before`` and ``after`` say how far its strip runs on beyond either end: as far as no other wood
    stands in the way of a through slot, not at all for a stopped one.
    """

    feature: Slot
    placement: Placement
    wood: Wood
    sides: tuple[str, str]  # of the board: what lies toward the operator, and what away from him
    origin: Floats  # (2,) mm
    along: Floats  # (2,) unit vector
    length: float
    before: float
    after: float

    @classmethod
    def of(cls, slot: Slot, setup: Setup, wood: Wood) -> Self:
        """Lay a slot on the machine; its wood is what stands above its floor."""
        start, end = setup.placement.to_machine([slot.start, slot.end])
        length = float(np.linalg.norm(end - start))
        along = (end - start) / length
        own = wood.standing_above(slot.floor) if slot.through else wood
        line = cls(slot, setup.placement, own, (setup.low_side, setup.high_side), start, along, length, 0.0, 0.0)
        return replace(line, before=line._free(-1), after=line._free(1)) if slot.through else line

    @property
    def across(self) -> Floats:
        """The unit vector (2,) square to the centre line, in which u runs."""
        return np.array([self.along[1], -self.along[0]])

    def strip_ends(self, half_mm: float) -> tuple[float, float]:
        """Give between which distances along it a strip of this half width lies over the wood that the slot is in.

        At the very least between its own ends; an edge of the wood that it meets aslant it leaves later on one
        side, by GRAZING half widths at most.
        """
        if not self.feature.through:
            return 0.0, self.length
        first, last = -GRAZING * half_mm, self.length + GRAZING * half_mm
        way, off = self.origin + self.along * np.array([[first], [last]]), self.across * half_mm
        sides = shapely.intersection(shapely.linestrings(np.stack([way - off, way + off])), self.wood.plan)
        if (shapely.get_type_id(sides) == shapely.GeometryType.LINESTRING).all():  # the wood has no bays here
            met, corners = (shapely.get_coordinates(each) - self.origin for each in (sides, self.wood.plan))
            between = corners[np.abs(corners @ self.across) < half_mm] @ self.along
            along = np.concatenate([met @ self.along, between[(between > first) & (between < last)]])
        else:
            along = self.local(shapely.get_coordinates(self._in_strip(half_mm, own=True)))[:, 1]
        low, high = float(along.min(initial=0.0)), float(along.max(initial=self.length))
        return max(low, first), min(high, last)

    def _in_strip(self, half_mm: float, own: bool) -> NDArray[np.object_]:
        """Give the parts of the wood in a strip along the line: those that the slot is in, or the others."""
        far = np.array([-BEYOND_WOOD_MM, self.length + BEYOND_WOOD_MM])
        corners = self.on_machine(np.column_stack([half_mm * np.array([-1, 1, 1, -1]), np.repeat(far, 2)]))
        parts = shapely.get_parts(shapely.intersection(shapely.polygons(corners), self.wood.plan))
        centre = shapely.linestrings([self.origin, self.origin + self.along * self.length])
        is_own = shapely.distance(parts, centre) <= ROUNDING_MM
        return np.asarray(parts[(is_own == own) & (shapely.area(parts) > 0)])

    def _free(self, way: int) -> float:
        """Give how far a through slot's strip may run on beyond its start (-1) or end (1).

        Far, where no wood stands there but what it leaves aslant, of which its own line is clear; else as
        far as it covers that, and at least half its width.
        """
        half = self.feature.width_mm / 2
        tip = self.origin if way < 0 else self.origin + self.along * self.length
        near = shapely.linestrings(tip + self.along * way * np.array([[2 * half + ROUNDING_MM], [BEYOND_WOOD_MM]]))
        if shapely.distance(near, self.wood.plan) >= half:
            return BEYOND_WOOD_MM
        ahead = shapely.linestrings(tip + self.along * way * np.array([[CUT_MM], [BEYOND_WOOD_MM]]))
        low, high = self.strip_ends(half)
        aslant = -low if way < 0 else high - self.length
        if aslant > GRAZING * half or (shapely.distance(self._in_strip(half, own=True), ahead) <= ROUNDING_MM).any():
            return half
        others = [self.local(shapely.get_coordinates(part))[:, 1] for part in self._in_strip(half, own=False)]
        stands = any(((along - self.length / 2) * way > 0).any() for along in others)
        return max(half, aslant) if stands else BEYOND_WOOD_MM

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
        return side_of(self.sides, y_mm - float(middle[1]))

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
