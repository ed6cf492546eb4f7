"""The fit of one connected part of an inlay for a pair of cutters, about the middle of its drawing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from pearlkerf.board.inlays import Inlay
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.machine.model import Cutter
from pearlkerf.outlines.fit import Cutters, Fit, Given, closed, fit, grown, places_given, solid
from pearlkerf.outlines.limits import NOTHING_MM2, SETTLED_MM
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.shared import Sharing, blunt, fit_together, own_areas, sharpened
from pearlkerf.setups.fits import Chiselled, Pair

Floats = NDArray[np.float64]

# lines are straightened by so much for a first look, mm
ROUGH_MM: Final = 0.01
# corners and necks are so much rounder and wider than their cutter, mm: its way along a wall keeps up to 0.0042 mm more
# than its radius from it, and would not come into a tip that is just as round
ROOM_MM: Final = 0.005
# places about a drawing's middle are told apart to so many decimals of a millimetre
FRACTIONS: Final = 6


@dataclass(frozen=True, slots=True)
class Share:
    """What one inlay has of a part: its pieces, and the places where its drawing gave most."""

    inlay: Inlay
    area: shapely.MultiPolygon
    given: tuple[Given, ...]

    @property
    def beyond_mm(self) -> float:
        """Give by how much its drawing gave more than it may; below 0 where that is less."""
        return max((each.by_mm for each in self.given), default=0.0) - self.inlay.detail_mm


@dataclass(frozen=True, slots=True)
class PartFit:
    """What became of a part: pocket and line, what each of its inlays has of it, and the corners for a chisel."""

    fit: Fit
    shares: tuple[Share, ...]
    corners: tuple[Chiselled, ...]

    @property
    def parted(self) -> bool:
        """Say whether the cutters part what is drawn as one."""
        return len(self.fit.pocket.geoms) > 1

    @property
    def worst_mm(self) -> float:
        """Give what the drawing gave where it gave most, or lost altogether."""
        given = (each.by_mm for share in self.shares for each in share.given)
        return max((*given, *(each.width_mm for each in self.fit.lost)), default=0.0)

    @property
    def worst(self) -> Share:
        """Give what gave most beyond what it may."""
        return max(self.shares, key=lambda share: share.beyond_mm)

    @property
    def serves(self) -> bool:
        """Say whether no drawing gave more than it may, nor lost more, and all stayed in one."""
        lost = max((each.width_mm for each in self.fit.lost), default=0.0)
        return self.worst.beyond_mm <= 0 and lost <= self.shares[0].inlay.detail_mm and not self.parted


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be fitted, about the middle of its drawing: all of it, and what each inlay has of it to itself."""

    area: shapely.Polygon
    shares: tuple[tuple[Inlay, shapely.MultiPolygon], ...]

    @property
    def key(self) -> bytes:
        """Give what tells it from what is drawn otherwise; binary fractions by which it differs elsewhere do not."""
        areas = [self.area, *(area for _, area in self.shares)]
        places = np.round(shapely.get_coordinates(areas), FRACTIONS) + 0.0
        return str([inlay.index for inlay, _ in self.shares]).encode() + places.tobytes()

    def of(self, inlay: Inlay) -> list[BaseGeometry]:
        """Give what an inlay has of it; nothing where it has no share."""
        return [area for each, area in self.shares if each.index == inlay.index]

    def straightened(self) -> "Wanted":
        """Give it with its lines straightened by ROUGH_MM."""
        areas = [shapely.simplify(each, ROUGH_MM) for _, each in self.shares]
        shares = zip((inlay for inlay, _ in self.shares), areas, strict=True)
        return Wanted(shapely.simplify(self.area, ROUGH_MM), tuple(shares))


def wanted_of(part: InlayPart) -> Wanted:
    """Give what is to be fitted of a part; its own inlay first, those that are set in it in the order of the file."""
    if len(part.pieces) == 1:
        return Wanted(part.drawn, ((part.inlay, shapely.MultiPolygon([part.drawn])),))
    x, y = part.at
    inlays = list({piece.inlay.index: piece.inlay for piece in part.as_set_in}.values())
    drawn = [affinity.translate(each, -x, -y) for each in _drawn(part, inlays)]
    return Wanted(part.drawn, tuple(zip(inlays, own_areas(part.drawn, drawn), strict=True)))


