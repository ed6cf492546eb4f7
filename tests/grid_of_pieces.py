"""Ten outlines as drawings on one board: what pieces and pockets of them must fit, for three pairs of cutters."""

import functools
import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity

from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.jobs.making import make_programs
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.reading.motions import Finding, ProgramText
from pearlkerf.setups.piece_setups import USUAL_APART_MM
from pearlkerf.setups.selection import Choice
from plain_fit import Fits, cuts, fits, in_pocket, places_of, settled
from pockets import a_dumbbell, a_leaf, a_star, a_vine

BOARD = """\
unit = "mm"
title = "Ten outlines"
[scale]
length = 648
frets = 2
[board]
wood = "ebony"
length = 440
nut_width = 46
end_width = 60
thickness = 6.5
[[inlay_blank]]
material = "{material}"
thickness = 1.6
length = 90
width = 45
count = 20
hold = "{hold}"
"""
INLAY = """\
[[inlay]]
outline = "{name}.svg"
name = "{name}"
along = {along}
gap = {gap}
proud = 0.1
detail = 9
material = "{material}"
corners = "{corners}"
pocket_cutter = {pocket}
piece_cutter = {piece}
"""
FROM_MM, APART_MM, BLANK_MM = 85.0, 4.0, 90.0
# a corner of which a cutter leaves no more than this is none; so much beside the others is not asked either
LEFT_MM, BESIDE_MM = 0.03, 0.15


def _disc(radius_mm: float, corners: int = 96) -> shapely.Polygon:
    turn = np.arange(corners) * 2 * math.pi / corners
    return shapely.Polygon(radius_mm * np.column_stack([np.cos(turn), np.sin(turn)]))


def _teeth(outer_mm: float, inner_mm: float, count: int) -> shapely.Polygon:
    turn = np.arange(2 * count) * math.pi / count
    away = np.where(np.arange(2 * count) % 2, inner_mm, outer_mm)
    return shapely.Polygon(np.column_stack([away * np.cos(turn), away * np.sin(turn)]))


def _heart() -> shapely.Polygon:
    turn = np.linspace(0, 2 * math.pi, 240, endpoint=False)
    across = 16 * np.sin(turn) ** 3
    up = 13 * np.cos(turn) - 5 * np.cos(2 * turn) - 2 * np.cos(3 * turn) - np.cos(4 * turn)
    return shapely.Polygon(0.5 * np.column_stack([across, up]))


def _cross() -> shapely.Polygon:
    return shapely.union_all([shapely.box(-7, -2, 7, 2), shapely.box(-2, -7, 2, 7)])


def _islands() -> shapely.Geometry:
    """Give a plate with two sharp holes, in one of which an island stands."""
    plate = shapely.box(-11, -7, 11, 7)
    holes = affinity.translate(_teeth(5, 2.6, 4), -5, 0), affinity.translate(_teeth(4.5, 2.4, 3), 6, 0)
    return shapely.union_all([plate.difference(shapely.union_all(holes)), affinity.translate(_disc(1.1), -5, 0)])


DRAWN = {
    "star": a_star,
    "ring": lambda: _disc(6.5).difference(_disc(3.4)),
    "cross": _cross,
    "leaf": lambda: affinity.scale(a_leaf(), 0.6, 0.6, origin=(0, 0)),
    "jagged": lambda: _teeth(8, 6.2, 17),
    "islands": _islands,
    "vine": a_vine,
    "heart": _heart,
    "neck": lambda: affinity.scale(a_dumbbell(), 0.8, 0.8, origin=(0, 0)),
    "points": lambda: _teeth(9, 2.2, 3),
}  # fmt: skip


def as_svg(drawn: shapely.Geometry) -> bytes:
    """Give a drawing in its own size, its lines as they are."""
    west, south, east, north = drawn.bounds
    rings = [ring for part in shapely.get_parts(drawn) for ring in (part.exterior, *part.interiors)]
    path = " ".join(
        "M" + " L".join(f"{x - west:.4f} {north - y:.4f}" for x, y in shapely.get_coordinates(ring)[:-1]) + " Z"
        for ring in rings
    )
    wide, high = f"{east - west:.4f}", f"{north - south:.4f}"
    size = f'width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><path fill-rule="evenodd" d="{path}"/></svg>'.encode()


def beside(name: str) -> bytes:
    """Give the drawing that a board names."""
    return as_svg(DRAWN[name.removesuffix(".svg")]())


