"""What holds the wood, held against a saw: its blade runs out past the edges, its arbor hangs over all of the board."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Slot
from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.saws import run_out_mm, tips_mm, wood_mm
from pearlkerf.operations.tolerances import ROUNDING_MM
from pearlkerf.setups.model import Box, Setup


@dataclass(frozen=True, slots=True)
class Visit:
    """A saw in a slot, in the machine's axes, mm: where its blade is along X, from where to where its centre runs.

    And how low its tip and what turns beside it come, at the deepest place of the tip.
    """

    slot: str
    x: float
    run: tuple[float, float]
    tip: float
    flange: float


def in_the_way(slots: Sequence[Slot], setup: Setup, cutter: Cutter) -> Iterator[Problem]:
    """Give each box that a saw would touch while it cuts some slots, with by how much at the worst of them."""
    visits = [visit(slot, setup, cutter) for slot in slots] if setup.holding else []
    for box in setup.holding:
        near, name = max((too_near_mm(each, cutter, box), each.slot) for each in visits)
        if near > ROUNDING_MM:
            yield Problem(
                key=box.key,
                found=f"{box.name} stands in the way of the saw, cutter {cutter.number}: by {near:.1f} mm in {name}",
                allowed="clear of the blade's run-out and of its reach at that height, and below the arbor",
                hint=f"move it {near:.1f} mm farther off the edge, or lower it, or cut these slots with an end mill",
            )


def visit(slot: Slot, setup: Setup, cutter: Cutter) -> Visit:
    """Give how a saw passes through a slot."""
    x, shift = setup.placement.to_machine(slot.start) - (0.0, slot.axes.ends_mm[0])
    low, high = (float(end + shift) for end in run_out_mm(slot, setup.stock, 1.0, cutter.diameter_mm))
    ends = np.array(wood_mm(slot, setup.stock))
    tip = float(tips_mm(slot, setup.stock, 1.0, cutter.diameter_mm, ends)[:, 1].min())
    return Visit(slot.name, float(x), (low, high), tip, tip + (cutter.diameter_mm - cutter.beside_blade_mm) / 2)


def too_near_mm(saw: Visit, cutter: Cutter, box: Box) -> float:
    """Give how far a box stands within reach of the blade, or of what turns beside it, mm across the board; 0 if not.

    The blade counts where its kerf passes over the box, what turns beside it everywhere along X; both
    at the deepest place of the tip, a little more than they reach on a crown.
    """
    x, y = zip(*box.corners, strict=True)
    half, near = (cutter.kerf_mm or 0.0) / 2, 0.0
    if min(x) < saw.x + half and max(x) > saw.x - half:
        near = _within_mm(y, saw.run, float(half_chord_mm(box.top_mm - saw.tip, cutter.diameter_mm)))
    if box.top_mm > saw.flange:
        reach = float(half_chord_mm(box.top_mm - saw.flange, cutter.beside_blade_mm))
        near = max(near, _within_mm(y, saw.run, reach))
    return near if box.top_mm > saw.tip else 0.0


def _within_mm(y: tuple[float, ...], run: tuple[float, float], reach: float) -> float:
    """Give how far places across the board lie within ``reach`` of a run; 0 where they do not."""
    return max(0.0, min(max(y) - (run[0] - reach), run[1] + reach - min(y)))
