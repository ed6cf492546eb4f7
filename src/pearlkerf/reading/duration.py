"""How long the machine takes, from the motion read back: trapezoids of speed joined at limited corners.

A controller that plans ahead runs every motion at constant acceleration up to its feed and down again:

    speed      ________                 v1, v2  speeds at the joints, limited by the corner
      |      /         \\____           vc      the cruise: the feed, held to axes and curvature
      |  v1 /          v2    \\         a       acceleration along the motion
      |____/__________________\\__> way

With a constant within each motion the square of the speed changes linearly along the way, so both
passes of the look-ahead, "fast enough to have got here" and "slow enough to stop in time", are a running
minimum over the squares less (or plus) S, the sum of 2 a L.

Not modelled: limited jerk, the time a controller needs to read a line, waiting for people at stops, and
the way from an unknown starting point, which counts as nothing.  Where arcs are short, the limits of a
whole turn make them a little too slow.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.model import Machine
from pearlkerf.reading.motions import ARC, LINE, PLANE_AXES, RAPID, Event, Motions, Reading

# how far a controller that rounds a corner in its planning would leave it (common practice, no source)
JUNCTION_DEVIATION_MM: Final = 0.01
# a small controller plans this many blocks ahead, a large one as good as all (common practice, no source)
FEWEST_BLOCKS_AHEAD: Final = 16
# how far a profile's acceleration may be from the machine's, either way: what the range spans
ACCELERATION_SPREAD: Final = 0.3
# events that wait until the axes stand
RESTS: Final = frozenset({"dwell", "stop", "cutter change", "spindle", "speed", "coolant", "length offset", "end"})
# a controller that pecks comes back at rapid to so far above the last bottom, and feeds from there: the standard leaves
# open how far (NISTIR 6556, section 3.5.16.4; common practice, no source), the reader counts none for safety's sake
PECK_BACK_OFF_MM: Final = 0.2
# motions are followed in blocks whose columns stay in the processor's cache
BLOCK: Final = 4096

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Planner:
    """How a controller plans: what it allows at corners, how far it looks, how the axes really accelerate."""

    junction_deviation_mm: float = JUNCTION_DEVIATION_MM
    blocks_ahead: int | None = None  # None: all
    acceleration_share: float = 1.0  # of the profile's


@dataclass(frozen=True, slots=True, eq=False)
class MachineTime:
    """How long a program runs: a range, dwells included, stops for people not.

    ``longest_s`` is a controller of few blocks and slow axes, ``shortest_s`` one of many and quick axes.
    ``motions_s`` is (n,) float, s, read-only: each motion of the likely run.
    """

    shortest_s: float
    likely_s: float
    longest_s: float
    motions_s: Floats
    dwells_s: float
    stops: int  # M0, M1 and cutter changes, where a person or the machine takes a time of its own


class _Course(NamedTuple):
    """What the planning needs of motions that move, m of them; columns are (m,) float."""

    which: NDArray[np.intp]  # their rows among all motions
    length: Floats  # mm
    cruise2: Floats  # mm2/s2, by feed and axes; the centripetal limit is left to the planning
    acceleration: Floats  # mm/s2 along the motion
    bend2: Floats  # mm2/s2: what the centripetal limit of an arc allows, inf for lines
    corner2: Floats  # (m,) mm/s2: what the corner at the start allows, for each mm of junction deviation


def durations(
    motions: Motions, machine: Machine, events: Sequence[Event] = (), planner: Planner | None = None
) -> Floats:
    """Seconds that each motion takes, dwells not counted.

    Returns (n,) float, s; nan where a feed is needed and none was set, 0 for what does not move.  At
    ``events`` that wait for the axes the motion comes to rest.

    >>> from pearlkerf.reading.reader import read_program
    >>> from pearlkerf.machine.reader import read_machine
    >>> motions = read_program(b"G21 G90 G94 G17\\nG1 Z0 F600\\nG1 Z-10\\nM2\\n").motions
    >>> durations(motions, read_machine("benchtop-arcs")).round(4).tolist()  # 500 mm/min, 100 mm/s2
    [0.0, 1.2833]
    """
    course = _course(motions, machine)
    rests = np.array([event.before for event in events if event.kind in RESTS], dtype=np.intp)
    return _run(course, len(motions.kind), rests, planner or Planner())


def machine_time(reading: Reading, machine: Machine) -> MachineTime:
    """How long a program runs on a machine, as a range.

    The range spans ACCELERATION_SPREAD either way and look-ahead from FEWEST_BLOCKS_AHEAD to all blocks;
    nan where a feed is needed and none was set.
    """
    motions, events = reading.motions, reading.events
    course, count = _course(motions, machine), len(motions.kind)
    rests = np.array([event.before for event in events if event.kind in RESTS], dtype=np.intp)
    pecks = _back_offs_s(motions, machine)
    likely = _run(course, count, rests, Planner()) + pecks
    quick = _run(course, count, rests, Planner(acceleration_share=1 + ACCELERATION_SPREAD))
    slow = _run(course, count, rests, Planner(JUNCTION_DEVIATION_MM, FEWEST_BLOCKS_AHEAD, 1 - ACCELERATION_SPREAD))
    dwells = math.fsum(event.value for event in events if event.kind == "dwell")
    likely.setflags(write=False)
    return MachineTime(
        shortest_s=float(quick.sum() + pecks.sum()) + dwells,
        likely_s=float(likely.sum()) + dwells,
        longest_s=float(slow.sum() + pecks.sum()) + dwells,
        motions_s=likely,
        dwells_s=dwells,
        stops=sum(event.kind in ("stop", "cutter change") for event in events),
    )


def _back_offs_s(motions: Motions, machine: Machine) -> Floats:
    """Give what each peck but the first of a hole takes more than its motions do: PECK_BACK_OFF_MM of feed."""
    more = np.zeros(len(motions.kind))
    pecks = np.flatnonzero((motions.in_cycle == 83) & (motions.kind == LINE))
    pecks = pecks[pecks >= 3]
    pecks = pecks[(motions.in_cycle[pecks - 3] == 83) & (motions.kind[pecks - 3] == LINE)]
    pecks = pecks[(motions.end[pecks - 3] == motions.start[pecks]).all(axis=1)]  # out, back to the same bottom, on
    back = np.linalg.norm(motions.end[pecks - 2] - motions.start[pecks], axis=1)
    fed = np.minimum(PECK_BACK_OFF_MM, back)
    with np.errstate(divide="ignore"):
        more[pecks] = 60.0 * fed * (1.0 / motions.feed[pecks] - 1.0 / machine.motion.rapid_mm_min[2])
    return more


def lengths_mm(motions: Motions) -> Floats:
    """Length of every motion along its line or its helix, (n,) float, mm; what is unknown counts nothing."""
    length: Floats = np.nan_to_num(np.linalg.norm(motions.end - motions.start, axis=1))
    arcs = np.flatnonzero(motions.kind == ARC)
    if len(arcs):
        length[arcs] = _turns(motions, arcs).length
    return length


def _course(motions: Motions, machine: Machine) -> _Course:
    """Lengths, tangents and limits of the motions that move, block by block."""
    count, moving, leaves = len(motions.kind), 0, np.zeros((3, 1))
    which, columns = np.empty(count, dtype=np.intp), np.empty((5, count))
    for first in range(0, count, BLOCK):
        rows = slice(first, first + BLOCK)
        part = Motions(*(getattr(motions, name)[rows] for name in Motions.__dataclass_fields__))
        (of_block, *block), leaves = _course_of_block(part, leaves, machine)
        place = slice(moving, moving + len(of_block))
        which[place] = of_block + first
        for column, values in zip(columns, block, strict=True):
            column[place] = values
        moving = place.stop
    return _Course(which[:moving], *columns[:, :moving])


def _course_of_block(motions: Motions, before: Floats, machine: Machine) -> tuple[_Course, Floats]:
    """Follow lines first, then put arcs in their places; tangents (3, 1) come in from before and go out."""
    way = np.subtract(motions.end.T, motions.start.T, out=np.empty((3, len(motions.kind))))
    way[np.isnan(way)] = 0.0
    length = np.sqrt(np.einsum("ij,ij->j", way, way))
    arcs = np.flatnonzero(motions.kind == ARC)
    turns = _turns(motions, arcs) if len(arcs) else None
    if turns is not None:
        length[arcs] = turns.length
    moving = np.flatnonzero(length)
    if len(moving) < len(length):
        way, length = way.take(moving, axis=1), length[moving]
    enters = leaves = np.divide(way, length, out=way)
    share, bend2 = np.abs(enters), np.full(len(moving), math.inf)
    if turns is not None:
        held = turns.length > 0.0
        at = np.searchsorted(moving, arcs[held])
        leaves = enters.copy()
        enters[:, at], leaves[:, at], share[:, at] = turns.enters[:, held], turns.leaves[:, held], turns.share[:, held]
        bend2[at] = turns.bend_mm[held] * _least_of_plane(motions.plane[arcs[held]], machine)
    left = np.concatenate([before, leaves], axis=1)
    limits = machine.motion.acceleration_mm_s2
    return _Course(
        which=moving,
        length=length,
        cruise2=_cruise2(motions.kind[moving], motions.feed[moving], share, machine),
        acceleration=1.0 / _slowest(share, limits),
        bend2=bend2,
        corner2=_corner2(left[:, :-1], enters, limits),
    ), left[:, -1:]


def _least_of_plane(plane: NDArray[np.int8], machine: Machine) -> Floats:
    """Acceleration that both axes of an arc's plane have, mm/s2."""
    limits = machine.motion.acceleration_mm_s2
    least = {code: min(limits[first], limits[second]) for code, (first, second, _) in PLANE_AXES.items()}
    return np.array([least[code] for code in plane.tolist()], dtype=np.float64)


