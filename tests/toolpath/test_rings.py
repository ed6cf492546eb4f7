"""Rings in pockets, held by plain distances: the wall's ring keeps its radius, all rings together leave nothing."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from how_often import EXAMPLES
from pearlkerf.errors import Refusal
from pearlkerf.outlines.fit import Cutters, fit
from pearlkerf.outlines.region import Region, region_of
from pearlkerf.outlines.segments import Affine
from pearlkerf.outlines.shapes import SHAPES, shape
from pearlkerf.toolpath.rings import along_walls, at_distance, clearing_rings, edges_of, where_its_middle_may_be
from pearlkerf.toolpath.tolerances import LONGER_CHORD_MM, WALL_MIDDLE_MM
from toolpath.wall_chords import wall_rings, with_long_chords

RADIUS_MM, STEPOVER_MM = 0.5, 0.4
MOST_MM = 0.005  # a wall's ring keeps its radius and so much more at most
CUT_MM = 0.01  # what may be left


def pocket_of(region: Region) -> shapely.MultiPolygon:
    # a hundredth more room for the cutter: a neck of its very width has no place for two walls' rings
    return fit(region, Cutters(RADIUS_MM + 0.01, 0.4, 0.05), "drawn").pocket


def a_shape(name: str) -> shapely.MultiPolygon:
    return pocket_of(region_of([shape(name, 14.0, 9.0)], Affine(), name))


def a_blob(seed: int) -> shapely.MultiPolygon:
    """Give discs and bars that meet, some with holes left between them."""
    random = np.random.default_rng(seed)
    discs = [shapely.Point(*random.uniform(0, 14, 2)).buffer(random.uniform(0.8, 3.0)) for _ in range(9)]
    bars = [shapely.LineString(random.uniform(0, 14, (2, 2))).buffer(random.uniform(0.6, 1.0)) for _ in range(4)]
    return pocket_of(Region(shapely.MultiPolygon(list(shapely.get_parts(shapely.union_all([*discs, *bars]))))))


def away(wall: shapely.Geometry, ring: np.ndarray) -> np.ndarray:
    """Give how far a ring is from a wall, at places all along it."""
    places = shapely.points(shapely.get_coordinates(shapely.segmentize(shapely.LineString(ring), 0.01)))
    shapely.prepare(wall)
    return shapely.length(shapely.shortest_line(wall, places))


def held(pocket: shapely.MultiPolygon) -> None:
    """Hold a pocket's rings against it."""
    wall, rings = pocket.boundary, wall_rings(pocket, RADIUS_MM)
    for ring in rings:
        assert (ring[0] == ring[-1]).all()
        written = shapely.LineString(np.round(ring, 3))
        assert written.distance(wall) >= RADIUS_MM  # exact, chords and all
        assert away(wall, ring).max() <= RADIUS_MM + MOST_MM
        assert shapely.contains_xy(pocket, *ring.T).all()
    inner = clearing_rings(where_its_middle_may_be(pocket, RADIUS_MM), STEPOVER_MM)
    deeper = [edge for parts in inner for part in parts for edge in (part.exterior, *part.interiors)]
    swept = shapely.union_all(
        [line.buffer(RADIUS_MM, quad_segs=32) for line in [*map(shapely.LineString, rings), *deeper]]
    )
    assert shapely.difference(pocket.buffer(-CUT_MM), swept).area == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("name", SHAPES)
def test_rings_of_a_shape_keep_its_wall_and_leave_nothing(name: str) -> None:
    held(a_shape(name))


@settings(deadline=None, max_examples=EXAMPLES or 5)
@given(st.integers(0, 10**6))
def test_rings_of_any_pocket_keep_its_wall_and_leave_nothing(seed: int) -> None:
    held(a_blob(seed))


def test_a_ring_that_would_dig_is_refused(monkeypatch) -> None:
    monkeypatch.setattr("pearlkerf.toolpath.rings.WALL_MIDDLE_MM", 0.0)
    with pytest.raises(Refusal, match="comes nearer to its wall than the cutter's radius"):
        along_walls(a_shape("oval"), RADIUS_MM)


