"""A recording pen: where the tip is, and the moves that it has made."""

import math
from dataclasses import dataclass, field

from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Machine
from pearlkerf.operations.tolerances import APPROACH_MM
from pearlkerf.toolpath.feeds import feed_for, straight_feed
from pearlkerf.toolpath.moves import Arc, Drill, Feed, Move, TraverseHeight, TraversePlane
from pearlkerf.toolpath.strokes import Stroke, length_mm
from pearlkerf.toolpath.tolerances import ABOVE_MM, ARCS_PER_TURN, WHOLE_ROUNDING


@dataclass(slots=True)
class Pen:
    """Records the moves of one cut; it begins and ends at clearance."""

    figures: CuttingFigures
    machine: Machine
    moves: list[Move] = field(default_factory=list)
    tip: tuple[float, float, float] = (math.nan, math.nan, math.nan)

    def approach(self, x_mm: float, y_mm: float, side: tuple[float, float] = (-1.0, -1.0)) -> None:
        """Traverse to a point at clearance, arriving from ``side`` of it: else from lower X and Y."""
        self.moves.append(TraversePlane(x_mm + side[0] * APPROACH_MM, y_mm + side[1] * APPROACH_MM))
        self.moves.append(TraversePlane(x_mm, y_mm))
        self.tip = (x_mm, y_mm, self.machine.motion.clearance_mm)

    def descend(self, z_mm: float) -> None:
        """Rapid down, in the air, to a height above the wood."""
        self.moves.append(TraverseHeight(z_mm))
        self.tip = (self.tip[0], self.tip[1], z_mm)

    def feed(self, x_mm: float, y_mm: float, z_mm: float) -> None:
        """Cut straight to a point; nothing where the tip is there already."""
        end = (x_mm, y_mm, z_mm)
        if end == self.tip:
            return
        self.moves.append(Feed(*end, straight_feed(self.tip, end, self.figures, self.machine)))
        self.tip = end

    def turn(self, centre: tuple[float, float], sweep_rad: float, drop_mm: float = 0.0) -> None:
        """Cut counter-clockwise about a centre by ``sweep_rad`` while going down by ``drop_mm``."""
        pieces = max(1, math.ceil(sweep_rad / (2 * math.pi / ARCS_PER_TURN) - WHOLE_ROUNDING))
        radius = math.hypot(self.tip[0] - centre[0], self.tip[1] - centre[1])
        first = math.atan2(self.tip[1] - centre[1], self.tip[0] - centre[0])
        top = self.tip[2]
        length = math.hypot(radius * sweep_rad, drop_mm)
        around = radius * sweep_rad  # at some angle each axis bears the whole of it
        feed = feed_for((around, around, -drop_mm), length, self.figures, self.machine)
        for piece in range(1, pieces + 1):
            angle = first + sweep_rad * piece / pieces
            end = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
            self.tip = (*end, top - drop_mm * piece / pieces)
            self.moves.append(Arc(*self.tip, *centre, feed))

    def swing(self, arc: Stroke, z_mm: float) -> None:
        """Cut along an arc of at most a third of a turn, level or going down to a height."""
        assert arc.centre is not None
        around, drop = length_mm(self.tip[:2], arc), z_mm - self.tip[2]
        feed = feed_for((around, around, drop), math.hypot(around, drop), self.figures, self.machine)
        self.tip = (*arc.end, z_mm)
        self.moves.append(Arc(*self.tip, *arc.centre, feed, arc.clockwise))

    def drill(self, hole: Drill) -> None:
        """Record a drilled hole; the tip ends at ``above_mm``."""
        self.moves.append(hole)
        self.tip = (hole.x_mm, hole.y_mm, hole.above_mm)

    def leave(self, top_mm: float) -> None:
        """Feed up out of the wood, then rapid to clearance."""
        above = top_mm + ABOVE_MM
        if self.tip[2] < above:
            self.feed(self.tip[0], self.tip[1], above)
        self.moves.append(TraverseHeight(self.machine.motion.clearance_mm))
        self.tip = (self.tip[0], self.tip[1], self.machine.motion.clearance_mm)
