"""What a pocket's shape says in figures, held against plain sampling: walls, cover, floor, bites."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.proof.heights import meet
from pearlkerf.proof.identity import Assumed, identify
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.shapes.pocket_cover import Ways, uncovered
from pearlkerf.proof.shapes.pocket_floor import lowest_at_crown_mm
from pearlkerf.proof.shapes.pocket_walls import CHAIN, OUTSIDE_STEP_MM, Walls
from pearlkerf.proof.spoken import NOTHING_SAID
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Placement
from proof.pocket_board import (
    DEPTH,
    MIDDLE,
    MILL,
    OUT,
    OUTLINES,
    RADIUS,
    board,
    cuts,
    entered,
    followed,
    levels,
    pocket,
    rings,
    router,
    spirals,
)
from proof.pocket_simulation import distances

SEEDS = st.integers(0, 10**9)


def rough(draw, size=6.0):
    """An area with a wavy edge and a hole."""
    angle = np.arange(60) * 2 * math.pi / 60
    edge = size * (1 + 0.25 * np.sin(angle * draw.integers(2, 7) + draw.uniform(0, 6)) + draw.uniform(-0.03, 0.03, 60))
    hole = shapely.Point(draw.uniform(-2, 2, 2)).buffer(draw.uniform(0.5, 1.5), quad_segs=4)
    area = shapely.Polygon(np.column_stack([edge * np.cos(angle), edge * np.sin(angle)])) - hole
    return max(shapely.get_parts(area), key=lambda part: part.area)


@settings(max_examples=EXAMPLES or 15)
@given(seed=SEEDS)
def test_no_sweep_leaves_its_walls_by_more_than_is_told_nor_by_much_less(seed):
    draw = np.random.default_rng(seed)
    area = rough(draw)
    points = np.cumsum(draw.uniform(-1, 1, (3 * CHAIN, 2)) * draw.choice([0.02, 0.4, 3.0], (3 * CHAIN, 1)), axis=0)
    points = points[np.abs(points).max(axis=1) < 8]
    start, end = points[:-1], points[1:]
    radius = np.full(len(start), draw.uniform(0.2, 0.8))
    told = Walls.of(area).outside_mm(start, end, radius)
    on = start[:, None] + (end - start)[:, None] * np.linspace(0, 1, 60)[:, None]
    signed = shapely.distance(area.boundary, shapely.points(on)) * np.where(shapely.contains_xy(area, *on.T).T, -1, 1)
    truth = signed.max(axis=1) + radius
    length = np.hypot(*(end - start).T)
    assert (told >= truth - 1e-9).all()
    bad = truth > 0  # the others share what their chain has at most
    assert (told <= np.where(bad, truth + length / 59 + OUTSIDE_STEP_MM, 0.0) + 1e-9).all()
    clear = bad & (truth < radius)
    assert told[clear] == pytest.approx(truth[clear], abs=float(length.max()) / 59)


def test_a_way_that_stays_in_one_place_has_its_distance_too():
    walls = Walls.of(shapely.box(0, 0, 10, 10))
    still = np.array([[3.0, 4.0], [3.0, 4.0], [20.0, 4.0]])
    assert walls.outside_mm(still, still, np.full(3, 1.0)).tolist() == [-2.0, -2.0, 11.0]
    assert walls.outside_mm(still[:0], still[:0], np.zeros(0)).shape == (0,)


def spiral_over(area, step, radius):
    """Ways to and fro over an area's box."""
    low_x, low_y, high_x, high_y = area.bounds
    lines = [[(low_x, y), (high_x, y)] for y in np.arange(low_y, high_y + step, step)]
    ways = shapely.MultiLineString(lines)
    shapely.prepare(ways)
    return Ways(radius, ways), np.array(lines)


