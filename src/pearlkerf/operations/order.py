"""The order of what one cutter cuts: holes along the shortest way through the air, then slots in ascending X.

Where the order is free: every feature is approached from its own side, lower X and Y, whatever came
before it, so backlash lies on one side in any order.  Slots keep ascending X all the same, so that
a run that was broken off can be taken up at a fret.  Holes of one cutter take the shortest way.

The way is open: it begins at any hole, as nobody knows where the axes stand, and ends at any hole or
at the first slot.  Up to MOST_EXACT holes it is found by dynamic programming (Held and Karp 1962, "A
dynamic programming approach to sequencing problems"), beyond by iterated local search (2-opt, Or-opt,
and kicks that swap two neighbouring stretches), which takes the same steps every time.
"""

import math
import random
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.lines import Point
from pearlkerf.operations.model import Operation
from pearlkerf.operations.tolerances import APPROACH_MM, ROUNDING_MM

Floats = NDArray[np.float64]
# an order, the place of each in it, and how far it is along the order, onward and back
State = tuple[list[int], list[int], list[float], list[float]]
MOST_EXACT = 12
# near neighbours that are tried, longest stretch that is moved, kicks for each hole, longest stretch of a kick
NEIGHBOURS, LONGEST_MOVED, KICKS_EACH, LONGEST_KICK = 8, 3, 6, 10
# beyond so many holes kicks grow fewer, so that the search stays within about a second
MOST_KICKS = 1000


def in_order(operations: Sequence[Operation]) -> tuple[Operation, ...]:
    """Give what one cutter cuts in the order to cut it."""
    if all(GROUPS[each.feature.group].in_turn for each in operations):
        return tuple(operations)
    along = sorted(operations, key=lambda each: _along(each.feature))
    free = [each for each in along if not each.feature.after_pockets]
    after = [each for each in along if each.feature.after_pockets]
    places = np.array([each.feature.ends[0] for each in free]).reshape(-1, 2)
    sides = np.array([each.feature.approach for each in free]).reshape(-1, 2)
    goal = after[0].feature.ends[0] if after else None
    return (*(free[index] for index in shortest_way(air_mm(places, sides), to_goal_mm(places, goal))), *after)


def _along(feature: Feature) -> Point:
    """Give where a feature lies along the board: where its line crosses the centre line, and where it begins."""
    return feature.line.x_mm(), feature.ends[0][1]


def air_mm(places: Floats, sides: Floats | float = -1.0) -> Floats:
    """Give how far (n, n) it is through the air from each of (n, 2) places to each: up to its approach, and on.

    ``sides`` (n, 2) says on which side of each place it is approached, in X and Y.
    """
    arrivals = places + sides * APPROACH_MM
    x, y = np.moveaxis(arrivals[None, :, :] - places[:, None, :], -1, 0)
    away: Floats = np.hypot(x, y)
    return away + APPROACH_MM * math.sqrt(2)


def to_goal_mm(places: Floats, goal: tuple[float, float] | None) -> Floats:
    """Give how far (n,) it is from each place to where the way goes on; nothing where it ends."""
    if goal is None:
        return np.zeros(len(places))
    away: Floats = np.hypot(places[:, 0] - goal[0] + APPROACH_MM, places[:, 1] - goal[1] + APPROACH_MM)
    return away


def shortest_way(between: Floats, goal: Floats) -> tuple[int, ...]:
    """Give the order of the shortest open way through n places.

    ``between`` (n, n) is the way from each to each, not the same in both directions; ``goal`` (n,) is
    what follows the last.  Exact up to MOST_EXACT places.

    >>> shortest_way(np.array([[0.0, 1.0, 9.0], [5.0, 0.0, 2.0], [9.0, 7.0, 0.0]]), np.zeros(3))
    (0, 1, 2)
    """
    count = len(goal)
    if count < 2:
        return tuple(range(count))
    return _exact(between, goal) if count <= MOST_EXACT else _searched(between, goal)


def _exact(between: Floats, goal: Floats) -> tuple[int, ...]:
    """Held and Karp: the shortest way through each set of places that ends at each of them."""
    count = len(goal)
    sets = np.arange(1 << count)
    size = np.array([int(each).bit_count() for each in sets])
    best = np.full((1 << count, count), np.inf)
    best[1 << np.arange(count), np.arange(count)] = 0.0
    before = np.zeros((1 << count, count), dtype=np.int64)
    for members in range(2, count + 1):
        layer = sets[size == members]
        for last in range(count):
            ending = layer[(layer >> last) & 1 == 1]
            through = best[ending ^ (1 << last)] + between[:, last]
            before[ending, last] = np.argmin(through, axis=1)
            best[ending, last] = np.min(through, axis=1)
    every = (1 << count) - 1
    last = int(np.argmin(best[every] + goal))
    order = [last]
    while every & (every - 1):
        every, last = every ^ (1 << last), int(before[every, last])
        order.append(last)
    return tuple(order[::-1])


def _searched(between: Floats, goal: Floats) -> tuple[int, ...]:
    way = _Way(between, goal)
    way.improve(range(way.count))
    chance = random.Random(0).random  # the same numbers every time, on every version of the language
    for _ in range(min(KICKS_EACH * len(goal), MOST_KICKS)):
        kept, length = way.state, way.length
        way.improve(way.kick(chance(), chance(), chance()))
        if way.length > length - ROUNDING_MM:
            way.take(kept)
    return tuple(way.order[1:-1])


