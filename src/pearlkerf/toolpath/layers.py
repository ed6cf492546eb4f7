"""The strokes that take a slot down to its floor: all across first, then only where wood is left.

Every stroke takes one bite below what the ones before have left, or goes along the floor where that is higher.
Under a flat top a crowned floor is reached in the middle first, after so many strokes all across as the
middle is deep in bites.  What its sides are deeper is cut from them, in and out:

    top     ------------------------------
    1       ______________________________      all across
    2       ___.--'''''''''''''''''''--.___      all across; on the side that it begins from, down to the floor
    3       \\___/                    \\___/      in along layer 3 until it meets the floor, and out along layer 4:
    4        \\_/                      \\_/       before the last way across on one side, after it on the other

On the other side the last way goes in along the floor, and the tip is lifted where it meets what is cut.
A tip stands, place by place, where it stood one bite higher at most: so no place is ever cut by more.  But what
was cut a moment ago does not count (``TURN_WITHIN``): before it goes deeper, it turns where the floor is reached.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pearlkerf.toolpath.sections import Section
from pearlkerf.toolpath.tolerances import ROUNDING_MM, TURN_WITHIN, WHOLE_ROUNDING

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A way of the tip along a slot, in the order in which it is gone: (n,) float, mm."""

    along: Floats
    z: Floats

    @classmethod
    def straightened(cls, along_mm: Floats, z_mm: Floats) -> "Stroke":
        """Give a way over places along which it only turns where it bends, or at its ends."""
        kept = np.ones(len(along_mm), dtype=bool)
        kept[1:-1] = np.abs(np.diff(np.diff(z_mm) / np.diff(along_mm))) > ROUNDING_MM
        return cls(along_mm[kept], z_mm[kept])

    def at(self, along_mm: Floats) -> Floats:
        """Give its heights at places."""
        order = slice(None) if self.along[0] <= self.along[-1] else slice(None, None, -1)
        return np.asarray(np.interp(along_mm, self.along[order], self.z[order]))

    def between(self, first_mm: float, last_mm: float) -> "Stroke":
        """Give the part of it that begins and ends at such places."""
        low, high = sorted((first_mm, last_mm))
        inner = self.along[(self.along > low) & (self.along < high)]
        along = np.concatenate([[first_mm], inner, [last_mm]])
        return Stroke(along, self.at(along))

    def reversed(self) -> "Stroke":
        """Give it as a slot's other end sees it, along which the other way counts."""
        return Stroke(-self.along, self.z)

    @property
    def length_mm(self) -> float:
        """Give how far it goes."""
        return abs(float(self.along[-1] - self.along[0]))


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """Top and floor along a slot, as the tip goes over them: (n,) float, mm, straight between places."""

    along: Floats
    top: Floats
    floor: Floats

    @classmethod
    def of(cls, section: Section) -> "Profile":
        """Give the chords of a section on the slot's centre line."""
        return cls(section.along_mm, *section.ends_mm())

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
        """Say whether depth falls up to the middle and grows from there on."""
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
        order = slice(None) if first_mm <= last_mm else slice(None, None, -1)
        return Stroke.straightened(along[order], z[order])

    def bites(self, place: int, bite_mm: float) -> int:
        """Give how many bites deep a place (index) is."""
        return max(1, math.ceil(float(self.depth[place]) / bite_mm - WHOLE_ROUNDING))

    def reached_mm(self, down_mm: float) -> float:
        """Give the place before the middle from which on the floor lies no deeper: at least the middle."""
        depth = np.maximum.accumulate(self.depth[self.middle :: -1])
        return float(np.interp(down_mm, depth, self.along[self.middle :: -1]))


def turned_nearer(
    strokes: list[Stroke], ends: tuple[float, float], nearer: tuple[float, float], whole: int
) -> list[Stroke]:
    """Give strokes that turn nearer by, and not at the ends of their span but the last ``whole`` times at either."""
    turns = [float(stroke.along[0]) for stroke in strokes] + [float(strokes[-1].along[-1])]
    for end, place in zip(ends, nearer, strict=True):
        there = [number for number, turn in enumerate(turns) if turn == end]
        for number in there[:-whole]:
            turns[number] = place
    return [stroke.between(*pair) for stroke, pair in zip(strokes, pairwise(turns), strict=True)]


def strokes_of_valley(profile: Profile, bite_mm: float, radius_mm: float) -> list[Stroke]:
    """Give the strokes of a slot that is shallowest at one place, in one way or the other: the shortest in all.

    The first begins at its low end, each where the one before has ended; none where it must be cut all across.
    """
    if not profile.is_valley:
        return []
    fewest, most = profile.bites(profile.middle, bite_mm), max(profile.bites(end, bite_mm) for end in (0, -1))
    ways = [_Valley(profile, bite_mm, radius_mm, across) for across in range(fewest, most)]
    return min((way.strokes() for way in ways if way.has_room), key=way_of, default=[])


