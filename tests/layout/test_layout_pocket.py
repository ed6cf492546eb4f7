"""A pocket of any outline answers what every feature answers."""

import math

import pytest
import shapely

from pearlkerf.layout.features import Identity, Pocket
from pearlkerf.layout.surfaces import Crown, Floor, Stock

LEVEL = Floor(-1.8)


def a_pocket(region, floor=LEVEL):
    return Pocket("inlays", 4, "wave 5/3", region, floor, -1.7, -1.8)


def a_stock(crown=None):
    return Stock(shapely.get_coordinates(shapely.box(0, -25, 450, 25))[:-1], 6.0, crown)


def test_it_is_known_by_group_number_and_name_and_measured_by_its_box():
    pocket = a_pocket(shapely.box(100, 4, 112, 10))
    assert pocket.identity == Identity("inlays", 4, "wave 5/3")
    assert pocket.anchor == pytest.approx((106, 7))
    assert pocket.ends == ((100, 7), (112, 7))
    assert pocket.width_mm == 6
    assert pocket.in_words(1.8) == "a pocket 12.00 mm long, 6.00 mm wide and 1.80 mm deep"


def test_a_level_floor_is_deepest_where_its_edge_comes_nearest_to_the_crown_line():
    # the sagitta of a circle, R - sqrt(R² - y²): handbook formula, from memory
    fall = 254 - math.sqrt(254**2 - 4**2)
    crowned = a_stock(Crown(254.0, 254.0, 450.0))
    assert a_pocket(shapely.box(100, 4, 112, 10)).depth_below_top_mm(crowned) == pytest.approx(1.8 - fall)


def test_a_pocket_over_the_crown_line_is_as_deep_as_there():
    crowned = a_stock(Crown(254.0, 254.0, 450.0))
    assert a_pocket(shapely.box(100, -6, 112, 5)).depth_below_top_mm(crowned) == pytest.approx(1.8)


def test_a_floor_that_follows_the_face_is_equally_deep_everywhere():
    crown = Crown(254.0, 400.0, 450.0)
    pocket = a_pocket(shapely.box(100, 4, 112, 10), Floor(-1.8, crown))
    assert pocket.depth_below_top_mm(a_stock(crown)) == pytest.approx(1.8)


def test_another_width_keeps_its_middle_and_its_form():
    wider = a_pocket(shapely.box(100, 4, 112, 10)).resized(9.0)
    assert wider.region.bounds == pytest.approx((97, 2.5, 115, 11.5))
