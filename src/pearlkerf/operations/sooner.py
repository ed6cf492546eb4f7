"""What would shorten a program: a shorter cutter, a saw, figures of one's own."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pearlkerf.files.lengths import as_written
from pearlkerf.layout.features import Slot
from pearlkerf.machine.cutting import CuttingFigures, cutting_figures
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.model import Operation, Stage
from pearlkerf.operations.tolerances import ROUNDING_MM
from pearlkerf.setups.model import Setup

# a shorter cutter is worth a word where it takes so much more a pass
WORTH_A_WORD: Final = 1.02


def rounded_up_mm(depth_mm: float) -> float:
    """Give a depth to the next tenth of a millimetre, as cutters are bought.

    >>> rounded_up_mm(3.31), rounded_up_mm(3.3)
    (3.4, 3.3)
    """
    return math.ceil((depth_mm - ROUNDING_MM) * 10) / 10


def shorter_reach(operations: Sequence[Operation], cutter: Cutter, setup: Setup, machine: Machine) -> tuple[str, ...]:
    """Say which shortest cutting length serves for a mill's slots, where it would take more a pass."""
    depths = [each.feature.depth_below_top_mm(setup.stock) for each in operations if isinstance(each.feature, Slot)]
    if cutter.kind != "end mill" or not depths or rounded_up_mm(max(depths)) >= cutter.reach_mm:
        return ()
    shortest = rounded_up_mm(max(depths))
    now, then = (_bite_mm(machine, each, setup.wood) for each in (cutter, replace(cutter, reach_mm=shortest)))
    if then < WORTH_A_WORD * now:
        return ()
    return (
        f"cutter {cutter.number}: its slots are up to {max(depths):.2f} mm deep, a cutting length of {shortest:g} mm "
        f"serves and takes {then:.3f} mm a pass in place of {now:.3f} mm",
    )


def _bite_mm(machine: Machine, cutter: Cutter, wood: str) -> float:
    figures: CuttingFigures = cutting_figures(machine, cutter, wood)
    return figures.bite_mm


def what_would_shorten(stage: Stage, setup: Setup, machine: Machine) -> tuple[str, ...]:
    """Say what would shorten a long program of one cutter, what helps most first."""
    slots = [each.feature for each in stage.operations if isinstance(each.feature, Slot)]
    milled = bool(slots) and stage.cutter.kind == "end mill"
    saw = milled and all(slot.through for slot in slots) and not any(each.kind == "saw" for each in machine.cutters)
    return (
        *((f"a saw with a kerf of {as_written(slots[0].width_mm)}, where the machine can carry one",) if saw else ()),
        *shorter_reach(stage.operations, stage.cutter, setup, machine),
        "a feed and a bite of your own in the profile, tried in scrap of the same wood",
    )
