"""Which cutters clear a pocket."""

import math
from dataclasses import replace

import pytest
import shapely

from makers import a_machine
from pearlkerf.errors import Refusal
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.plan import plan
from pockets import a_pocket, clamped_with

ONE, THREE, SHORT = (
    Cutter(1, "end mill", 1.0, 2, 5.0),
    Cutter(2, "end mill", 3.0, 2, 12.0),
    Cutter(3, "end mill", 6.0, 2, 1),
)


def taken(pocket, *cutters: Cutter) -> list[tuple[int, str]]:
    """Give the cutters of a pocket and their strategies, in the order to run."""
    workplan = plan(clamped_with([pocket]), a_machine(*cutters))
    return [(stage.cutter.number, each.strategy) for stage in workplan.stages for each in stage.operations]


def test_the_widest_that_comes_into_all_of_it_clears_a_pocket() -> None:
    assert taken(a_pocket("block", 3.0), ONE, THREE, SHORT) == [(2, "ring by ring")]
    assert taken(a_pocket("strip"), ONE, THREE) == [(1, "ring by ring")]


def test_a_pocket_s_own_cutter_clears_it() -> None:
    assert taken(replace(a_pocket("strip"), cutter=1), ONE, THREE) == [(1, "ring by ring")]


def test_a_wider_one_comes_first_where_that_saves_time() -> None:
    assert taken(a_pocket("leaf"), ONE, THREE) == [(2, "where there is room"), (1, "what is left")]
    # a change of cutters takes longer than is saved
    assert taken(a_pocket("star"), ONE, THREE) == [(1, "ring by ring")]


def test_under_a_floor_that_follows_the_face_no_wider_one_comes_first() -> None:
    follows = replace(a_pocket("leaf"), floor=Floor(-1.2, Crown(254.0, 254.0, 448.0)))
    assert taken(follows, ONE, THREE) == [(1, "ring by ring")]


def test_a_pocket_that_no_cutter_comes_into_is_refused() -> None:
    with pytest.raises(Refusal, match="no cutter of the machine profile comes into all of strip, a pocket 22"):
        plan(clamped_with([a_pocket("strip")]), a_machine(THREE))


@pytest.mark.parametrize(("half_neck_mm", "first"), [(1.505, False), (1.9, True)])
def test_a_wider_one_that_only_just_gets_through_does_not_come_first(half_neck_mm, first, monkeypatch) -> None:
    """Two discs of 4 mm that overlap; their lines meet so far from the middle of the neck between them."""
    monkeypatch.setattr("pearlkerf.operations.pocket_cutters.CHANGE_S", 0.0)
    apart = math.sqrt(16 - half_neck_mm**2)
    discs = [shapely.Point(x, 0).buffer(4.0, quad_segs=90) for x in (100 - apart, 100 + apart)]
    drawn = shapely.union_all([*discs, shapely.box(100 + apart, -2, 105 + apart, 2)])  # with two corners for the other
    opened = drawn.buffer(-0.52, quad_segs=90).buffer(0.52, quad_segs=90)
    pocket = replace(a_pocket("leaf"), region=opened, cutter=1)
    assert (len(taken(pocket, ONE, THREE)) == 2) == first
