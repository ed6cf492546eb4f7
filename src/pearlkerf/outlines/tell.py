"""What a region cannot be cut as: parts that no cutter enters, parts and holes that touch in a point."""

from dataclasses import dataclass

import numpy as np
import shapely

from pearlkerf.outlines.limits import CHORD_MM
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.segments import Point


@dataclass(frozen=True, slots=True)
class Narrow:
    """A part that is nowhere wide enough: its widest place, and how wide it is there."""

    place: Point
    width_mm: float


def narrow_parts(region: Region, width_mm: float) -> tuple[Narrow, ...]:
    """Give the parts of a region that no disc of a diameter enters, from low X to high X."""
    found = []
    for part in region.parts:
        across = shapely.maximum_inscribed_circle(part, CHORD_MM)
        if 2 * across.length < width_mm:
            (x, y), _ = shapely.get_coordinates(across).tolist()
            found.append(Narrow((x, y), 2 * across.length))
    return tuple(found)


def touching_places(region: Region) -> tuple[Point, ...]:
    """Give the points in which rings of a region touch each other: no wall stands there.

    .----.            two parts, or a part and its hole, that share a corner;
    |    |            what touches along a line is one part
    '----.----.
         |    |
         '----'
    """
    rings = np.array([ring for part in region.parts for ring in (part.exterior, *part.interiors)])
    first, second = shapely.STRtree(rings).query(rings, predicate="intersects")
    pairs = first < second
    met = shapely.intersection(rings[first[pairs]], rings[second[pairs]])
    places = np.unique(shapely.get_coordinates(met), axis=0)
    return tuple((x, y) for x, y in places.tolist())
