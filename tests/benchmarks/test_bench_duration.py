"""The time model at 100 000 moves, beside a plain loop over the same kinematics."""

import math

import numpy as np
import pytest

from makers import a_machine
from pearlkerf.machine.model import Machine
from pearlkerf.reading.duration import JUNCTION_DEVIATION_MM, durations
from pearlkerf.reading.motions import Motions

MOVES = 100_000


def a_curve(moves: int) -> Motions:
    """Give a wavy line of short moves at feed."""
    t = np.linspace(0.0, moves * 0.01, moves + 1)
    at = np.column_stack([20 * np.sin(t), 20 * np.cos(1.3 * t), 0.5 * np.sin(3 * t)])
    zeros = np.zeros(moves)
    return Motions(np.ones(moves, np.int8), at[:-1].copy(), at[1:].copy(), np.full(moves, 17, np.int8),
                   np.full((moves, 3), np.nan), zeros, np.full(moves, 800.0), zeros, zeros.astype(np.int8),
                   zeros.astype(np.int32), zeros.astype(np.int8), zeros.astype(np.int32))  # fmt: skip


def plain_loop(motions: Motions, machine: Machine) -> float:
    """Total time of lines at feed, move by move."""
    limits, accelerations = machine.motion.feed_limit_mm_min, machine.motion.acceleration_mm_s2
    starts, ends, feeds = motions.start.tolist(), motions.end.tolist(), motions.feed.tolist()
    lengths, rates, tops, joints = [], [], [], [0.0]
    before: list[float] = []
    for start, end, feed in zip(starts, ends, feeds, strict=True):
        length = math.dist(start, end)
        unit = [(b - a) / length for a, b in zip(start, end, strict=True)]
        top = min(feed, *(limit / abs(u) for limit, u in zip(limits, unit, strict=True) if u)) / 60
        rates.append(min(limit / abs(u) for limit, u in zip(accelerations, unit, strict=True) if u))
        lengths.append(length)
        tops.append(top * top)
        if before:
            change = [b - a for a, b in zip(before, unit, strict=True)]
            size = math.hypot(*change)
            sine = math.sqrt(max(1 - size * size / 4, 0.0))
            hold = max(abs(c) / limit for limit, c in zip(accelerations, change, strict=True)) * size
            corner = 4 * JUNCTION_DEVIATION_MM * sine * (1 + sine) / hold if hold else math.inf
            joints.append(min(tops[-2], tops[-1], corner))
        before = unit
    joints.append(0.0)
    for i, length in enumerate(lengths):
        joints[i + 1] = min(joints[i + 1], joints[i] + 2 * rates[i] * length)
    total = 0.0
    for i in range(len(lengths) - 1, -1, -1):
        joints[i] = min(joints[i], joints[i + 1] + 2 * rates[i] * lengths[i])
        mean = (joints[i] + joints[i + 1]) / 2
        peak = min(tops[i], mean + rates[i] * lengths[i])
        total += (2 * math.sqrt(peak) - math.sqrt(joints[i]) - math.sqrt(joints[i + 1])) / rates[i]
        total += max(lengths[i] - (peak - mean) / rates[i], 0.0) / math.sqrt(peak)
    return total


@pytest.mark.benchmark(group="time model, 100 000 moves")
def test_the_time_model(benchmark) -> None:
    motions, machine = a_curve(MOVES), a_machine()
    times = benchmark(durations, motions, machine)
    assert times.sum() == pytest.approx(plain_loop(motions, machine), rel=1e-9)
    if benchmark.stats is not None:
        benchmark.extra_info["ns a move, at most 100 on a machine at rest"] = benchmark.stats["min"] / MOVES * 1e9


@pytest.mark.benchmark(group="time model, 100 000 moves")
def test_a_plain_loop(benchmark) -> None:
    motions, machine = a_curve(MOVES), a_machine()
    assert benchmark.pedantic(plain_loop, (motions, machine), rounds=3) > 0
