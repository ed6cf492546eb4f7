"""Inlays: what is drawn laid on the board, cut into its parts, and how deep the pocket of each is.

raw top, flat  ------------------------------   0
                    ____-------____             crown_allowance
max s over a part --' |  piece  | '--           finished surface
                      |         |
        pocket's floor|_________|               D

A level floor keeps  crown_allowance + max s + shell_left <= D <= crown_allowance + min s + t - proud,  s over the
part's outline, t its thinnest piece; one that follows the face has the same depth below it everywhere, and s drops
out.  The largest such D is taken, as for dots.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import affinity

from pearlkerf.board.inlays import Inlay, drawn_beside
from pearlkerf.board.model import Board
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.drawings import Drawings
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.ground import Ground, Laid
from pearlkerf.layout.groups import INLAYS
from pearlkerf.layout.inlay_blocks import filling
from pearlkerf.layout.inlay_parts import Falls, InlayPart, Piece
from pearlkerf.layout.limits import FALL_STEP_MM, JOINED_MM
from pearlkerf.layout.lines import Point
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.outlines.region import Region


@dataclass(frozen=True, slots=True)
class Place:
    """One of the places of an inlay: what it adds to its name, and where the middle of its box lies."""

    name: str
    at: Point


@dataclass(frozen=True, slots=True)
class Drawn:
    """One connected part of an inlay at a place, ``region`` about that place's middle."""

    inlay: Inlay
    place: Place
    region: shapely.Polygon

    @property
    def on_board(self) -> shapely.Polygon:
        """Give it where it lies."""
        return affinity.translate(self.region, *self.place.at)


@dataclass(frozen=True, slots=True)
class LaidInlays:
    """All pockets, from the nut end on, and what every inlay encloses, by its index; none of blocks that fill."""

    parts: tuple[InlayPart, ...]
    regions: Mapping[int, Region]


def lay_inlays(laid: Laid, files: Mapping[str, bytes], drawings: Drawings) -> tuple[LaidInlays, list[Problem]]:
    """Lay all inlays on a board; one that cannot be drawn is told and left out."""
    problems: list[Problem] = []
    regions, drawn = dict[int, Region](), list[Drawn]()
    for inlay in laid.board.inlays:
        try:
            if not inlay.fills:
                regions[inlay.index] = drawings.region(inlay, files, drawn_beside(inlay, laid.board.inlays))
            drawn += _drawn(laid, inlay, regions.get(inlay.index))
        except Refusal as refusal:
            problems += refusal.problems
    parts = [*_own_pockets(laid, drawn), *_shared_pockets(laid, drawn)]
    problems += _apart_from_host(drawn, parts)
    return LaidInlays(tuple(_numbered(parts)), regions), problems


def places(ground: Ground, inlay: Inlay) -> tuple[Place, ...]:
    """Give where an inlay lies: a left hand mirrors the place."""
    y = -ground.edges.bass.side * inlay.across_mm + 0.0
    if inlay.along_mm is not None:
        return (Place("", (inlay.along_mm, y)),)
    spaces = [Place(f" {number}", (ground.middle_mm(number, y), y)) for number in inlay.frets]
    return *spaces, *(Place(f" on {number}", (ground.line(number).x_mm(y), y)) for number in inlay.on_frets)


def _drawn(laid: Laid, inlay: Inlay, whole: Region | None) -> Iterator[Drawn]:
    """Give every part of an inlay at each of its places, divided into its strips."""
    for place in places(laid, drawn_beside(inlay, laid.board.inlays) or inlay):
        if whole is not None:
            yield from (Drawn(inlay, place, part) for part in strips_of(whole.parts, inlay.strips))
            continue
        number = int(place.name)
        block = filling(laid, inlay, number)
        (low_x, low_y, high_x, high_y) = block.bounds
        own = Place(place.name, ((low_x + high_x) / 2, (low_y + high_y) / 2))
        here = affinity.translate(block, -own.at[0], -own.at[1])
        yield from (Drawn(inlay, own, part) for part in strips_of((here,), inlay.strips))


def strips_of(parts: Sequence[shapely.Polygon], count: int) -> tuple[shapely.Polygon, ...]:
    """Divide a drawing along the board into as many strips of equal width; from low X to high X, then from low Y."""
    if count > 1:
        low_x, low_y, high_x, high_y = shapely.total_bounds(np.array(parts)).tolist()
        lines = np.linspace(low_y, high_y, count + 1).tolist()
        bands = [shapely.box(low_x, low, high_x, high) for low, high in pairwise(lines)]
        cut = shapely.get_parts(shapely.intersection(np.array(parts)[:, None], np.array(bands)[None, :]).ravel())
        parts = [each for each in cut if each.geom_type == "Polygon" and each.area > 0]
    return tuple(sorted(parts, key=lambda part: part.bounds))


def _own_pockets(ground: Ground, drawn: Sequence[Drawn]) -> Iterator[InlayPart]:
    """Give the pockets that one inlay has to itself."""
    shared = {each.inlay.set_in for each in drawn if each.inlay.set_in}
    alone = [each for each in drawn if not each.inlay.set_in and each.inlay.called not in shared]
    for name, each in _named(alone):
        yield _part(ground, name, each, each.region, (_piece(ground, each, name),))


def _named(drawn: Sequence[Drawn]) -> Iterator[tuple[str, Drawn]]:
    """Name all that is drawn by inlay, place, and the part where there are several."""
    groups: dict[tuple[int, Place], list[Drawn]] = {}
    for each in drawn:
        groups.setdefault((each.inlay.index, each.place), []).append(each)
    for (_, place), members in groups.items():
        for number, each in enumerate(members, 1):
            yield f"{each.inlay.called}{place.name}" + (f"/{number}" if len(members) > 1 else ""), each


