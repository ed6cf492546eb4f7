"""The order of holes beside a general-purpose solver: length of the way through the air, and time.

Needs the extra "benchmark" (OR-Tools).  Run: pytest tests/benchmarks/test_bench_order.py --benchmark-enable -s
The reference is the best of two: routing with guided local search, given ROUTING_S, and the constraint
solver's circuit, given EXACT_S, which often proves its way the shortest.  Whole micrometres.
"""

import numpy as np
import pytest

from pearlkerf.operations.order import air_mm, shortest_way, to_goal_mm
from ways import way_mm

ROUTING_S, EXACT_S = 5, 40
STEPS_MM = 1000
MOST = 1.00


def scattered(count, seed):
    """Holes anywhere on a board."""
    chance = np.random.default_rng(seed)
    return chance.uniform((0.0, -30.0), (650.0, 30.0), (count, 2))


def clustered(count, seed):
    """Holes in ten clusters along a board, as inlays with many pieces have them."""
    chance = np.random.default_rng(seed)
    middles = np.repeat(np.linspace(30.0, 620.0, 10), -(-count // 10))[:count]
    return np.column_stack([chance.normal(middles, 8.0), chance.normal(0.0, 12.0, count)])


def a_line(count, seed):
    """Dots along the centre line, some double."""
    chance = np.random.default_rng(seed)
    along = np.sort(chance.uniform(0.0, 450.0, count))
    return np.column_stack([along, np.where(np.arange(count) % 5 == 4, -9.0, 0.0)])


CASES = [
    (kind, count, seed)
    for kind in (scattered, clustered, a_line)
    for count, seed in ((16, 1), (30, 2), (60, 3), (100, 4))
]
NAMES = [f"{kind.__name__}-{count}" for kind, count, _ in CASES]


def costs(places):
    places = places[np.argsort(places[:, 0], kind="stable")]
    return air_mm(places), to_goal_mm(places, None)


def routed(between):
    """The reference by routing: an open way is a round with free ends, by way of a place that costs nothing."""
    pywrapcp = pytest.importorskip("ortools.constraint_solver.pywrapcp")
    from ortools.constraint_solver import routing_enums_pb2 as choices

    count = len(between)
    steps = np.zeros((count + 1, count + 1), dtype=int)
    steps[:count, :count] = np.round(between * STEPS_MM)
    manager = pywrapcp.RoutingIndexManager(count + 1, 1, count)
    routing = pywrapcp.RoutingModel(manager)
    arc = routing.RegisterTransitMatrix(steps.tolist())
    routing.SetArcCostEvaluatorOfAllVehicles(arc)
    how = pywrapcp.DefaultRoutingSearchParameters()
    how.first_solution_strategy = choices.FirstSolutionStrategy.PATH_CHEAPEST_ARC
    how.local_search_metaheuristic = choices.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    how.time_limit.FromSeconds(ROUTING_S)
    solution = routing.SolveWithParameters(how)
    order, at = [], solution.Value(routing.NextVar(routing.Start(0)))
    while not routing.IsEnd(at):
        order.append(manager.IndexToNode(at))
        at = solution.Value(routing.NextVar(at))
    return order


def proved(between, start):
    """The reference by constraints, from a known way on: a circuit, and whether it is proved the shortest."""
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")
    count = len(between)
    model, arcs, length = cp_model.CpModel(), [], 0
    after = dict(zip([count, *start], [*start, count], strict=True))
    for a in range(count + 1):
        for b in range(count + 1):
            if a == b:
                continue
            taken = model.new_bool_var(f"{a} {b}")
            model.add_hint(taken, after[a] == b)
            arcs.append((a, b, taken))
            length += taken * (0 if count in (a, b) else round(between[a, b] * STEPS_MM))
    model.add_circuit(arcs)
    model.minimize(length)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = EXACT_S
    status = solver.solve(model)
    onward = {a: b for a, b, taken in arcs if solver.boolean_value(taken)}
    order, at = [], onward[count]
    while at != count:
        order.append(at)
        at = onward[at]
    return order, status == cp_model.OPTIMAL


@pytest.mark.parametrize(("kind", "count", "seed"), CASES, ids=NAMES)
def test_the_way_through_the_air_is_the_best_known(benchmark, kind, count, seed):
    between, goal = costs(kind(count, seed))
    benchmark.group = f"order of {count} holes"
    order = benchmark.pedantic(shortest_way, args=(between, goal), rounds=3)
    own = way_mm(order, between, goal)
    by_routing = routed(between)
    by_constraints, shortest = proved(between, by_routing)
    best = min(way_mm(other, between, goal) for other in (by_routing, by_constraints))
    told = "proved shortest" if shortest else "best known"
    print(f"\n{kind.__name__} {count}: {own:.3f} mm, reference {best:.3f} mm ({told}), {own / best:.5f} of it")
    benchmark.extra_info["of the best known"] = own / best
    assert own <= best * MOST + count / STEPS_MM
