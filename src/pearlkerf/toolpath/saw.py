"""Slots sawn by a blade across the board: straight through, every pass the same way.

Every pass begins beside the wood, goes down there in the air, feeds through in the one direction that
makes it conventional or climb sawing as the profile says, runs out clear of the wood and lifts.

      centre  .----+----+----+----.        under a followed floor the centre runs along a curve half
             /     '---------'     \\       the diameter off it along its normal; past the edges level
   -----+---'    ___-------___      '---+-----
   run in    ___/    floor    \\___     run out
"""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.saws import run_out_mm, tips_mm, wood_mm
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.sections import Tips, section
from pearlkerf.toolpath.tolerances import ABOVE_MM, FLOOR_CHORD_MM


def saw(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Saw a through slot in equal passes; the pen's tip is the lowest point of the blade."""
    axes = slot.axes
    across = section(Tips.of(slot, stock, 0.0), wood_mm(slot, stock))
    passes, top = across.passes(pen.figures.bite_mm), float(np.max(across.ends_mm()[0]))
    for number in range(1, passes + 1):
        path = pass_mm(slot, cutter.diameter_mm, stock, number / passes)
        along, heights = (path if cutter.feeds_away else path[::-1]).T
        x, y = axes.at(along)
        pen.approach(float(x[0]), float(y[0]))
        pen.descend(top + ABOVE_MM)
        for place in zip(x.tolist(), y.tolist(), heights.tolist(), strict=True):
            pen.feed(*place)
        pen.leave(top)


def pass_mm(slot: Slot, diameter_mm: float, stock: Stock, share: float) -> NDArray[np.float64]:
    """Give the tip's path (n, 2: along, z) of the pass down to ``share`` of the way to the floor, along ascending.

    Its chords hang below the true curve by FLOOR_CHORD_MM at most.
    """
    low, high = run_out_mm(slot, stock, share, diameter_mm)
    touched = np.linspace(*wood_mm(slot, stock), _points(slot, stock, share, diameter_mm))
    tips = tips_mm(slot, stock, share, diameter_mm, touched)
    return np.concatenate([[[low, tips[0, 1]]], tips, [[high, tips[-1, 1]]]])


def _points(slot: Slot, stock: Stock, share: float, diameter_mm: float) -> int:
    """Give the fewest even places of contact whose tips' chords stay near the curve between them.

    A chord leaves its curve by less the more there are, with about the square of their number.
    """
    ends = wood_mm(slot, stock)

    def off_mm(steps: int) -> float:
        touched = np.linspace(*ends, 2 * steps + 1)
        along, height = tips_mm(slot, stock, share, diameter_mm, touched).T
        return float(np.abs(height[1::2] - np.interp(along[1::2], along[::2], height[::2])).max())

    steps = max(1, math.ceil(math.sqrt(off_mm(1) / FLOOR_CHORD_MM)))
    while off_mm(steps) > FLOOR_CHORD_MM:
        steps += 1
    while steps > 1 and off_mm(steps - 1) <= FLOOR_CHORD_MM:
        steps -= 1
    return steps + 1