def way_of(strokes: list[Stroke]) -> float:
    """Give how far strokes go in all, mm."""
    return sum(stroke.length_mm for stroke in strokes)


@dataclass(frozen=True, slots=True, eq=False)
class _Valley:
    """A way to cut a valley: so many times all across."""

    profile: Profile
    bite_mm: float
    radius_mm: float
    across: int

    @property
    def first(self) -> Profile:
        """Give the profile as seen from where the last way across begins."""
        return self.profile if self.across % 2 else self.profile.reversed()

    @property
    def has_room(self) -> bool:
        """Say whether what turns before the last way across still finds the floor reached where it turns."""
        seen = self.first
        turn = self._turn_mm(seen, self.across)
        depth_mm = float(np.interp(turn, seen.along, seen.depth, right=math.inf))
        return depth_mm <= self.across * self.bite_mm

    def strokes(self) -> list[Stroke]:
        """Give the strokes, each from where the one before has ended."""
        seen, other = self.first, self.first.reversed()
        given = self.profile is not seen
        ends = (float(self.profile.along[0]), float(self.profile.along[-1]))
        before = [
            self.profile.layer(number * self.bite_mm, *ends[:: 1 if number % 2 else -1])
            for number in range(1, self.across)
        ]
        here = [*self._in_and_out(seen, self.across), _last_across(seen, self.across * self.bite_mm)]
        there = [stroke.reversed() for stroke in self._to_the_floor(other)]
        return before + [stroke.reversed() if given else stroke for stroke in (*here, *there)]

    def _turn_mm(self, seen: Profile, bites: int) -> float:
        """Give where a way in turns that has met a floor so many bites deep."""
        return seen.reached_mm(bites * self.bite_mm) + TURN_WITHIN * self.radius_mm

    def _in_and_out(self, seen: Profile, first: int) -> list[Stroke]:
        """Give ways in and out in turn, from layer ``first`` on, until one bite is left at most."""
        near, pairs = float(seen.along[0]), max(0, math.ceil((seen.bites(0, self.bite_mm) - first) / 2))
        ways: list[Stroke] = []
        for number in range(first, first + 2 * pairs, 2):
            turn = min(self._turn_mm(seen, number), float(seen.along[-1]))
            ways += [seen.layer(number * self.bite_mm, near, turn), seen.layer((number + 1) * self.bite_mm, turn, near)]
        return ways

    def _to_the_floor(self, seen: Profile) -> list[Stroke]:
        """Give what is left where the last way across has ended: in and out, and in along the floor."""
        if seen.bites(0, self.bite_mm) <= self.across:
            return []
        last = seen.layer(math.inf, float(seen.along[0]), seen.reached_mm(self.across * self.bite_mm))
        return [*self._in_and_out(seen, self.across + 1), last]


def laps_of_valley(profile: Profile, bite_mm: float) -> list[Stroke]:
    """Give the strokes of a cutter that goes up along one wall and down along the other: laps, one bite each.

    The first begins at the low end, each where the one before has ended.  Before the last lap those laps are cut that
    only the low side needs; in it, where it turns, what only the high side needs: there the walls take turns.
    Where a way in turns in the wood, the cutter crosses over to the other wall.  None where all must be cut all across.
    """
    if not profile.is_valley:
        return []
    across, far = profile.bites(profile.middle, bite_mm), profile.reversed()
    low, high = float(profile.along[0]), float(profile.along[-1])
    turns = [high] * (across - 1)
    turns += [profile.reached_mm(number * bite_mm) for number in range(across, profile.bites(0, bite_mm))]
    strokes = []
    for number, turn in enumerate(turns, start=1):
        strokes += [profile.layer(number * bite_mm, low, turn), profile.layer(number * bite_mm, turn, low)]
    strokes.append(_last_across(profile, across * bite_mm))
    for number in range(across, profile.bites(-1, bite_mm)):
        turn = -far.reached_mm(number * bite_mm)
        strokes.append(profile.layer(number * bite_mm, high, turn))
        strokes.append(profile.layer((number + 1) * bite_mm, turn, high))
    return [*strokes, profile.layer(math.inf, high, low)]


def _last_across(seen: Profile, down_mm: float) -> Stroke:
    """Give the last way across: along the floor to the middle, and from there so far down at most."""
    near, middle, far = (float(seen.along[place]) for place in (0, seen.middle, -1))
    floor, layer = seen.layer(math.inf, near, middle), seen.layer(down_mm, middle, far)
    return Stroke(np.append(floor.along[:-1], layer.along), np.append(floor.z[:-1], layer.z))
