"""Fret slots: where they run and how deep.

crown_allowance    ______-------______     raw top, flat
                  |  .---------------. |   finished surface, s(y) below the crown
depth             | '                 '|
                  |  .---------------. |   floor that follows: crown_allowance + s(y) + depth
"level" -----------'-----------------'--   level floor: the largest s of the slot
"""

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board, FretSlots
from pearlkerf.layout.features import Slot
from pearlkerf.layout.outline import core_half_width_mm, wood_half_width_mm
from pearlkerf.layout.surfaces import Crown, Floor


def fret_slots(board: Board, surface: Crown, frets_mm: NDArray[np.float64]) -> tuple[Slot, ...]:
    """Give all slots, fret 1 first; none where the board has no table of them."""
    if board.fret_slots is None:
        return ()
    return tuple(_slot(board, board.fret_slots, surface, n, float(x)) for n, x in enumerate(frets_mm, 1))


def _slot(board: Board, slots: FretSlots, surface: Crown, number: int, x: float) -> Slot:
    """Through slots leave the wood on the machine at both ends; stopped ones end inside the outline and its binding."""
    half, through = core_half_width_mm(board, x), slots.ends == "through"
    inside = half if through else half - slots.margin_mm
    reach = wood_half_width_mm(board, x) if through else inside
    crown_z = -(board.crown_allowance_mm + slots.depth_mm)
    if slots.floor == "follow":
        floor = Floor(crown_z, surface)
    else:
        floor = Floor(crown_z - float(surface.fall_mm(x, max(inside, 0.0))))
    return Slot(
        group="frets",
        number=number,
        name=f"fret {number}",
        start=(x, -reach),
        end=(x, reach),
        width_mm=slots.width_mm + slots.fit_mm,
        floor=floor,
        through=through,
    )


def deepest_mm(board: Board, slot: Slot) -> float:
    """Give the lowest point of a slot's floor inside outline and binding, mm below the blank's top at the crown."""
    x, y = slot.end
    return -float(slot.floor.z_mm(x, max(min(core_half_width_mm(board, x), y), 0.0)))
