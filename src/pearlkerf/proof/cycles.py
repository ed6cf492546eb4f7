"""Canned cycles G81, G82 and G83 as their motions, NISTIR 6556 section 3.5.16.

In the words of the XY plane (in ZX and YZ the axes change their parts): once, if Z is below R, a
rapid to R; then for each repeat a rapid in XY, a rapid to R, the feeds, and a rapid to the clear
height, which is the height before the block under G98 where that lies above R, else R.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from pearlkerf.proof.motions import LINE, RAPID, Event
from pearlkerf.proof.recording import Position, Recording


class Cycle(NamedTuple):
    """A cycle's numbers, resolved to mm: where the first hole lies, and the step between repeats."""

    code: int  # 81, 82 or 83
    first: tuple[float, float]
    step: tuple[float, float]
    repeats: int
    retract: float
    bottom: float
    clear: float
    peck: float
    dwell_s: float


def run_cycle(cycle: Cycle, at: Position, axes: tuple[int, int, int], recording: Recording, line: int) -> Position:
    """Record a cycle's motions from ``at``; give where it ends."""
    along, across, deep = axes
    place = list(at)

    def go(kind: int, **to: float) -> None:
        target = [to.get("a", place[along]), to.get("b", place[across]), to.get("c", place[deep])]
        new = list(place)
        new[along], new[across], new[deep] = target
        if new != place:
            place[:] = new
            recording.put(kind, (place[0], place[1], place[2]), line)

    recording.change("cycle", cycle.code)
    if not place[deep] >= cycle.retract:
        go(RAPID, c=cycle.retract)
    for repeat in range(cycle.repeats):
        go(RAPID, a=cycle.first[0] + repeat * cycle.step[0], b=cycle.first[1] + repeat * cycle.step[1])
        go(RAPID, c=cycle.retract)
        _drill(cycle, go, recording, line)
        go(RAPID, c=cycle.clear)
    recording.change("cycle", 0)
    return (place[0], place[1], place[2])


def _drill(cycle: Cycle, go: Callable[..., None], recording: Recording, line: int) -> None:
    if cycle.code != 83:
        go(LINE, c=cycle.bottom)
        if cycle.code == 82:
            recording.events.append(Event("dwell", len(recording.kind), line, cycle.dwell_s))
        return
    depth = cycle.retract
    while depth > cycle.bottom:
        if depth < cycle.retract:
            go(RAPID, c=cycle.clear)
            go(RAPID, c=depth)  # "backed off a bit" is not stated how far: the whole column counts
        depth = max(depth - cycle.peck, cycle.bottom)
        if math.isclose(depth, cycle.bottom, abs_tol=1e-9):
            depth = cycle.bottom
        go(LINE, c=depth)
