"""The proof of pockets: programs of many outlines are proved, and what damages them is found."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from pearlkerf.layout.surfaces import Floor
from pearlkerf.proof.tolerances import POCKET_WALL_MM
from pearlkerf.setups.model import Placement
from proof.pocket_board import (
    CROWN,
    DEPTH,
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
from proof.pocket_simulation import simulated
from proof.small_board import broken, damaged, machine, number, program, verdict

NAMES = tuple(OUTLINES)
BULK = 2  # of 3 mm


def held(*texts, of=None, **more):
    """The verdict on programs for one pocket."""
    return verdict(*texts, setup=board(of or pocket()), on=router(), **more)


def rules(*texts, **more):
    """The rules that hold something against them."""
    return broken(held(*texts, **more))


@cache
def spiralled(name):
    """A program that cuts a pocket ring by ring."""
    return cuts(spirals(pocket(name)))


@pytest.mark.parametrize("name", NAMES)
def test_pockets_of_any_outline_are_proved_and_a_simulation_agrees(name):
    own = pocket(name)
    for text in (spiralled(name), cuts(levels(own))):
        assert held(text, of=own).proved
    found = simulated([spiralled(name)], own.region, {MILL: RADIUS}, DEPTH + 1e-6)
    assert found.left == 0 and found.over <= 0.001 and found.lowest == pytest.approx(DEPTH)


@pytest.mark.parametrize("name", ["star", "two islands", "vine"])
def test_floors_that_follow_the_face_are_proved_and_no_cutter_digs_or_stands_too_high(name):
    own = pocket(name, floor=Floor(DEPTH, CROWN))
    text = cuts(spirals(own))
    assert held(text, of=own).proved
    assert rules(cuts(spirals(pocket(name))), of=own) >= {7}  # a level floor does not follow
    assert rules(text, of=pocket(name)) >= {6}
    lower = replace(own, deepest_mm=DEPTH + 0.02, shallowest_mm=DEPTH + 0.03)
    assert rules(text, of=lower) == {6}


def test_a_turned_and_shifted_board_has_its_pocket_where_it_lies():
    placed = Placement(3.0, 4.0, -2.0)
    own = pocket("star")
    ways = [np.round(placed.to_machine(ring), 3) for ring in rings(own.region)]
    text = cuts(spirals(own, ways))
    setup = board(own, placement=placed)
    assert broken(verdict(text, setup=setup, on=replace(router(), travel=replace(router().travel, y_mm=80.0)))) <= {1}
    assert 6 in broken(verdict(spiralled("star"), setup=setup, on=router()))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("which", [0.0, 0.5, 1.0])
def test_a_ring_that_is_left_out_is_missed_where_its_neighbours_do_not_reach(name, which):
    own = pocket(name)
    ways = list(rings(own.region))
    del ways[round(which * (len(ways) - 1))]
    text = cuts(spirals(own, ways))
    left = simulated([text], own.region, {MILL: RADIUS}, DEPTH + 1e-6).left
    assert rules(text, of=own) <= {7}
    assert rules(text, of=own) == {7} or not left
    assert left or which < 1.0


def test_a_finishing_pass_that_is_cut_short_is_missed():
    ways = rings(pocket("star").region)
    ended = [*ways[:-1], ways[-1][: len(ways[-1]) // 2]]
    assert rules(cuts(spirals(pocket("star"), ended)), of=pocket("star")) == {7}


@pytest.mark.parametrize("name", NAMES)
def test_a_corner_three_thousandths_over_the_wall_is_found_and_one_is_not(name):
    own, ways = pocket(name), rings(pocket(name).region)
    wall, edge = ways[-1], own.region.boundary
    for over in (-0.0033, -0.0015):
        for corner in range(1, len(wall) - 1, max(1, len(wall) // 7)):
            near = shapely.get_coordinates(shapely.shortest_line(edge, shapely.Point(wall[corner])))[0]
            away, moved = wall[corner] - near, wall.copy()
            moved[corner] = np.round(near + away * (RADIUS + over) / np.hypot(*away), 3)
            nearest = min(edge.distance(shapely.LineString(moved[corner - 1 : corner + 2])), RADIUS)
            found = 6 in rules(cuts(spirals(own, [*ways[:-1], moved])), of=own)
            assert found == (RADIUS - nearest > POCKET_WALL_MM)
            assert not found or RADIUS - nearest > 0.0025
            assert found or over > -0.003 or nearest > RADIUS - 0.003


def test_a_ramp_that_only_ends_on_the_floor_leaves_what_it_comes_down_over():
    own, ways = pocket(), rings(pocket().region)
    whole, short = spirals(own), spirals(own)[: -len(ways[-1]) - len(OUT) + 1]  # without the last way round
    assert held(cuts(whole), of=own).proved and len(short) < len(whole)
    assert rules(cuts([*short, *OUT]), of=own) == {7}


def test_what_is_cut_of_an_island_or_across_one_is_found():
    own, whole = pocket("two islands"), pocket("two islands").region
    filled = replace(own, region=shapely.Polygon(whole.exterior))
    assert 6 in rules(cuts(spirals(own, rings(filled.region))), of=own)
    west, east = (np.array([[x, 4.0]]) for x in (30.0 - 5.0 - 3.7, 30.0 - 5.0 + 3.7))
    assert whole.covers(shapely.Point(west[0]).buffer(RADIUS)) and whole.covers(shapely.Point(east[0]).buffer(RADIUS))
    ends = [*entered(west, DEPTH), *OUT, *entered(east, DEPTH), *OUT]
    link = [*entered(west, DEPTH), f"G1 X{number(east[0, 0])} F400.0", *OUT]
    assert held(cuts([*spirals(own), *ends]), of=own).proved
    assert rules(cuts([*spirals(own), *link]), of=own) == {6}


def test_floors_too_deep_uneven_or_too_shallow_are_found():
    own, ways = pocket(), rings(pocket().region)
    deep, shallow = replace(own, floor=Floor(DEPTH - 0.02)), replace(own, floor=Floor(DEPTH + 0.08))
    assert rules(cuts(spirals(deep)), of=own) == set()  # its depth may be anything that the shell allows
    narrow = replace(own, shallowest_mm=DEPTH, deepest_mm=DEPTH)
    assert rules(cuts(spirals(deep)), of=narrow) == {6}
    assert rules(cuts(spirals(shallow)), of=own) == {7}
    half = len(ways) // 2
    uneven = cuts([*spirals(own, ways[:half]), *spirals(deep, ways[half:])])
    (finding,) = held(uneven, of=own).findings
    assert finding.rule == 7 and "has no flat floor" in finding.message


def test_an_entry_in_full_wood_and_bites_twice_as_deep_are_found():
    ring = rings(pocket().region)[0]
    straight = [*entered(ring, DEPTH), *followed(ring, np.full(len(ring), DEPTH), " F400.0"), *OUT]
    assert rules(cuts([*straight, *spirals(pocket())])) == {8}
    assert rules(cuts(levels(pocket(), depths=(-0.8, DEPTH)))) == {8}
    assert rules(cuts(levels(pocket(), depths=(-0.4, DEPTH)))) == {8}
    careful = replace(router(), cutters=tuple(replace(each, plunges=each.number != MILL) for each in router().cutters))
    shallow = [*entered(ring, -0.3), *followed(ring, np.full(len(ring), -0.3), " F400.0"), *OUT]
    given = verdict(cuts([*shallow, *spirals(pocket())]), setup=board(), on=careful)
    assert [finding.rule for finding in given.findings] == [8] and "does not plunge" in given.findings[0].message


@pytest.mark.parametrize(
    "old, new, rule",
    [
        ("F400.0", "F900.0", 3),
        ("G1 Z0.5 F300.0", "G4 P1.0\nG1 Z0.5 F300.0", 3),
        ("G1 Z0.5 F300.0\nG0 Z5.0\n", "G1 Z0.5 F300.0\nG0 X30.0\nG0 Z5.0\n", 5),
        ("G1 Z0.5 F300.0\nG0 Z5.0\n", "G1 Z0.5 F300.0\nG1 X55.0\nG0 Z5.0\n", 5),
        ("G0 Z0.5", "G0 Z-0.3", 5),
        ("inlays 1)", "inlays 1 2)", 7),
        ("G0 Z5.0\nG0 Z5.0\nM5", "M5", 9),
    ],
)
def test_what_has_nothing_to_do_with_outlines_is_held_as_ever(old, new, rule):
    assert rule in rules(damaged(spiralled("block"), old, new, 0 if rule != 5 else 1))


def test_a_second_cutter_finishes_what_a_bigger_one_has_left():
    own = pocket("star")
    bulk = program(spirals(own, rings(own.region, 1.5), bite=0.6), cutter=BULK, cuts="inlays 1")
    wall = rings(own.region)[-1:]
    fine = cuts(spirals(own, wall))
    assert held(bulk, fine, of=own, completeness="whole setups").proved
    assert rules(bulk, of=own) == {7} and rules(fine, of=own) == {7}
    found = simulated([bulk, fine], own.region, {BULK: 1.5, MILL: RADIUS}, DEPTH + 1e-6)
    assert found.left == 0 and found.over <= 0.001


def test_a_second_cutter_enters_and_goes_deep_only_in_what_is_cleared():
    own = pocket("star")
    bulk = program(spirals(own, rings(own.region, 1.5), bite=0.6), cutter=BULK, cuts="inlays 1")
    centre = own.region.centroid
    small = np.array([[centre.x + x, centre.y + y] for x, y in ((0, 0), (0.4, 0), (0.4, 0.4), (0, 0.4), (0, 0))])
    inner = [*entered(small, DEPTH), *followed(small, np.full(5, DEPTH), " F400.0"), *OUT]
    low = [line.replace("G0 Z0.5", "G0 Z-1.0") for line in inner]
    for body, alone in ((inner, 8), (low, 5)):
        fine = cuts([*body, *spirals(own, rings(own.region)[-1:])])
        assert held(bulk, fine, of=own).proved
        assert alone in rules(fine, of=own)
    deep = rings(own.region)[-1]
    at_once = [*entered(deep, DEPTH), *followed(deep, np.full(len(deep), DEPTH), " F400.0"), *OUT]
    assert rules(bulk, cuts(at_once), of=own) == {8}


def test_a_short_mill_s_shank_stays_above_the_wood():
    short = replace(router(), cutters=tuple(replace(each, reach_mm=1.0, shank_mm=6.0) for each in router().cutters))
    assert broken(verdict(spiralled("block"), setup=board(), on=short)) == {8}


def test_a_pocket_is_nothing_that_another_cut_may_enter():
    own = pocket()
    text = damaged(spiralled("block"), "cuts=inlays 1", "cuts=face dots 1")
    assert rules(text, of=own) >= {7}
    assert machine().cutter(MILL) is None
