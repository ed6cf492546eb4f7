"""The proof of sawn slots: a program that keeps every rule, and damage that each rule must catch.

The program is worked out here in plain trigonometry: the floor is an arc of radius R, so the blade's
centre runs along an arc of radius R + B/2 about the same point.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_board import (
    AGAIN,
    AT_THE_BLADE,
    CROWN,
    FRET,
    HALF_WIDTH,
    RADIUS,
    STOPPED,
    broken,
    damaged,
    face,
    machine,
    number,
    program,
    verdict,
)

from pearlkerf.layout.surfaces import Crown, Floor, Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.proof.blade import Blades
from pearlkerf.setups.model import Placement

BLADE = 40.0
SAW = Cutter(
    10, "saw", BLADE, 80, 6.0, 9000, 12000, 600, 150, 1.5, plunges=False,
    kerf_mm=0.6, flange_mm=20.0, lowest_teeth="away",
)  # fmt: skip
LIFTS = (1.4, 0.7, 0.0)


def a_pass(lift=0.0, x=20.0, depth=-2.0, past=11.0, step=2.0, away=True):
    """One pass, ``lift`` above the floor: down beside the wood, along, out, up."""
    touched = np.arange(-HALF_WIDTH, HALF_WIDTH + step / 2, step)
    lean = np.arcsin(touched / RADIUS)
    y = (RADIUS + BLADE / 2) * np.sin(lean)
    z = depth + lift - RADIUS - BLADE / 2 + (RADIUS + BLADE / 2) * np.cos(lean)
    points = [(-HALF_WIDTH - past, z[0]), *zip(y, z, strict=True), (HALF_WIDTH + past, z[-1])]
    points = points if away else points[::-1]
    lines = [f"G0 X{number(x)} Y{number(points[0][0])}", "G0 Z0.5", f"G1 Z{number(points[0][1])} F100.0"]
    lines += [f"G1 Y{number(at)} Z{number(height)} F500.0" for at, height in points[1:]]
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def sawn(*passes):
    body = [line for each in passes or [a_pass(lift) for lift in LIFTS] for line in each]
    return program(body, 10, "frets 1").replace("S16000", f"{AT_THE_BLADE}\nM0\n{AGAIN}S9000")


def rules(text, cutter=SAW, setup=None, **how):
    on = machine(**{"travel": (100.0, 80.0, 30.0), **how})
    on = replace(on, cutters=(*on.cutters, cutter))
    return broken(verdict(text, setup=setup or face(FRET), on=on, completeness="whole setups"))


def test_no_saw_cuts_what_runs_aslant_and_people_are_told_why():
    """So little aslant that the blade's cut lies in the slot, wider than its kerf, and leaves it uncut at its ends."""
    slanted = replace(FRET, start=(19.9, -HALF_WIDTH), end=(20.1, HALF_WIDTH), width_mm=0.9)
    on = replace(machine(travel=(100.0, 80.0, 30.0)), cutters=(SAW,))
    found = verdict(sawn(), setup=face(slanted), on=on, completeness="whole setups")
    (told,) = (finding.message for finding in found.findings if finding.rule == 7)
    assert (
        told == "fret 1, bass side runs aslant, and a saw cuts only what stands square to the machine; use an end mill"
    )


def test_a_slot_sawn_in_three_passes_is_proved():
    assert rules(sawn()) == set()


def test_a_blade_that_feeds_toward_the_operator_is_proved_where_the_profile_says_so():
    other_way = sawn(*[a_pass(lift, away=False) for lift in LIFTS])
    assert rules(other_way) == {8}
    for changes in ({"lowest_teeth": "toward"}, {"sawing": "climb"}):
        assert rules(other_way, replace(SAW, **changes)) == set()
        assert rules(sawn(), replace(SAW, **changes)) == {8}


def test_a_return_through_the_finished_slot_takes_nothing_and_is_the_wrong_way():
    """On the way back the teeth climb: they may seize the board although the kerf is open."""
    there, back = a_pass(0.0), a_pass(0.0, away=False)
    text = sawn(a_pass(1.4), a_pass(0.7), [*there[:-2], *back[3:]])
    assert rules(text) == {8}


@pytest.mark.parametrize(
    ("passes", "rule"),
    [
        ([a_pass(1.4), a_pass(0.7), a_pass(-0.02)], 6),
        ([a_pass(1.4), a_pass(0.7), a_pass(0.02)], 7),
        ([a_pass(1.4), a_pass(0.7)], 7),
        ([a_pass(lift, x=20.02) for lift in LIFTS], 6),
        ([a_pass(lift, x=19.98) for lift in LIFTS], 6),
        ([a_pass(lift, x=40.0) for lift in LIFTS], 6),
        ([a_pass(0.0)], 8),
        ([a_pass(0.7), a_pass(0.0)], 8),
        ([a_pass(lift, past=7.0) for lift in LIFTS], 8),
    ],
    ids=["too deep", "too shallow", "no last", "right", "left", "elsewhere", "one bite", "two bites", "down in wood"],
)  # fmt: skip
def test_a_wrong_pass_is_found(passes, rule):
    assert rule in rules(sawn(*passes))


