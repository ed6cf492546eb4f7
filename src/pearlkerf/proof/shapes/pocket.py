"""A pocket: one connected part of a plan of any outline, with islands, its floor level or following a crown."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.features import Pocket
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.pocket_bites import bite_of_levels_mm
from pearlkerf.proof.shapes.pocket_cover import uncovered
from pearlkerf.proof.shapes.pocket_floor import at_crown_mm, lowest_at_crown_mm
from pearlkerf.proof.shapes.pocket_walls import Walls
from pearlkerf.proof.shapes.pocket_ways import floor_ways
from pearlkerf.proof.shapes.shape import Grid, points_of
from pearlkerf.proof.telling import in_mm
from pearlkerf.proof.tolerances import CUT_MM, MAP_PITCH, POCKET_WALL_MM, ROUNDING_MM, SIZE_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Placement, Setup

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# what is wanted is the pocket eroded by CUT_MM less this much: an erosion's chords and its straightening
# (a hundredth of it) are less, so that it never gives too little
EROSION_MM = 0.0003
EROSION_QUARTER = 4


@dataclass(frozen=True, slots=True, eq=False)
class PocketShape:
    """A pocket on the machine; locally it lies in the board's own axes."""

    feature: Pocket
    placement: Placement
    wood: Wood
    walls: Walls

    @classmethod
    def of(cls, pocket: Pocket, setup: Setup, wood: Wood) -> Self:
        """Lay a pocket on the machine."""
        region = shapely.transform(pocket.region, setup.placement.to_machine)
        return cls(pocket, setup.placement, wood, Walls.of(region))

    @property
    def may_leave_mm(self) -> float:
        """By the width of an inlay's gap a thousandth counts: what rounding and arcs' chords add, and no more."""
        return POCKET_WALL_MM

    @property
    def may_differ_mm(self) -> float:
        """So much more: both walls may stand inside their places by what its way keeps from them."""
        return 2 * POCKET_WALL_MM + SIZE_MM

    @property
    def places(self) -> tuple[tuple[str, Floats], ...]:
        """The middle of its box."""
        return ((self.feature.name, self.placement.to_machine(self.feature.anchor)),)

    @property
    def runs_out(self) -> bool:
        """Nowhere."""
        return False

    @property
    def for_saws(self) -> None:
        """No blade cuts it."""
        return

    def side(self, y_mm: float) -> str:  # noqa: ARG002
        """No side needs to be named: its place says it."""
        return ""

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points in the board's axes."""
        return self.placement.to_board(points)

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the pocket, mm; negative inside."""
        return self.walls.outside_mm(start, end, radius)

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the flat of a cutter goes below the deepest floor anywhere on each piece (k, 3), mm."""
        return self.feature.deepest_mm - lowest_at_crown_mm(self.feature, self.placement, start, end, radius)

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what cuts leave of the pocket; nothing where it is complete.

        Every point of it farther than CUT_MM from its walls, islands' too, is swept by cutters that stand at or
        below its shallowest floor plus CUT_MM, and, as its floor is one, at or below the lowest that it is cut
        to anywhere plus CUT_MM.  On a floor that follows a crown heights count on the crown line
        (``at_crown_mm``): every cutter stands as deep as it can without digging.
        """
        pocket = self.feature
        lowest = min((float(self._at_crown_mm(part).min()) for part in parts if len(part.motion)), default=math.inf)
        if lowest == math.inf:
            return f"{pocket.name} is not cut"
        if lowest > pocket.shallowest_mm + CUT_MM + ROUNDING_MM:
            return f"{pocket.name} is {in_mm(lowest - pocket.shallowest_mm)} too shallow"
        too_deep = lowest < pocket.deepest_mm - CUT_MM - ROUNDING_MM  # which rule 6 tells
        floor = pocket.shallowest_mm if too_deep else lowest
        gap = self._gap(parts, floor)
        if gap is None:
            return ""
        x, y = gap
        if floor < pocket.shallowest_mm and self._gap(parts, pocket.shallowest_mm) is None:
            level = f"higher than Z {lowest:.3f}, its lowest"
            return f"{pocket.name} has no {self._kind} floor: at X {x:.2f} Y {y:.2f} it is {level}"
        return f"{pocket.name} is not cut to its full size and depth at X {x:.2f} Y {y:.2f}"

    def at_floor(self, cuts: Cuts) -> Flags:
        """Say which cuts stand within CUT_MM of its shallowest floor, or below it, at both ends, (k,)."""
        level = self.feature.shallowest_mm + CUT_MM + ROUNDING_MM
        return np.asarray(self._at_crown_mm(cuts).max(axis=1) <= level)

    @property
    def _kind(self) -> str:
        return "flat" if self.feature.floor.crown is None else "even"

    def _at_crown_mm(self, cuts: Cuts) -> Floats:
        """Give how high the ends of cuts stand on the crown line, lips and not point, (k, 2) mm."""
        ends = (np.column_stack([each[:, :2], each[:, 2] + cuts.point]) for each in (cuts.start, cuts.end))
        return np.stack([at_crown_mm(self.feature, self.placement, each, cuts.radius) for each in ends], axis=1)

    def _gap(self, parts: Sequence[Cuts], floor_mm: float) -> Floats | None:
        """Give a place of the pocket that is not cut down to a floor; None where all of it is."""
        wanted = shapely.buffer(self.walls.area, EROSION_MM - CUT_MM, quad_segs=EROSION_QUARTER)
        level = floor_mm + CUT_MM + ROUNDING_MM
        return uncovered(wanted, tuple(floor_ways(parts, [self._at_crown_mm(part) <= level for part in parts])))

    def grid(self, radius: float) -> Grid:
        """Give a square lattice over the pocket's box, MAP_PITCH of ``radius`` apart, in the middles of its cells."""
        bounds = np.array(self.feature.region.bounds)
        low, high = bounds[:2], bounds[2:]
        count = np.maximum(np.ceil((high - low) / (radius * MAP_PITCH) - ROUNDING_MM).astype(np.int64), 2)
        pitch = (high - low) / count
        local = points_of(low + pitch / 2, pitch, count)
        on_machine = self.placement.to_machine(local)
        within = np.asarray(shapely.contains_xy(self.walls.area, on_machine[:, 0], on_machine[:, 1]))
        return Grid(low + pitch / 2, pitch, count, local, on_machine, within)

    def greatest_bite_mm(self, cuts: Cuts) -> float:
        """Bound the bites of levels, one below the other on the same ways; inf where a cut lies on no way before."""
        return bite_of_levels_mm(cuts, self.wood) if cuts.are_of_one_flat_cutter else math.inf

    def across_mm(self, points: Floats, radii: Floats) -> Floats:
        """Measure the pocket's width, that of its box across the board."""
        if not len(points):
            return np.zeros(0)
        return np.array([(points[:, 1] + radii).max() - (points[:, 1] - radii).min()])
