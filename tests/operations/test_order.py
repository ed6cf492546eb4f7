"""The order of cuts: holes by the shortest way through the air, slots in ascending X, the same every time."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from makers import a_machine, clamped
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Floor
from pearlkerf.operations.model import Operation
from pearlkerf.operations.order import MOST_EXACT, air_mm, in_order, shortest_way, to_goal_mm
from pearlkerf.operations.plan import plan
from pearlkerf.toolpath.moves import TraversePlane
from pearlkerf.toolpath.trace import trace
from ways import way_mm


def hole(x, y, number=1):
    return Operation(Hole("face dots", number, f"face dot {number}", (x, y), 6.0, -1.5, -1.4, -1.6), "bore")


def slot(x, number=1):
    return Operation(
        Slot("frets", number, f"fret {number}", (x, -20.0), (x, 20.0), 0.6, Floor(-2.0), True), "full width"
    )


points = st.lists(st.tuples(st.integers(0, 400), st.integers(-30, 30)), min_size=1, max_size=7, unique=True)


@given(points, st.none() | st.tuples(st.integers(0, 400), st.integers(-30, 30)))
def test_few_holes_take_the_shortest_of_all_orders(places, goal):
    """Against every permutation, by brute force."""
    places = np.array(places, dtype=float)
    between, ends = air_mm(places), to_goal_mm(places, goal)
    found = way_mm(shortest_way(between, ends), between, ends)
    assert found == pytest.approx(min(way_mm(order, between, ends) for order in permutations(range(len(places)))))


@pytest.mark.parametrize("seed", range(4))
def test_the_search_finds_what_the_exact_way_is(seed, monkeypatch):
    chance = np.random.default_rng(seed)
    places = chance.uniform((0.0, -30.0), (450.0, 30.0), (MOST_EXACT, 2))
    between, ends = air_mm(places), to_goal_mm(places, (0.0, 0.0) if seed % 2 else None)
    exact = way_mm(shortest_way(between, ends), between, ends)
    monkeypatch.setattr("pearlkerf.operations.order.MOST_EXACT", 2)
    assert way_mm(shortest_way(between, ends), between, ends) == pytest.approx(exact)


def test_a_grid_is_gone_to_and_fro():
    """3 rows of 12, 10 mm apart: no way is shorter than 35 steps of 10 mm, less what the approaches save."""
    places = np.array([[10.0 * x, 10.0 * y] for x in range(12) for y in range(3)])
    straight = np.linalg.norm(places[:, None] - places[None, :], axis=-1)
    order = shortest_way(straight, np.zeros(len(places)))
    assert sorted(order) == list(range(36))
    assert way_mm(order, straight, np.zeros(36)) == pytest.approx(350.0)


@pytest.mark.parametrize("count", [0, 1, 2, 13, 40])
def test_every_hole_is_cut_once_also_where_some_lie_in_one_place(count):
    places = np.array([[float(n // 3), 0.0] for n in range(count)]).reshape(-1, 2)
    between = air_mm(places)
    order = shortest_way(between, np.zeros(count))
    assert sorted(order) == list(range(count))
    assert order == shortest_way(between, np.zeros(count))


def test_slots_come_after_holes_and_in_ascending_x():
    operations = [
        slot(90.0, 3),
        hole(100.0, 0.0, 1),
        slot(30.0, 1),
        hole(20.0, 0.0, 2),
        slot(60.0, 2),
        hole(60.0, 0.0, 3),
    ]
    order = [(each.feature.group, each.feature.number) for each in in_order(operations)]
    # the last hole is the one that is near to the first slot: the way ends there
    assert order == [("face dots", 1), ("face dots", 3), ("face dots", 2), ("frets", 1), ("frets", 2), ("frets", 3)]


def test_slanted_slots_are_ordered_by_where_they_lie_along_the_board():
    """Lines that fan out: on the centre line the first lies at X 40, the second at 43; their low ends stand the other
    way round."""
    first = Slot("frets", 1, "fret 1", (50.0, -20.0), (30.0, 20.0), 0.6, Floor(-2.0), True)
    second = Slot("frets", 2, "fret 2", (42.0, -20.0), (44.0, 20.0), 0.6, Floor(-2.0), True)
    operations = [Operation(second, "full width"), hole(200.0, 0.0), hole(5.0, 0.0, 2), Operation(first, "full width")]
    order = in_order(operations)
    assert [each.feature.name for each in order] == ["face dot 1", "face dot 2", "fret 1", "fret 2"]


def test_grooves_along_x_are_ordered_by_where_they_begin():
    grooves = [
        Slot("marks", number, f"groove {number}", (x, y), (x + 30.0, y), 3.0, Floor(-2.0), through=False)
        for number, (x, y) in enumerate([(8.0, 30.0), (4.0, 60.0), (8.0, 10.0)])
    ]
    order = in_order([Operation(groove, "full width") for groove in grooves])
    assert [each.feature.number for each in order] == [1, 2, 0]


def test_the_way_is_what_the_axes_travel_in_x_and_y():
    setup = clamped().setups[0]
    workplan = plan(setup, a_machine())
    path = trace(workplan).paths[0]
    holes = np.array([operation.feature.centre for operation in workplan.stages[0].operations])
    stops = [(move.x_mm, move.y_mm) for cut in path.cuts for move in cut.moves if isinstance(move, TraversePlane)]
    travelled = np.linalg.norm(np.diff(stops, axis=0), axis=1).sum() - np.sqrt(2)  # up to the first approach: unknown
    between = air_mm(holes)
    assert travelled + np.sqrt(2) - np.sqrt(2) == pytest.approx(
        way_mm(range(len(holes)), between, np.zeros(len(holes)))
    )


def test_holes_approached_from_above_are_reached_from_there():
    one, other = hole(0.0, 0.0), hole(10.0, 0.0)
    from_above = replace(other, feature=replace(other.feature, approach=(1.0, 1.0)))
    places = np.array([each.feature.centre for each in (one, from_above)])
    away = air_mm(places, np.array([each.feature.approach for each in (one, from_above)]))
    assert away[0, 1] == pytest.approx(np.hypot(11.0, 1.0) + np.sqrt(2))
    assert away[1, 0] == pytest.approx(np.hypot(11.0, 1.0) + np.sqrt(2))
