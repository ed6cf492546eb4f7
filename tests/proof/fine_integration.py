"""The time model's kinematics once more, followed step by step: slow, plain, and without its formulas.

Each motion becomes short steps of way; the speed's square may change by 2 a ds from step to step; the
passes are loops over steps.  Tangents come from points of the path a hair apart, not from formulas.
"""

import math
from itertools import pairwise

from pearlkerf.machine.model import Machine
from pearlkerf.reading.motions import ARC, RAPID, Motions

PLANES = {17: (0, 1, 2), 18: (2, 0, 1), 19: (1, 2, 0)}
HAIR = 1e-6  # of a motion's way


def integrate(motions: Motions, machine: Machine, *, deviation_mm: float, steps: int, rests=()) -> list[float]:
    """Seconds of each motion; every motion must move."""
    count = len(motions.kind)
    paths = [_path(motions, i) for i in range(count)]
    limits = [_limits(motions, i, paths[i], machine) for i in range(count)]
    ways: list[float] = []
    rates: list[float] = []
    caps = [0.0]
    for i in range(count):
        _, length = paths[i]
        top, acceleration = limits[i]
        if i:
            joint = min(top, limits[i - 1][0], _corner(paths[i - 1], paths[i], machine, deviation_mm))
            caps[-1] = 0.0 if i in rests else joint
        ways += [length / steps] * steps
        rates += [acceleration] * steps
        caps += [top] * steps
    caps[-1] = 0.0
    squares = [cap * cap for cap in caps]
    for i in range(len(ways)):
        squares[i + 1] = min(squares[i + 1], squares[i] + 2 * rates[i] * ways[i])
    for i in range(len(ways) - 1, -1, -1):
        squares[i] = min(squares[i], squares[i + 1] + 2 * rates[i] * ways[i])
    speeds = [math.sqrt(square) for square in squares]
    times = [2 * ways[i] / (speeds[i] + speeds[i + 1]) for i in range(len(ways))]
    return [math.fsum(times[i * steps : (i + 1) * steps]) for i in range(count)]


def _path(motions: Motions, i: int):
    """Give a function from a share of the way to a point, and the length."""
    start, end = motions.start[i].tolist(), motions.end[i].tolist()
    if motions.kind[i] != ARC:
        return (lambda t: [a + (b - a) * t for a, b in zip(start, end, strict=True)]), math.dist(start, end)
    p, q, w = PLANES[int(motions.plane[i])]
    centre, sweep = motions.centre[i].tolist(), float(motions.sweep[i])
    radius = math.hypot(start[p] - centre[p], start[q] - centre[q])
    angle = math.atan2(start[q] - centre[q], start[p] - centre[p])

    def point(t: float) -> list[float]:
        at = [0.0, 0.0, 0.0]
        at[p] = centre[p] + radius * math.cos(angle + sweep * t)
        at[q] = centre[q] + radius * math.sin(angle + sweep * t)
        at[w] = start[w] + (end[w] - start[w]) * t
        return at

    chords = 2000
    points = [point(k / chords) for k in range(chords + 1)]
    return point, math.fsum(math.dist(a, b) for a, b in pairwise(points))


def _limits(motions: Motions, i: int, path, machine: Machine) -> tuple[float, float]:
    """Top speed and acceleration: lines by their direction, arcs by the worst direction of a whole turn."""
    point, length = path
    rapid = motions.kind[i] == RAPID
    axis_speed = machine.motion.rapid_mm_min if rapid else machine.motion.feed_limit_mm_min
    axis_acceleration = machine.motion.acceleration_mm_s2
    if motions.kind[i] == ARC:
        p, q, w = PLANES[int(motions.plane[i])]
        climb = abs(float(motions.end[i, w] - motions.start[i, w])) / length
        share = [0.0, 0.0, 0.0]
        share[p] = share[q] = math.sqrt(1 - climb * climb)
        share[w] = climb
    else:
        share = [abs(b - a) / length for a, b in zip(point(0.0), point(1.0), strict=True)]
    top = min(limit / 60 / part for limit, part in zip(axis_speed, share, strict=True) if part)
    if not rapid:
        top = min(top, float(motions.feed[i]) / 60)
    if motions.kind[i] == ARC:
        radius = math.dist([point(0.0)[p], point(0.0)[q]], [motions.centre[i, p], motions.centre[i, q]])
        inward = min(axis_acceleration[p], axis_acceleration[q])
        top = min(top, math.sqrt(inward * radius) / share[p])
    return top, min(limit / part for limit, part in zip(axis_acceleration, share, strict=True) if part)


def _corner(before, after, machine: Machine, deviation_mm: float) -> float:
    """Speed past a corner, from its angle: v^2 = a d sin(h) / (1 - sin(h)), h half the angle between the legs."""
    (leave, _), (enter, _) = before, after
    out = _unit(leave(1.0 - HAIR), leave(1.0))
    into = _unit(enter(0.0), enter(HAIR))
    turn = math.acos(max(-1.0, min(1.0, math.fsum(a * b for a, b in zip(out, into, strict=True)))))
    if turn < 1e-4:
        return math.inf
    change = [b - a for a, b in zip(out, into, strict=True)]
    size = math.hypot(*change)
    acceleration = min(limit * size / abs(part) for limit, part in
                       zip(machine.motion.acceleration_mm_s2, change, strict=True) if abs(part) > 1e-9)  # fmt: skip
    sine = math.sin((math.pi - turn) / 2)
    return math.sqrt(acceleration * deviation_mm * sine / (1 - sine))


def _unit(a: list[float], b: list[float]) -> list[float]:
    size = math.dist(a, b)
    return [(y - x) / size for x, y in zip(a, b, strict=True)]