class _Way:
    """A closed way through all places and the ``count - 1``-th, which stands for its open ends; searched in place."""

    def __init__(self, between: Floats, goal: Floats) -> None:
        self.count = len(goal) + 1
        ends = self.count - 1
        cost = np.zeros((self.count, self.count))
        cost[:ends, :ends], cost[:ends, ends] = between, goal
        self.cost: list[list[float]] = cost.tolist()
        near = cost + cost.T
        np.fill_diagonal(near, np.inf)
        nearest = np.argsort(near, axis=1, kind="stable")[:, :NEIGHBOURS].tolist()
        least = np.minimum(cost, cost.T).tolist()
        self.near = [[(other, least[here][other]) for other in others] for here, others in enumerate(nearest)]
        self.set([ends, *range(ends), ends])

    def set(self, order: list[int]) -> None:
        """Take an order; the ends' place comes first, and once more at the end."""
        place, cost = [0] * self.count, self.cost
        for at in range(self.count):
            place[order[at]] = at
        onward, back, far, near = [0.0], [0.0], 0.0, 0.0
        here = order[0]
        for after in order[1:]:
            far += cost[here][after]
            near += cost[after][here]
            onward.append(far)
            back.append(near)
            here = after
        self.take((order, place, onward, back))

    def take(self, state: State) -> None:
        """Take an order with what goes with it."""
        self.order, self.place, self.onward, self.back = self.state = state
        self.length = self.onward[-1]

    def kick(self, *chances: float) -> list[int]:
        """Swap two neighbouring stretches; gives the places at their ends."""
        order, count = self.order, self.count
        longest = max(1, min(LONGEST_KICK, (count - 1) // 3))
        first, second = (1 + int(chance * longest) for chance in chances[:2])
        start = 1 + int(chances[2] * (count - first - second))
        middle, end = start + first, start + first + second
        self.set(order[:start] + order[middle:end] + order[start:middle] + order[end:])
        return [order[at] for at in (start - 1, start, middle - 1, middle, end - 1, end)]

    def improve(self, places: Iterable[int]) -> None:
        """Shorten the way near to some places until no move helps."""
        waiting = list(places)
        while waiting:
            here = waiting.pop()
            found = self._turned(here) or self._moved(here)
            if found is None:
                continue
            order, touched = found
            self.set(order)
            waiting += [each for each in (*touched, here) if each not in waiting]

    def _turned(self, here: int) -> tuple[list[int], list[int]] | None:
        """2-opt: turn a stretch round so that ``here`` and a neighbour come together."""
        order, cost, place, onward, back = self.order, self.cost, self.place, self.onward, self.back
        at = place[here]
        most = self._most_saved(here)
        for other, least in self.near[here]:
            if least >= most:
                break
            to = place[other]
            low, high = (at, to) if at < to else (to, at)
            for start, end in ((low + 1, high), (low, high - 1)):
                if start < 1 or start >= end:
                    continue
                before, after = order[start - 1], order[end + 1]
                first, last = order[start], order[end]
                gain = cost[before][first] + cost[last][after] - cost[before][last] - cost[first][after]
                gain += onward[end] - onward[start] - back[end] + back[start]
                if gain > ROUNDING_MM:
                    turned = order[:start] + order[end : start - 1 : -1] + order[end + 1 :]
                    return turned, [before, first, last, after]
        return None

    def _most_saved(self, here: int) -> float:
        """Give the longer of the two steps at a place: no neighbour farther off is worth a try."""
        at, order = self.place[here], self.order
        return max(self.cost[order[at - 1]][here] if at else 0.0, self.cost[here][order[at + 1]])

    def _moved(self, here: int) -> tuple[list[int], list[int]] | None:
        """Or-opt: move a short stretch that begins or ends ``here`` beside a neighbour, turned round or not."""
        order, cost, place, onward, back = self.order, self.cost, self.place, self.onward, self.back
        at = place[here]
        most = self._most_saved(here)
        for start, end in self._stretches(at):
            left, right, first, last = order[start - 1], order[end + 1], order[start], order[end]
            saved = cost[left][first] + cost[last][right] - cost[left][right]
            if saved <= ROUNDING_MM:
                continue
            turning = back[end] - back[start] - onward[end] + onward[start]
            for other, least in self.near[here]:
                if least >= most:
                    break
                to = place[other]
                if start <= to <= end:
                    continue
                for after in (to, to - 1):
                    if after < 0 or start - 1 <= after <= end:
                        continue
                    low, high = order[after], order[after + 1]
                    apart = saved + cost[low][high] - ROUNDING_MM
                    straight = cost[low][first] + cost[last][high]
                    turned = cost[low][last] + cost[first][high] + turning
                    if straight < apart or turned < apart:
                        stretch = order[start : end + 1] if straight <= turned else order[end : start - 1 : -1]
                        rest = order[:start] + order[end + 1 :]
                        behind = after + 1 if after < start else after - (end - start)
                        return rest[:behind] + stretch + rest[behind:], [left, right, first, last, low, high]
        return None

    def _stretches(self, at: int) -> list[tuple[int, int]]:
        """Give the short stretches that begin or end at a place of the order; the open ends stay where they are."""
        if not at:
            return []
        ahead = [(at, end) for end in range(at, min(at + LONGEST_MOVED, self.count))]
        return ahead + [(start, at) for start in range(max(1, at - LONGEST_MOVED + 1), at)]
