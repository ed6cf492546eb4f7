"""A channel round a piece: a pocket, whose floor is higher where tabs hold the piece to its blank."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.features import Pocket
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.pocket import PocketShape
from pearlkerf.proof.shapes.pocket_walls import Walls
from pearlkerf.proof.tolerances import POCKET_WALL_MM, ROUNDING_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ChannelShape(PocketShape):
    """A channel on the machine; ``between`` are the sections between its tabs, none where it has none."""

    between: tuple[Walls, ...] = ()
    tabs_z_mm: float = 0.0

    @classmethod
    def of(cls, channel: Pocket, setup: Setup, wood: Wood) -> Self:
        """Lay a channel on the machine."""
        on_machine = setup.placement.to_machine
        sections = getattr(channel, "between", ())
        return cls(
            channel, setup.placement, wood, Walls.of(shapely.transform(channel.region, on_machine)),
            tuple(Walls.of(shapely.transform(section, on_machine)) for section in sections),
            getattr(channel, "tabs_z_mm", 0.0),
        )  # fmt: skip

    def too_deep_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give how far the flat of a cutter goes below the floor, (k,) mm: of a tab, unless it keeps between tabs."""
        below = PocketShape.too_deep_mm(self, start, end, radius)
        if not self.between or not len(start):
            return below
        sections = [walls.outside_mm(start[:, :2], end[:, :2], radius) for walls in self.between]
        aside = np.min(sections, axis=0) > POCKET_WALL_MM + ROUNDING_MM
        into_tabs = self.tabs_z_mm - np.minimum(start[:, 2], end[:, 2])
        return np.where(aside, np.maximum(below, into_tabs), below)

    def left(self, parts: Sequence[Cuts]) -> str:
        """Say what cuts leave of the channel, down to its tabs, and to its floor between them; nothing if complete."""
        if not self.between:
            return PocketShape.left(self, parts)
        whole = [(self.walls, self.tabs_z_mm), *((walls, self.feature.shallowest_mm) for walls in self.between)]
        for walls, floor in whole:
            gap = PocketShape(self.feature, self.placement, self.wood, walls)._gap(parts, floor)
            if gap is not None:
                x, y = gap
                return f"{self.feature.name} is not cut to its full size and depth at X {x:.2f} Y {y:.2f}"
        return ""