@settings(max_examples=EXAMPLES or 15)
@given(seed=SEEDS)
def test_what_counts_as_covered_is_and_what_does_not_is_not(seed):
    draw = np.random.default_rng(seed)
    area, radius = rough(draw), draw.uniform(0.3, 0.6)
    ways, lines = spiral_over(area, radius * draw.uniform(1.7, 2.1), radius)
    place = uncovered(area, [ways])
    if place is None:
        points = draw.uniform(-8, 8, (4000, 2))
        points = points[shapely.contains_xy(area, points[:, 0], points[:, 1])]
        assert distances(points, lines).max() <= radius + 1e-9
    else:
        assert area.distance(shapely.Point(place)) < 1e-9
        assert distances(place[None], lines)[0] > radius - 0.0005


def test_covers_of_two_cutters_add_up_and_a_slit_of_a_thousandth_is_found():
    area = shapely.box(0, 0.002, 10, 3.995)
    one, other = (shapely.LineString([(-1, y), (11, y)]) for y in (1.0, 3.0))
    for gap, found in ((-0.001, False), (0.001, True)):
        ways = [Ways(1.0, one), Ways(1.0 - gap, other)]
        place = uncovered(area, ways)
        assert (place is not None) == found
        assert not found or place[1] == pytest.approx(2.0005, abs=0.001)
    assert uncovered(area, []) is not None


@settings(max_examples=EXAMPLES or 15)
@given(seed=SEEDS)
def test_a_followed_floor_is_no_higher_under_a_flat_cutter_than_is_told(seed):
    draw = np.random.default_rng(seed)
    crown = Crown(draw.uniform(150, 400), draw.uniform(150, 400), 90.0)
    own = pocket("block", floor=Floor(DEPTH, crown))
    ends = draw.uniform((20, -20, -2), (50, 20, -1), (2, 30, 3))
    own = replace(own, region=shapely.box(20, -20, 50, 20))
    told = lowest_at_crown_mm(own, Placement(), *ends, np.full(30, RADIUS))
    share = np.linspace(0, 1, 300)
    angle = np.arange(64) * 2 * math.pi / 64
    for row in range(30):
        on = ends[0, row] + (ends[1, row] - ends[0, row]) * share[:, None]
        rim = on[:, None, :2] + RADIUS * np.column_stack([np.cos(angle), np.sin(angle)])
        under = np.concatenate([rim, on[:, None, :2]], axis=1)
        fallen = crown.fall_mm(under[..., 0], under[..., 1]).min(axis=1)
        lowest = float((on[:, 2] + fallen).min())
        assert lowest - 0.02 * RADIUS <= told[row] <= lowest + 1e-9  # a cone's bound takes the wider end all round


def prepared(text, own):
    """A run of one program for one pocket, with its figures asked of nobody."""
    reading = read_program(text.encode(), "1.nc")
    setup = board(own)
    identity = identify(reading, "1.nc", [setup], router(), Assumed())
    return prepare(reading, "1.nc", identity, router(), NOTHING_SAID)


@pytest.mark.parametrize("name", sorted(OUTLINES))
def test_the_bound_of_bites_is_no_less_than_what_the_map_finds(name):
    own = pocket(name)
    at_once = [ring for ring in rings(own.region) if len(ring) > 30][:1]
    for body in (spirals(own), levels(own), levels(own, depths=(-0.6, DEPTH)), spirals(own, at_once, bite=0.9)):
        run = prepared(cuts(body), own)
        bound = run.shapes[0].greatest_bite_mm(run.cuts)
        assert bound >= float(meet(run, (), [0]).bite.max()) - 1e-6


def begun_between(ring):
    """The same ring gone round the other way, from between two of its corners."""
    middle = np.round(ring[2:4].mean(axis=0, keepdims=True), 3)
    return np.concatenate([middle, ring[:3][::-1], ring[3:-1][::-1], middle])


