"""The fit of several drawings in one pocket: the lines between them, which the cutters of both sides can follow.

     ____________________        The pocket is all of them, and its cutter rounds the corners of the whole.  Each
    |        |           |       drawing is closed by its own piece's cutter; what that fills of another drawing, the
    |   A    |     B     |       other loses.  Where they meet their line runs in the middle of the gap, as that
    |________|___________|       between a piece and its pocket does; a corner in which two of them meet is nobody's.

Where drawings lie over each other the later has the place: it is let into the one before, or cuts a part off it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pearlkerf.outlines.drawing import refused
from pearlkerf.outlines.fit import (
    Fit,
    closed,
    farthest_mm,
    grown,
    lost_holes,
    opened,
    places_given,
    solid,
    unreached,
    widest,
)
from pearlkerf.outlines.limits import (
    CRUMB_MM,
    HAIRLINE_MM,
    MOST_IN_VAIN,
    MOST_ROUNDS,
    NARROWEST_PIECE_MM,
    NOTHING_MM2,
    SETTLED_MM,
    TIP_MM,
)

Areas = list[BaseGeometry]

SMALLER: Final = "take smaller cutters, draw the line between them straighter, or leave set_in out"


@dataclass(frozen=True, slots=True)
class Sharing:
    """What cutters ask of drawings that share a pocket, mm: by how much all must be open, each one's outside too.

    ``names`` are what people call them.
    """

    reach_mm: float
    reliefs_mm: tuple[float, ...]
    gap_mm: float
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SharedFit:
    """The fit of all drawings together, and of each its line, its pieces, and what its cutter alone leaves of it."""

    whole: Fit
    lines: tuple[shapely.MultiPolygon, ...]
    pieces: tuple[shapely.MultiPolygon, ...]
    closings: tuple[shapely.MultiPolygon, ...]


def own_areas(whole: BaseGeometry, drawn: Sequence[BaseGeometry]) -> tuple[shapely.MultiPolygon, ...]:
    """Give what each of several drawings that share a pocket has to itself: the later has it where they overlap.

    What lies between them within HAIRLINE_MM goes to the first beside it, so that together they are the whole.
    """
    own: Areas = [
        _without_hairs(shapely.difference(area, shapely.union_all(drawn[index + 1 :])))
        if index + 1 < len(drawn) else area for index, area in enumerate(drawn)
    ]  # fmt: skip
    left = shapely.difference(whole, shapely.union_all(own))
    for index, area in enumerate(own):
        beside = solid(shapely.intersection(left, shapely.buffer(area, 3 * HAIRLINE_MM, join_style="mitre")))
        own[index] = shapely.union(area, beside)
        left = shapely.difference(left, beside)
    return tuple(map(solid, own))


def _without_hairs(area: BaseGeometry) -> BaseGeometry:
    """Give an area without what is thinner than two hairlines, its corners as they are."""
    thin = shapely.buffer(area, -HAIRLINE_MM, join_style="mitre")
    return solid(shapely.intersection(area, shapely.buffer(thin, 2 * HAIRLINE_MM, join_style="mitre")))


def fit_together(own: Sequence[shapely.MultiPolygon], sharing: Sharing) -> SharedFit:
    """Give the fit of what several drawings have to themselves in one pocket.

    Raises Refusal, with the place, where nothing is left of one, where one is left in a part too narrow to be cut, and
    where their lines do not settle.
    """
    closings = _apart(list(own), sharing)
    reached = opened(_joined(closings), sharing.reach_mm)
    lines = _settled([solid(shapely.intersection(each, reached)) for each in closings], sharing)
    pieces = tuple(blunt(grown(line, -sharing.gap_mm / 2)) for line in lines)
    for area, of_one, name in zip(own, pieces, sharing.names, strict=True):
        _wide_enough(area, of_one, name)
    whole, line = solid(_joined(list(own))), solid(_joined(list(lines)))
    pocket, piece = _without_splinters(solid(grown(line, sharing.gap_mm / 2))), _polygons(pieces)
    lost = tuple(lost_holes(whole, line))
    found = Fit(line, pocket, piece, places_given(whole, line, lost), lost)
    return SharedFit(found, lines, pieces, tuple(map(solid, closings)))


def blunt(pieces: BaseGeometry) -> shapely.MultiPolygon:
    """Give pieces whose tips are as round as a cut on either side of them can leave them.

    Of a tip that is sharper than 60 degrees a cut that is off by a few thousandths takes far more than that.  Crumbs
    that its neck has parted from it are nothing.
    """
    reached, sharp, kept = _parted_tips(pieces)
    whole = solid(shapely.union_all([reached, *kept]) if sharp else pieces)
    return shapely.MultiPolygon([part for part in whole.geoms if widest(part)[1] > CRUMB_MM])


def _without_splinters(pocket: shapely.MultiPolygon) -> shapely.MultiPolygon:
    """Give a pocket with the tips of wood that are as sharp: where two drawings meet in a corner, it ends in one."""
    ground = shapely.box(*pocket.bounds).buffer(1.0)
    reached, sharp, kept = _parted_tips(shapely.difference(ground, pocket))
    return solid(shapely.difference(ground, shapely.union_all([reached, *kept]))) if sharp else pocket


def _parted_tips(area: BaseGeometry) -> tuple[BaseGeometry, Areas, Areas]:
    """Give what discs of TIP_MM reach of an area, its tips sharper than 60 degrees, and what else they leave."""
    reached = opened(area, TIP_MM)
    left = [each for each in shapely.get_parts(shapely.difference(area, reached)) if each.area > 0]
    sharp = [each for each in left if farthest_mm(each, reached) > TIP_MM]
    return reached, sharp, [each for each in left if not any(each is tip for tip in sharp)]


def sharpened(found: SharedFit, tips: Sequence[BaseGeometry], sharing: Sharing) -> tuple[shapely.MultiPolygon, ...]:
    """Give the lines with the tips that are left to a chisel, each drawing with its own part of them."""
    there = shapely.union_all(tips)
    lines: Areas = list(found.lines)
    for index, closing in enumerate(found.closings):
        tip = solid(shapely.intersection(there, closing))
        others = [line for other, line in enumerate(lines) if other != index]
        whole = shapely.difference(shapely.union(lines[index], tip), shapely.union_all(others))
        # between a tip and the line no notch stays that the piece's cutter does not enter
        relief = sharing.reliefs_mm[index]
        line = shapely.difference(closed(whole, relief) if relief else whole, shapely.union_all(others))
        # where two lines cross within rounding, what is shrunk about them would have a step
        lines[index] = _without_hairs(_joined([line]))
    return tuple(map(solid, lines))


def _polygons(areas: Sequence[shapely.MultiPolygon]) -> shapely.MultiPolygon:
    return shapely.MultiPolygon([part for area in areas for part in area.geoms])


def _apart(lines: Areas, sharing: Sharing) -> Areas:
    """Close each by its own cutter, and take from the others what that fills."""
    lines = list(lines)
    for index, relief in enumerate(sharing.reliefs_mm):
        taken = closed(lines[index], relief) if relief else lines[index]
        lines = [taken if other == index else shapely.difference(line, taken) for other, line in enumerate(lines)]
    return list(map(solid, lines))


def _settled(lines: Areas, sharing: Sharing) -> tuple[shapely.MultiPolygon, ...]:
    """Close them, and grow the necks that the pocket's cutter does not enter, until neither moves anything."""
    least, since, where = np.inf, 0, lines[0]
    for _ in range(MOST_ROUNDS):
        before, lines = lines, _apart(lines, sharing)
        moved = [shapely.difference(after, grown(each, SETTLED_MM)) for each, after in zip(before, lines, strict=True)]
        whole = _joined(lines)
        neck = unreached(whole, sharing.reach_mm)
        where = shapely.union_all([neck, *moved])
        if where.area < NOTHING_MM2:
            return tuple(map(solid, lines))
        least, since = (where.area, 0) if where.area < least else (least, since + 1)
        if since == MOST_IN_VAIN:
            break
        lines = _with_necks(lines, neck, whole, sharing)
    x, y = _middle(where)
    raise refused(" and ".join(sharing.names), _at(x, y),
                  "the line between them turns too closely for their cutters", SMALLER)  # fmt: skip


