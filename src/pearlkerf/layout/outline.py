"""The board's tapered outline, its edges, and the wood on the machine.

          nut end                           bridge end
bass    +---------___________
        |                    ---------------+      edge: straight, at an angle to the centre line
centre  + - - - - - - - - - - - - - - - - - +  x
        |        ___________----------------+
treble  +--------
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pearlkerf.board.model import Board
from pearlkerf.layout.limits import EDGE_POINTS
from pearlkerf.layout.surfaces import Crown


def surface(board: Board) -> Crown:
    """Give the finished surface."""
    return Crown(board.radius.nut_mm, board.radius.end_mm, board.length_mm)


def half_width_mm(board: Board, x_mm: float) -> float:
    """Half of the finished width at a distance from the nut end; the taper is straight."""
    share = x_mm / board.length_mm
    return (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * share) / 2


def core_half_width_mm(board: Board, x_mm: float) -> float:
    """Half of the width inside the binding, the finished half width where there is none.

    Square to the edge a binding is t thick, square to the centre line t / cos(angle of the edge).
    """
    if board.binding is None:
        return half_width_mm(board, x_mm)
    return half_width_mm(board, x_mm) - board.binding.thickness_mm / math.cos(edge_angle_rad(board))


def edge_angle_rad(board: Board) -> float:
    """Angle between an edge and the centre line, atan((b - a) / 2 L) for widths a and b; by similar triangles.

    >>> from pearlkerf.board.model import Scale
    >>> board = Board("", Scale(650, 20), 460.0, 52.0, 62.0, 6.0)
    >>> round(math.degrees(edge_angle_rad(board)), 6)
    0.622756
    """
    return math.atan((board.end_width_mm - board.nut_width_mm) / 2 / board.length_mm)


def edge_thickness_mm(board: Board, x_mm: float, taken_mm: float) -> float:
    """Thickness of the radiused edge at a distance from the nut end, ``taken_mm`` being off the crown.

    >>> from pearlkerf.board.model import Radius, Scale
    >>> board = Board("", Scale(650, 20), 460.0, 44.45, 44.45, 6.35, Radius(304.8, 304.8))
    >>> round(edge_thickness_mm(board, 100.0, 0.0), 6)
    5.538634
    """
    fall = float(surface(board).fall_mm(x_mm, half_width_mm(board, x_mm)))
    return board.thickness_mm - taken_mm - fall


def outline(board: Board) -> NDArray[np.float64]:
    """Give the finished outline, (4, 2) float, mm, counter-clockwise from the nut end at low Y."""
    nut, end, length = board.nut_width_mm / 2, board.end_width_mm / 2, board.length_mm
    return _read_only([[0.0, -nut], [length, -end], [length, end], [0.0, nut]])


def core_outline(board: Board) -> NDArray[np.float64]:
    """Give the outline inside the binding, (4, 2) float, mm, counter-clockwise from the nut end at low Y."""
    length = board.length_mm
    nut, end = core_half_width_mm(board, 0.0), core_half_width_mm(board, length)
    return _read_only([[0.0, -nut], [length, -end], [length, end], [0.0, nut]])


def wood_outline(board: Board) -> NDArray[np.float64]:
    """Give the wood on the machine in the face setup: the blank, the core of a binding still to come, or the board."""
    if board.blank is None:
        return core_outline(board) if _bound_after(board) else outline(board)
    half = board.blank.width_mm / 2
    left, right = -board.blank.beyond_nut_mm, board.length_mm + board.blank.beyond_end_mm
    return _read_only([[left, -half], [right, -half], [right, half], [left, half]])


def wood_half_width_mm(board: Board, x_mm: float) -> float:
    """Half of the width of the wood on the machine at a distance from the nut end."""
    if board.blank is not None:
        return board.blank.width_mm / 2
    return core_half_width_mm(board, x_mm) if _bound_after(board) else half_width_mm(board, x_mm)


def _bound_after(board: Board) -> bool:
    return board.binding is not None and board.binding.put_on == "after"


def along_edge_mm(board: Board, x_mm: float) -> float:
    """Give how far from the nut corner, along the edge, a distance along the centre line lies."""
    return x_mm / math.cos(edge_angle_rad(board))


def edge_outline(board: Board) -> NDArray[np.float64]:
    """Give the bass edge as it lies in the edge setup, (n, 2) float, mm, counter-clockwise.

    X runs along the edge from its nut corner, Y is 0 on the glue face; the playing face lies at
    positive Y on a right-handed board and at negative Y on a left-handed one.
    """
    x = np.linspace(0.0, board.length_mm, EDGE_POINTS if board.state == "radiused" else 2)
    thick = [edge_thickness_mm(board, each, 0.0) if board.state == "radiused" else board.thickness_mm
             for each in x.tolist()]  # fmt: skip
    along = x / math.cos(edge_angle_rad(board))
    glue = np.stack([along, np.zeros_like(along)], axis=-1)
    face = np.stack([along, np.array(thick)], axis=-1)
    corners = np.concatenate([glue[[0, -1]], face[::-1]])
    return _read_only(corners if board.hand == "right" else (corners * (1.0, -1.0))[::-1])


def _read_only(points: ArrayLike) -> NDArray[np.float64]:
    array = np.array(points, dtype=np.float64)
    array.setflags(write=False)
    return array
