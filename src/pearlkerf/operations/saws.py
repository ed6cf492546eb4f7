"""A saw's blade across the board: what it can cut, how far it runs out, how near a clamp may stand.

It keeps to slots square to the machine and to the board: of those that are sawn X is one and the same.

The blade, of diameter B, turns in a plane across the board.  Z is zeroed where its lowest point, the
tip, touches the top.  At depth d it cuts along a chord:

             ___ B ___             half chord  sqrt(d (B - d))
           /           \\           the centre runs so far past each edge, and RUN_OUT_MM more
          |      +      |
     ______\\___________/______     top      h above the board the blade reaches
        d   \\_________/                      sqrt((d + h) (B - d - h)) from its centre, B/2 at most
"""

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.files.lengths import as_written
from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.model import Cutter
from pearlkerf.machine.words import CLAMP_HEIGHTS_MM, of_saw, room_for_blade, under_arbor
from pearlkerf.operations.tolerances import (
    FLANGE_ABOVE_MM,
    ROUNDING_MM,
    RUN_OUT_MM,
    SAW_CONE_MM,
    SAW_SLANT_MM,
    SLOT_CUTTER_MATCH_MM,
    STEEPEST_SAWN_DEG,
)
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]
SLOPE_STEP_MM = 1e-3


def wood_mm(slot: Slot, stock: Stock) -> tuple[float, float]:
    """Give where along a slot its wood begins and ends, over all of its width: on a taper past its centre line's ends.

    Where its floor comes out of the top it ends there, for a blade as for its own line.

    A board that narrows from 120 to 96 mm within 20 mm, slots 5 mm wide: 1.5 mm past the centre line's end.

    >>> from pearlkerf.layout.surfaces import Floor
    >>> board = np.array([[0.0, -60.0], [20.0, -48.0], [20.0, 48.0], [0.0, 60.0]])
    >>> slot = Slot("frets", 1, "fret 1", (5.0, -57.0), (5.0, 57.0), 5.0, Floor(-2.0), through=True)
    >>> wood_mm(slot, Stock(board, 6.0))
    (-58.5, 58.5)
    """
    ends, far = slot.axes.ends_mm, float(np.abs(stock.outline).max())
    middle, half = slot.anchor[0], slot.width_mm / 2
    strip = shapely.clip_by_rect(shapely.Polygon(stock.outline), middle - half, -far, middle + half, far)
    _, low, _, high = shapely.bounds(strip).tolist()
    out_low, out_high = (slot.comes_out_of_top(end, stock) for end in slot.ends)
    return ends[0] if out_low else min(low, ends[0]), ends[1] if out_high else max(high, ends[1])


def tips_mm(slot: Slot, stock: Stock, share: float, diameter_mm: float, along_mm: Floats) -> Floats:
    """Give the tip (n, 2: along, z) of a blade that touches the floor of a pass at (n,) places along a slot.

    ``share`` of the way from the raw top to the floor is the pass's own floor.  The blade's centre
    lies half its diameter off along that floor's normal, the tip half its diameter below the centre.
    Where the slot's floor comes out of the top every pass is level: tangent to its end, a blade would
    hang below the floor beyond it.
    """
    axes, radius = slot.axes, diameter_mm / 2
    if any(slot.comes_out_of_top(end, stock) for end in slot.ends):
        highest = float(stock.top_mm(slot.line.x_mm(), 0.0))
        level = highest + (slot.floor_at_crown_mm - highest) * share
        return np.column_stack([along_mm, np.full(len(along_mm), level)])

    def floor(along: Floats) -> Floats:
        x, y = axes.at(along)
        top = stock.top_mm(x, y)
        return np.asarray(top + (slot.floor.z_mm(x, y) - top) * share)

    height = floor(along_mm)
    slope = (floor(along_mm + SLOPE_STEP_MM) - floor(along_mm - SLOPE_STEP_MM)) / (2 * SLOPE_STEP_MM)
    upright = 1 / np.sqrt(1 + slope**2)
    return np.column_stack([along_mm - radius * slope * upright, height + radius * (upright - 1)])


def run_out_mm(slot: Slot, stock: Stock, share: float, diameter_mm: float) -> tuple[float, float]:
    """Give where along its slot the blade's centre begins and ends a pass: clear of the wood by RUN_OUT_MM."""
    ends = wood_mm(slot, stock)
    low, high = tips_mm(slot, stock, share, diameter_mm, np.array(ends))[:, 1]
    wood = np.linspace(*ends, 65)
    top = _top_mm(slot, stock, wood)

    def chord(tip: float) -> Floats:
        return half_chord_mm(top - tip, diameter_mm)

    return float(np.min(wood - chord(low))) - RUN_OUT_MM, float(np.max(wood + chord(high))) + RUN_OUT_MM


def _top_mm(slot: Slot, stock: Stock, along_mm: Floats) -> Floats:
    """Give the raw top (n,) over places along a slot."""
    return stock.top_mm(*slot.axes.at(along_mm))


