"""The tip's height along a slot, pass by pass, under a floor and a top that may both be crowned.

A flat cutter of radius r on a falling floor touches it with its uphill rim, so at any place the tip
takes the highest floor within r: on a crown that is where abs(y) is less by r, however the slot runs.
The same holds for the raw top that the first pass meets.  Passes divide what lies between the two
evenly, so every pass bites the same share everywhere and none cuts air.

    raw top  ___----------___
    pass 1     __--------__
    floor        _------_

Only the floor itself is followed closely.  The passes above it run along few long chords, which
hang below the even share by ROUGH_CHORD_MM at most: what they take more, the next pass takes less.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.layout.lines import Axes
from pearlkerf.layout.surfaces import Stock
from pearlkerf.toolpath.tolerances import FLOOR_CHORD_MM, ROUGH_CHORD_MM, ROUNDING_MM, WHOLE_ROUNDING

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tips:
    """How high a flat cutter's tip stands anywhere in a slot: on the raw top, and on the floor, mm."""

    slot: Slot
    axes: Axes  # the slot's own
    stock: Stock
    radius_mm: float

    @classmethod
    def of(cls, slot: Slot, stock: Stock, radius_mm: float) -> "Tips":
        """Give the tips of a cutter in a slot."""
        return cls(slot, slot.axes, stock, radius_mm)

    @property
    def outer_mm(self) -> float:
        """Give how far off the centre line the cutter runs where it cuts a wall."""
        return self.slot.width_mm / 2 - self.radius_mm

    @property
    def lanes_mm(self) -> tuple[float, ...]:
        """Give how far off the centre line heights are to be looked at: along its walls as well where they differ."""
        square = self.axes.right[1] == 0.0
        return (0.0,) if square or self.outer_mm <= ROUNDING_MM else (0.0, self.outer_mm, -self.outer_mm)

    @property
    def crowned(self) -> bool:
        """Say whether floor or top are crowned."""
        return self.slot.floor.crown is not None or self.stock.crown is not None

    def heights_mm(self, along_mm: ArrayLike, across_mm: ArrayLike = 0.0) -> Floats:
        """Give the heights (2, ...) on the top and on the floor at places in the slot's own axes.

        On a cone the floor counts where it is higher, at one end of what the cutter sweeps from wall
        to wall, so that it is level from one to the other.  Where the top lies below it there is nothing to
        cut: the tip stays on the floor, in the air.  Off the wood it goes on level.
        """
        x, y = self.axes.at(self._over_wood(along_mm))
        touched = np.maximum(np.abs(y + self.axes.right[1] * np.asarray(across_mm)) - self.radius_mm, 0.0)
        reach = abs(self.axes.right[0]) * self.outer_mm + self.radius_mm
        floor = np.maximum(*(self.slot.floor.z_mm(x + side, touched) for side in (-reach, reach)))
        return np.stack([np.maximum(self.stock.top_mm(x, touched), floor), floor])

    def _over_wood(self, along_mm: ArrayLike) -> Floats:
        """Give places along a through slot square to the board, those off the wood as the nearest where it is met."""
        along, (low, high) = np.asarray(along_mm, dtype=float), self.axes.ends_mm
        if not self.slot.through or self.axes.right[1] != 0.0:
            return along
        return np.asarray(np.clip(along, low - self.radius_mm, high + self.radius_mm))


@dataclass(frozen=True, slots=True)
class Section:
    """A slot's section along its own line: where to look at the tip's heights, (n,) float, mm, ascending.

    Chords between these places stay near top and floor alike: within FLOOR_CHORD_MM, or within what a
    rough section allows.
    """

    tips: Tips
    along_mm: Floats

    @property
    def deepest_mm(self) -> float:
        """Give how far the tip goes from top to floor at most."""
        return max(float(np.max(top - floor)) for top, floor in map(self.ends_mm, self.tips.lanes_mm))

    def passes(self, bite_mm: float) -> int:
        """Fewest equal passes none of which is deeper than the bite."""
        return max(1, math.ceil(self.deepest_mm / bite_mm - WHOLE_ROUNDING))

    def ends_mm(self, across_mm: float = 0.0) -> Floats:
        """Give the tip's heights (2, n) on the top and on the floor, so far off the centre line."""
        return self.tips.heights_mm(self.along_mm, across_mm)

    def between_mm(self, along_mm: Floats, across_mm: Floats) -> Floats:
        """Give the tip's heights (2, m) anywhere over the section, on its chords moved over to where they are asked."""
        chords = np.stack([np.interp(along_mm, self.along_mm, height) for height in self.ends_mm()])
        return chords + (self.tips.heights_mm(along_mm, across_mm) - self.tips.heights_mm(along_mm))


@dataclass(frozen=True, slots=True)
class Sections:
    """A slot's section twice over the same span: ``fine`` for its floor, ``rough`` for the passes above it."""

    fine: Section
    rough: Section
    passes: int


def sections(tips: Tips, span: tuple[float, float], bite_mm: float) -> Sections:
    """Give both sections of a slot and its number of passes.

    Under a flat top every pass hangs below its share by that share of the floor's sag, so none bites
    more than evenly; under a crowned one the first may bite more by all of it, and only what the even
    bite leaves of ``bite_mm`` is free for that.
    """
    fine = section(tips, span)
    passes = fine.passes(bite_mm)
    even = fine.deepest_mm / passes
    free = math.inf if tips.stock.crown is None else bite_mm - even
    allowed = min(ROUGH_CHORD_MM, even / 4, free)
    rough = section(tips, span, allowed) if allowed > FLOOR_CHORD_MM and passes > 1 else fine
    return Sections(fine, rough, passes)


def section(tips: Tips, span: tuple[float, float], chord_mm: float = FLOOR_CHORD_MM) -> Section:
    """Give the section of a slot between two places along it."""
    marks = [span[0], *_rims_mm(tips, span), span[1]]
    parts = [_evenly(tips, (low, high), chord_mm) for low, high in pairwise(marks)]
    return Section(tips, np.concatenate([*parts, [span[1]]]))


def _rims_mm(tips: Tips, span: tuple[float, float]) -> list[float]:
    """Give where along a slot the tip's way bends: where the cutter's rim leaves the crown line, and the wood."""
    (_, along_y), (_, right_y) = tips.axes.along, tips.axes.right
    if not tips.crowned or tips.slot.runs_along_x:
        return []
    middle = right_y * tips.axes.away_mm
    rims = [(y - middle) / along_y for y in (-tips.radius_mm, tips.radius_mm)]
    off = [tips.axes.ends_mm[0] - tips.radius_mm, tips.axes.ends_mm[1] + tips.radius_mm]
    return sorted(along for along in (*rims, *off) if span[0] < along < span[1])


def _evenly(tips: Tips, span: tuple[float, float], chord_mm: float) -> Floats:
    """Give few even steps of a span, its end left out, whose chords stay within ``chord_mm``.

    A chord's error falls with the square of their number: that gives the next number to try.
    """
    steps = 1
    while True:
        along = np.linspace(*span, 2 * steps + 1)
        heights = np.concatenate([tips.heights_mm(along, across) for across in tips.lanes_mm])
        ends = heights[:, ::2]
        off = float(np.abs(heights[:, 1::2] - (ends[:, :-1] + ends[:, 1:]) / 2).max())
        if off <= chord_mm:
            return along[:-1:2]
        steps = max(steps + 1, math.ceil(steps * math.sqrt(off / chord_mm)))
