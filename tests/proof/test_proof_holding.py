"""Rule 5 for clamps, jaws and fences: whatever runs into one is found at its line, and nothing else is."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest
import shapely
from small_board import CUTTERS, DOT, bore, broken, face, machine, pecks, program, slot, verdict

from pearlkerf.proof import counting, prove
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Box, Placement

GOOD = program(bore())
SLOT = program(slot(), cutter=1, cuts="frets 1")


def box(x, y, top, name="clamp"):
    """An upright box from its ranges along the machine's axes."""
    return Box(name, ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])), top)


def held(*boxes, **more):
    """The small board's face setup with a dot, a fret, and what holds it."""
    return replace(face(**more), holding=boxes)


def bench(**cutter):
    """A machine whose cutters all have these figures."""
    changed = tuple(replace(each, **cutter) for each in CUTTERS)
    return replace(machine(), cutters=changed)


# the bore goes round (10, 5) within 3 mm and down to -1.5; the mill reaches 4 mm, its nut is 50 mm wide
LONG = {"stick_out_mm": 20.0, "shank_mm": 3.0}
CASES = [
    (box((13.1, 20), (0, 10), 3.0), LONG, set()),
    (box((12.9, 20), (0, 10), 3.0), LONG, {5}),
    (box((12.9, 20), (0, 10), -1.6), LONG, set()),
    (box((12.9, 20), (0, 10), -1.4), LONG, {5}),
    (box((14.0, 20), (0, 10), 3.0), {"stick_out_mm": 20.0, "shank_mm": 6.0}, {5}),  # the shank, 2.5 above the floor
    (box((14.0, 20), (0, 10), 2.4), {"stick_out_mm": 20.0, "shank_mm": 6.0}, set()),
    (box((14.0, 20), (0, 10), 3.0), {"stick_out_mm": 20.0}, {5}),  # a shank of which nothing is said
    (box((35.0, 45), (0, 10), 4.0), {"stick_out_mm": 5.0, "shank_mm": 3.0}, {5}),  # the nut, 3.5 above zero
    (box((35.0, 45), (0, 10), 3.4), {"stick_out_mm": 5.0, "shank_mm": 3.0}, set()),
    (box((36.6, 45), (0, 10), 4.0), {"stick_out_mm": 5.0, "shank_mm": 3.0}, set()),
    (box((35.0, 45), (0, 10), 3.0), {"shank_mm": 3.0}, {5}),  # a nut of which nothing is said begins at the reach
    (box((-60, -50), (0, 10), 4.8), {"stick_out_mm": 5.0, "shank_mm": 3.0}, set()),
]


@pytest.mark.parametrize(("clamp", "cutter", "found"), CASES)
def test_each_part_counts_with_its_own_width_and_height(clamp, cutter, found):
    assert broken(verdict(GOOD, setup=held(clamp), on=bench(**cutter))) == found


def test_only_this_rule_catches_a_clamp_and_names_line_part_and_amount(monkeypatch):
    clamp = box((12.9, 20), (0, 10), 2.0, "clamp at the bass side")
    given = verdict(GOOD, setup=held(clamp), on=bench(**LONG))
    (finding,) = given.findings
    assert "runs the cutter" in finding.message and "into clamp at the bass side" in finding.message
    assert GOOD.splitlines()[finding.line - 1].startswith("G1 X11.500 ")
    monkeypatch.setattr(prove, "nothing_touches_holding", lambda _run: ())
    assert verdict(GOOD, setup=held(clamp), on=bench(**LONG)).proved


@pytest.mark.parametrize(
    ("way", "found"),
    [
        ("", False),
        ("G0 X40.0 Y-15.0\n", False),  # over the clamp, at clearance
        ("G0 Z2.0\nG0 X40.0 Y-15.0\nG0 Z5.0\n", True),  # straight it would pass beside it
        ("G0 Z3.1\nG0 X40.0 Y-15.0\nG0 Z5.0\n", False),
        ("G0 Z2.0\nG0 X40.0\nG0 Z5.0\n", False),
    ],
)
def test_a_rapid_counts_with_its_whole_box(way, found):
    clamp = box((14, 18), (-14, -10), 3.0)
    text = GOOD.replace("G0 X10.000 Y5.000", f"G0 X10.000 Y5.000\n{way}G0 X10.0 Y5.0")
    told = verdict(text, setup=held(clamp), on=bench(**LONG)).findings
    assert any("into clamp" in finding.message for finding in told) == found


def test_a_fence_beside_a_through_slot_lies_below_its_floor():
    run_out = 20.0 + 0.3 + 0.5 + 0.3
    lowest = -2.0 - (254.0 - math.sqrt(254.0**2 - 20.5**2))
    long = {"stick_out_mm": 20.0, "shank_mm": 0.6, "reach_mm": 5.0}
    for top, far, found in [(lowest + 0.01, 0.1, {5}), (lowest - 0.01, 0.1, set()), (-1.0, -0.01, set())]:
        fence = box((0, 60), (-run_out - 5, -run_out + far), top, "fence")
        assert broken(verdict(SLOT, setup=held(fence), on=bench(**long))) == found


