"""Pockets beside what they could be at best: the way of a level, the moves of a ring, machine time, and their making.

Run: pytest tests/benchmarks/test_bench_pockets.py --benchmark-enable -s
"""

import subprocess
import sys
import time

import numpy as np
import pytest
import shapely
from shapely import affinity
from test_bench_rings import leaf

from makers import a_machine
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Floor
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter
from pearlkerf.reading.duration import durations
from pearlkerf.reading.motions import RAPID
from pearlkerf.reading.reader import read_program
from pearlkerf.toolpath.nests import nested
from pearlkerf.toolpath.pockets import Levels
from pearlkerf.toolpath.strokes import arc_through, chords, is_straight, lines_and_arcs
from pearlkerf.toolpath.tolerances import LONGER_ARC_MM, LONGER_CHORD_MM
from pockets import DRAWN, a_pocket, clamped_with, fitted, programs_of
from toolpath.fewest_strokes import fewest

ONE = Cutter(1, "end mill", 1.0, 2, 5.0)
STEP_MM = 0.4  # from ring to ring
# a pocket wider than four cutters, in one part: discs of this radius reach so much of it, their middles hang together
WIDE_MM, MOST_OF_IT = 2.0, 0.9
# infeasible strokes after which none longer is looked for
GIVEN_UP = 12


def is_wide(region: shapely.Polygon) -> bool:
    middles = region.buffer(-WIDE_MM)
    return middles.geom_type == "Polygon" and middles.buffer(WIDE_MM).area > MOST_OF_IT * region.area


@pytest.mark.parametrize("name", ["leaf", "vine", "dumbbell", "cat's eye"])
def test_moves_of_the_ring_along_the_wall(name: str, benchmark) -> None:
    """At most 1.1 times the fewest of the same kind, through the same points, as near to them."""
    ring = nested(a_pocket(name).region, ONE.radius_mm)[0].rings[0]
    points = [(float(x), float(y)) for x, y in shapely.get_coordinates(ring.line)]

    def straight(low: int, high: int) -> bool:
        return is_straight(points, low, high, LONGER_CHORD_MM)

    def any_kind(low: int, high: int) -> bool:
        near = LONGER_ARC_MM
        return is_straight(points, low, high, near) or arc_through(points, low, high, near) is not None

    by_chords, by_arcs = len(chords(points, LONGER_CHORD_MM)), len(benchmark(lines_and_arcs, points, LONGER_ARC_MM))
    least_chords, least_arcs = (fewest(points, fits, GIVEN_UP) for fits in (straight, any_kind))
    print(f"{name}: chords {by_chords} of {least_chords}, lines and arcs {by_arcs} of {least_arcs}")
    assert by_chords <= 1.1 * least_chords
    assert by_arcs <= 1.1 * least_arcs


@pytest.mark.parametrize("name", DRAWN)
def test_way_and_time_beside_what_an_area_asks_for(name: str, benchmark) -> None:
    """Way of a level beside A(E) / s + P(E) / 2; time beside A / (stepover times feed), all levels."""
    pocket, machine = a_pocket(name), a_machine(ONE)
    setup = clamped_with([pocket])
    (text,) = benchmark(programs_of, setup, ONE).values()
    motions = read_program(text.encode()).motions
    figures = cutting_figures(machine, ONE, setup.wood)
    levels = Levels.of(pocket, setup.stock, ONE.radius_mm, figures).count
    seconds = durations(motions, machine)
    asked = 60 * levels * pocket.region.area / STEP_MM / figures.feed_mm_min
    low = (motions.kind != RAPID) & (motions.start[:, 2] == motions.end[:, 2]) & (motions.end[:, 2] < 0)
    way = float(seconds[low].sum())  # at the feed in all, so that arcs count with their length
    chord = np.linalg.norm(motions.end - motions.start, axis=1)
    radius = np.nan_to_num(np.hypot(*(motions.start - motions.centre)[:, :2].T))
    length = np.where(motions.sweep != 0, radius * np.abs(motions.sweep), chord)[low].sum() / levels
    place = pocket.region.buffer(-ONE.radius_mm - 0.0025)
    law = place.area / STEP_MM + place.length / 2
    print(f"{name}: way {length / law:.3f} of the law, time {seconds.sum() / asked:.3f}, wood alone {way / asked:.3f}")
    assert not is_wide(pocket.region) or seconds.sum() <= 1.15 * asked
    assert not is_wide(pocket.region) or length <= 1.02 * law


def imported_s() -> float:
    """Give what it takes to import numpy and shapely, beyond what Python takes, s."""

    def taken(code: str) -> float:
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True)
        return time.perf_counter() - start

    return float(np.median([taken("import numpy, shapely") - taken("pass") for _ in range(5)]))


def test_an_outline_of_ten_thousand_corners(benchmark) -> None:
    """Its programs are made within 40 times what importing numpy and shapely takes."""
    outline = fitted(affinity.translate(leaf(10_000), 200.0, 0.0), ONE.diameter_mm)
    pocket = Pocket("inlays", 1, "leaf", outline, Floor(-1.6), -1.6, -1.6, cutter=1)
    setup = clamped_with([pocket])
    benchmark.pedantic(programs_of, (setup, ONE), rounds=3)
    start = time.perf_counter()
    programs_of(setup, ONE)
    taken, imported = time.perf_counter() - start, imported_s()
    print(f"10,000 corners: {taken:.2f} s, {taken / imported:.1f} times the imports")
    assert taken <= 40 * imported