def fewest(points: np.ndarray) -> int:
    """Give the fewest chords from the first to the last of some points that keep all others near; all are tried."""
    count = len(points) - 1
    chords = np.full(count + 1, count)
    chords[0] = 0
    for start in range(count):
        for end in range(start + 1, count + 1):
            chord, inner = points[end] - points[start], points[start + 1 : end] - points[start]
            length = float(np.hypot(*chord))
            if not length:
                continue
            aside, along = np.abs(inner @ np.array([-chord[1], chord[0]])) / length, inner @ chord / length
            if max(aside.max(initial=0.0), -along.min(initial=0.0), along.max(initial=0.0) - length) <= LONGER_CHORD_MM:
                chords[end] = min(chords[end], chords[start] + 1)
    return int(chords[count])


@pytest.mark.parametrize("name", ["star", "cat's eye"])
def test_a_ring_has_few_moves(name: str) -> None:
    pocket = a_shape(name)
    away_mm = RADIUS_MM + WALL_MIDDLE_MM
    part = where_its_middle_may_be(pocket, away_mm)
    dense = at_distance(edges_of(part)[0][:-1], pocket.boundary, away_mm)
    closed = np.concatenate([dense, dense[:1]])
    assert len(with_long_chords(closed)) - 1 <= 1.1 * fewest(closed) < len(dense)


@pytest.mark.parametrize("seed", range(6))
def test_a_corner_of_the_wall_beside_a_long_chord_is_kept_too(seed: int) -> None:
    random = np.random.default_rng(seed)
    at, height, width = random.uniform(-2, 2), random.uniform(0.001, 0.004), random.uniform(0.02, 0.08)
    corners = [(-5, 0), (at - width, 0), (at, height), (at + width / 3, 0), (5, 0), (5, 4), (-5, 4)]
    pocket = affinity.rotate(shapely.Polygon(corners), random.uniform(0, 90))
    [[ring]] = along_walls(pocket, RADIUS_MM)
    assert shapely.LineString(ring).distance(pocket.boundary) >= RADIUS_MM


@pytest.mark.parametrize("turn", range(0, 90, 15))
def test_the_end_of_an_arm_a_hair_wider_than_the_cutter_is_cut(turn: int) -> None:
    arm = shapely.LineString([(0, 0), (5, 0)]).buffer(RADIUS_MM + 0.01, quad_segs=64)
    pocket = affinity.rotate(shapely.union_all([arm, shapely.Point(0, 0).buffer(2)]), turn, origin=(0, 0))
    [[ring]] = along_walls(pocket, RADIUS_MM)
    swept = shapely.union_all(
        [shapely.LineString(ring).buffer(RADIUS_MM, quad_segs=90), shapely.Point(0, 0).buffer(1.6)]
    )
    assert pocket.buffer(-0.0095).difference(swept).area < 1e-6


def test_a_round_pocket_s_way_is_as_long_as_the_strip_law_says() -> None:
    """Cut length = A / s + P / 2 of where the middle may be (each ring clears a strip as wide as the stepover)."""
    pocket = shapely.MultiPolygon([shapely.Point(0, 0).buffer(8.0, quad_segs=64)])
    inside = where_its_middle_may_be(pocket, RADIUS_MM)
    rings = [part.exterior for parts in clearing_rings(inside, STEPOVER_MM) for part in parts]
    cut = sum(ring.length for ring in rings) + sum(
        shapely.LineString(ring).length for ring in wall_rings(pocket, RADIUS_MM)
    )
    assert cut == pytest.approx(inside.area / STEPOVER_MM + inside.length / 2, rel=0.02)
    assert inside.area == pytest.approx(math.pi * 7.5**2, rel=0.002)


def test_two_rooms_and_the_neck_between_them_part_on_the_way_in() -> None:
    rooms = shapely.union_all([shapely.box(0, 0, 6, 6), shapely.box(6, 2, 9, 4), shapely.box(9, 0, 15, 6)])
    pocket = pocket_of(Region(shapely.MultiPolygon([rooms])))
    inside = where_its_middle_may_be(pocket, RADIUS_MM)
    counts = [len(parts) for parts in clearing_rings(inside, STEPOVER_MM)]
    assert counts[0] == 1 and counts[-1] == 2 and counts == sorted(counts)


@pytest.mark.parametrize("half_mm", [0.51, 0.505])
def test_a_round_place_a_hair_wider_than_its_cutter_has_a_ring(half_mm: float) -> None:
    """Straightened before it is eroded, an oval 2.4 mm long and 0.02 mm wider than its cutter had none."""
    oval = affinity.scale(shapely.Point(0, 0).buffer(1.0, quad_segs=64), 1.2, half_mm)
    [[ring]] = along_walls(oval, 0.5)
    away = shapely.distance(shapely.points(ring), oval.boundary)
    assert away.min() > 0.5 and away.max() < 0.505
