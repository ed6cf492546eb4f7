"""Face dots: pockets whose shell ends flush with the finished, radiused surface.

raw top, flat  ------------------------------   0
                    ____-------____             crown_allowance
 max s over disc  --' |         | '--           finished surface
                      |  shell  |
        pocket's floor|_________|               D
"""

import math
from dataclasses import dataclass

import numpy as np

from pearlkerf.board.model import FaceDots
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Ground
from pearlkerf.layout.limits import RIM_DIRECTIONS
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import DotRow
from pearlkerf.layout.surfaces import Crown


@dataclass(frozen=True, slots=True)
class Depths:
    """The interval of a dot's floor, mm below the blank's top at the crown, and the fall over its disc."""

    shallowest_mm: float
    deepest_mm: float
    least_fall_mm: float
    greatest_fall_mm: float


def face_dots(ground: Ground) -> tuple[Hole, ...]:
    """Give the pockets of all face dots, nut end first; a double's bass side before its treble side."""
    dots = ground.board.face_dots
    if dots is None:
        return ()
    return tuple(
        _pocket(name, number, centre, pocket_depths(ground, dots, centre), dots)
        for number in sorted(dots.frets)
        for name, centre in _centres(ground, dots, number)
    )


def _centres(ground: Ground, dots: FaceDots, number: int) -> list[tuple[str, Point]]:
    """Give names and centres: in the middle of the space, a double in the centres of its two halves."""
    x, sides = ground.middle_mm(number), ground.edges.finished
    if number not in dots.double:
        return [(f"face dot {number}", (x, 0.0))]
    low, high = (
        edge.side * (edge.half_width_mm(x) if dots.spacing_mm is None else dots.spacing_mm) / 2
        for edge in (sides.low, sides.high)
    )
    bass, treble = (low, high) if ground.edges.bass.side < 0 else (high, low)
    places = (("bass side", bass), ("treble side", treble))
    return [(f"face dot {number}, {side}", (ground.middle_mm(number, y), y)) for side, y in places]


def _pocket(name: str, number: int, centre: Point, depths: Depths, dots: FaceDots) -> Hole:
    return Hole(
        group="face dots",
        number=number,
        name=name,
        centre=centre,
        diameter_mm=dots.diameter_mm + dots.fit_mm,
        floor_mm=-depths.deepest_mm,
        shallowest_mm=-depths.shallowest_mm,
        deepest_mm=-depths.deepest_mm,
    )


def pocket_depths(ground: Ground, dots: FaceDots, centre: Point) -> Depths:
    """Give the interval of depths at which the shell ends flush everywhere after levelling.

        crown_allowance + max s + shell_left <= D <= crown_allowance + min s + t - proud

    s is taken over the shell's disc, t is the thinnest shell.  The interval is empty where the shell
    is too thin for the radius: then the shallowest exceeds the deepest.
    """
    least, greatest = fall_over_disc_mm(ground.surface, centre, dots.diameter_mm / 2)
    taken = ground.board.crown_allowance_mm
    return Depths(
        shallowest_mm=taken + greatest + dots.shell_left_mm,
        deepest_mm=taken + least + dots.thinnest_mm - dots.proud_mm,
        least_fall_mm=least,
        greatest_fall_mm=greatest,
    )


def fall_over_disc_mm(surface: Crown, centre: Point, radius_mm: float) -> tuple[float, float]:
    """Give the least and the greatest fall of the surface over a disc, mm.

    Exact on a cylinder, where the fall grows with the distance from the crown line.  On a compound
    surface the fall has no extremes inside the disc but on the crown line, so the rim is looked at.

    >>> least, greatest = fall_over_disc_mm(Crown(304.8, 304.8, 450.0), (100.0, 0.0), 3.0)
    >>> least, round(greatest, 6)
    (0.0, 0.014764)
    """
    x, y = centre[0], abs(centre[1])
    nearest = max(y - radius_mm, 0.0)
    if surface.nut_radius_mm == surface.end_radius_mm:
        return float(surface.fall_mm(x, nearest)), float(surface.fall_mm(x, y + radius_mm))
    angle = np.linspace(0.0, 2 * math.pi, RIM_DIRECTIONS, endpoint=False)
    falls = surface.fall_mm(x + radius_mm * np.cos(angle), y + radius_mm * np.sin(angle))
    return (float(falls.min()) if nearest else 0.0), float(falls.max())


def face_dot_row(ground: Ground, hole: Hole) -> DotRow:
    """Give what the bench wants to know of one face dot."""
    board, (x, y), depth = ground.board, hole.centre, -hole.floor_mm
    raw = float(ground.surface.fall_mm(x, y)) if board.state == "radiused" else 0.0
    shell = board.face_dots.thinnest_mm if board.face_dots else 0.0
    return DotRow(
        fret=hole.number,
        name=hole.name,
        x_mm=x,
        y_mm=y,
        along_mm=None,
        height_mm=None,
        depth_mm=depth,
        wood_left_mm=board.thickness_mm - depth,
        below_raw_mm=depth - shell - raw,
    )
