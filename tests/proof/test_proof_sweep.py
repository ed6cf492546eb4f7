"""Cuts drawn out along a slot stand for no more than they sweep, under crowns and on ramps, whole and damaged."""

import random

import numpy as np
import pytest
from small_board import CROWN, FRET, STOPPED, face, machine, program, slot, stopped
from test_proof_regular import damaged

from how_often import EXAMPLES
from pearlkerf.proof.identity import identify
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.shapes.leaning_floor import floor_of
from pearlkerf.proof.shapes.slot_cover import Wanted, drawn_out, slot_ends, slot_gap, swept_with_draws
from pearlkerf.proof.shapes.slot_floor import FloorLine
from pearlkerf.proof.tolerances import CUT_MM
from pearlkerf.reading.motions import UnreadableProgram
from pearlkerf.reading.reader import read_program

LANES = (0.05, -0.05)
CASES = {
    "under a crown": (slot(top=True), FRET, 1, "frets 1", CROWN),
    "a floor that follows": (slot(), FRET, 1, "frets 1", None),
    "lanes": (slot(lanes=LANES, radius=0.25), FRET, 7, "frets 1", None),
    "stopped": (stopped(), STOPPED, 1, "frets 2", None),
}
GRID_MM, SAMPLE_MM, FORGIVEN_MM = 0.15, 0.02, 0.003


def run_and_shape(body: list[str], case: str):
    """What the proof makes of a program of this case."""
    _, feature, cutter, cuts, crown = CASES[case]
    setup = face(feature, crown=crown)
    reading = read_program(program(body, cutter, cuts).encode("ascii"), "p.nc")
    run = prepare(reading, "p.nc", identify(reading, "p.nc", [setup], machine()), setup, machine())
    return run, run.shapes[0]


def rough_gap(run, shape):
    """What a cover of few discs and cuts drawn out finds left."""
    floor, cuts = floor_of(shape), run.inside[0]
    swept = swept_with_draws(cuts.some(cuts.flat > cuts.slack), shape, floor)
    width = float(shape.width_mm(cuts.radius).min())
    lanes = bool((np.abs(2 * cuts.radius - width) > 1e-6).any())
    return slot_gap(shape, floor, swept, Wanted(width, lanes, 0.004)), width


def least_left_mm(run, shape, width: float) -> float:
    """The reference: the farthest that any point of the slot's strip lies from what was cut deep enough by it.

    The cutter is set down every SAMPLE_MM of its way; a point counts as cut where the tip stands no higher
    than the floor anywhere within the cutter's radius along the slot, and CUT_MM.
    """
    rows, cuts, floor = run.cuts.of(0), run.cuts, FloorLine.of(shape)
    steps = np.maximum(1, np.ceil(np.linalg.norm((cuts.end - cuts.start)[rows], axis=1) / SAMPLE_MM)).astype(int)
    index = np.repeat(rows, steps + 1)
    share = np.concatenate([np.linspace(0, 1, count + 1) for count in steps])[:, None]
    tips = cuts.start[index] * (1 - share) + cuts.end[index] * share
    local, radius = shape.local(tips[:, :2]), cuts.flat[index]
    half = width / 2 - CUT_MM
    ends, left = slot_ends(shape, width, half), 0.0
    for u in np.linspace(-half, half, 7):
        low, high = float(ends.low_mm(np.array([u]))[0]), float(ends.high_mm(np.array([u]))[0])
        for v in np.arange(max(low, 0.0) + 1e-6, min(high, shape.length), GRID_MM):
            near = np.abs(local[:, 1] - v) <= 1.0
            reachable = floor.at(np.linspace(v - radius[0], v + radius[0], 41)).max()
            if not shape.feature.through and not radius[0] < v < shape.length - radius[0]:
                reachable = np.inf  # near a stopped slot's ends the last place of the tip is all there is
            deep = near & (tips[:, 2] <= reachable + CUT_MM + 1e-6)
            off = np.hypot(local[deep, 0] - u, local[deep, 1] - v) - radius[deep]
            left = max(left, float(off.min(initial=1.0)))
    return left


@pytest.mark.parametrize("case", CASES)
def test_a_whole_slot_is_covered_by_cuts_drawn_out(case):
    run, shape = run_and_shape(CASES[case][0], case)
    gap, width = rough_gap(run, shape)
    assert gap is None and least_left_mm(run, shape, width) <= FORGIVEN_MM
    _, drawn = drawn_out(run.inside[0], shape, floor_of(shape))
    assert drawn.any()


@pytest.mark.parametrize("case", CASES)
def test_what_counts_as_covered_is_swept_however_the_program_is_damaged(case):
    draw, covered = random.Random(case), 0
    for _ in range(EXAMPLES or 12):
        try:
            run, shape = run_and_shape(damaged(CASES[case][0], draw), case)
        except UnreadableProgram:
            continue
        if not len(run.cuts.of(0)):
            continue
        gap, width = rough_gap(run, shape)
        if gap is None:
            covered += 1
            assert least_left_mm(run, shape, width) <= FORGIVEN_MM
    assert EXAMPLES or covered >= 2


def test_the_highest_floor_within_a_distance_is_found_also_beyond_the_ends():
    """Against the greatest of many places; beyond an end the floor goes on as straight as it came."""
    _, shape = run_and_shape(CASES["under a crown"][0], "under a crown")
    floor = FloorLine.of(shape)
    step = floor.along[1] - floor.along[0]
    slopes = (floor.height[1] - floor.height[0]) / step, (floor.height[-1] - floor.height[-2]) / step

    def height(along):
        before, after = np.minimum(along, 0.0), np.maximum(along - floor.along[-1], 0.0)
        return np.interp(along, floor.along, floor.height) + before * slopes[0] + after * slopes[1]

    middle = float(floor.along[floor.peak])
    places = np.array([-2.0, -0.1, 0.2, middle - 0.1, middle + 0.2, middle + 5.0, floor.along[-1] + 0.2, 43.0])
    for distance in (0.0, 0.3, 3.0):
        near = places[:, None] + np.linspace(-distance, distance, 2001)
        found = floor.highest_near(places, np.full(len(places), distance))
        assert found == pytest.approx(height(near).max(axis=1), abs=1e-5)
    assert floor.is_concave and slopes[0] > 0.05 and slopes[1] < -0.05
