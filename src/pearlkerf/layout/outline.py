"""The finished surface, and an edge as it stands upright: its thickness, its outline.

playing face   ____-------____      falls toward the edges
              |               |
edge's thickness              |     what is left of the board's
              |_______________|     glue face
"""

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.layout.edge import Edge
from pearlkerf.layout.ground import Ground
from pearlkerf.layout.limits import EDGE_POINTS
from pearlkerf.layout.surfaces import Crown


def surface(board: Board) -> Crown:
    """Give the finished surface."""
    return Crown(board.radius.nut_mm, board.radius.end_mm, board.length_mm)


def edge_thickness_mm(ground: Ground, edge: Edge, x_mm: float, taken_mm: float) -> float:
    """Thickness of a radiused edge at a distance from the nut end, ``taken_mm`` being off the crown."""
    fall = float(ground.surface.fall_mm(x_mm, edge.half_width_mm(x_mm)))
    return ground.board.thickness_mm - taken_mm - fall


def edge_outline(ground: Ground, edge: Edge) -> NDArray[np.float64]:
    """Give an edge as it lies in its setup, (n, 2) float, mm, counter-clockwise; read-only.

    X runs along the edge from its nut corner, Y is 0 on the glue face; the playing face lies at positive Y
    where the edge is that at low Y of the face setup (the bass edge of a right-handed board), else at negative Y.
    """
    board = ground.board
    round_top = board.state == "radiused"
    (near, _), (far, _) = edge.ends
    places = np.linspace(near, far, EDGE_POINTS if round_top else 2).tolist()
    thick = [edge_thickness_mm(ground, edge, x, 0.0) if round_top else board.thickness_mm for x in places]
    glue = np.array([(edge.along_mm(x), 0.0) for x in places])
    face = np.array([(edge.along_mm(x), y) for x, y in zip(places, thick, strict=True)])
    corners = np.concatenate([glue[[0, -1]], face[::-1]])
    outline = corners if edge.side < 0 else (corners * (1.0, -1.0))[::-1]
    outline.setflags(write=False)
    return outline