def test_boxes_stand_on_the_machine_not_on_the_board():
    turned = Placement(90.0, 0.0, 0.0)
    clamp = box((-10, -1), (12.8, 20), 3.0)  # where the dot lies once the board is turned: about (-5, 10)
    assert verdict(GOOD, setup=held(clamp), on=bench(**LONG)).proved
    moved = program(bore(centre=(-5.0, 10.0)))
    given = verdict(moved, setup=held(clamp, placement=turned), on=bench(**LONG))
    assert broken(given) == {5}


@pytest.mark.parametrize("seed", range(6))
def test_what_is_found_is_what_sampled_motion_meets(seed):
    """Against points every 0.02 mm along the way of a bore and of a slot, each part a disc about them."""
    draw = np.random.default_rng(seed)
    cutter = {"stick_out_mm": float(draw.uniform(4, 8)), "shank_mm": float(draw.uniform(1, 8))}
    on = bench(**cutter)
    for text, number in ((GOOD, 2), (SLOT, 1)):
        at = sampled(text)
        cutter_of = next(each for each in on.cutters if each.number == number)
        for _ in range(12):
            x, y = draw.uniform(-20, 50), draw.uniform(-40, 40)
            wide, deep, top = draw.uniform(1, 12), draw.uniform(1, 12), draw.uniform(-2.5, 4.5)
            clamp = box((x, x + wide), (y, y + deep), top)
            near = np.hypot(
                np.maximum(np.maximum(x - at[:, 0], at[:, 0] - x - wide), 0),
                np.maximum(np.maximum(y - at[:, 1], at[:, 1] - y - deep), 0),
            )
            parts = [(0.0, cutter_of.diameter_mm / 2), (4.0, cutter["shank_mm"] / 2), (cutter["stick_out_mm"], 25.0),
                     (cutter["stick_out_mm"] + 15.0, 50.0)]  # fmt: skip
            by = max(float(np.minimum(r - near, top - at[:, 2] - above).max()) for above, r in parts)
            given = verdict(text, setup=held(clamp), on=on)
            if abs(by) > 0.1:  # nearer than that a rapid's box or a sample decides
                assert bool([f for f in given.findings if "into clamp" in f.message]) == (by > 0), (by, clamp)


def sampled(text):
    """Points (n, 3) of a program's known motions, a rapid's too."""
    motions = read_program(text.encode("ascii")).motions
    points = []
    for kind, start, end, centre, sweep in zip(
        motions.kind, motions.start, motions.end, motions.centre, motions.sweep, strict=True
    ):
        if np.isnan(start).any():
            continue
        share = np.linspace(0, 1, max(2, int(np.linalg.norm(end - start) / 0.02), int(abs(sweep) * 200)))[:, None]
        way = start + (end - start) * share
        if kind == 2:
            spoke = complex(*(start - centre)[:2]) * np.exp(1j * sweep * share[:, 0])
            way[:, 0], way[:, 1] = centre[0] + spoke.real, centre[1] + spoke.imag
        points.append(way)
    return np.concatenate(points)


def test_nothing_is_held_where_nothing_holds():
    assert verdict(GOOD, setup=face(DOT)).proved


def test_a_plunge_that_goes_nowhere_in_plan_counts_like_any_way():
    drilled = program(pecks(), cutter=3, cuts="face dots 3")
    for gap, found in ((0.99, {5}), (1.01, set())):
        near = box((45.0 + gap, 60.0), (-9.0, -7.0), -0.5)
        assert broken(verdict(drilled, setup=held(near), on=bench(**LONG))) == found


def test_many_boxes_and_ways_are_told_as_if_each_were_held_by_itself(monkeypatch):
    """Held here against every box by plain distances; a page of ways is a few of them only."""
    draw = random.Random(7)
    lows = [(draw.uniform(0, 20), draw.uniform(-5, 15)) for _ in range(60)]
    boxes = [box((x, x + draw.uniform(0.1, 2)), (y, y + draw.uniform(0.1, 2)), draw.uniform(-3, 5), f"box {n}")
             for n, (x, y) in enumerate(lows)]  # fmt: skip
    monkeypatch.setattr(counting, "PAGE", 5)
    given = verdict(GOOD, setup=held(*boxes), on=bench(**LONG))
    told = {finding.message.partition(" into ")[2].partition(";")[0] for finding in given.findings}
    motions = read_program(GOOD.encode()).motions
    feeds = np.flatnonzero(motions.kind != 0)
    chords = shapely.linestrings(np.stack([motions.start[feeds, :2], motions.end[feeds, :2]], axis=1))
    lowest = np.minimum(motions.start[feeds, 2], motions.end[feeds, 2])
    hanging = bench(**LONG).hanging(bench(**LONG).cutter(2))
    surely = {
        each.name for each in boxes for part in hanging
        if ((shapely.distance(chords, shapely.Polygon(each.corners)) < part.radius_mm - 0.01)
            & (lowest + part.above_tip_mm < each.top_mm - 0.01)).any()
    }  # fmt: skip
    assert len(surely) > 3
    assert surely <= told
    assert len(told) < len(boxes)
