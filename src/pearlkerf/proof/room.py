"""How much room areas in a plane keep to each other: how far one reaches beyond another, least and greatest gaps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.tolerances import FIT_MM, FIT_STEP_MM, TIPS_MM, TIPS_NEAR_MM

Floats = NDArray[np.float64]
NOWHERE = shapely.Polygon()


@dataclass(frozen=True, slots=True, eq=False)
class Faced:
    """What an edge faces: as it is cut, and the line that it was meant to have."""

    cut: BaseGeometry
    meant: BaseGeometry


def farthest(area: BaseGeometry, from_area: BaseGeometry) -> tuple[float, Floats]:
    """Give how far an area reaches beyond another where it does so most, and the place."""
    places = along_edge(area, NOWHERE)
    away = _away(from_area, places)
    worst = int(np.argmax(away)) if len(away) else 0
    return (float(away[worst]), places[worst]) if len(away) else (0.0, np.zeros(2))


def nearest(area: BaseGeometry, inside: BaseGeometry, exempt: BaseGeometry) -> tuple[float, Floats]:
    """Give the least distance that an area keeps from another's edge all round it, negative where it crosses it.

    It is infinite where all of it is exempt.
    """
    places = along_edge(area, exempt)
    if not len(places):
        return math.inf, np.zeros(2)
    away = _away(inside.boundary, places)
    away = np.where(shapely.contains_xy(inside, *places.T), away, -away)
    worst = int(np.argmin(away))
    return float(away[worst]), places[worst]


def loosest(
    area: BaseGeometry, facing: Sequence[Faced], exempt: BaseGeometry, gap: tuple[float, bool]
) -> tuple[float, float, Floats] | None:
    """Give where an area's edge is farther than it may be from all that it faces: by how much, what may be, the place.

    It may be the gap, mm, and FIT_MM.  Within TIPS_NEAR_MM of two that it faces, where the gap between these runs out,
    it may be what it is between the lines that were meant, and FIT_MM, if that is no more than two gaps and TIPS_MM.
    Unless ``gap`` says that all is here that it faces, only what faces one of these is held.  None where nothing is
    farther.
    """
    gap_mm, whole = gap
    places = along_edge(area, exempt)
    if not len(places):
        return None
    of_each = np.sort([_away(each.meant, places) for each in facing], axis=0)
    meant, second = of_each[0], of_each[min(1, len(facing) - 1)]
    ends = (second <= TIPS_NEAR_MM) & (len(facing) > 1)
    may = np.where(ends, np.clip(meant, gap_mm, 2 * gap_mm + TIPS_MM), gap_mm)
    # beside what is not here the gap runs out, as it was meant to
    may = may if whole else np.maximum(may, np.minimum(meant, gap_mm + FIT_MM))
    away = np.min([_away(each.cut, places) for each in facing], axis=0)
    beyond = np.where(whole | (meant <= gap_mm + FIT_MM), away - may, 0.0)
    worst = int(np.argmax(beyond))
    return (float(away[worst]), float(may[worst]), places[worst]) if beyond[worst] > FIT_MM else None


def along_edge(area: BaseGeometry, exempt: BaseGeometry) -> Floats:
    """Give places along an area's edge, every corner of it and FIT_STEP_MM apart at most, but those that are exempt."""
    places = shapely.get_coordinates(shapely.segmentize(area.boundary, FIT_STEP_MM))
    return np.asarray(places[~shapely.contains_xy(exempt, *places.T)])


def _away(area: BaseGeometry, places: Floats) -> Floats:
    """Give how far places are from an area or a line; nothing where they lie in it."""
    shapely.prepare(area)
    return np.asarray(shapely.distance(area, shapely.points(places)))