def why_not_sawn(slot: Slot, depth_mm: float, setup: Setup, cutter: Cutter) -> str:
    """Say why a saw cannot cut a slot ``depth_mm`` deep; nothing where it can."""
    if cutter.kerf_mm is None or cutter.flange_mm is None or cutter.lowest_teeth is None:
        return "the profile does not say its kerf"
    if not slot.through:
        far = float(half_chord_mm(depth_mm, cutter.diameter_mm))
        return f"the slot stops inside the wood, and the round blade would cut {far:.1f} mm past where its floor ends"
    slant = _slant_mm(slot, setup)
    if slant > SAW_SLANT_MM:
        return f"the slot lies {slant:.3f} mm aslant from end to end, and the blade runs straight across the machine"
    falls = _steepest_deg(slot, setup.stock)
    if falls > STEEPEST_SAWN_DEG:
        return f"the face falls by {falls:.0f} degrees at the edges, and a blade would have to go down as steeply"
    if abs(cutter.kerf_mm - slot.width_mm) > SLOT_CUTTER_MATCH_MM + ROUNDING_MM:
        return f"its kerf is {cutter.kerf_mm:.3f} mm, the slot {slot.width_mm:.3f} mm wide"
    cone = cone_mm(slot, cutter.kerf_mm)
    if cone > SAW_CONE_MM:
        return f"the floor of this cone lies {cone:.3f} mm deeper at one wall of the kerf than at the other"
    if cutter.reach_mm < depth_mm - ROUNDING_MM:
        return f"it reaches {as_written(cutter.reach_mm)}, the slot is {depth_mm:.2f} mm deep"
    above = flange_above_mm(slot, setup.stock, cutter)
    if above < FLANGE_ABOVE_MM - ROUNDING_MM:
        how = f"{above:.2f} mm above the wood" if above >= 0 else f"{-above:.2f} mm below the wood's top"
        return f"what is {cutter.beside_blade_mm:.1f} mm wide beside the blade would run {how}"
    return ""


def _steepest_deg(slot: Slot, stock: Stock) -> float:
    """Give how steeply a slot's floor or the raw top falls at the wood's edges."""
    far = float(np.abs(stock.outline[:, 1]).max())
    radii = [min(crown.nut_radius_mm, crown.end_radius_mm) for crown in (slot.floor.crown, stock.crown) if crown]
    return max((math.degrees(math.asin(min(1.0, far / radius))) for radius in radii), default=0.0)


def cone_mm(slot: Slot, width_mm: float) -> float:
    """Give by how much a slot's floor differs from one wall to the other at its ends: on a cone, or where it slants."""
    walls = (slot.line.beside(-width_mm / 2), slot.line.beside(width_mm / 2))
    before, after = ([float(slot.floor.z_mm(*end)) for end in (wall.start, wall.end)] for wall in walls)
    return max(abs(low - high) for low, high in zip(before, after, strict=True))


def _slant_mm(slot: Slot, setup: Setup) -> float:
    """Give how far a slot's two ends lie apart along the machine's X, or along the board, whichever is more."""
    (start, _), (end, _) = setup.placement.to_machine(slot.ends)
    return max(abs(float(end - start)), _aslant_mm(slot))


def _aslant_mm(slot: Slot) -> float:
    (left, _), (right, _) = slot.ends
    return abs(right - left)


def slants(slot: Slot) -> bool:
    """Say whether a slot lies otherwise on the board than straight across it."""
    return _aslant_mm(slot) > SAW_SLANT_MM


def flange_above_mm(slot: Slot, stock: Stock, cutter: Cutter) -> float:
    """Give how far what is beside the blade stays above the highest wood, at the deepest place of the tip."""
    lowest = float(tips_mm(slot, stock, 1.0, cutter.diameter_mm, np.array(wood_mm(slot, stock)))[:, 1].min())
    return lowest + (cutter.diameter_mm - cutter.beside_blade_mm) / 2


def clamps_mm(slot: Slot, stock: Stock, cutter: Cutter, height_mm: float) -> float:
    """Give how far from the board's edge a clamp stays that stands ``height_mm`` above the wood there."""
    low, high = run_out_mm(slot, stock, 1.0, cutter.diameter_mm)
    tips = tips_mm(slot, stock, 1.0, cutter.diameter_mm, np.array(wood_mm(slot, stock)))[:, 1]
    tops = _top_mm(slot, stock, np.array(wood_mm(slot, stock)))
    beyond = (slot.axes.ends_mm[0] - low, high - slot.axes.ends_mm[1])
    reaches = half_chord_mm(tops - tips + height_mm, cutter.diameter_mm).tolist()
    return float(max(run + reach for run, reach in zip(beyond, reaches, strict=True)))


def saw_notes(slots: Sequence[Slot], setup: Setup, cutter: Cutter) -> tuple[str, ...]:
    """Say what people must know before a saw cuts some slots: zero, the way of its teeth, room for the blade."""
    spans = [run_out_mm(slot, setup.stock, 1.0, cutter.diameter_mm) for slot in slots]
    beyond = max(
        max(slot.axes.ends_mm[0] - low, high - slot.axes.ends_mm[1])
        for slot, (low, high) in zip(slots, spans, strict=True)
    )
    clamps = {height: max(clamps_mm(slot, setup.stock, cutter, height) for slot in slots)
              for height in CLAMP_HEIGHTS_MM}  # fmt: skip
    under = min(flange_above_mm(slot, setup.stock, cutter) for slot in slots)
    return *of_saw(cutter), room_for_blade(beyond, clamps), under_arbor(under)
