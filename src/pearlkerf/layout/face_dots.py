"""Face dots: pockets whose shell ends flush with the finished, radiused surface.

raw top, flat  ------------------------------   0
                    ____-------____             crown_allowance
 max s over disc  --' |         | '--           finished surface
                      |  shell  |
        pocket's floor|_________|               D
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from pearlkerf.board.model import FaceDots
from pearlkerf.layout.features import Hole
from pearlkerf.layout.frets import fret_line
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
    """Give names and centres, bass side first: in the middle of the space, on the centre line or beside it."""
    middle = _middle(ground, dots, number)
    two, three = number in dots.double, number in dots.triple
    if not two and not three:
        return [(f"face dot {number}", middle)]
    low, high = _beside(ground, dots, number, middle, three)
    bass, treble = (low, high) if ground.edges.bass.side < 0 else (high, low)
    places = (("bass side", bass), *((("middle", middle),) if three else ()), ("treble side", treble))
    return [(f"face dot {number}, {side}", centre) for side, centre in places]


def _middle(ground: Ground, dots: FaceDots, number: int) -> Point:
    """Give where the one dot of a space lies, or the middle of several."""
    if (number in dots.double or number in dots.triple) and dots.spacing_mm is None:
        return ground.middle_mm(number), 0.0  # they lie on both sides of the centre line
    if dots.between:
        ends = [between_strings(ground, dots.between, each) for each in (ground.before(number), number)]
        return (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    y = -ground.edges.bass.side * dots.across_mm if dots.across_mm else 0.0
    return ground.middle_mm(number, y), y


def between_strings(ground: Ground, side: str, number: int) -> Point:
    """Give where the line midway between the two outer strings of a side crosses a fret."""
    board = ground.board
    count = 0 if board.strings is None else board.strings.count
    line = fret_line(board, number, ground.line(number).x_mm())
    of_bass = 1 / (2 * (count - 1))  # of the way from the bass string to the treble string
    share = of_bass if (side == "bass") == (ground.edges.bass.side < 0) else 1 - of_bass
    (x, y), (far_x, far_y) = line.start, line.end
    return x + (far_x - x) * share, y + (far_y - y) * share


def _beside(ground: Ground, dots: FaceDots, number: int, middle: Point, three: bool) -> tuple[Point, Point]:
    """Give the centres on both sides: in the halves of the width, as asked for, or one the other's mirror."""
    x, sides = ground.middle_mm(number), ground.edges.finished
    if dots.spacing_mm is not None:
        away = dots.spacing_mm if three else dots.spacing_mm / 2
        low, high = middle[1] - away, middle[1] + away
    elif dots.off_centre:
        off = abs(_middle(ground, replace(dots, double=(), triple=()), number)[1])
        low, high = -off, off
    else:
        low, high = (edge.side * edge.half_width_mm(x) / 2 for edge in (sides.low, sides.high))
    return (ground.middle_mm(number, low), low), (ground.middle_mm(number, high), high)


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