def bent_way(draw):
    """A way of long and short cuts with gentle corners, (n, 2), as far as a block's walls."""
    turns = draw.choice([-1.0, 1.0]) * draw.uniform(0.2, 0.45, 40)
    headings, lengths = np.cumsum(turns)[:, None], draw.choice([0.06, 0.12, 0.4, 2.0], (40, 1))
    places = np.array(MIDDLE) + np.cumsum(lengths * np.hstack([np.cos(headings), np.sin(headings)]), axis=0)
    out = (np.abs(places - MIDDLE) > (6.9, 2.9)).any(axis=1)
    return places[: int(out.argmax())] if out.any() else places


def parted(way, draw):
    """The same way with more corners on it, wherever chance wants them."""
    share = draw.uniform(0.1, 0.9, len(way) - 1)[:, None]
    more = np.stack([way[:-1], way[:-1] + share * np.diff(way, axis=0)], axis=1)
    kept = np.column_stack([np.ones(len(share), dtype=bool), draw.random(len(share)) < 0.5])
    return np.vstack([more[kept], way[-1:]])


@settings(max_examples=EXAMPLES or 15)
@given(seed=SEEDS)
def test_levels_of_one_way_take_a_bite_each_on_the_map_wherever_their_cuts_begin(seed):
    draw = np.random.default_rng(seed)
    way, lines = bent_way(draw), []
    for height in (-0.4, -0.8, DEPTH):
        ring = parted(way, draw)
        lines += [*entered(ring, height), *followed(ring, np.full(len(ring), height), " F400.0"), *OUT]
    run = prepared(cuts(lines), pocket("block"))
    assert len(run.inside[0].motion) == len(run.cuts.motion)
    assert float(meet(run, (), [0]).bite.max()) == pytest.approx(0.4)


def test_what_was_cut_just_before_is_wood_to_the_bound():
    own, height = pocket("block"), 0.0
    lines = [*entered(np.array([[24.0, 4.0]]), 0.0)]
    for times in range(8):  # to and fro on a way of a fifth of a radius
        height -= 0.03
        lines.append(f"G1 X{24.0 + 0.2 * (1 - times % 2):.3f} Y4.000 Z{height:.3f} F400.0")
    run = prepared(cuts([*lines, *OUT]), own)
    on_the_map = float(meet(run, (), [0]).bite.max())
    assert 0.06 < on_the_map <= run.shapes[0].greatest_bite_mm(run.cuts) + 1e-6


def test_the_bound_of_levels_is_their_height_and_that_of_other_ways_the_wood_s():
    own = pocket("leaf")
    run = prepared(cuts(levels(own)), own)
    assert run.shapes[0].greatest_bite_mm(run.cuts) == pytest.approx(0.4)
    ways = rings(own.region)
    for turned in ([np.concatenate([ring[3:-1], ring[:4]]) for ring in ways], [begun_between(ring) for ring in ways]):
        again = levels(own, turned, (-0.8,)), levels(own, ways, (DEPTH,))
        mixed = levels(own, ways, (-0.4,)) + [line.replace("Z0.100 ", "Z-0.400 ") for body in again for line in body]
        run = prepared(cuts(mixed), own)
        assert run.shapes[0].greatest_bite_mm(run.cuts) == pytest.approx(0.4)
    beside = spirals(own, [ways[2] + 0.01], top=-0.4)
    run = prepared(cuts([*levels(own, ways, (-0.4,)), *beside]), own)
    assert run.shapes[0].greatest_bite_mm(run.cuts) > 0.5


def test_a_pocket_s_lattice_lies_in_it_and_its_width_is_measured():
    shape = prepared(cuts(spirals(pocket("two islands"))), pocket("two islands")).shapes[0]
    grid = shape.grid(RADIUS)
    inside = shapely.contains_xy(pocket("two islands").region, grid.on_machine[:, 0], grid.on_machine[:, 1])
    assert (grid.within == inside).all() and grid.within.sum() > 400
    assert shape.across_mm(np.array([[0.0, 1.0], [0.0, -3.0]]), np.array([1.0, 0.5])).tolist() == [5.5]
    assert MILL and shape.across_mm(np.zeros((0, 2)), np.zeros(0)).shape == (0,)
