"""The rings that clear a pocket beside other ways to them: pyclipper ring by ring, and buffers from the outline.

Needs the extra "benchmark" (pyclipper).  Run: pytest tests/benchmarks/test_bench_rings.py --benchmark-enable -s
A pocket of 60 by 40 mm and a mill of 1 mm, 0.4 mm from ring to ring.  Each takes its turn, medians of three.
"""

import math
import time
from collections.abc import Callable

import numpy as np
import pytest
import shapely

from pearlkerf.toolpath.rings import clearing_rings, where_its_middle_may_be

RADIUS_MM, STEPOVER_MM = 0.5, 0.4
CLEAN_MM, ARC_MM = 0.001, 0.001
CLIPPER_STEPS = 10_000  # whole numbers a millimetre
TURNS = 3


def leaf(count: int, noise_mm: float = 0.0) -> shapely.Polygon:
    """Give a leaf with seven lobes; ``noise_mm`` roughens it."""
    t = np.arange(count) * 2 * math.pi / count
    away = 1 + 0.18 * np.cos(7 * t) + 0.05 * np.sin(23 * t)
    away += np.random.default_rng(1).normal(0, noise_mm / 20, count) if noise_mm else 0.0
    return shapely.Polygon(np.column_stack([25 * away * np.cos(t), 16 * away * np.sin(t)]))


def vine(count: int) -> shapely.Polygon:
    """Give a wide band that winds, with a round hole in each of its bends."""
    along = np.linspace(0, 1, count // 4)
    middle = np.column_stack([60 * along, 10 * np.sin(4 * math.pi * along)])
    aside = np.column_stack([-np.gradient(middle[:, 1]), np.gradient(middle[:, 0])])
    aside *= (2.1 + 0.05 * np.sin(80 * math.pi * along))[:, None] / np.hypot(*aside.T)[:, None]
    t = np.arange(count // 12) * 2 * math.pi / (count // 12)
    holes = [np.array([7.5 + 15 * n, 10 * (-1) ** n]) + 0.8 * np.column_stack([np.cos(t), np.sin(t)]) for n in range(4)]
    return shapely.Polygon(np.concatenate([middle + aside, (middle - aside)[::-1]]), holes)


def ours(pocket: shapely.Polygon) -> float:
    first = where_its_middle_may_be(pocket, RADIUS_MM)
    return first.area + sum(part.area for parts in clearing_rings(first, STEPOVER_MM) for part in parts)


def from_the_outline(pocket: shapely.Polygon) -> float:
    total, level = 0.0, 0
    while True:
        left = shapely.buffer(pocket, -RADIUS_MM - level * STEPOVER_MM, quad_segs=16)
        if left.is_empty:
            return total
        total, level = total + left.area, level + 1


def ring_by_ring(pocket: shapely.Polygon) -> float:
    clipper = pytest.importorskip("pyclipper")
    rings = [pocket.exterior, *pocket.interiors]
    left = [np.round(shapely.get_coordinates(ring)[:-1] * CLIPPER_STEPS).astype(int).tolist() for ring in rings]
    left = [ring if clipper.Orientation(ring) == (place == 0) else ring[::-1] for place, ring in enumerate(left)]
    total, by = 0.0, RADIUS_MM
    while True:
        offset = clipper.PyclipperOffset(2.0, ARC_MM * CLIPPER_STEPS)
        offset.AddPaths(left, clipper.JT_ROUND, clipper.ET_CLOSEDPOLYGON)
        left = [
            ring
            for ring in clipper.CleanPolygons(offset.Execute(-by * CLIPPER_STEPS), CLEAN_MM * CLIPPER_STEPS)
            if ring
        ]
        if not left:
            return total
        total, by = total + sum(map(clipper.Area, left)) / CLIPPER_STEPS**2, STEPOVER_MM


def medians(ways: list[Callable[[shapely.Polygon], float]], pocket: shapely.Polygon) -> list[float]:
    """Give how much of the processor's time each way takes, s, in turn."""
    taken: list[list[float]] = [[] for _ in ways]
    for _ in range(TURNS):
        for way, times in zip(ways, taken, strict=True):
            start = time.process_time()
            way(pocket)
            times.append(time.process_time() - start)
    return [float(np.median(times)) for times in taken]


@pytest.mark.parametrize(
    ("draw", "count", "least"), [(leaf, 10_000, 5.0), (leaf, 50_000, 48.0), (vine, 10_000, 2.5), (vine, 50_000, 19.0)]
)
def test_rings_are_faster_than_pyclipper_ring_by_ring(draw, count: int, least: float, benchmark) -> None:
    pocket = draw(count)
    assert ours(pocket) == pytest.approx(ring_by_ring(pocket), rel=0.01)
    mine, its = medians([ours, ring_by_ring], pocket)
    print(f"{draw.__name__} {count}: {mine * 1000:.1f} ms, pyclipper {its / mine:.1f} times that")
    benchmark(ours, pocket)
    assert its > least * mine


@pytest.mark.parametrize(("count", "least"), [(1_000, 7.5), (10_000, 30.0)])
def test_rings_are_faster_than_buffers_from_the_outline(count: int, least: float, benchmark) -> None:
    pocket = leaf(count)
    assert ours(pocket) == pytest.approx(from_the_outline(pocket), rel=0.01)
    mine, its = medians([ours, from_the_outline], pocket)
    print(f"leaf {count}: {mine * 1000:.1f} ms, from the outline {its / mine:.1f} times that")
    benchmark(ours, pocket)
    assert its > least * mine


@pytest.mark.parametrize(("noise_mm", "most"), [(0.0, 0.7), (0.004, 1.1)])
def test_time_grows_slower_than_vertices(noise_mm: float, most: float, benchmark) -> None:
    counts = [1_000, 10_000, 50_000, 200_000]
    times = [medians([ours], leaf(count, noise_mm))[0] for count in counts]
    power = np.polyfit(np.log(counts), np.log(times), 1)[0]
    print(f"noise {noise_mm}: {[f'{1000 * each:.0f} ms' for each in times]}, n^{power:.2f}")
    benchmark(ours, leaf(counts[0], noise_mm))
    assert power < most