def _slowest(share: Floats, limits: Sequence[float]) -> Floats:
    """Largest of share / limit over the axes, (m,): one over the limit along each direction (3, m)."""
    worst: Floats = (share * (1.0 / np.array(limits))[:, np.newaxis]).max(axis=0)
    return worst


def _corner2(leaves: Floats, enters: Floats, limits: Sequence[float]) -> Floats:
    """Square of the speed that each corner allows, for each mm of junction deviation.

    A corner that turns by t is passed as if an arc rounded it that stays within the deviation d:
    v^2 = a d sin(h) / (1 - sin(h)), h = (pi - t) / 2.  With D the change of the unit tangent,
    sin(h)^2 = 1 - D^2 / 4; a is what the axes allow along D.  A straight joint allows any speed, a
    turning back none.
    """
    change = enters - leaves
    square = np.einsum("ij,ij->j", change, change)
    sine = np.sqrt(np.maximum(1.0 - 0.25 * square, 0.0))
    hold = np.sqrt(square) * _slowest(np.abs(change, out=change), limits)
    with np.errstate(divide="ignore"):
        corner2: Floats = 4.0 * sine * (1.0 + sine) / hold
    return corner2


def _cruise2(kind: NDArray[np.int8], feed_mm_min: Floats, share: Floats, machine: Machine) -> Floats:
    """Square of the speed that feed and axes allow, mm2/s2; nan where no feed is set or it is zero."""
    by_axes = 1.0 / _slowest(share, machine.motion.feed_limit_mm_min)
    speed = np.where(feed_mm_min > 0.0, np.minimum(feed_mm_min, by_axes), math.nan)
    rapids = np.flatnonzero(kind == RAPID)
    if len(rapids):
        speed[rapids] = 1.0 / _slowest(share[:, rapids], machine.motion.rapid_mm_min)
    speed *= 1.0 / 60.0
    return speed * speed