@pytest.mark.parametrize(("lift", "found"), [(0.0, set()), (-0.02, {6}), (0.02, {7})])
def test_a_floor_followed_by_one_upright_arc_is_measured_too(lift, found):
    """NISTIR 6556, section 3.5.3: in YZ (G19) an arc over a crown, Y rising, is G2; the centre by J and K.

    That the dialect has no such arcs (rule 1), and that an axis may bear all of their feed (rule 3), is as it was.
    """
    around = RADIUS + BLADE / 2
    lean = math.asin(HALF_WIDTH / RADIUS)
    y, z = around * math.sin(lean), -2.0 + lift - around * (1 - math.cos(lean))
    arc = f"G2 Y{y:.4f} Z{z:.4f} J{y:.4f} K{-2.0 + lift - around - z:.4f} F500.0"
    lines = ["G0 X20.0 Y-31.0", "G0 Z0.5", f"G1 Z{z:.4f} F100.0", f"G1 Y{-y:.4f} F500.0", "G19", arc, "G17"]
    text = sawn(a_pass(1.4), a_pass(0.7), [*lines, "G1 Y31.0", "G1 Z0.5 F100.0", "G0 Z5.0"])
    assert rules(text) - {1, 3} == found


@pytest.mark.parametrize("place", [3, 13, 23])
def test_a_dip_in_one_place_is_too_deep(place):
    """The 3rd, 13th and 23rd lines touch the floor at the low edge, on the centre line and at the high edge."""
    lines = a_pass(0.0)
    x, z = lines[place].split()[1:3]
    lines[place] = f"G1 {x} Z{number(float(z[1:]) - 0.02)} F500.0"
    assert rules(sawn(a_pass(1.4), a_pass(0.7), lines)) == {6}


def test_a_slot_that_is_left_uncut_at_its_far_end_is_not_complete():
    short = [line for line in a_pass(0.0) if not (line.startswith("G1 Y") and float(line.split()[1][1:]) > 12)]
    assert rules(sawn(a_pass(1.4), a_pass(0.7), short)) == {7}


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ("S9000 M3", "S9000 M4", 3),
        ("S9000", "S12500", 3),
        ("F500.0", "F900.0", 3),
        ("G4 P2.0", "G4 P0.1", 3),
        ("F500.0\nG1 Z0.5 F100.0\nG0 Z5.0", "F500.0\nG0 Y-31.0\nG0 Z5.0", 5),
        ("M5\n", "", 9),
        ("G0 Z5.0\nG0 Z5.0\nM5", "G0 Z4.0\nM5", 9),
    ],
)
def test_damage_is_found_by_its_rule(old, new, rule):
    assert rule in rules(damaged(sawn(), old, new, -1))


def test_a_dwell_in_the_wood_scorches_and_one_beside_it_does_not():
    lines = a_pass(0.0)
    middle, end = [*lines[:12], "G4 P1.0", *lines[12:]], [*lines[:-2], "G4 P1.0", *lines[-2:]]
    assert rules(sawn(a_pass(1.4), a_pass(0.7), middle)) == {3}
    assert rules(sawn(a_pass(1.4), a_pass(0.7), end)) == set()


def test_rapids_go_down_beside_the_wood_only_where_the_blade_clears_it():
    # 2.8 mm deep at the edge the blade reaches sqrt(2.8 * 37.2) = 10.2 mm from its centre
    clear = [line.replace("G1 Z-", "G0 Z-") if place == 2 else line for place, line in enumerate(a_pass(0.0))]
    assert rules(sawn(a_pass(1.4), a_pass(0.7), clear)) == set()
    near = [line.replace("Y-31.000", "Y-30.300") for line in clear]
    assert rules(sawn(a_pass(1.4), a_pass(0.7), near)) == {5}


def test_a_plunge_in_the_middle_is_forbidden_also_in_small_stairs():
    ahead = ["G0 X20.0 Y-2.0", "G0 Z0.5", "G1 Z-1.2 F100.0", "G1 Y2.0 F500.0", "G1 Z0.5 F100.0", "G0 Z5.0"]
    assert rules(sawn(ahead, *[a_pass(lift) for lift in LIFTS])) == {8}
    stairs = [f"G1 Y{-2 + step * 0.002:.3f}\nG1 Z{-step * 0.008:.3f}" for step in range(150)]
    assert rules(sawn([*ahead[:2], "G1 Z0.0 F100.0", *stairs, *ahead[3:]], *[a_pass(lift) for lift in LIFTS])) == {
        3,
        8,
    }  # which scorches, too


