"""The fit of one connected part of an inlay for a pair of cutters, about the middle of its drawing."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from pearlkerf.board.inlays import Inlay
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.outlines.fit import Cutters, Fit, Given, closed, fit, grown, places_given, solid
from pearlkerf.outlines.limits import NOTHING_MM2, SETTLED_MM
from pearlkerf.outlines.region import Region
from pearlkerf.setups.fits import Chiselled, Pair

Floats = NDArray[np.float64]

# lines are straightened by so much for a first look, mm
ROUGH_MM: Final = 0.01
# corners and necks are so much rounder and wider than their cutter, mm: its way along a wall keeps up to 0.0042 mm more
# than its radius from it, and would not come into a tip that is just as round
ROOM_MM: Final = 0.005


@dataclass(frozen=True, slots=True)
class PartFit:
    """What became of a part: pocket and line, its piece, where the drawing gave, and the corners for a chisel."""

    fit: Fit
    piece: shapely.MultiPolygon
    given: tuple[Given, ...]
    corners: tuple[Chiselled, ...]

    @property
    def parted(self) -> bool:
        """Say whether the cutters part what is drawn as one."""
        return len(self.fit.pocket.geoms) > 1

    @property
    def worst_mm(self) -> float:
        """Give what the drawing gave where it gave most, or lost altogether."""
        return max((*(each.by_mm for each in self.given), *(each.width_mm for each in self.fit.lost)), default=0.0)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be fitted, about the middle of its drawing: all of it, and where several share it what each is."""

    area: shapely.Polygon
    shared_by: tuple[shapely.Polygon, ...] = ()

    @property
    def key(self) -> bytes:
        """Give what tells it from what is drawn otherwise."""
        return b"".join(each.wkb for each in (self.area, *self.shared_by))

    def straightened(self) -> "Wanted":
        """Give it with its lines straightened by ROUGH_MM."""
        area, *others = (shapely.simplify(each, ROUGH_MM) for each in (self.area, *self.shared_by))
        return Wanted(area, tuple(others))


def wanted_of(part: InlayPart) -> Wanted:
    """Give what is to be fitted of a part."""
    x, y = part.at
    shared = part.pieces if len(part.pieces) > 1 else ()
    return Wanted(part.drawn, tuple(affinity.translate(each.region, -x, -y) for each in shared))


def fit_part(wanted: Wanted, inlay: Inlay, pair: Pair) -> PartFit:
    """Fit one connected part for two cutters; corners up to its limit are left to the chisel where it says so.

    Where inlays share the pocket, the piece's cutter rounds the inner corners of each of them by itself: those in
    which two of them meet are nobody's.
    """
    piece_radius = None if pair.piece is None else pair.piece.radius_mm + ROOM_MM
    cutters = Cutters(pair.pocket.radius_mm + ROOM_MM, piece_radius, inlay.gap_mm)
    whole: BaseGeometry = wanted.area
    if wanted.shared_by:
        whole = shapely.union_all([whole, *(closed(each, cutters.relief_mm) for each in wanted.shared_by)])
        cutters = replace(cutters, piece_radius_mm=None)
    found = fit(Region(solid(whole)), cutters, inlay.called)
    drawn = shapely.MultiPolygon([wanted.area])
    if inlay.corners != "by hand":
        given = places_given(drawn, found.line, found.lost) if wanted.shared_by else found.given
        return PartFit(found, found.piece, given, ())
    least = max(SETTLED_MM, inlay.gap_mm)
    limits = least, inlay.corner_limit_mm
    tips = [*_tips(closed(whole, cutters.relief_mm), found.line, limits, pair.pocket.radius_mm)]
    corners = tuple(corner for _, each in tips for corner in each)
    # between a tip and the line no notch stays that the piece's cutter does not enter
    sharp = solid(closed(shapely.union_all([found.line, *(tip for tip, _ in tips)]), cutters.relief_mm))
    piece = solid(shapely.buffer(sharp, -inlay.gap_mm / 2, join_style="mitre"))
    return PartFit(found, piece, places_given(drawn, sharp, found.lost), corners)


def _tips(
    wanted: BaseGeometry, line: shapely.MultiPolygon, between_mm: tuple[float, float], radius_mm: float
) -> Iterator[tuple[BaseGeometry, tuple[Chiselled, ...]]]:
    """Give what the pocket's cutter, of a radius, leaves of corners, with their tips; of a small star's all together.

    Of a length between these: a shorter one has room in the gap, a longer one is more than a chisel takes.
    """
    least, most = between_mm
    edge = line.boundary
    shapely.prepare(edge)
    # on straight runs the line lies within rounding of what is wanted: that joins no corner to another
    for left in shapely.get_parts(shapely.difference(wanted, grown(line, SETTLED_MM))):
        if left.area <= NOTHING_MM2:
            continue
        places = shapely.get_coordinates(left)
        away = np.asarray(shapely.length(shapely.shortest_line(edge, shapely.points(places))))
        if away.max() > most:
            continue
        corners = _corners(places, away, least, radius_mm)
        if corners:
            # grown, so that it and the line meet in more than a point
            yield shapely.intersection(grown(left, 2 * SETTLED_MM), wanted), corners


def _corners(places: Floats, away: Floats, least_mm: float, radius_mm: float) -> tuple[Chiselled, ...]:
    """Give the corners of what a cutter leaves, from places along its edge, and how far each is from what it cuts.

    Every place farther than ``least_mm`` is one corner's or another's: no farther from its tip than that is from the
    cutter's middle.  Where one is not, as along a bay that nothing enters, there are none: no chisel cuts that.
    """
    found: list[Chiselled] = []
    nobodys = away > least_mm
    while nobodys.any():
        far = int(np.where(nobodys, away, 0.0).argmax())
        from_it = np.hypot(*(places - places[far]).T)
        if away[from_it <= radius_mm].max() > away[far] + SETTLED_MM:
            return ()
        x, y = places[far].tolist()
        found.append(Chiselled((x, y), float(away[far])))
        nobodys &= from_it > away[far] + radius_mm
    return tuple(found)
