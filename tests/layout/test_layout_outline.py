"""The tapered outline and the radiused surface, against derived tables and shapely's plain geometry."""

import math
import tomllib
from pathlib import Path

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from makers import INCH, a_board
from pearlkerf.board.model import Blank, Radius, Scale
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.face_dots import fall_over_disc_mm
from pearlkerf.layout.lay_out import ground_of
from pearlkerf.layout.outline import edge_outline, edge_thickness_mm
from pearlkerf.layout.outline import surface as finished_surface
from pearlkerf.layout.surfaces import Crown

OUTSIDE = tomllib.loads((Path(__file__).parents[1] / "reference" / "frets.toml").read_text("utf-8"))
TAPER = OUTSIDE["taper"]


def tapered():
    """The board of the reference's taper, in inches taken as mm."""
    return a_board(scale=Scale(TAPER["scale"], 24), length_mm=TAPER["length"], nut_width_mm=TAPER["nut_width"],
                   end_width_mm=TAPER["end_width"])  # fmt: skip


@pytest.mark.parametrize("table", OUTSIDE["sagitta"], ids=lambda table: f"R {table['radius']}")
def test_fall_of_a_cylinder(table):
    crown = Crown(table["radius"], table["radius"], 450.0)
    found = crown.fall_mm(100.0, table["half_widths"])
    assert found == pytest.approx(table["falls"], abs=table["within"])
    assert crown.fall_mm(100.0, np.negative(table["half_widths"])) == pytest.approx(found)


@given(st.floats(100.0, 3000.0), st.floats(100.0, 3000.0), st.floats(0.0, 450.0), st.floats(-40.0, 40.0))
def test_fall_of_a_compound_surface_to_forty_digits(nut, end, x, y):
    """The section's radius is linear along the board; its sagitta as printed, cancellation and all."""
    with mpmath.workdps(40):
        radius = mpmath.mpf(nut) + (mpmath.mpf(end) - mpmath.mpf(nut)) * mpmath.mpf(x) / 450
        expected = float(radius - mpmath.sqrt(radius**2 - mpmath.mpf(y) ** 2))
    assert float(Crown(nut, end, 450.0).fall_mm(x, y)) == pytest.approx(expected, abs=1e-11)


def test_a_flat_board_does_not_fall():
    assert Crown(math.inf, math.inf, 450.0).fall_mm([0.0, 100.0], [0.0, 30.0]).tolist() == [0.0, 0.0]


def test_taper_by_similar_triangles():
    ground, within = ground_of(tapered()), TAPER["within"]
    for n, middle, width in zip(TAPER["frets"], TAPER["middle"], TAPER["width"], strict=True):
        assert ground.middle_mm(n) == pytest.approx(middle, abs=within)
        assert ground.edges.finished.width_mm(ground.middle_mm(n)) == pytest.approx(width, abs=within)
    assert math.degrees(ground.edges.bass.angle_rad) == pytest.approx(TAPER["edge_angle"], abs=within)
    assert ground.edges.bass.length_mm == pytest.approx(TAPER["edge_length"], abs=within)


def test_a_dot_lies_in_the_middle_and_not_where_the_diagonals_cross():
    """The bench method crosses the space's diagonals; shapely's crossing agrees with the reference, and is not ours."""
    ground = ground_of(tapered())
    for n, crossing, middle in zip(TAPER["frets"], TAPER["by_diagonals"], TAPER["middle"], strict=True):
        before, after = ground.space(n)
        crossed = LineString([before.start, after.end]).intersection(LineString([before.end, after.start]))
        assert crossed.x == pytest.approx(crossing, abs=TAPER["within"])
        assert ground.middle_mm(n) == pytest.approx(middle, abs=TAPER["within"])
        assert crossed.x < middle - 0.0005