def _drawn(part: InlayPart, inlays: Sequence[Inlay]) -> Iterator[BaseGeometry]:
    for inlay in inlays:
        yield shapely.union_all([piece.region for piece in part.pieces if piece.inlay.index == inlay.index])


def fit_part(wanted: Wanted, inlay: Inlay, pair: Pair) -> PartFit:
    """Fit one connected part for two cutters; corners up to its limit are left to the chisel where it says so.

    Where inlays share the pocket, its own inlay says its gap and its corners; the cutter of each one's pieces rounds
    the inner corners of that one alone: those in which two of them meet are nobody's.
    Raises Refusal where nothing of it is left.
    """
    if len(wanted.shares) > 1:
        return _fit_shared(wanted, inlay, pair)
    cutters = roomy(pair.pocket, pair.piece, inlay)
    found = fit(Region(solid(wanted.area)), cutters, inlay.called)
    drawn = shapely.MultiPolygon([wanted.area])
    if inlay.corners != "by hand":
        return PartFit(found, (Share(inlay, found.piece, found.given),), ())
    tips = [*_tips(closed(wanted.area, cutters.relief_mm), found.line, _limits(inlay), pair.pocket.radius_mm)]
    corners = tuple(corner for _, each in tips for corner in each)
    # between a tip and the line no notch stays that the piece's cutter does not enter
    sharp = solid(closed(shapely.union_all([found.line, *(tip for tip, _ in tips)]), cutters.relief_mm))
    share = Share(inlay, _inside(sharp, inlay), places_given(drawn, sharp, found.lost))
    return PartFit(found, (share,), corners)


def roomy(pocket: Cutter, piece: Cutter | None, inlay: Inlay) -> Cutters:
    """Give what two cutters ask of the drawing of an inlay that says the gap, each ROOM_MM larger than it is."""
    piece_radius = None if piece is None else piece.radius_mm + ROOM_MM
    return Cutters(pocket.radius_mm + ROOM_MM, piece_radius, inlay.gap_mm)


def _inside(sharp: BaseGeometry, inlay: Inlay) -> shapely.MultiPolygon:
    """Give pieces half the gap inside a line, their corners as sharp as its are."""
    return blunt(shapely.buffer(sharp, -inlay.gap_mm / 2, join_style="mitre"))


def _fit_shared(wanted: Wanted, inlay: Inlay, pair: Pair) -> PartFit:
    """Fit what several inlays have of one pocket."""
    inlays, own = [each for each, _ in wanted.shares], [area for _, area in wanted.shares]
    sharing = Sharing(
        reach_mm=roomy(pair.pocket, None, inlay).reach_mm,
        reliefs_mm=tuple(roomy(pair.pocket, pair.piece_of(each), inlay).relief_mm for each in inlays),
        gap_mm=inlay.gap_mm, names=tuple(each.called for each in inlays),
    )  # fmt: skip
    found = fit_together(own, sharing)
    lines, pieces, corners = found.lines, list(found.pieces), tuple[Chiselled, ...]()
    if inlay.corners == "by hand":
        closings = shapely.union_all(found.closings)
        tips = [*_tips(closings, found.whole.line, _limits(inlay), pair.pocket.radius_mm)]
        lines = sharpened(found, [tip for tip, _ in tips], sharing)
        pieces = [_inside(line, inlay) for line in lines]
        corners = tuple(corner for _, each in tips for corner in each)
    given = [places_given(area, line, ()) for area, line in zip(own, lines, strict=True)]
    return PartFit(found.whole, tuple(map(Share, inlays, pieces, given)), corners)


def _limits(inlay: Inlay) -> tuple[float, float]:
    """Give between which lengths corners are a chisel's, mm."""
    return max(SETTLED_MM, inlay.gap_mm), inlay.corner_limit_mm


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
