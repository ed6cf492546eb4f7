"""Pockets of any outline: level by level, each part of a level gone through without a rise.

Levels lie an equal bite apart.  Under a floor that follows the face, which falls from the crown line, each lies as
great a share of the way from the top to the floor everywhere; the tip follows from where its rim would touch it.

            ___----------___  raw top
    level 1 . . . . . . . .
    level 2 . . . . . . . .   a level floor: level
    floor   _______________
"""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from pearlkerf.layout.features import EDGE_STEP_MM, Pocket
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.courses import Course, course
from pearlkerf.toolpath.nests import Nest, nested
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.strokes import Drawing, Point, Stroke, along, chords, length_mm, lines_and_arcs
from pearlkerf.toolpath.tolerances import (
    ABOVE_MM,
    CLEARING_SHARE,
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
    """The levels of a pocket, ``count`` of them, each an equal share of the way from the wood's top to the floor.

    ``top_mm`` is the highest raw top over it, ``whole_mm`` how far it is from top to floor where that is farthest.
    """

    pocket: Pocket
    stock: Stock
    radius_mm: float
    top_mm: float
    whole_mm: float
    count: int

    @classmethod
    def of(cls, pocket: Pocket, stock: Stock, radius_mm: float, figures: CuttingFigures) -> "Levels":
        """Give the fewest levels of which none is deeper than the bite."""
        places = shapely.get_coordinates(shapely.segmentize(pocket.region, EDGE_STEP_MM))
        low_y, high_y = pocket.region.bounds[1], pocket.region.bounds[3]
        if low_y < 0 < high_y:
            places = np.vstack([places, (pocket.anchor[0], 0.0)])
        one = cls(pocket, stock, radius_mm, float(np.max(stock.top_mm(*places.T))), math.nan, 1)
        whole = float(np.max(one.z_mm(places, 0.0) - one.z_mm(places, 1.0)))
        return replace(one, whole_mm=whole, count=max(1, math.ceil(whole / figures.bite_mm - WHOLE_ROUNDING)))

    @property
    def above(self) -> float:
        """Give the share at which a cutter begins to go down: a little above the wood."""
        return -HELIX_START_MM / self.whole_mm

    @property
    def straight_mm(self) -> float:
        """Give how long a straight move may be, so that it stays near the floor: as long as it likes on a level one.

        Of a chord c of a circle of radius R the sagitta is c^2 / (8 R).
        """
        crown = self.pocket.floor.crown
        if crown is None:
            return math.inf
        return math.sqrt(8 * min(crown.nut_radius_mm, crown.end_radius_mm) * FLOOR_CHORD_MM)

    def z_mm(self, places: ArrayLike, share: ArrayLike) -> Floats:
        """Give how high the tip stands at (..., 2) places, such a share of the way down: 0 on the wood, 1 on the floor.

        Over a level floor from the highest top on, level; else from the top there.  Its rim must not dig uphill.
        """
        x, y = np.moveaxis(np.asarray(places), -1, 0)
        floor = _highest(self.pocket.floor.z_mm, x, y, self.radius_mm)
        level = self.pocket.floor.crown is None
        top = np.full_like(floor, self.top_mm) if level else _highest(self.stock.top_mm, x, y, self.radius_mm)
        return np.asarray(top + (floor - top) * np.asarray(share))


def clear(pocket: Pocket, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Clear a pocket, all of it, with one cutter."""
    clear_nests(nested(pocket.region, cutter.radius_mm), Levels.of(pocket, stock, cutter.radius_mm, pen.figures), pen)


def clear_nests(nests: Iterable[Nest], levels: Levels, pen: Pen) -> None:
    """Clear some connected areas of a pocket, one after the other."""
    for nest in nests:
        cut_course(course(nest, levels.radius_mm, drawing_of(levels, pen)), levels, pen)


def drawing_of(levels: Levels, pen: Pen) -> Drawing:
    """Give how rings are drawn: with arcs where the controller knows them, and on a level floor."""
    clearing_mm = min(CLEARING_WITHIN_MM, CLEARING_SHARE * levels.radius_mm)
    if pen.machine.dialect.arcs and math.isinf(levels.straight_mm):
        return Drawing(lines_and_arcs, LONGER_ARC_MM, clearing_mm)
    return Drawing(chords, LONGER_CHORD_MM, clearing_mm)


def cut_course(way: Course, levels: Levels, pen: Pen) -> None:
    """Cut a part of a pocket, level by level: down along its loop, along its strokes, and back."""
    shares = [levels.above, *(number / levels.count for number in range(1, levels.count + 1))]
    for above, below in pairwise(shares):
        fall_mm = (below - above) * levels.whole_mm
        start, down = way.down.last(fall_mm / math.tan(math.radians(STEEPEST_DEG)))
        if above == levels.above:
            pen.approach(*start, levels.pocket.approach)
            pen.descend(levels.top_mm + ABOVE_MM)
            pen.feed(*start, float(levels.z_mm(start, above)))
        run(way.room.way(pen.tip[:2], start), levels, (above, above), pen)
        run(down, levels, (above, below), pen)
        run(way.strokes, levels, (below, below), pen)
    pen.leave(levels.top_mm)


def run(strokes: Iterable[Stroke], levels: Levels, shares: tuple[float, float], pen: Pen) -> None:
    """Cut along strokes, evenly from one share of the way down to another."""
    pieces = [piece for piece in _pieces(strokes, pen.tip[:2], levels.straight_mm) if piece[1] > 0]
    if not pieces:
        return
    gone = np.cumsum([length for _, length in pieces])
    down = shares[0] + (shares[1] - shares[0]) * gone / gone[-1]
    heights = levels.z_mm([stroke.end for stroke, _ in pieces], down)
    for (stroke, _), z in zip(pieces, heights.tolist(), strict=True):
        if stroke.centre is None:
            pen.feed(*stroke.end, z)
        else:
            pen.swing(stroke, z)


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
