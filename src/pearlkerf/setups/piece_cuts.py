"""What is cut to free one piece from its blank: its holes first, then the channel round it.

A channel is a little wider than its cutter: what is left along the piece after the first round is a
thin shaving, which the second takes.  Where the piece is thinnest, with something of it on either side, the
cutter comes through last.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.channels import Channel
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.lines import Point
from pearlkerf.layout.surfaces import Floor
from pearlkerf.outlines.fit import solid
from pearlkerf.outlines.limits import QUARTER
from pearlkerf.setups.tabs import with_tabs

Floats = NDArray[np.float64]

GROUP: Final = "pieces"
# the second round takes so much of the cutter's diameter, and at least so much: less would rub (common practice, no
# source)
SHAVING_SHARE: Final = 0.12
LEAST_SHAVING_MM: Final = 0.1
# a hole whose core would be smaller than a square of so many diameters is cleared whole: a loose crumb jams the cutter
LEAST_CORE: Final = 2.0
# a neck is looked for at so many places of an outline, and has at least such a part of the piece on either side
NECK_PLACES: Final = 180
NECK_SHARE: Final = 0.1
# a chord across the piece begins so far inside it, so as not to end where it begins
INSIDE_MM: Final = 1e-4


@dataclass(frozen=True, slots=True)
class PieceCut:
    """By what a piece is cut, mm: its cutter's number and diameter, how deep, and whether waste is held by itself."""

    cutter: int
    diameter_mm: float
    depth_mm: float
    holds_cores: bool = True  # tape and skin do, tabs do not
    tabs_z_mm: float | None = None  # down to where the channel round it is cut over its tabs; None: it has none
    key: str = ""  # of the file, that says how it is held


def channel_mm(diameter_mm: float) -> float:
    """Give how wide the channel of a cutter is.

    >>> channel_mm(0.8), channel_mm(2.0)
    (0.9, 2.24)
    """
    return round(diameter_mm + max(LEAST_SHAVING_MM, SHAVING_SHARE * diameter_mm), 6)


def cuts_of(name: str, number: int, area: shapely.Polygon, by: PieceCut) -> Iterator[Pocket]:
    """Give all that is cut to free a piece, in its order: every hole, then the channel round it."""
    width = channel_mm(by.diameter_mm)
    holes = [shapely.Polygon(ring) for ring in area.interiors]
    for index, hole in enumerate(holes, 1):
        called = f"{name} hole {index}" if len(holes) > 1 else f"{name} hole"
        core = shapely.buffer(hole, -width, quad_segs=QUARTER)
        keeps = by.holds_cores and core.area >= (LEAST_CORE * by.diameter_mm) ** 2
        if keeps and core.geom_type == "Polygon":
            yield _channel(called, number, _less(hole, core), (hole, None), by)
        else:
            yield Pocket(GROUP, number, called, hole, Floor(-by.depth_mm), -by.depth_mm, -by.depth_mm, by.cutter)
    outline = shapely.Polygon(area.exterior)
    round_it = _less(shapely.buffer(outline, width, quad_segs=QUARTER), outline)
    channel = _channel(name, number, round_it, (outline, thinnest_at(area)), by)
    yield channel if by.tabs_z_mm is None else with_tabs(channel, by.diameter_mm, by.tabs_z_mm, by.key)


def _less(whole: shapely.Geometry, inner: shapely.Geometry) -> shapely.Polygon:
    """Give an area without another inside it; specks where their edges touch within rounding are nothing."""
    (left,) = solid(shapely.difference(whole, inner)).geoms
    return left


def _channel(
    name: str, number: int, region: shapely.Polygon, of: tuple[shapely.Polygon, Point | None], by: PieceCut
) -> Channel:
    counts, last = of
    return Channel(
        group=GROUP, number=number, name=name, region=region, floor=Floor(-by.depth_mm), shallowest_mm=-by.depth_mm,
        deepest_mm=-by.depth_mm, cutter=by.cutter, counts=counts, last=last,
    )  # fmt: skip


def thinnest_at(area: shapely.Polygon) -> Point | None:
    """Give the place of a piece's outline where it is thinnest, something of it on either side; None without a neck.

    A dumbbell of two squares, joined by a bar 1 mm wide:

    >>> bar = shapely.box(-8, -0.5, 8, 0.5)
    >>> x, y = thinnest_at(shapely.union_all([bar, shapely.box(-12, -4, -6, 4), shapely.box(6, -4, 12, 4)]))
    >>> abs(x) <= 6, abs(y)
    (True, 0.5)
    """
    ring = shapely.orient_polygons(shapely.Polygon(area.exterior)).exterior
    along = np.linspace(0, ring.length, NECK_PLACES, endpoint=False)
    places = shapely.get_coordinates(shapely.line_interpolate_point(ring, along))
    inward = _inward(ring, along)
    whole = shapely.Polygon(ring)
    far = math.hypot(*(np.array(whole.bounds[2:]) - whole.bounds[:2]))
    rays = shapely.linestrings(np.stack([places + INSIDE_MM * inward, places + far * inward], axis=1))
    across = np.asarray(shapely.intersection(rays, ring))
    thickness = np.asarray(shapely.distance(shapely.points(places), across))
    for index in np.lexsort((along, np.round(thickness, 6))).tolist():
        if np.isfinite(thickness[index]) and _parts_it(ring, (along[index], across[index], places[index])):
            return float(places[index, 0]), float(places[index, 1])
    return None


def _inward(ring: shapely.LinearRing, along: Floats) -> Floats:
    """Give the directions (n, 2) into what a counter-clockwise ring encloses."""
    before, after = (shapely.get_coordinates(shapely.line_interpolate_point(ring, (along + step) % ring.length))
                     for step in (-INSIDE_MM, INSIDE_MM))  # fmt: skip
    ahead = after - before
    turned = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    return np.asarray(turned / np.hypot(*turned.T)[:, None])


def _parts_it(ring: shapely.LinearRing, chord: tuple[float, shapely.Geometry, Floats]) -> bool:
    """Say whether a chord leaves enough of what a ring encloses on either side."""
    from shapely.ops import substring

    start, across, place = chord
    ends = shapely.get_coordinates(across)
    end = ends[int(np.argmin(np.hypot(*(ends - place).T)))]
    other = shapely.line_locate_point(ring, shapely.Point(end))
    one_side = shapely.get_coordinates(substring(ring, min(start, other), max(start, other)))
    part = shapely.Polygon(one_side).area
    whole = shapely.Polygon(ring).area
    return bool(min(part, whole - part) >= NECK_SHARE * whole)