@pytest.mark.parametrize("edge", OUTSIDE["edge"], ids=lambda edge: f"R {edge['radius']}")
def test_finished_edge(edge):
    board = a_board(thickness_mm=edge["thickness"], radius=Radius(edge["radius"], edge["radius"]),
                    nut_width_mm=2 * edge["half_width"], end_width_mm=2 * edge["half_width"])  # fmt: skip
    ground = ground_of(board)
    assert edge_thickness_mm(ground, ground.edges.bass, 200.0, 0.0) == pytest.approx(edge["finished"], abs=5e-7)
    assert edge["thickness"] - edge["finished"] == pytest.approx(edge["fall"], abs=5e-7)


def test_outline_is_a_trapezoid_about_the_centre_line():
    found = Polygon(edges_of(a_board()).finished.corners)
    assert found.exterior.is_ccw
    assert found.area == pytest.approx(448.0 * (44.45 + 56.5) / 2)
    assert found.distance(Point(0.0, 22.225)) == pytest.approx(0.0)
    assert found.centroid.y == pytest.approx(0.0, abs=1e-12)


def test_wood_is_the_blank_where_there_is_one():
    blank = Polygon(edges_of(a_board(blank=Blank(64.0, 12.0, 6.0))).wood.corners)
    assert blank.bounds == (-12.0, -32.0, 454.0, 32.0)
    assert blank.exterior.is_ccw
    plain = edges_of(a_board())
    assert plain.wood.corners.tolist() == plain.finished.corners.tolist()


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("state", ["flat", "radiused"])
def test_edge_lies_between_glue_face_and_playing_face(hand, state):
    board = a_board(hand=hand, state=state)
    edge = Polygon(edge_outline(ground := ground_of(board), ground.edges.bass))
    assert edge.exterior.is_ccw
    least_x, low, greatest_x, high = edge.bounds
    length = math.hypot(448.0, (56.5 - 44.45) / 2)
    thick = 6.5 - (edge_fall_mm(board, 0.0) if state == "radiused" else 0.0)
    assert (least_x, greatest_x) == pytest.approx((0.0, length))
    assert (low, high) == pytest.approx((0.0, thick) if hand == "right" else (-thick, 0.0))


def edge_fall_mm(board, x):
    """R - sqrt(R**2 - w**2) at the edge, apart from the layout's own functions."""
    half = (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * x / board.length_mm) / 2
    return board.radius.nut_mm - math.sqrt(board.radius.nut_mm**2 - half**2)


@pytest.mark.parametrize("x", [0.0, 3.3, 100.0, 447.0])
def test_edge_of_a_radiused_board_never_leaves_the_wood(x):
    board = a_board(state="radiused")
    along = x * math.hypot(448.0, (56.5 - 44.45) / 2) / 448.0
    line = LineString([(along, -1.0), (along, 9.0)])
    found = line.intersection(Polygon(edge_outline(ground := ground_of(board), ground.edges.bass))).length
    assert 6.5 - edge_fall_mm(board, x) - 0.001 < found <= 6.5 - edge_fall_mm(board, x) + 1e-9


@given(
    st.floats(150.0, 900.0), st.floats(150.0, 900.0), st.floats(20.0, 430.0), st.floats(-25.0, 25.0), st.floats(1, 8)
)
def test_fall_over_a_disc_is_that_of_a_dense_grid(nut, end, x, y, radius):
    crown = Crown(nut, end, 450.0)
    least, greatest = fall_over_disc_mm(crown, (x, y), radius)
    across = np.linspace(-1.0, 1.0, 201)
    u, v = np.meshgrid(across, across)
    inside = u**2 + v**2 <= 1
    falls = crown.fall_mm(x + radius * u[inside], y + radius * v[inside])
    assert least <= falls.min() + 1e-6
    assert greatest >= falls.max() - 1e-6
    # a grid misses the rim by at most its own step, over which a surface in use falls by less than 0.02 mm
    assert least == pytest.approx(falls.min(), abs=0.02)
    assert greatest == pytest.approx(falls.max(), abs=0.02)


def test_finished_surface_runs_from_nut_radius_to_end_radius():
    crown = finished_surface(a_board(radius=Radius(10 * INCH, 16 * INCH)))
    assert crown.radius_mm([-5.0, 0.0, 224.0, 448.0, 460.0]).tolist() == pytest.approx(
        [254.0, 254.0, 330.2, 406.4, 406.4]
    )