class _Turns(NamedTuple):
    """Arcs, k of them: lengths along the helix, true tangents, and the worst direction of a whole turn."""

    length: Floats  # (k,) mm
    enters: Floats  # (3, k)
    leaves: Floats  # (3, k)
    share: Floats  # (3, k): the largest part of the way that each axis takes
    bend_mm: Floats  # (k,): radius of curvature of the helix; times acceleration it is the speed's square


def _turns(motions: Motions, arcs: NDArray[np.intp]) -> _Turns:
    """Follow arcs in their planes: the radius of curvature of a helix is r / cos(rise)^2."""
    axes = np.array([PLANE_AXES[plane] for plane in motions.plane[arcs].tolist()], dtype=np.intp).T
    columns = np.arange(len(arcs))
    first, second, own = ((axis, columns) for axis in axes)
    start, end, centre = motions.start[arcs].T, motions.end[arcs].T, motions.centre[arcs].T
    radius = np.hypot(start[first] - centre[first], start[second] - centre[second])
    planar = radius * np.abs(motions.sweep[arcs])
    rise = np.nan_to_num(end[own] - start[own])
    length = np.hypot(planar, rise)
    safe = np.where(length > 0.0, length, 1.0)
    level, climb = planar / safe, rise / safe

    def tangent(place: Floats) -> Floats:
        across, along = place[first] - centre[first], place[second] - centre[second]
        reach = np.hypot(across, along)
        turned = np.sign(motions.sweep[arcs]) * level / np.where(reach > 0.0, reach, 1.0)
        unit = np.empty(place.shape)
        unit[first], unit[second], unit[own] = -along * turned, across * turned, climb
        return unit

    share = np.empty(start.shape)
    share[first] = share[second] = level
    share[own] = np.abs(climb)
    with np.errstate(divide="ignore"):
        bend = radius / (level * level)
    return _Turns(length, tangent(start), tangent(end), share, bend)