@dataclass(frozen=True)
class Asked:
    """What is made: on which machine, of which outlines, by which pair of cutters (pocket's, piece's), how held."""

    profile: str = "benchtop-arcs"
    pair: tuple[int, int] = (1, 1)
    gap_mm: float = 0.05
    hold: str = "tape"
    corners: str = "rounded"
    names: tuple[str, ...] = tuple(DRAWN)
    material: str = "abalone"
    before: str = ""  # of the board file, put in front of its inlays


def middles(names: tuple[str, ...]) -> dict[str, float]:
    """Give where along the board the middles of outlines lie: beside each other, beyond its two frets."""
    found, along = {}, FROM_MM
    for name in names:
        west, _, east, _ = DRAWN[name]().bounds
        found[name] = round(along + (east - west) / 2, 3)
        along += east - west + APART_MM
    return found


def board(asked: Asked) -> str:
    """Give the board file."""
    text = asked.before + BOARD.format(hold=asked.hold, material=asked.material)
    for name, along in middles(asked.names).items():
        text += INLAY.format(name=name, along=along, gap=asked.gap_mm, corners=asked.corners, pocket=asked.pair[0],
                             piece=asked.pair[1], material=asked.material)  # fmt: skip
    return text


@functools.cache
def look(asked: Asked) -> way.Look:
    """Give the board, read."""
    found = way.look(board(asked), beside)
    assert found.problems == (), found.problems
    return found


def machine_of(asked: Asked) -> Machine:
    """Give the machine."""
    return read_machine(asked.profile)


@functools.cache
def made(asked: Asked) -> tuple[tuple[ProgramText, ...], tuple[ProgramText, ...]]:
    """Give the programs of its pockets, and those of its pieces."""
    machine = machine_of(asked)
    pockets = way.plan(look(asked), machine, way.Order(Choice(only=("inlays",))))
    pieces = way.plan_pieces(look(asked), machine, PiecesWish())
    return tuple(
        tuple(ProgramText(f"{folder}{each.file}", each.text) for each in make_programs(job, "test"))
        for folder, job in (("", pockets), ("pieces/", pieces))
    )  # type: ignore[return-value]


def by_the_rule(asked: Asked) -> tuple[Finding, ...]:
    """Give what the proof finds of pockets and pieces together."""
    pockets, pieces = made(asked)
    machine = machine_of(asked)
    return way.prove(look(asked), machine, [*pockets, *pieces], NOBODY_ASSUMED).verdict.findings


def by_plain_distances(asked: Asked) -> dict[str, Fits]:
    """Give how each piece lies in its pocket; of corners that are left to the chisel nothing is asked.

    A small piece all of whose edge is beside such corners is left out.
    """
    pockets, pieces = ([each.text.decode() for each in programs] for programs in made(asked))
    radii = {each.number: each.radius_mm for each in machine_of(asked).cutters}
    taken, places, found = cuts(pockets, radii), places_of(pieces), {}
    for name, cut in cuts(pieces, radii, over_tabs=asked.hold == "tabs").items():
        most, least = in_pocket(cut, places, BLANK_MM + USUAL_APART_MM, taken[name])
        exempt = shapely.Polygon()
        if asked.corners == "by hand":
            exempt = corners_of(asked, name.partition("/")[0], radii[asked.pair[0]], most)
            if exempt.covers(most.boundary):
                continue
            by = settled(most, taken[name], asked.gap_mm, exempt)
            most, least = (affinity.translate(each, *by) for each in (most, least))
        found[name] = fits(most, least, taken[name], exempt)
    return found


def corners_of(asked: Asked, name: str, radius_mm: float, piece: shapely.Geometry) -> shapely.Geometry:
    """Give discs round the corners of an outline where it lies on the board, as far as a chisel comes.

    They are what discs of the cutter's radius leave of it; each reaches as far from its tip as anything left there: of
    straight sides that part by 2 t, r / tan t; of a heart's, which bend, less.
    """
    drawn = DRAWN[name]()
    west, south, east, north = drawn.bounds
    placed = affinity.translate(drawn, middles(asked.names)[name] - (west + east) / 2, -(south + north) / 2)
    own = max(shapely.get_parts(placed), key=lambda part: part.intersection(piece).area)
    reached = own.buffer(-radius_mm, quad_segs=64).buffer(radius_mm * 1.0005, quad_segs=64)
    discs = []
    for left in shapely.get_parts(own.difference(reached)):
        places = shapely.get_coordinates(left)
        away = shapely.distance(reached, shapely.points(places))
        tip = places[away.argmax()]
        if away.max() > LEFT_MM:
            discs.append(shapely.Point(tip).buffer(np.hypot(*(places - tip).T).max() + BESIDE_MM))
    return shapely.union_all(discs)
