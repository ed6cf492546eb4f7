"""The tip's height along a slot, pass by pass, under a floor and a top that may both be crowned.

A flat cutter of radius r on a falling floor touches it with its uphill rim: at y the tip takes the
floor at max(|y| - r, 0).  The same holds for the raw top that the first pass meets.  Passes divide
what lies between the two evenly, so every pass bites the same share everywhere and none cuts air.

    raw top  ___----------___
    pass 1     __--------__
    floor        _------_

Only the floor itself is followed closely.  The passes above it run along few long chords, which
hang below the even share by ROUGH_CHORD_MM at most: what they take more, the next pass takes less.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Stock
from pearlkerf.toolpath.tolerances import FLOOR_CHORD_MM, ROUGH_CHORD_MM, ROUNDING_MM


@dataclass(frozen=True, slots=True)
class Section:
    """A slot's section along its centre line.

    ``y_mm``, ``top_mm`` and ``floor_mm`` are (n,) float, mm, ascending in y: the tip on the raw top
    and the tip on the floor, with chords that stay near both: within FLOOR_CHORD_MM, or within
    what a rough section allows.
    """

    y_mm: NDArray[np.float64]
    top_mm: NDArray[np.float64]
    floor_mm: NDArray[np.float64]

    def passes(self, bite_mm: float) -> int:
        """Fewest equal passes none of which is deeper than the bite."""
        return max(1, math.ceil(float(np.max(self.top_mm - self.floor_mm)) / bite_mm - ROUNDING_MM))

    def heights_mm(self, share: float) -> NDArray[np.float64]:
        """Tip heights (n,) after ``share`` of the way from top to floor (0 to 1)."""
        return self.top_mm + (self.floor_mm - self.top_mm) * share

    def height_mm(self, y_mm: float, share: float) -> float:
        """Tip height at any y of the section."""
        return float(np.interp(y_mm, self.y_mm, self.heights_mm(share)))


@dataclass(frozen=True, slots=True)
class Sections:
    """A slot's section twice over the same span: ``fine`` for its floor, ``rough`` for the passes above it."""

    fine: Section
    rough: Section
    passes: int


def sections(slot: Slot, stock: Stock, radius_mm: float, span: tuple[float, float], bite_mm: float) -> Sections:
    """Give both sections of a slot and its number of passes.

    Under a flat top every pass hangs below its share by that share of the floor's sag, so none bites
    more than evenly; under a crowned one the first may bite more by all of it, and only what the even
    bite leaves of ``bite_mm`` is free for that.
    """
    fine = section(slot, stock, radius_mm, span)
    passes = fine.passes(bite_mm)
    even = float(np.max(fine.top_mm - fine.floor_mm)) / passes
    free = math.inf if stock.crown is None else bite_mm - even
    allowed = min(ROUGH_CHORD_MM, even / 4, free)
    rough = section(slot, stock, radius_mm, span, allowed) if allowed > FLOOR_CHORD_MM and passes > 1 else fine
    return Sections(fine, rough, passes)


def section(
    slot: Slot, stock: Stock, radius_mm: float, span: tuple[float, float], chord_mm: float = FLOOR_CHORD_MM
) -> Section:
    """Give the section of a slot between two y for a flat cutter of ``radius_mm``.

    On a cone the floor counts where it is higher, at one of the slot's walls.
    """
    x, half = slot.start[0], slot.width_mm / 2

    def tips(y: NDArray[np.float64]) -> NDArray[np.float64]:
        touched = np.maximum(np.abs(y) - radius_mm, 0.0)
        floor = np.maximum(slot.floor.z_mm(x - half, touched), slot.floor.z_mm(x + half, touched))
        return np.stack([stock.top_mm(x, touched), floor])

    crowned = slot.floor.crown is not None or stock.crown is not None
    inside = [y for y in (-radius_mm, radius_mm) if crowned and span[0] < y < span[1]]
    marks = [span[0], *inside, span[1]]
    parts = [_evenly(tips, (low, high), chord_mm) for low, high in pairwise(marks)]
    y = np.concatenate([*parts, [span[1]]])
    top, floor = tips(y)
    return Section(y, top, floor)


def _evenly(
    tips: Callable[[NDArray[np.float64]], NDArray[np.float64]], span: tuple[float, float], chord_mm: float
) -> NDArray[np.float64]:
    """Give few even steps of a span, its end left out, whose chords stay within ``chord_mm``.

    A chord's error falls with the square of their number: that gives the next number to try.
    """
    steps = 1
    while True:
        y = np.linspace(*span, 2 * steps + 1)
        heights = tips(y)
        ends = heights[:, ::2]
        off = float(np.abs(heights[:, 1::2] - (ends[:, :-1] + ends[:, 1:]) / 2).max())
        if off <= chord_mm:
            return y[:-1:2]
        steps = max(steps + 1, math.ceil(steps * math.sqrt(off / chord_mm)))