def _run(course: _Course, count: int, rests: NDArray[np.intp], planner: Planner) -> Floats:
    """Seconds of each of all motions under one way of planning."""
    seconds = np.zeros(count)
    if not len(course.which):
        return seconds
    acceleration = course.acceleration * planner.acceleration_share
    top2 = np.minimum(course.cruise2, course.bend2 * planner.acceleration_share)
    unknown = np.isnan(top2)
    top2[unknown] = 0.0
    joint2 = np.zeros(len(top2) + 1)
    inner = joint2[1:-1]
    np.multiply(course.corner2[1:], planner.junction_deviation_mm * planner.acceleration_share, out=inner)
    np.minimum(inner, top2[:-1], out=inner)
    np.minimum(inner, top2[1:], out=inner)
    joint2[np.searchsorted(course.which, rests)] = 0.0
    joint2 = _look_ahead(joint2, 2.0 * acceleration * course.length, planner.blocks_ahead)
    for first in range(0, len(top2), BLOCK):
        rows, joints = slice(first, first + BLOCK), slice(first, first + BLOCK + 1)
        seconds[course.which[rows]] = _trapezoids(course.length[rows], acceleration[rows], top2[rows], joint2[joints])
    seconds[course.which[unknown]] = math.nan
    return seconds


def _look_ahead(joint2: Floats, gain2: Floats, blocks_ahead: int | None) -> Floats:
    """Squares of the speed at the joints, (m + 1,), that acceleration and braking in time allow.

    ``gain2`` is 2 a L of each motion.  A planner that sees only so many blocks must be able to stop at
    the end of the last of them.
    """
    total = np.zeros(len(gain2) + 1)
    np.cumsum(gain2, out=total[1:])
    if blocks_ahead is not None:
        last = np.minimum(np.arange(len(total)) + blocks_ahead, len(total) - 1)
        joint2 = np.minimum(joint2, total[last] - total)
    square2 = joint2 - total
    np.minimum.accumulate(square2, out=square2)
    square2 += 2.0 * total
    backward = square2[::-1]
    np.minimum.accumulate(backward, out=backward)
    square2 -= total
    return np.maximum(square2, 0.0, out=square2)


def _trapezoids(length: Floats, acceleration: Floats, top2: Floats, joint2: Floats) -> Floats:
    """Seconds to speed up, cruise and slow down; a triangle where the cruise is not reached."""
    first2, last2 = joint2[:-1], joint2[1:]
    joint = np.sqrt(joint2)
    mean2 = 0.5 * (first2 + last2)
    peak2 = np.minimum(top2, mean2 + acceleration * length)
    peak = np.sqrt(peak2)
    cruise = np.maximum(length - (peak2 - mean2) / acceleration, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        seconds: Floats = (2.0 * peak - joint[:-1] - joint[1:]) / acceleration + cruise / peak
    return seconds