def _shared_pockets(ground: Ground, drawn: Sequence[Drawn]) -> Iterator[InlayPart]:
    """Give the pockets that several inlays share: the union of what touches, under the name of the one set in."""
    for host in dict.fromkeys(each.inlay.set_in for each in drawn if each.inlay.set_in):
        names = [(name, each) for name, each in _named(drawn) if host in (each.inlay.called, each.inlay.set_in)]
        members = [each for _, each in names]
        whole = _joined([each.on_board for each in members])
        for place in dict.fromkeys(each.place for each in members if each.inlay.called == host):
            here = [area for area in whole if any(_meets(area, each) for each in members
                                                  if each.inlay.called == host and each.place == place)]  # fmt: skip
            for number, area in enumerate(here, 1):
                inside = [(called, each) for called, each in names if _meets(area, each)]
                first = next(each for _, each in inside if each.inlay.called == host)
                name = f"{host}{place.name}" + (f"/{number}" if len(here) > 1 else "")
                pieces = tuple(_piece(ground, each, called) for called, each in inside)
                about = _sound(affinity.translate(area, -place.at[0], -place.at[1]))
                yield _part(ground, name, replace(first, place=place), about, pieces)
            whole = [area for area in whole if not any(area is other for other in here)]


def _joined(areas: Sequence[shapely.Polygon]) -> list[shapely.Polygon]:
    """Join areas that touch within JOINED_MM: lines that two drawings share are chorded by each in its own way."""
    grown = shapely.union_all([shapely.buffer(area, JOINED_MM, join_style="mitre") for area in areas])
    joined = shapely.get_parts(shapely.buffer(grown, -JOINED_MM, join_style="mitre"))
    return sorted(joined, key=lambda part: part.bounds)


def _sound(area: shapely.Polygon) -> shapely.Polygon:
    """Give an area whose edge crosses itself nowhere, as it may by binary fractions in a tip once it is moved."""
    if area.is_valid:
        return area
    parts = shapely.get_parts(shapely.make_valid(area, method="structure", keep_collapsed=False))
    return max((each for each in parts if isinstance(each, shapely.Polygon)), key=lambda each: float(each.area))


def _meets(area: shapely.Polygon, each: Drawn) -> bool:
    return bool(shapely.intersection(area, each.on_board).area > each.on_board.area / 2)


def _apart_from_host(drawn: Sequence[Drawn], parts: Sequence[InlayPart]) -> Iterator[Problem]:
    """Whatever is set in another inlay must touch it."""
    inside = {(piece.inlay.index, piece.region.bounds) for part in parts for piece in part.pieces}
    guests = [each for each in drawn if each.inlay.set_in]
    alone = [each.inlay for each in guests if (each.inlay.index, each.on_board.bounds) not in inside]
    for inlay in dict.fromkeys(alone):
        yield Problem(key=inlay.key("set_in"), found=f"some of {inlay.called} does not touch {inlay.set_in}",
                      allowed="inlays that meet", hint="move one of them, or leave set_in out")  # fmt: skip


def _piece(ground: Ground, each: Drawn, name: str) -> Piece:
    return Piece(each.inlay, name, each.on_board, falls_mm(ground.surface, each.on_board))


def falls_mm(surface: Crown, area: shapely.Polygon) -> Falls:
    """Give the least and the greatest fall of a surface over an area.

    The fall has no extremes inside it but on the crown line, where it is 0; along its edge it is looked at every
    FALL_STEP_MM, which on a cylinder is exact.
    """
    if math.isinf(surface.nut_radius_mm):
        return Falls(0.0, 0.0)
    falls = surface.fall_mm(*shapely.get_coordinates(shapely.segmentize(area, FALL_STEP_MM)).T)
    over_crown = area.bounds[1] < 0 < area.bounds[3]
    return Falls(0.0 if over_crown else float(falls.min()), float(falls.max()))


def thickness_mm(board: Board, inlay: Inlay) -> tuple[float, float]:
    """Give how thick an inlay's pieces are, thinnest and thickest; a board file says it for each."""
    return inlay.thickness_of(board.inlay_blanks)


def depths_mm(board: Board, piece: Piece) -> tuple[float, float]:
    """Give the least and the greatest depth of a pocket for a piece, below the blank's top on the crown line.

    The least is the greater where the piece is too thin for the radius.
    """
    inlay, falls = piece.inlay, Falls(0.0, 0.0) if piece.inlay.floor == "follow" else piece.falls
    taken, thinnest = board.crown_allowance_mm, thickness_mm(board, inlay)[0]
    return taken + falls.greatest_mm + inlay.shell_left_mm, taken + falls.least_mm + thinnest - inlay.proud_mm


def _part(ground: Ground, name: str, first: Drawn, about: shapely.Polygon, pieces: tuple[Piece, ...]) -> InlayPart:
    depths = [depths_mm(ground.board, piece) for piece in pieces]
    shallowest, deepest = max(least for least, _ in depths), min(greatest for _, greatest in depths)
    floor = Floor(-deepest, ground.surface if first.inlay.floor == "follow" else None)
    area = affinity.translate(about, *first.place.at)
    pocket = Pocket(INLAYS, 0, name, area, floor, shallowest_mm=-shallowest, deepest_mm=-deepest)
    return InlayPart(pocket, first.inlay, first.place.at, about, pieces)


def _numbered(parts: Sequence[InlayPart]) -> Iterator[InlayPart]:
    """Number pockets from the nut end on, of equal places from low Y on."""
    ordered = sorted(parts, key=lambda part: (part.pocket.region.bounds, part.pocket.name))
    for number, part in enumerate(ordered, 1):
        yield replace(part, pocket=replace(part.pocket, number=number))
