"""A hole: a disc in plan, its floor flat."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Hole
from pearlkerf.proof.cover import Discs, Gap, disc_gap
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.calliper import diameters_mm
from pearlkerf.proof.shapes.hole_bites import bite_of_helices_mm
from pearlkerf.proof.shapes.paths import LocalPath
from pearlkerf.proof.shapes.shape import Grid, points_of
from pearlkerf.proof.sweep import ROUGHLY_MM, swept_closely, swept_roughly, swept_together
from pearlkerf.proof.telling import in_mm
from pearlkerf.proof.tolerances import CUT_MM, MAP_PITCH, ROUNDING_MM, SIZE_MM, THINNEST_STRIP_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# a cover is first tried with few discs and strips no thinner than this, which is mostly enough
ROUGH_THEN_CLOSE = ((swept_roughly, ROUGHLY_MM), (swept_closely, THINNEST_STRIP_MM))


@dataclass(frozen=True, slots=True, eq=False)
class HoleShape:
    """A hole on the machine; locally x and y run from its centre."""

    feature: Hole
    centre: Floats  # (2,) mm

    @classmethod
    def of(cls, hole: Hole, setup: Setup, wood: Wood) -> Self:  # noqa: ARG003
        """Lay a hole on the machine."""
        return cls(hole, setup.placement.to_machine(hole.centre))

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
        """Its centre."""
        return ((self.feature.name, self.centre),)

    @property
    def for_saws(self) -> None:
        """Nothing: no blade cuts a hole."""

    @property
    def runs_out(self) -> bool:
        """No: it ends where it is demanded."""
        return False

    def side(self, y_mm: float) -> str:  # noqa: ARG002
        """Name no side: a hole is small enough to be found."""
        return ""

    def local(self, points: Floats) -> Floats:
        """Give (k, 2) points about the centre."""
        return points - self.centre

    def outside_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the sweep of each piece (k, 2) leaves the hole, mm; negative inside. Exact, a disc is convex."""
        far = np.maximum(np.linalg.norm(start - self.centre, axis=1), np.linalg.norm(end - self.centre, axis=1))
        outside: Floats = far + radius - self.feature.diameter_mm / 2
        return outside

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:  # noqa: ARG002
        """Give how far each piece (k, 3), lips and not point, goes below the deepest floor, mm. Exact."""
        return self.feature.deepest_mm - np.minimum(start[:, 2], end[:, 2])

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what cuts leave of the hole; nothing where it is complete.

        Every point of its disc, less CUT_MM at the wall, is swept at or below its shallowest floor plus
        CUT_MM, and, as its floor is flat, at or below the lowest that it is cut to anywhere plus CUT_MM.
        """
        hole = self.feature
        lowest = min((float(each.lips.min()) for each in parts if len(each.lips)), default=math.inf)
        if lowest == math.inf:
            return f"{hole.name} is not cut"
        if lowest > hole.shallowest_mm + CUT_MM + ROUNDING_MM:
            return f"{hole.name} is {in_mm(lowest - hole.shallowest_mm)} too shallow"
        too_deep = lowest < hole.deepest_mm - CUT_MM - ROUNDING_MM  # which rule 6 tells
        floor = hole.shallowest_mm if too_deep else lowest
        gap = self._gap(parts, floor)
        if gap is None:
            return ""
        whole = floor < hole.shallowest_mm and self._gap(parts, hole.shallowest_mm) is None
        x, y = self.centre + gap.across * np.array([math.cos(gap.along), math.sin(gap.along)])
        if whole:
            return f"{hole.name} has no flat floor: at X {x:.2f} Y {y:.2f} it is higher than Z {lowest:.3f}, its lowest"
        return f"{hole.name} is not cut to its full size and depth at X {x:.2f} Y {y:.2f}"

    def at_floor(self, cuts: Cuts) -> Flags:
        """Say which cuts stand within CUT_MM of its shallowest floor, or below it, at both ends, (k,)."""
        level = self.feature.shallowest_mm + CUT_MM + ROUNDING_MM
        return np.asarray(np.maximum(cuts.start[:, 2], cuts.end[:, 2]) + cuts.point <= level)

    def _gap(self, parts: Sequence[Cuts], floor_mm: float) -> Gap | None:
        """Give a place of the hole that is not cut down to a floor; None where all of it is."""
        level, gap = floor_mm + CUT_MM + ROUNDING_MM, None
        for sweep, thinnest in ROUGH_THEN_CLOSE:
            swept = swept_together([part.where(part.lips <= level) for part in parts], sweep)
            low = swept.height <= level
            discs = Discs.whole(self.local(swept.centre[low]), swept.flat[low])
            gap = disc_gap(self.feature.diameter_mm / 2 - CUT_MM, discs, thinnest)
            if gap is None:
                return None
        return gap

    def grid(self, radius: float) -> Grid:
        """Give a square lattice over the hole, MAP_PITCH of ``radius`` apart, in the middles of its cells."""
        half = self.feature.diameter_mm / 2
        low, high = np.array([-half, -half]), np.array([half, half])
        count = np.maximum(np.ceil((high - low) / (radius * MAP_PITCH) - ROUNDING_MM).astype(np.int64), 2)
        pitch = (high - low) / count
        local = points_of(low + pitch / 2, pitch, count)
        within = half - np.hypot(local[:, 0], local[:, 1]) >= 0
        return Grid(low + pitch / 2, pitch, count, local, self.centre + local, within)

    def greatest_bite_mm(self, cuts: Cuts) -> float:
        """Bound the bites of one flat cutter's helices; inf where there is something else."""
        if not cuts.are_of_one_flat_cutter:
            return math.inf
        path = LocalPath.of(self.local(cuts.start[:, :2]), self.local(cuts.end[:, :2]), cuts)
        return bite_of_helices_mm(path, float(cuts.radius[0]))

    def across_mm(self, points: Floats, radii: Floats) -> Floats:
        """Measure the hole's diameter in many directions."""
        return diameters_mm(points, radii)
