"""Which cutters clear a pocket: the one that comes into all of it, and a wider one before it where that saves time."""

from collections.abc import Iterable, Mapping, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from pearlkerf.layout.features import Identity, Pocket
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.tolerances import (
    CHANGE_S,
    LEFT_MM2,
    PINCH_MM,
    RING_QUARTER,
    ROOMY,
    ROUNDING_MM,
    STEP_INWARD,
    UNREACHED_MM,
    WORTH_IT_S,
)
from pearlkerf.setups.model import Setup


def reaches_all(pocket: Pocket, cutter: Cutter) -> bool:
    """Say whether a cutter comes into all of a pocket, but for a hair in its corners.

    A neck as narrow as the cutter is wide is not enough: there is no room for rings along both its walls.
    """
    return _left(pocket.region, _opened(pocket.region, cutter.radius_mm + UNREACHED_MM)).is_empty


def roomy_for(cutter: Cutter, region: shapely.Polygon) -> shapely.MultiPolygon:
    """Give what of a region a wide cutter clears that goes first: where its middle has more than a hair of room."""
    return _parts(_opened(region, (1 + ROOMY) * cutter.radius_mm))


def _opened(region: shapely.Polygon, by_mm: float) -> BaseGeometry:
    inside = shapely.buffer(region, -by_mm, quad_segs=RING_QUARTER)
    return shapely.buffer(inside, by_mm, quad_segs=RING_QUARTER)


def _parts(area: BaseGeometry) -> shapely.MultiPolygon:
    return shapely.MultiPolygon([part for part in shapely.get_parts(area) if part.area > LEFT_MM2])


def pinches(cutter: Cutter, region: shapely.Polygon) -> bool:
    """Say whether there is a place in what a wide cutter clears where it just gets through, or just does not.

    Nobody could say then how its rings hang together.
    """
    roomy = roomy_for(cutter, region)
    ways = [shapely.buffer(roomy, -cutter.radius_mm + off, quad_segs=RING_QUARTER) for off in (-PINCH_MM, PINCH_MM)]
    return len({(shapely.get_num_geometries(way), len(shapely.get_parts(way.boundary))) for way in ways}) > 1


def left_after(cutter: Cutter, region: shapely.Polygon) -> shapely.MultiPolygon:
    """Give what is left of a region where a wide cutter has cleared all where it has room."""
    return _left(region, roomy_for(cutter, region))


def _left(region: shapely.Polygon, reached: BaseGeometry) -> shapely.MultiPolygon:
    return _parts(shapely.difference(region, shapely.buffer(reached, UNREACHED_MM)))


def wider_first(
    chosen: Sequence[tuple[Pocket, Cutter]], setup: Setup, machine: Machine, in_use: Iterable[Cutter]
) -> Mapping[Identity, Cutter]:
    """Give the pockets that a wider cutter clears first, and it: one for all of a setup, where it saves time in all.

    A change of cutters takes CHANGE_S, unless the cutter is one ``in_use`` in the setup anyway.  Under a floor that
    follows the face a wide cutter stands high above it on its lower side: there it is not asked.
    """
    best: dict[Identity, Cutter] = {}
    most, used = 0.0, {cutter.number for cutter in in_use}
    for wide in machine.cutters:
        if wide.kind != "end mill":
            continue
        saved = {pocket.identity: _saved_s(pocket, wide, cutter, (setup, machine)) for pocket, cutter in chosen}
        worth = {identity: seconds for identity, seconds in saved.items() if seconds >= WORTH_IT_S}
        total = sum(worth.values()) - (0.0 if wide.number in used else CHANGE_S)
        if worth and total > most:
            most, best = total, dict.fromkeys(worth, wide)
    return best


def _saved_s(pocket: Pocket, wide: Cutter, cutter: Cutter, where: tuple[Setup, Machine]) -> float:
    """Give about how long it takes less to clear a pocket with a wider cutter first, s."""
    depth = pocket.depth_below_top_mm(where[0].stock)
    if pocket.floor.crown is not None or wide.radius_mm <= cutter.radius_mm or wide.reach_mm < depth - ROUNDING_MM:
        return 0.0
    if pinches(wide, pocket.region):
        return 0.0
    left = left_after(wide, pocket.region)
    reached_mm2 = pocket.region.area - left.area
    if left.is_empty or reached_mm2 < LEFT_MM2:
        return 0.0
    swept = shapely.intersection(shapely.buffer(left, cutter.diameter_mm), pocket.region)
    alone = _clearing_s(pocket.region.area, depth, cutter, where)
    return alone - _clearing_s(reached_mm2, depth, wide, where) - _clearing_s(swept.area, depth, cutter, where)


def _clearing_s(area_mm2: float, depth_mm: float, cutter: Cutter, where: tuple[Setup, Machine]) -> float:
    setup, machine = where
    figures = cutting_figures(machine, cutter, setup.wood)
    levels = max(1.0, depth_mm / figures.bite_mm)
    return 60 * levels * area_mm2 / (STEP_INWARD * cutter.radius_mm) / figures.feed_mm_min
