"""Pockets of any outline: level by level, each part of a level gone through without a rise.

Levels lie an equal bite apart, each all of it as far above the floor; under a floor that follows the face, which
falls from the crown line, the tip follows that, from where its rim on that side would touch it.

            ___----------___  raw top
    level 1 . . . . . . . .
    level 2 . . . . . . . .   a level floor: level
    floor   _______________
"""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from pearlkerf.layout.features import EDGE_STEP_MM, Pocket
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.courses import Course, course
from pearlkerf.toolpath.nests import nested
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.strokes import Drawing, Point, Stroke, along, chords, length_mm, lines_and_arcs
from pearlkerf.toolpath.tolerances import (
    ABOVE_MM,
    CLEARING_WITHIN_MM,
    FLOOR_CHORD_MM,
    HELIX_START_MM,
    LONGER_ARC_MM,
    LONGER_CHORD_MM,
    STEEPEST_DEG,
    WHOLE_ROUNDING,
)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Levels:
    """The levels of a pocket, as heights above its floor, mm, from the first down to 0; and how high its floor lies.

    ``top_mm`` is the highest raw top over it, ``whole_mm`` the height of that above the floor where it is greatest.
    """

    pocket: Pocket
    radius_mm: float
    top_mm: float
    whole_mm: float
    heights_mm: tuple[float, ...]

    @classmethod
    def of(cls, pocket: Pocket, stock: Stock, radius_mm: float, figures: CuttingFigures) -> "Levels":
        """Give the fewest equal levels of which none is deeper than the bite."""
        places = shapely.get_coordinates(shapely.segmentize(pocket.region, EDGE_STEP_MM))
        low_y, high_y = pocket.region.bounds[1], pocket.region.bounds[3]
        if low_y < 0 < high_y:
            places = np.vstack([places, (pocket.anchor[0], 0.0)])
        x, y = places.T
        top = stock.top_mm(x, y)
        level = pocket.floor.crown is None
        over = (
            np.max(top) - pocket.floor_at_crown_mm
            if level
            else np.max(_highest(stock.top_mm, x, y, radius_mm) - _highest(pocket.floor.z_mm, x, y, radius_mm))
        )
        count = max(1, math.ceil(float(over) / figures.bite_mm - WHOLE_ROUNDING))
        heights = tuple(float(over) * (1 - number / count) for number in range(1, count + 1))
        return cls(pocket, radius_mm, float(np.max(top)), float(over), heights)

    @property
    def straight_mm(self) -> float:
        """Give how long a straight move may be, so that it stays near the floor: as long as it likes on a level one.

        Of a chord c of a circle of radius R the sagitta is c^2 / (8 R).
        """
        crown = self.pocket.floor.crown
        if crown is None:
            return math.inf
        return math.sqrt(8 * min(crown.nut_radius_mm, crown.end_radius_mm) * FLOOR_CHORD_MM)

    def z_mm(self, places: ArrayLike, above_mm: ArrayLike) -> Floats:
        """Give how high the tip stands at (..., 2) places so much above the floor: its rim must not dig uphill."""
        x, y = np.moveaxis(np.asarray(places), -1, 0)
        return _highest(self.pocket.floor.z_mm, x, y, self.radius_mm) + above_mm


def clear(pocket: Pocket, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Clear a pocket, all of it, with one cutter."""
    levels = Levels.of(pocket, stock, cutter.radius_mm, pen.figures)
    for nest in nested(pocket.region, cutter.radius_mm):
        cut_course(course(nest, cutter.radius_mm, drawing_of(levels, pen)), levels, pen)


def drawing_of(levels: Levels, pen: Pen) -> Drawing:
    """Give how ways are drawn: by lines and arcs where the machine has them and the floor is level, else by chords."""
    if pen.machine.dialect.arcs and math.isinf(levels.straight_mm):
        return Drawing(lines_and_arcs, LONGER_ARC_MM)
    return Drawing(chords, LONGER_CHORD_MM)


def cut_course(way: Course, levels: Levels, pen: Pen) -> None:
    """Cut a part of a pocket, level by level: down along its loop, along its strokes, and back."""
    above = levels.whole_mm + HELIX_START_MM
    for height in levels.heights_mm:
        start, down = way.down.last((above - height) / math.tan(math.radians(STEEPEST_DEG)))
        if math.isnan(pen.tip[0]) or pen.tip[2] > levels.top_mm + ABOVE_MM:
            pen.approach(*start, levels.pocket.approach)
            pen.descend(levels.top_mm + ABOVE_MM)
            pen.feed(*start, float(levels.z_mm(start, above)))
        run((Stroke(corner) for corner in way.room.way(pen.tip[:2], start)), levels, (above, above), pen)
        run(down, levels, (above, height), pen)
        run(way.strokes, levels, (height, height), pen)
        above = height
    pen.leave(levels.top_mm)


def run(strokes: Iterable[Stroke], levels: Levels, heights_mm: tuple[float, float], pen: Pen) -> None:
    """Cut along strokes, evenly from one height above the floor to another."""
    pieces = [piece for piece in _pieces(strokes, pen.tip[:2], levels.straight_mm) if piece[1] > 0]
    if not pieces:
        return
    gone = np.cumsum([length for _, length in pieces])
    above = heights_mm[0] + (heights_mm[1] - heights_mm[0]) * gone / gone[-1]
    heights = levels.z_mm([stroke.end for stroke, _ in pieces], above)
    for (stroke, _), z in zip(pieces, heights.tolist(), strict=True):
        end = (*stroke.end, z)
        if stroke.centre is None:
            pen.feed(*end)
        else:
            pen.swing(end, stroke.centre, clockwise=stroke.clockwise)


def _pieces(strokes: Iterable[Stroke], start: Point, longest_mm: float) -> Iterator[tuple[Stroke, float]]:
    """Give strokes with their lengths, cut into straight ones no longer than they may be, where that is bounded."""
    for stroke in strokes:
        length = length_mm(start, stroke)
        if math.isinf(longest_mm):
            yield stroke, length
        else:
            count = math.ceil(length / min(longest_mm, _chord_mm(start, stroke)) - WHOLE_ROUNDING)
            for piece in range(1, count + 1):
                yield Stroke(along(start, stroke, piece / count)), length / count
        start = stroke.end


def _chord_mm(start: Point, stroke: Stroke) -> float:
    """Give how long the chords of an arc may be; of a straight stroke as long as they like."""
    return math.inf if stroke.centre is None else math.sqrt(8 * CLEARING_WITHIN_MM * math.dist(start, stroke.centre))


def _highest(height: Callable[[ArrayLike, ArrayLike], Floats], x: ArrayLike, y: ArrayLike, radius_mm: float) -> Floats:
    """Give the highest place of a crowned surface under a disc: nearest to the crown line, at the flatter end of it."""
    inward = np.maximum(np.abs(y) - radius_mm, 0.0)
    return np.maximum(*(height(np.asarray(x) + side, inward) for side in (-radius_mm, radius_mm)))
