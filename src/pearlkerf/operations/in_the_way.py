"""What holds the wood, held against a saw: its blade runs out past the edges, its arbor hangs over all of the board."""

from collections.abc import Iterator, Sequence

import numpy as np

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Slot
from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.saws import run_out_mm, tips_mm, wood_mm
from pearlkerf.operations.tolerances import ROUNDING_MM
from pearlkerf.setups.model import Box, Setup


def in_the_way(slots: Sequence[Slot], setup: Setup, cutter: Cutter) -> Iterator[Problem]:
    """Give each box that a saw would touch while it cuts some slots, with by how much at the worst of them."""
    for box in setup.holding:
        near, name = max((too_near_mm(slot, setup, cutter, box), slot.name) for slot in slots)
        if near > ROUNDING_MM:
            yield Problem(
                key=box.key,
                found=f"{box.name} stands in the way of the saw, cutter {cutter.number}: by {near:.1f} mm in {name}",
                allowed="clear of the blade's run-out and of its reach at that height, and below the arbor",
                hint=f"move it {near:.1f} mm farther off the edge, or lower it, or cut these slots with an end mill",
            )


def too_near_mm(slot: Slot, setup: Setup, cutter: Cutter, box: Box) -> float:
    """Give how far a box stands within reach of the blade, or of what turns beside it, mm across the board; 0 if not.

    The blade counts where its kerf passes over the box, what turns beside it everywhere along X; both
    at the deepest place of the tip, a little more than they reach on a crown.
    """
    x, shift = setup.placement.to_machine(slot.start) - (0.0, slot.axes.ends_mm[0])
    corners, half = np.array(box.corners), (cutter.kerf_mm or 0.0) / 2
    low, high = (end + shift for end in run_out_mm(slot, setup.stock, 1.0, cutter.diameter_mm))
    ends = np.array(wood_mm(slot, setup.stock))
    tip = float(tips_mm(slot, setup.stock, 1.0, cutter.diameter_mm, ends)[:, 1].min())
    flange = tip + (cutter.diameter_mm - cutter.beside_blade_mm) / 2
    near = 0.0
    if corners[:, 0].min() < x + half and corners[:, 0].max() > x - half:
        near = _within_mm(corners[:, 1], (low, high), float(half_chord_mm(box.top_mm - tip, cutter.diameter_mm)))
    if box.top_mm > flange:
        reach = float(half_chord_mm(box.top_mm - flange, cutter.beside_blade_mm))
        near = max(near, _within_mm(corners[:, 1], (low, high), reach))
    return near if box.top_mm > tip else 0.0


def _within_mm(y: np.ndarray[tuple[int], np.dtype[np.float64]], run: tuple[float, float], reach: float) -> float:
    """Give how far places across the board lie within ``reach`` of a run; 0 where they do not."""
    return max(0.0, min(float(y.max()) - (run[0] - reach), run[1] + reach - float(y.min())))
