"""The fewest windows, as long as the machine's travel, in which every feature lies wholly in one.

    travel     |<---------- T ---------->|
    window 1   [ ==  ===  ==  ==  ==  =  ]
    window 2                  [ ==  ==  ==  = = =       ]

A feature is known here by its reach alone: the lowest and the highest X that its motion needs, with
approach, run-out and cutter, in machine axes as if the zero mark lay at X 0.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.limits import ROUNDING_MM

# no pitch finer than this is offered: the dowels would stand wall to wall
FINEST_PITCH_MM: Final = 20
Reach = tuple[float, float]
Run = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Window:
    """One position along X: the members (indexes of reaches) that are cut in it, ascending.

    ``steps`` is by how many whole pitches the board has moved to the left; ``mark`` is the mark (an
    index) on which X is zeroed.  Only one of the two counts.
    """

    members: tuple[int, ...]
    steps: int = 0
    mark: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """A place where X can be zeroed; ``member`` is the reach (an index) that cuts it, None where it is there."""

    x_mm: float
    member: int | None = None


def windows_by_pitch(reaches: Sequence[Reach], travel_mm: float, pitch_mm: float) -> tuple[Window, ...]:
    """Give the fewest windows whose places differ by whole pitches; none where there is no way.

    X is zeroed once, unmoved, so that X 0 and every window together lie within one travel: with
    ``low`` its left end, at most one pitch left of X 0, window n is low + n pitch to low + n pitch +
    travel, n from 0 on.  A reach lies within the windows of a run of whole numbers n.

    To stab such runs by the fewest numbers, always take the last number of the run that ends first:
    it must be stabbed, and no other choice stabs more of what is left (the interval point cover).
    ``low`` itself can be moved to the right until it meets some reach's lowest place, or X 0,
    without losing a reach, so only those places are tried.  Of equally few, the board first stays
    where it was zeroed, if that can be, and moves least.
    """
    found = [
        windows
        for left in _left_ends(reaches, pitch_mm)
        if (runs := _runs(reaches, travel_mm, pitch_mm, left)) is not None
        for windows in (_stab(runs), _stay_then_stab(runs))
    ]
    return min(found, key=lambda windows: (len(windows), windows[0].steps, windows[-1].steps), default=())


def fewest_anywhere(reaches: Sequence[Reach], travel_mm: float) -> int:
    """Give how many windows are needed if each may lie anywhere: from the left, each begun as far right as may be.

    No way of moving the board does better.

    >>> fewest_anywhere([(0, 2), (9, 11), (12, 14)], 11)
    2
    """
    count, end = 0, -math.inf
    for low, high in sorted(reaches):
        if high > end + ROUNDING_MM:
            count, end = count + 1, low + travel_mm
    return count


def nearest_better_pitch(reaches: Sequence[Reach], travel_mm: float, pitch_mm: float, most_mm: int) -> int | None:
    """Give the whole number of mm, nearest to a pitch and at most ``most_mm``, that takes fewer windows; or None."""
    now = len(windows_by_pitch(reaches, travel_mm, pitch_mm))
    if now <= fewest_anywhere(reaches, travel_mm):
        return None
    near = sorted(range(FINEST_PITCH_MM, most_mm + 1), key=lambda pitch: (abs(pitch - pitch_mm), pitch))
    return next((pitch for pitch in near if 0 < len(windows_by_pitch(reaches, travel_mm, pitch)) < now), None)


def _left_ends(reaches: Sequence[Reach], pitch_mm: float) -> Iterator[float]:
    yield 0.0
    for low, _ in reaches:
        yield low - math.ceil(low / pitch_mm - ROUNDING_MM) * pitch_mm


def _runs(reaches: Sequence[Reach], travel_mm: float, pitch_mm: float, left_mm: float) -> list[Run] | None:
    """Give the first and last number of pitches at which each reach lies within the travel; None where one has none."""
    runs = [
        (
            max(0, math.ceil((high - travel_mm - left_mm - ROUNDING_MM) / pitch_mm)),
            math.floor((low - left_mm + ROUNDING_MM) / pitch_mm),
        )
        for low, high in reaches
    ]
    return None if left_mm + travel_mm < 0.0 or any(first > last for first, last in runs) else runs


def _stab(runs: Sequence[Run], done: frozenset[int] = frozenset()) -> tuple[Window, ...]:
    waiting = sorted(set(range(len(runs))) - done, key=lambda member: (runs[member][1], member))
    windows = []
    while waiting:
        stab = runs[waiting[0]][1]
        members = tuple(sorted(member for member in waiting if runs[member][0] <= stab))
        waiting = [member for member in waiting if runs[member][0] > stab]
        windows.append(Window(members, steps=max(runs[member][0] for member in members)))
    return tuple(windows)


def _stay_then_stab(runs: Sequence[Run]) -> tuple[Window, ...]:
    stay = frozenset(member for member, (first, _) in enumerate(runs) if first == 0)
    return (*((Window(tuple(sorted(stay))),) if stay else ()), *_stab(runs, stay))


def windows_by_marks(reaches: Sequence[Reach], travel_mm: float, marks: Sequence[Mark]) -> tuple[Window, ...]:
    """Give the fewest windows, from low X to high, each with a mark that is there by then; none where there is no way.

    The leftmost reach that is left must lie in the next window.  Of the windows that hold it and a
    mark, the one that begins farthest right holds all that the others hold of what is left, and so
    also knows every mark that the others know: it is never worse.  Of as few, the windows on the
    earliest marks are taken, one after the other: X is found best at the nut, where it was found first.
    """
    everything = set(range(len(reaches)))
    fewest = len(_farthest_right(reaches, travel_mm, marks, everything))
    windows: list[Window] = []
    left = set(everything)
    while left and fewest:
        window = _earliest(reaches, travel_mm, marks, (left, fewest - len(windows) - 1))
        windows.append(window)
        left -= set(window.members)
    return tuple(windows)


def _earliest(
    reaches: Sequence[Reach], travel_mm: float, marks: Sequence[Mark], wanted: tuple[set[int], int]
) -> Window:
    """Give the window on the earliest mark after which so many more are enough for what is left."""
    left, more = wanted
    lowest = min(reaches[member][0] for member in left)
    for number, x in _there(marks, set(range(len(reaches))) - left):
        members = _held(reaches, left, min(lowest, x), travel_mm) if x <= lowest + travel_mm + ROUNDING_MM else ()
        rest = left - set(members)
        if members and (not rest or 0 < len(_farthest_right(reaches, travel_mm, marks, rest)) <= more):
            return Window(members, mark=number)
    raise AssertionError("the window that begins farthest right is one of them")


def _farthest_right(
    reaches: Sequence[Reach], travel_mm: float, marks: Sequence[Mark], waiting: set[int]
) -> tuple[Window, ...]:
    """Give windows for what is waiting, each begun as far right as a mark allows; none where there is no way."""
    left = set(waiting)
    windows: list[Window] = []
    while left:
        done = set(range(len(reaches))) - left
        window = _next_window(reaches, travel_mm, _there(marks, done), left)
        if window is None:
            return ()
        windows.append(window)
        left -= set(window.members)
    return tuple(windows)


def _there(marks: Sequence[Mark], done: set[int]) -> list[tuple[int, float]]:
    return [(number, mark.x_mm) for number, mark in enumerate(marks) if mark.member is None or mark.member in done]


def _next_window(
    reaches: Sequence[Reach], travel_mm: float, there: Iterable[tuple[int, float]], left: set[int]
) -> Window | None:
    """Give the next window; of the marks that serve it the first in the list, where errors have added up least."""
    lowest = min(reaches[member][0] for member in left)
    held = {
        number: _held(reaches, left, min(lowest, x), travel_mm)
        for number, x in there
        if x <= lowest + travel_mm + ROUNDING_MM
    }
    most = max(held.values(), key=len, default=())
    if not most:
        return None
    return Window(most, mark=next(number for number, members in held.items() if members == most))


def _held(reaches: Sequence[Reach], left: set[int], low_mm: float, travel_mm: float) -> tuple[int, ...]:
    inside: Callable[[Reach], bool] = lambda reach: (  # noqa: E731
        reach[0] >= low_mm - ROUNDING_MM and reach[1] <= low_mm + travel_mm + ROUNDING_MM
    )
    return tuple(member for member in sorted(left) if inside(reaches[member]))
