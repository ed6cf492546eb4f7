"""A slot as a saw's blade meets it: upright across the machine, along Y; what is aslant to that no blade cuts."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pearlkerf.layout.surfaces import Crown
from pearlkerf.proof.blade import ROWS_AT_ONCE, STEEPEST, Blades, Floats, bulge_mm, places_mm, wood_span_mm
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.telling import in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM

# a slot that turns farther from the machine's Y than this (cosine) no blade across it can cut
UPRIGHT = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class SawnSlot:
    """What the rules for saws ask of a slot."""

    line: SlotLine

    def is_too_steep(self, top: Crown | None) -> bool:
        """Say whether floor or raw top are so steep at the wood's edges that the bounds between places do not hold."""
        line = self.line
        far = float(np.abs(line.placement.to_board(np.array(line.wood.plan.exterior.coords)))[:, 1].max())
        crowns = [crown for crown in (line.feature.floor.crown, top) if crown is not None]
        least = min((min(crown.nut_radius_mm, crown.end_radius_mm) for crown in crowns), default=math.inf)
        return far > least * math.sin(math.atan(STEEPEST))

    def left(self, visits: Sequence[Blades]) -> str:
        """Say what saws leave of a slot (rule 7); nothing where it is complete.

        At every place across its wood one piece of the saw's way passes over the whole width, less CUT_MM
        at either wall, down to the floor plus CUT_MM; between places too, as the blade's lower side is
        convex and the floor concave.
        """
        line = self.line
        lefts = [self._uncovered_mm(blades) for blades in visits if len(blades.motion)]
        y, left = lefts[0][0], np.minimum.reduce([each[1] for each in lefts])
        worst = int(np.argmax(left))
        if left[worst] <= CUT_MM + ROUNDING_MM:
            return ""
        middle = float(y[worst] + y[worst + 1]) / 2
        where = f"{line.feature.name}{line.side(middle)}"
        start, end = line.feature.ends
        if math.isinf(left[worst]) and start[0] != end[0]:
            return f"{where} runs aslant, and a saw cuts only what stands square to the machine; use an end mill"
        if math.isinf(left[worst]):
            return f"{where} is not sawn to its full width at Y {middle:.2f}"
        return f"{where} is {in_mm(float(left[worst]))} too shallow at Y {middle:.2f}, as sawn"

    def outside_mm(self, blades: Blades, span: Floats) -> Floats:
        """Give how far (k,) what the blade cuts in plan leaves a slot, mm; negative inside.

        In plan it lies in the box between the piece's x and its ``span``; a slot is convex, so the box
        stays inside when its corners do.
        """
        line, width = self.line, self.line.width_mm(blades.half)
        corners = [
            line.outside_mm(corner, corner, np.zeros(len(corner))) + (line.feature.width_mm - width) / 2
            for x in blades.x_mm()
            for corner in (np.column_stack([x, span[:, 0]]), np.column_stack([x, span[:, 1]]))
        ]
        farthest: Floats = np.maximum.reduce(corners)
        return farthest

    def too_deep_mm(self, blades: Blades, span: Floats) -> Floats:
        """Give how far (k,) each blade goes below a slot's floor anywhere in its ``span``, mm."""
        y = places_mm(span)
        floor = self._floor_mm(*blades.x_mm(), y)[1]
        deep = np.max(floor - blades.lower_side_mm(y, blades.slack), axis=1)
        return np.asarray(deep + bulge_mm(blades, self.line.feature.floor.crown))

    def _uncovered_mm(self, blades: Blades) -> tuple[Floats, Floats]:
        """Give places (m + 1,) along machine Y across the wood of a slot, and how far (m,) it is left too high between.

        Between two neighbouring places the best single piece counts, where it is farther from the lowest
        floor; inf where none passes over the slot's whole width, less CUT_MM at either wall.
        """
        line, half = self.line, float(self.line.width_mm(blades.half).min()) / 2
        origin, along = line.origin, line.along
        x = np.array([origin[0], origin[0] + along[0] * line.length])
        span = wood_span_mm(line.wood, np.array([x.min() - half]), np.array([x.max() + half]))
        if not line.feature.through:
            span = np.sort(np.array([[origin[1], origin[1] + along[1] * line.length]]), axis=1)
        y = places_mm(span)
        if abs(along[1]) < UPRIGHT:
            return y[0], np.full(y.shape[1] - 1, np.inf)
        centre = origin[0] + (y - origin[1]) * along[0] / along[1]
        floor = self._floor_mm(centre.min(axis=1) - half, centre.max(axis=1) + half, y)[0]
        wanted = (half - CUT_MM) / abs(along[1]) - ROUNDING_MM
        left = np.full(y.shape[1] - 1, np.inf)
        for first in range(0, len(blades.motion), ROWS_AT_ONCE):
            some = blades.some(np.arange(first, min(first + ROWS_AT_ONCE, len(blades.motion))))
            low_x, high_x = (edge[:, None] for edge in some.always_x_mm())
            covers = (low_x <= centre - wanted) & (high_x >= centre + wanted)
            high = np.where(covers, some.lower_side_mm(y, -some.slack) - floor, np.inf)
            left = np.minimum(left, np.min(np.maximum(high[:, 1:], high[:, :-1]), axis=0))
        return y[0], left

    def _floor_mm(self, low_x: Floats, high_x: Floats, y: Floats) -> tuple[Floats, Floats]:
        """Give a slot's lowest and highest floor (k, m) at places (k, m) between two x (k,)."""
        line, heights = self.line, []
        for x in (low_x, (low_x + high_x) / 2, high_x):
            board = line.placement.to_board(np.stack(np.broadcast_arrays(x[:, None], y), axis=-1))
            heights.append(line.feature.floor.z_mm(board[..., 0], board[..., 1]))
        return np.minimum.reduce(heights), np.maximum.reduce(heights)