def _with_necks(lines: Areas, neck: BaseGeometry, whole: BaseGeometry, sharing: Sharing) -> Areas:
    """Give lines with every neck grown by the pocket's cutter, in whose most of the neck lies."""
    lines = list(lines)
    for part in shapely.get_parts(neck):
        shares = [shapely.intersection(part, line).area for line in lines]
        most = int(np.argmax(shares))
        beyond = shapely.difference(grown(part, sharing.reach_mm), whole)
        # part by part: the union of two that touch in many crumbs has come out with shells in shells
        lines[most] = shapely.union_all([*shapely.get_parts(lines[most]), *shapely.get_parts(beyond)])
    return lines


def _joined(areas: Areas) -> BaseGeometry:
    """Join what touches within a hairline."""
    wide = shapely.union_all([shapely.buffer(area, HAIRLINE_MM, join_style="mitre") for area in areas])
    return shapely.buffer(wide, -HAIRLINE_MM, join_style="mitre")


def _wide_enough(area: shapely.MultiPolygon, pieces: shapely.MultiPolygon, name: str) -> None:
    """Raise Refusal where nothing is left of a drawing, or a part of it that is too narrow for a piece."""
    if pieces.is_empty:
        covered = "what is set in it lies all over it" if area.is_empty else "nothing of it is left"
        raise refused(name, "" if area.is_empty else _at(*_middle(area)), covered, SMALLER)
    for part in pieces.geoms:
        place, width_mm = widest(part)
        if width_mm < NARROWEST_PIECE_MM:
            raise refused(
                name, _at(*place), f"a part of it that is left beside what shares its pocket is only "
                f"{width_mm:.2f} mm wide", "move or turn one of them, or make it larger",
            )  # fmt: skip


def _at(x: float, y: float) -> str:
    return f"{x:.2f} mm along and {y:.2f} mm up from its middle"


def _middle(area: BaseGeometry) -> tuple[float, float]:
    x, y = shapely.get_coordinates(shapely.point_on_surface(area))[0].tolist()
    return x, y
