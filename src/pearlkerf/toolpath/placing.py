"""Moves laid where the board lies: turned and shifted, with feeds that each axis still bears."""

from collections.abc import Iterable
from dataclasses import replace

from pearlkerf.layout.model import Placement
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Machine
from pearlkerf.toolpath.feeds import straight_feed
from pearlkerf.toolpath.moves import Arc, Drill, Feed, Move, TraverseHeight

Tip = tuple[float | None, float | None, float | None]


def lay_moves(
    moves: Iterable[Move], placement: Placement, figures: CuttingFigures, machine: Machine
) -> tuple[Move, ...]:
    """Give moves of the board as moves of the machine; nothing changes where the board lies straight at zero.

    A move that is turned runs along other axes: its feed is limited anew.  Arcs bear every axis's
    limit as they are, Z is not turned.
    """
    if placement == Placement():
        return tuple(moves)
    laid = tuple(_placed(move, placement) for move in moves)
    return laid if placement.angle_deg == 0.0 else tuple(_limited(laid, figures, machine))


def _placed(move: Move, placement: Placement) -> Move:
    if isinstance(move, TraverseHeight):
        return move
    x, y = placement.to_machine((move.x_mm, move.y_mm)).tolist()
    if isinstance(move, Arc):
        centre_x, centre_y = placement.to_machine((move.centre_x_mm, move.centre_y_mm)).tolist()
        return replace(move, x_mm=x, y_mm=y, centre_x_mm=centre_x, centre_y_mm=centre_y)
    return replace(move, x_mm=x, y_mm=y)


def _limited(moves: Iterable[Move], figures: CuttingFigures, machine: Machine) -> Iterable[Move]:
    tip: Tip = (None, None, None)
    for move in moves:
        x, y, z = tip
        if isinstance(move, Feed) and x is not None and y is not None and z is not None:
            bears = straight_feed((x, y, z), (move.x_mm, move.y_mm, move.z_mm), figures, machine)
            yield replace(move, feed_mm_min=min(move.feed_mm_min, bears))
        else:
            yield move
        tip = _after(move, tip)


def _after(move: Move, tip: Tip) -> Tip:
    if isinstance(move, TraverseHeight):
        return tip[0], tip[1], move.z_mm
    if isinstance(move, Drill):
        return move.x_mm, move.y_mm, move.above_mm
    return move.x_mm, move.y_mm, move.z_mm if isinstance(move, Feed | Arc) else tip[2]
