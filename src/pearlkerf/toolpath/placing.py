"""Moves laid where the board lies: turned and shifted."""

from collections.abc import Iterable
from dataclasses import replace

from pearlkerf.layout.model import Placement
from pearlkerf.toolpath.moves import Arc, Move, TraverseHeight


def lay_moves(moves: Iterable[Move], placement: Placement) -> tuple[Move, ...]:
    """Give moves of the board as moves of the machine; Z is not turned.

    Feeds stay as they are: those of the cutting figures are such that X and Y bear them either way.
    """
    if placement == Placement():
        return tuple(moves)
    return tuple(_placed(move, placement) for move in moves)


def _placed(move: Move, placement: Placement) -> Move:
    if isinstance(move, TraverseHeight):
        return move
    x, y = placement.to_machine((move.x_mm, move.y_mm)).tolist()
    if isinstance(move, Arc):
        centre_x, centre_y = placement.to_machine((move.centre_x_mm, move.centre_y_mm)).tolist()
        return replace(move, x_mm=x, y_mm=y, centre_x_mm=centre_x, centre_y_mm=centre_y)
    return replace(move, x_mm=x, y_mm=y)
