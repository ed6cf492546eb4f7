"""Fret slots: where they run and how deep."""

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board, FretSlots
from pearlkerf.layout.model import Crown, Floor, Slot
from pearlkerf.layout.outline import half_width_mm, wood_half_width_mm


def fret_slots(board: Board, surface: Crown, frets_mm: NDArray[np.float64]) -> tuple[Slot, ...]:
    """Give all slots, fret 1 first; none where the board has no table of them."""
    if board.fret_slots is None:
        return ()
    return tuple(_slot(board, board.fret_slots, surface, n, float(x)) for n, x in enumerate(frets_mm, 1))


def _slot(board: Board, slots: FretSlots, surface: Crown, number: int, x: float) -> Slot:
    half = half_width_mm(board, x)
    through = slots.ends == "through"
    reach = wood_half_width_mm(board, x) if through else half - slots.margin_mm
    deepest_fall = float(surface.fall_mm(x, half if through else max(reach, 0.0)))
    crown_z = -(board.crown_allowance_mm + slots.depth_mm)
    follow = slots.floor == "follow"
    floor = Floor(crown_z, surface) if follow else Floor(crown_z - deepest_fall)
    return Slot(
        "frets", number, f"fret {number}", (x, -reach), (x, reach), slots.width_mm + slots.fit_mm, floor, through
    )


def deepest_mm(slot: Slot, half_width: float) -> float:
    """Give the lowest point of a slot's floor within the finished outline, mm below zero."""
    y = np.array([0.0, min(half_width, slot.end[1])])
    return -float(np.min(slot.floor.z_mm(slot.start[0], y)))
