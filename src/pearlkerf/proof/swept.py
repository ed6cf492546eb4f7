"""What cuts leave, as areas in plan: a pocket as it is cut, a piece as it comes free; from the bytes alone.

Discs along straight ways stand for what a cutter takes: the area is exact but for the chords of its own round
edges, which lie inside them by SWEPT_MM at most, and for arcs, which are followed along chords.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.tolerances import SWEPT_MM

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Swept:
    """What is taken down to its floor, and what is touched at any height; mm, in the axes of what is cut."""

    through: BaseGeometry
    touched: BaseGeometry


def swept(parts: list[Cuts], low: list[Flags]) -> Swept:
    """Give what cuts of a feature take: those that stand at its floor (``low``), and all of them."""
    through = [each.some(rows) for each, rows in zip(parts, low, strict=True)]
    return Swept(_area(through), _area(parts))


def _area(parts: list[Cuts]) -> BaseGeometry:
    found = [_of_radius(each, radius) for each in parts for radius in np.unique(each.radius).tolist()]
    return shapely.union_all(found) if found else shapely.Polygon()


def _of_radius(cuts: Cuts, radius: float) -> BaseGeometry:
    rows = cuts.radius == radius
    ways = np.unique(np.column_stack([cuts.start[rows, :2], cuts.end[rows, :2]]), axis=0)
    long = np.hypot(*(ways[:, 2:] - ways[:, :2]).T) > 0
    lines = shapely.linestrings(ways[long].reshape(-1, 2, 2))
    points = shapely.points(ways[~long, :2])
    # of a chord over an angle a of a circle of radius r the sagitta is r (1 - cos(a / 2))
    quarter = math.ceil(math.pi / 4 / math.acos(1 - min(SWEPT_MM / radius, 1)))
    each = shapely.buffer(np.concatenate([lines, points]), radius, quad_segs=quarter)
    return shapely.union_all(each)
