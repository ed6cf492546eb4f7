"""Face dots: pockets whose shell ends flush with the finished, radiused surface."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board, FaceDots
from pearlkerf.layout.frets import middle_mm
from pearlkerf.layout.model import Crown, DotRow, Hole, Point
from pearlkerf.layout.outline import half_width_mm

# points on a dot's rim at which a compound surface is looked at; between them the fall differs by < 1e-6 mm
RIM_POINTS = 3600


@dataclass(frozen=True, slots=True)
class Depths:
    """The interval of a dot's floor, mm below the blank's top at the crown, and the fall over its disc."""

    shallowest_mm: float
    deepest_mm: float
    least_fall_mm: float
    greatest_fall_mm: float


def face_dots(board: Board, surface: Crown, frets_mm: NDArray[np.float64]) -> tuple[Hole, ...]:
    """Give the pockets of all face dots, nut end first; a double's bass side before its treble side."""
    dots = board.face_dots
    if dots is None:
        return ()
    return tuple(
        _pocket(board, dots, surface, number, name, centre)
        for number in sorted(dots.frets)
        for name, centre in _centres(board, dots, number, middle_mm(frets_mm, number))
    )


def _centres(board: Board, dots: FaceDots, number: int, x: float) -> list[tuple[str, Point]]:
    if number not in dots.double:
        return [(f"face dot {number}", (x, 0.0))]
    away = half_width_mm(board, x) / 2 if dots.spacing_mm is None else dots.spacing_mm / 2
    bass = -away if board.hand == "right" else away
    return [(f"face dot {number}, bass side", (x, bass)), (f"face dot {number}, treble side", (x, -bass))]


def _pocket(board: Board, dots: FaceDots, surface: Crown, number: int, name: str, centre: Point) -> Hole:
    depths = pocket_depths(board, dots, surface, centre)
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


def pocket_depths(board: Board, dots: FaceDots, surface: Crown, centre: Point) -> Depths:
    """Give the interval of depths at which the shell ends flush everywhere after levelling.

    With shell of thickness t that stands ``proud`` where the surface is highest under it:
    crown_allowance + max s + shell_left <= D <= crown_allowance + min s + t - proud.
    The interval is empty where the shell is too thin: then shallowest exceeds deepest.
    """
    least, greatest = fall_over_disc_mm(surface, centre, dots.diameter_mm / 2)
    taken = board.crown_allowance_mm
    return Depths(
        shallowest_mm=taken + greatest + dots.shell_left_mm,
        deepest_mm=taken + least + dots.thinnest_mm - dots.proud_mm,
        least_fall_mm=least,
        greatest_fall_mm=greatest,
    )


def fall_over_disc_mm(surface: Crown, centre: Point, radius_mm: float) -> tuple[float, float]:
    """Give the least and the greatest fall of the surface over a disc, mm.

    >>> least, greatest = fall_over_disc_mm(Crown(304.8, 304.8, 450.0), (100.0, 0.0), 3.0)
    >>> least, round(greatest, 6)
    (0.0, 0.014764)
    """
    angle = np.linspace(0.0, 2 * math.pi, RIM_POINTS, endpoint=False)
    falls = surface.fall_mm(centre[0] + radius_mm * np.cos(angle), centre[1] + radius_mm * np.sin(angle))
    least = 0.0 if abs(centre[1]) <= radius_mm else float(falls.min())
    return least, float(falls.max())


def face_dot_row(board: Board, hole: Hole) -> DotRow:
    """Give what the bench wants to know of one face dot."""
    depth = -hole.floor_mm
    x, y = hole.centre
    return DotRow(hole.number, hole.name, x, y, None, None, depth, board.thickness_mm - depth)
