"""The layers of a slot from its top down: whole ones first, then only what still holds wood.

A layer takes one bite everywhere, below the top; where it meets the floor it follows that.  Under a flat
top a crowned floor is reached in the middle first.  What is left are two wedges, cut one after the other:

    top     ------------------------------      whole layers, to and fro
    1       ______________________________
    2       ___.--'''''''''''''''''''--.___
    3       \\___/                    \\___/      a wedge: in along layer 3 until it meets the floor that is there,
    4        \\_/                      \\_/       out along the floor and layer 4, in again

Each wedge takes an odd number of strokes, so that the first is left inward, over the floor that is there, and
the other outward.  Where their number would be even, the last whole layer is cut in two halves as well.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.toolpath.sections import Sections
from pearlkerf.toolpath.tolerances import ROUNDING_MM, TURN_WITHIN, WHOLE_ROUNDING

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A way of the tip along a slot, in the order in which it is gone: (n,) float, mm."""

    along: Floats
    z: Floats

    def at(self, along_mm: float) -> float:
        """Give its height at a place."""
        order = slice(None) if self.along[0] <= self.along[-1] else slice(None, None, -1)
        return float(np.interp(along_mm, self.along[order], self.z[order]))


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """Top and floor of one line along a slot, as the tip goes over them: (n,) float, mm, straight between places."""

    along: Floats
    top: Floats
    floor: Floats

    @classmethod
    def of(cls, both: Sections, lane_mm: float) -> "Profile":
        """Give the chords of a slot's sections on a line so far off its centre: the floor's fine, the top's rough."""
        along = np.union1d(both.fine.along_mm, both.rough.along_mm)
        floor = np.interp(along, both.fine.along_mm, both.fine.ends_mm(lane_mm)[1])
        top = np.interp(along, both.rough.along_mm, both.rough.ends_mm(lane_mm)[0])
        return cls(along, np.maximum(top, floor), floor)

    @property
    def depth(self) -> Floats:
        """Give how deep the floor lies, (n,) mm."""
        return self.top - self.floor

    @property
    def middle(self) -> int:
        """Give the place (index) at which the floor is reached first; of equally many the one nearest to the middle."""
        shallow = np.flatnonzero(self.depth <= self.depth.min() + ROUNDING_MM)
        return int(shallow[np.argmin(np.abs(shallow - (len(self.along) - 1) / 2))])

    @property
    def is_valley(self) -> bool:
        """Say whether depth falls up to the middle and grows from there on, so that wedges are left at either end."""
        steps, at = np.diff(self.depth), self.middle
        return bool((steps[:at] <= ROUNDING_MM).all() and (steps[at:] >= -ROUNDING_MM).all())

    def reversed(self) -> "Profile":
        """Give it as seen from its other end: along runs the other way."""
        return Profile(-self.along[::-1], self.top[::-1], self.floor[::-1])

    def layer(self, down_mm: float, first_mm: float, last_mm: float) -> Stroke:
        """Give the way between two places, ``down_mm`` below the top or on the floor, whichever is higher."""
        off = self.depth - down_mm
        turns = np.flatnonzero(off[1:] * off[:-1] < 0)
        share = off[turns] / (off[turns] - off[turns + 1])
        meets = self.along[turns] + share * (self.along[turns + 1] - self.along[turns])
        low, high = min(first_mm, last_mm), max(first_mm, last_mm)
        along = np.union1d(np.append(self.along, meets), [low, high])
        along = along[(along >= low) & (along <= high)]
        floor, top = (np.interp(along, self.along, each) for each in (self.floor, self.top))
        z = np.maximum(top - down_mm, floor)
        kept = _bends(along, z)
        order = slice(None) if first_mm <= last_mm else slice(None, None, -1)
        return Stroke(along[kept][order], z[kept][order])

    def reached_mm(self, down_mm: float) -> float:
        """Give the place before the middle from which on the floor lies no deeper than so far; the middle if none does.

        The depth must fall from the beginning to the middle.
        """
        depth, along = self.depth[self.middle :: -1], self.along[self.middle :: -1]
        return (
            float(np.interp(down_mm, np.maximum.accumulate(depth), along)) if down_mm >= depth[0] else float(along[0])
        )


def _bends(along: Floats, z: Floats) -> NDArray[np.bool_]:
    """Say which places of a way it needs: its ends, and where it bends."""
    kept = np.ones(len(along), dtype=bool)
    kept[1:-1] = np.abs(np.diff(np.diff(z) / np.diff(along))) > ROUNDING_MM
    return kept


@dataclass(frozen=True, slots=True)
class Steps:
    """How deep each layer goes below the last, mm, how many there are, and in how many the middle is reached."""

    down_mm: float
    count: int
    to_middle: int

    @classmethod
    def of(cls, profile: Profile, bite_mm: float) -> "Steps":
        """Give the fewest: whole bites where wedges are left, else even ones."""
        deepest, middle = float(profile.depth.max()), float(profile.depth.min())
        count, to_middle = (max(1, math.ceil(depth / bite_mm - WHOLE_ROUNDING)) for depth in (deepest, middle))
        return cls(bite_mm if profile.is_valley and count > to_middle else deepest / count, count, to_middle)


def strokes(profile: Profile, bite_mm: float, radius_mm: float) -> Iterator[Stroke]:
    """Give the strokes that take a slot down to its floor along one line, the first one along ascending.

    Each begins where the one before has ended.
    """
    steps = Steps.of(profile, bite_mm)
    left = steps.count - steps.to_middle
    wedges = profile.is_valley and left > 0
    first = steps.to_middle + left % 2 if wedges else steps.count + 1
    ends = (float(profile.along[0]), float(profile.along[-1]))
    for number in range(1, first):
        yield profile.layer(number * steps.down_mm, *ends)
        ends = ends[::-1]
    if wedges:
        backward = ends[0] > ends[1]
        seen = profile.reversed() if backward else profile
        over = _first_wedge(seen, steps, first, TURN_WITHIN * radius_mm)
        for stroke in (*over, *_last_wedge(seen, steps, first)):
            yield Stroke(-stroke.along, stroke.z) if backward else stroke


def _first_wedge(profile: Profile, steps: Steps, first: int, within_mm: float) -> Iterator[Stroke]:
    """Give the strokes of the wedge before the middle: in and out in turn, then along all of its floor and over it.

    Inward they stop where they meet the floor, ``within_mm`` further in: the next goes on down from there, and
    what was cut just before counts as wood.  What they leave of the floor is for the last, the first of the other.
    """
    near, middle, far = float(profile.along[0]), float(profile.along[profile.middle]), float(profile.along[-1])
    at = near
    for number in range(first, steps.count):
        to = min(profile.reached_mm(number * steps.down_mm) + within_mm, middle) if at == near else near
        yield profile.layer(number * steps.down_mm, at, to)
        at = to
    over = profile.layer(math.inf, near, middle)
    out = profile.layer(first * steps.down_mm, middle, far)
    yield Stroke(np.append(over.along[:-1], out.along), np.append(over.z[:-1], out.z))


def _last_wedge(profile: Profile, steps: Steps, first: int) -> Iterator[Stroke]:
    """Give what is left of the wedge beyond the middle: in and out in turn, each down to the floor where it goes."""
    beyond, far = profile.reversed(), float(profile.along[-1])
    at = far
    for number in range(first + 1, steps.count + 1):
        to = -beyond.reached_mm((number - 1) * steps.down_mm) if at == far else far
        yield profile.layer(number * steps.down_mm, at, to)
        at = to