def test_what_turns_beside_the_blade_stays_above_the_wood():
    # at the edge the tip lies 2.79 + 0.06 mm deep; a flange of 34 mm leaves 3 mm of the blade
    assert rules(sawn(), replace(SAW, flange_mm=33.0)) == set()
    # and people are told of more room under it than there is
    assert rules(sawn(), replace(SAW, flange_mm=36.0)) == {1, 8}
    assert rules(sawn(), replace(SAW, arbor_mm=36.0)) == {1, 8}


def test_no_deeper_than_the_saw_reaches():
    assert rules(sawn(), replace(SAW, reach_mm=2.9)) == set()
    assert rules(sawn(), replace(SAW, reach_mm=2.5)) == {8}


@pytest.mark.parametrize(
    ("kerf", "found"), [(0.61, set()), (0.59, set()), (0.64, {6, 7}), (0.5, {7}), (None, {5, 6, 7, 8})]
)
def test_the_kerf_is_the_slots_width(kerf, found):
    assert rules(sawn(), replace(SAW, kerf_mm=kerf)) == found


def test_no_straight_blade_cuts_a_stopped_slot():
    half = 18.0
    inside = ["G0 X30.0 Y-10.0", "G0 Z0.5", "G1 Z-1.0 F100.0", "G1 Y10.0 F500.0", "G1 Z0.5 F100.0", "G0 Z5.0"]
    whole = [line.replace("10.0", str(half)) for line in inside]
    told = rules(program(inside, 10, "frets 2").replace("S16000", "S9000"), setup=face(STOPPED))
    assert {7, 8} <= told
    assert 6 in rules(program(whole, 10, "frets 2").replace("S16000", "S9000"), setup=face(STOPPED))


def test_a_board_that_lies_aslant_is_not_sawn():
    assert rules(sawn(), setup=face(FRET, placement=Placement(0.005))) == set()
    assert 6 in rules(sawn(), setup=face(FRET, placement=Placement(0.1)))


def test_another_slot_beside_is_met_by_no_run_out():
    # wood that stands beyond the slot's end: the blade runs into it
    wide = Stock(np.array([[0.0, -HALF_WIDTH], [60.0, -HALF_WIDTH], [60.0, 45.0], [0.0, 45.0]]), 6.0)
    assert 6 in rules(sawn(), setup=replace(face(FRET), stock=wide))


def test_a_crowned_blank_and_a_cone_are_followed_too():
    level = replace(FRET, floor=Floor(-2.0))
    flat = ["G0 X20.0 Y-31.0", "G0 Z0.5", "G1 Z-2.0 F100.0", "G1 Y31.0 F500.0", "G1 Z0.5 F100.0", "G0 Z5.0"]
    cut = replace(SAW, bite_mm=2.0)
    assert rules(sawn(flat), cut, setup=face(level)) == set()
    assert rules(sawn(flat), cut, setup=face(level, crown=CROWN)) == set()
    assert rules(sawn(flat), cut) == {7}
    assert rules(sawn([line.replace("-2.0", "-2.5") for line in flat]), replace(SAW, bite_mm=2.5)) == {6, 7}
    cone = Crown(RADIUS, RADIUS * 1.3, 60.0)
    assert rules(sawn(), setup=face(replace(FRET, floor=Floor(-2.0, cone)))) == {6}


heights = st.integers(-6000, 6000).map(lambda steps: steps / 1000)
places = st.integers(-40000, 40000).map(lambda steps: steps / 1000)


@given(places, heights, places, heights, st.floats(5.0, 60.0))
def test_the_lower_side_of_a_sweep_is_the_least_of_its_discs(y0, z0, y1, z1, radius):
    one = np.ones(1)
    blades = Blades(np.array([[0.0, y0, z0]]), np.array([[0.0, y1, z1]]), np.zeros(1, dtype=int),
                    np.zeros(1, dtype=bool), 0 * one, radius * one, one, one)  # fmt: skip
    y = np.linspace(-50.0, 50.0, 41)
    side = blades.lower_side_mm(y)[0]
    share = np.linspace(0.0, 1.0, 20001)[:, None]
    off = y - (y0 + (y1 - y0) * share)
    under = radius**2 - off**2
    discs = np.where(under >= 0, z0 + (z1 - z0) * share + radius - np.sqrt(np.maximum(under, 0.0)), math.inf)
    least = discs.min(axis=0)
    inside = np.isfinite(least)
    assert np.all(side[inside] <= least[inside] + 1e-6)
    # between two of the sampled discs the true side may hang lower: steeply so only beside the blade
    deep = inside & (np.abs(off).min(axis=0) < 0.9 * radius)
    assert np.allclose(side[deep], least[deep], atol=0.01)
