"""Lines and arcs through points: few of them, and near to all."""

import math

import numpy as np
import pytest
import shapely

from pearlkerf.toolpath.moves import Arc
from pearlkerf.toolpath.strokes import (
    Loop,
    Stroke,
    along,
    arc_through,
    chords,
    is_straight,
    length_mm,
    lines_and_arcs,
    turn_rad,
    without_last,
)
from toolpath.fewest_strokes import fewest

NEAR_MM = 0.002


def wavy(count: int) -> list[tuple[float, float]]:
    """Give a line that bends both ways, ever more."""
    t = np.linspace(0, 6, count)
    return [(float(x), float(y)) for x, y in zip(4 * t, 1.5 * np.sin(t * t / 3), strict=True)]


def test_chords_are_nearly_the_fewest() -> None:
    points = wavy(200)
    least = fewest(points, lambda low, high: is_straight(points, low, high, NEAR_MM))
    assert least <= len(chords(points, NEAR_MM)) <= 1.1 * least


def test_lines_and_arcs_are_nearly_the_fewest_and_far_fewer_than_chords() -> None:
    points = wavy(200)
    least = fewest(
        points,
        lambda low, high: (
            is_straight(points, low, high, NEAR_MM) or arc_through(points, low, high, NEAR_MM) is not None
        ),
    )
    drawn = lines_and_arcs(points, NEAR_MM)
    assert least <= len(drawn) <= 1.1 * least
    assert len(drawn) < 0.6 * len(chords(points, NEAR_MM))


@pytest.mark.parametrize("draw", [chords, lines_and_arcs])
def test_all_points_lie_near_what_is_drawn(draw) -> None:
    points, at = wavy(300), (0.0, 0.0)
    places = []
    for stroke in draw(points, NEAR_MM):
        places += [along(at, stroke, share) for share in np.linspace(0, 1, 400)]
        at = stroke.end
    assert shapely.distance(shapely.LineString(places), shapely.points(points)).max() < NEAR_MM + 1e-4  # chords of arcs


def test_a_round_is_three_arcs_either_way() -> None:
    t = np.linspace(0, 2 * math.pi, 100)
    round_way = [(float(x), float(y)) for x, y in zip(3 * np.cos(t), 3 * np.sin(t), strict=True)]
    for way, clockwise in ((round_way, False), (round_way[::-1], True)):
        drawn = lines_and_arcs(way, NEAR_MM)
        assert [stroke.clockwise for stroke in drawn] == [clockwise] * 3
        assert all(math.dist(stroke.centre, (0, 0)) < 1e-9 for stroke in drawn)


def test_no_arc_bulges_over_a_long_straight_piece() -> None:
    points = [(0.0, 0.0), (0.3, 0.003), (10.0, 0.003), (10.3, 0.0)]
    assert all(stroke.centre is None for stroke in lines_and_arcs(points, NEAR_MM))


def test_the_last_of_a_loop_goes_round_as_often_as_it_must() -> None:
    square = Loop((0.0, 0.0), tuple(Stroke(end) for end in [(1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)]))
    begin, strokes = square.last(5.5)
    assert begin == (0.5, 1.0)
    assert [stroke.end for stroke in strokes] == [(0, 1), (0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]
    assert square.last(0.25) == ((0.0, 0.25), (Stroke((0.0, 0.0)),))


def test_strokes_without_their_last() -> None:
    bow = Stroke((0.0, 2.0), (0.0, 0.0))
    strokes = (Stroke((2.0, 0.0)), bow)
    assert length_mm((2.0, 0.0), bow) == pytest.approx(math.pi)
    (first, last) = without_last((1.0, 0.0), strokes, math.pi / 2)
    assert first == strokes[0]
    assert last.end == pytest.approx((math.sqrt(2), math.sqrt(2)))
    assert without_last((1.0, 0.0), strokes, 3.5)[0].end == pytest.approx((2 - (3.5 - math.pi), 0.0))
    assert without_last((1.0, 0.0), strokes, 5.0) == ()


@pytest.mark.parametrize(("clockwise", "turn"), [(False, math.pi / 2), (True, -3 * math.pi / 2)])
def test_an_arc_turns_the_way_that_it_says(clockwise: bool, turn: float) -> None:
    stroke = Stroke((0.0, 2.0), (0.0, 0.0), clockwise)
    assert turn_rad((2.0, 0.0), stroke) == pytest.approx(turn)
    arc = Arc(0.0, 2.0, 0.0, 0.0, 0.0, 100.0, clockwise)
    assert arc.turn_rad(2.0, 0.0) == pytest.approx((0.0, turn))
    low = {(round(x, 9), round(y, 9)) for x, y in arc.farthest(2.0, 0.0)}
    assert low == ({(2, 0), (0, 2)} if not clockwise else {(2, 0), (0, 2), (-2, 0), (0, -2)})
