"""A board's edges against trigonometry and shapely's plain geometry; slanted lines across it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from makers import INCH, a_board
from pearlkerf.board.model import Binding, Blank
from pearlkerf.layout.edge import Edge
from pearlkerf.layout.edges import Sides, edges_of
from pearlkerf.layout.lines import Line

# a right triangle of 3, 4, 5: the edge climbs 30 mm over 40, its sine is 0.6 and its cosine 0.8
STEEP = Edge((0.0, 20.0), (40.0, 50.0))
MIRRORED = Edge((0.0, -20.0), (40.0, -50.0))
BOTH = pytest.mark.parametrize("edge", [STEEP, MIRRORED], ids=["high Y", "low Y"])


@BOTH
def test_an_edge_of_three_four_five(edge: Edge) -> None:
    assert math.tan(edge.angle_rad) == pytest.approx(0.75)
    assert edge.length_mm == pytest.approx(50.0)
    assert (edge.along_mm(8.0), edge.x_mm(10.0)) == pytest.approx((10.0, 8.0))
    assert (edge.half_width_mm(8.0), edge.y_mm(8.0)) == pytest.approx((26.0, edge.side * 26.0))
    # ten along it, five out of it: (8, 26) and 5 (-0.6, 0.8)
    assert edge.at(10.0, 5.0) == pytest.approx((5.0, edge.side * 30.0))


@BOTH
def test_a_point_is_seen_from_an_edge_where_it_was_put(edge: Edge) -> None:
    assert edge.seen_from(4.0, edge.at(10.0, -3.0)) == pytest.approx((6.0, 3.0))
    assert edge.distance_mm(edge.at(10.0, -3.0)) == pytest.approx(3.0)
    assert edge.distance_mm(edge.at(10.0, 2.0)) == pytest.approx(-2.0)


@BOTH
def test_inside_an_edge_counts_square_to_it(edge: Edge) -> None:
    core = edge.inside(4.0)
    # 4 / 0.8 across the board
    assert core.half_width_mm(8.0) == pytest.approx(21.0)
    assert core.ends == (pytest.approx((0.0, edge.side * 15.0)), pytest.approx((40.0, edge.side * 45.0)))
    assert core.inside(1.0) == edge.inside(5.0) and core.along_mm(8.0) == edge.along_mm(8.0)
    assert core.distance_mm(edge.at(10.0, -4.0)) == pytest.approx(0.0, abs=1e-12)


def test_the_ends_of_an_edge_are_just_where_the_file_puts_them() -> None:
    """Not where the formula lands after rounding, as it does here."""
    assert 8.26 + (30.31 - 8.26) * 1.0 != 30.31
    edge = Edge((0.0, 8.26), (431.7, 30.31))
    assert edge.ends == ((0.0, 8.26), (431.7, 30.31))


widths, places = st.floats(20.0, 70.0), st.floats(1.0, 399.0)


@given(widths, widths, places, st.floats(-60.0, 60.0))
def test_a_line_meets_both_edges_where_geometry_says(nut: float, end: float, x: float, slant: float) -> None:
    """The line passes (x, 0); shapely cuts it with the outline, carried on far beyond both ends of the board."""
    wide = Sides(Edge((0.0, -nut / 2), (400.0, -end / 2)), Edge((0.0, nut / 2), (400.0, end / 2)))
    line = Line((x - slant, -80.0), (x + slant, 80.0))
    across = wide.across(line)
    for edge, found in ((wide.low, across.start), (wide.high, across.end)):
        far = [(there, edge.y_mm(there)) for there in (-500.0, 900.0)]
        expected = LineString(far).intersection(LineString([line.start, line.end]))
        assert found == pytest.approx((expected.x, expected.y), abs=1e-9)


@pytest.mark.parametrize("x", [0.0, 101.3, 448.0])
def test_a_square_line_meets_the_edges_at_its_own_x_to_the_last_bit(x: float) -> None:
    sides = edges_of(a_board(binding=Binding(1.7, "after"))).core
    across = sides.across(Line((x, -30.0), (x, 30.0)))
    assert (across.start[0], across.end[0]) == (x, x)
    assert across.end[1] == -across.start[1] == sides.high.half_width_mm(x)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_bass_edge_lies_toward_the_operator_on_a_right_handed_board(hand: str) -> None:
    edges = edges_of(a_board(hand=hand))
    assert edges.bass.side == (-1.0 if hand == "right" else 1.0)
    assert edges.bass in (edges.finished.low, edges.finished.high)


@pytest.mark.parametrize("point", [(100.0, 5.0), (447.0, -20.0), (3.0, 21.0)])
def test_the_nearer_edge_counts(point: tuple[float, float]) -> None:
    edges = edges_of(a_board(binding=Binding(1.5, "after")))
    outline, core = Polygon(edges.finished.corners), edges.core
    low, high = (LineString(edge.ends) for edge in (edges.finished.low, edges.finished.high))
    assert outline.contains(Point(point))
    expected = min(low.distance(Point(point)), high.distance(Point(point)))
    assert edges.finished.distance_mm(point) == pytest.approx(expected)
    assert core.distance_mm(point) == pytest.approx(expected - 1.5)


def test_what_lies_on_the_machine_is_the_blank_the_core_or_the_board() -> None:
    plain, bound = edges_of(a_board()), edges_of(a_board(binding=Binding(1.5, "before")))
    later = edges_of(a_board(binding=Binding(1.5, "after")))
    blank = edges_of(a_board(binding=Binding(1.5, "after"), blank=Blank(64.0, 12.0, 6.0)))
    assert plain.wood == plain.core == plain.finished == bound.finished == bound.wood
    assert later.wood == later.core == bound.core != plain.core
    assert blank.wood.end_widths_mm == (64.0, 64.0) and blank.wood.width_mm(200.0) == 64.0
    assert later.finished.end_widths_mm == (1.75 * INCH, 56.5)
    assert not later.wood.corners.flags.writeable
