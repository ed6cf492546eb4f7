"""Side dots: holes in the bass edge, all at one height that stays clear of the radiused surface."""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board, SideDots
from pearlkerf.layout.features import Hole
from pearlkerf.layout.frets import middle_mm
from pearlkerf.layout.model import DotRow
from pearlkerf.layout.outline import edge_angle_rad, edge_thickness_mm, half_width_mm


def side_dots(board: Board, frets_mm: NDArray[np.float64]) -> tuple[Hole, ...]:
    """Give the holes of all side dots in the edge setup's axes, nut end first."""
    dots = board.side_dots
    if dots is None or not dots.frets:
        return ()
    height = side_dot_height_mm(board, dots, frets_mm)
    y = height if board.hand == "right" else -height
    return tuple(
        _hole(dots, number, name, along, y)
        for number in sorted(dots.frets)
        for name, along in _places(board, dots, number, frets_mm)
    )


def _hole(dots: SideDots, number: int, name: str, along: float, y: float) -> Hole:
    return Hole(
        group="side dots",
        number=number,
        name=name,
        centre=(along, y),
        diameter_mm=dots.diameter_mm + dots.fit_mm,
        floor_mm=-dots.depth_mm,
        shallowest_mm=-dots.depth_mm,
        deepest_mm=-dots.depth_mm,
    )


def _places(board: Board, dots: SideDots, number: int, frets_mm: NDArray[np.float64]) -> list[tuple[str, float]]:
    """Give names and distances along the edge: on a tapered board 1/cos of its angle longer."""
    along = middle_mm(frets_mm, number) / math.cos(edge_angle_rad(board))
    if number not in dots.double:
        return [(f"side dot {number}", along)]
    away = dots.pair_spacing_mm / 2
    return [(f"side dot {number}, nut side", along - away), (f"side dot {number}, bridge side", along + away)]


def centre_line_x_mm(board: Board, hole: Hole) -> float:
    """Give a side dot's distance from the nut end along the centre line."""
    return hole.centre[0] * math.cos(edge_angle_rad(board))


def height_interval_mm(board: Board, dots: SideDots, frets_mm: NDArray[np.float64]) -> tuple[float, float]:
    """Give the least and the greatest height above the glue face that serves every dot, mm.

        d/2 + margin <= h <= edge thickness - d/2 - margin

    with the finished edge's thickness at every dot.  The interval is empty where the edge is too thin.
    """
    needed = dots.diameter_mm / 2 + dots.margin_mm
    return needed, min(_finished_edges_mm(board, dots, frets_mm)) - needed


def side_dot_height_mm(board: Board, dots: SideDots, frets_mm: NDArray[np.float64]) -> float:
    """Give the one height of all side dots above the glue face, mm.

    "auto" is the mean of the largest and the smallest middle of the finished edge at the dots,
    clamped into the interval that serves every dot.
    """
    if dots.height_mm is not None:
        return dots.height_mm
    middles = [edge / 2 for edge in _finished_edges_mm(board, dots, frets_mm)]
    low, high = height_interval_mm(board, dots, frets_mm)
    return max(low, min(high, (max(middles) + min(middles)) / 2))


def _finished_edges_mm(board: Board, dots: SideDots, frets_mm: NDArray[np.float64]) -> list[float]:
    """Give the finished edge's thickness at every hole."""
    cosine = math.cos(edge_angle_rad(board))
    along = [place for number in dots.frets for _, place in _places(board, dots, number, frets_mm)]
    return [edge_thickness_mm(board, place * cosine, board.crown_allowance_mm) for place in along]


def side_dot_row(board: Board, hole: Hole) -> DotRow:
    """Give what the bench wants to know of one side dot; wood left is the least beside the hole's wall."""
    x = centre_line_x_mm(board, hole)
    half, height = half_width_mm(board, x), abs(hole.centre[1])
    above = edge_thickness_mm(board, x, board.crown_allowance_mm) - height
    return DotRow(
        fret=hole.number,
        name=hole.name,
        x_mm=x,
        y_mm=-half if board.hand == "right" else half,
        along_mm=hole.centre[0],
        height_mm=height,
        depth_mm=-hole.floor_mm,
        wood_left_mm=min(height, above) - hole.diameter_mm / 2,
    )
