"""Rule 6, nothing outside or too deep: programs that keep it, and damaged ones that it must catch."""

import math

import numpy as np
import pytest
from small_board import (
    CROWN,
    DOT,
    FRET,
    HALF_WIDTH,
    RADIUS,
    STOPPED,
    bore,
    face,
    fall,
    machine,
    number,
    pecks,
    program,
    rules,
    slot,
    stopped,
    verdict,
)  # fmt: skip

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.setups.model import Placement

GOOD = {
    "a bore": (program(bore()), face()),
    "a bore by a mill half as wide": (program([*bore(orbit=1.0), *bore(orbit=1.5)]), face()),
    "a slot under a crown": (program(slot(), 1, "frets 1"), face()),
    "a slot in lanes by a narrower mill": (program(slot(radius=0.25, lanes=(0.05, -0.05)), 7, "frets 1"), face()),
    "a slot by a mill 0.01 mm wider": (program(slot(radius=0.305), 9, "frets 1"), face()),
    "a stopped slot": (program(stopped(), 1, "frets 2"), face()),
    "a drilled hole": (program(pecks(), 3, "face dots 3"), face()),
    "a slot in a crowned blank": (program(slot(top=True), 1, "frets 1"), face(FRET, crown=CROWN)),
}  # fmt: skip


@pytest.mark.parametrize("name", GOOD)
def test_a_good_program_is_proved(name):
    text, setup = GOOD[name]
    assert verdict(text, setup=setup).findings == ()


def shifted_bore(by):
    return program(bore(centre=(10.0 + by, 5.0)))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (program(bore(orbit=1.512)), "cuts 0.012 mm outside face dot 1 (at X"),
        (program([*bore(), "G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z-1.0", "G1 X12.0", "G1 Z0.5"]), "cuts 0.50 mm outside"),
        (program(bore(floor=-1.562)), "cuts 0.012 mm too deep in face dot 1"),
        (program(slot(depth=-2.012), 1, "frets 1"), "cuts 0.013 mm too deep in fret 1"),
        (program([line.replace("X20.000 Y9.200", "X20.310 Y9.200") for line in slot()], 1, "frets 1"),
         "cuts 0.31 mm outside fret 1, treble side"),
        (program(stopped(ends=18.012), 1, "frets 2"), "cuts 0.012 mm outside fret 2"),
        (program(pecks(bottom=-2.52), 3, "face dots 3"), "cuts 0.020 mm too deep in face dot 3"),
    ],
)  # fmt: skip
def test_damage_is_told_in_the_makers_words(text, words):
    told = [finding for finding in verdict(text).findings if finding.rule == 6]
    assert any(words in finding.message for finding in told), [str(finding) for finding in told]
    assert all(finding.line for finding in told)


@pytest.mark.parametrize(("orbit", "kept"), [(1.5095, True), (1.512, False)])
def test_two_thousandths_beyond_the_tolerance_are_found_in_a_bore(orbit, kept):
    """The tolerance is 0.01 mm; an orbit 0.0095 wide passes, 0.012 does not (arcs are at most 0.0005 stricter)."""
    assert (6 not in rules(program(bore(orbit=orbit)))) == kept


@pytest.mark.parametrize(("low", "kept"), [(0.0095, True), (0.012, False)])
def test_two_thousandths_beyond_the_tolerance_are_found_in_a_floor(low, kept):
    assert (6 not in rules(program(slot(depth=-2.0 - low, follow=False), 1, "frets 1"), setup=face(LEVEL))) == kept


LEVEL = Slot("frets", 1, "fret 1", (20.0, -HALF_WIDTH), (20.0, HALF_WIDTH), 0.6, Floor(-2.0), through=True)


def test_a_flat_mill_on_a_falling_floor_digs_uphill():
    """Its tip at the floor right below its axis would dig by the fall over a radius: 3 * 20 / 254 = 0.236 mm."""
    wide = Slot("frets", 1, "fret 1", (20.0, -HALF_WIDTH), (20.0, HALF_WIDTH), 6.0, Floor(-0.5, CROWN), through=True)
    lines = [f"G0 X20.0 Y{-24.0}", "G0 Z0.5", "G1 Z-0.5 F100.0"]
    lines += [f"G1 Y{number(y)} Z{number(-0.5 - fall(abs(y)))} F100.0" for y in range(-24, 25)]
    cutter = machine()
    found = verdict(program([*lines, "G1 Z0.5"], 2, "frets 1"), setup=face(wide), on=cutter)
    deep = next(finding for finding in found.findings if finding.rule == 6 and "too deep" in finding.message)
    assert deep.message.startswith("cuts 0.") and "fret 1" in deep.message


def test_a_long_chord_under_a_crown_is_too_deep_between_its_ends():
    """Two ends on the floor 10 mm apart: the chord lies 10**2 / (8 R) = 0.049 mm below it in the middle."""
    sparse = [*slot(step=10.0)]
    told = [finding for finding in verdict(program(sparse, 1, "frets 1")).findings if finding.rule == 6]
    assert told and "too deep in fret 1" in told[0].message
    amount = float(told[0].message.split()[1])
    assert amount == pytest.approx(10.0**2 / (8 * RADIUS), abs=0.004)


def test_a_slot_in_the_wrong_place_is_outside_every_feature():
    told = verdict(program(slot(x=52.0), 1, "frets 1")).findings
    assert any("where nothing is to be cut" in finding.message for finding in told if finding.rule == 6)


def test_a_cut_beside_the_wood_is_in_the_air():
    beside = ["G0 X-5.0 Y0.0", "G0 Z0.5", "G1 Z-2.0 F100.0", "G1 Y10.0 F300.0", "G1 Z0.5", "G0 Z5.0"]
    assert rules(program([*beside, *bore()])) == {5}  # which is no place for a feed along the board, either
    touching = [line.replace("X-5.0", "X-1.49") for line in beside]
    assert 6 in rules(program([*touching, *bore()]))


def test_a_through_slot_overruns_the_wood_but_not_other_wood():
    """An L-shaped blank: the slot leaves the wood at Y 20 and would enter it again at Y 22."""
    notched = np.array([[0, -20], [60, -20], [60, 30], [15, 30], [15, 22], [40, 22], [40, 20], [0, 20]], dtype=float)
    text = program([*slot(passes=7)[:-2], "G1 X20.0 Y30.0", "G1 Z0.5", "G0 Z5.0"], 1, "frets 1")
    assert 6 not in rules(text)
    assert 6 in rules(text, setup=face(FRET, outline=notched))


@pytest.mark.parametrize("placement", [Placement(90.0, 30.0, 10.0), Placement(-37.0, 5.0, -3.0), Placement(180.0)])
def test_the_demand_moves_with_the_placement_and_the_motion_does_not(placement):
    x, y = placement.to_machine(DOT.centre).tolist()
    assert rules(program(bore(centre=(x, y))), setup=face(DOT, placement=placement)) == set()
    assert rules(program(bore()), setup=face(DOT, placement=placement)) & {6, 7}


def test_a_turned_slot_keeps_its_floor():
    placement = Placement(90.0)
    lines = []
    for line in slot():
        words = {word[0]: word[1:] for word in line.split()}
        if "Y" in words:
            turned = {"X": number(-float(words["Y"])), "Y": words["X"]}
            line = " ".join(f"{letter}{turned.get(letter, value)}" for letter, value in words.items())
        lines.append(line)
    assert rules(program(lines, 1, "frets 1"), setup=face(FRET, placement=placement)) == set()
    deep = [line.replace("Z-2.000", "Z-2.050") for line in lines]
    assert 6 in rules(program(deep, 1, "frets 1"), setup=face(FRET, placement=placement))


def test_a_conical_crown_counts_where_it_is_highest():
    """From R 150 to R 450 over 60 mm: at X 20 the radius is 250, so a floor made for 254 digs by less than 0.02."""
    cone = Slot("frets", 1, "fret 1", FRET.start, FRET.end, 0.6, Floor(-2.0, Crown(150.0, 450.0, 60.0)), through=True)
    fall_here = 250.0 - math.sqrt(250.0**2 - 20.0**2)
    assert fall_here - fall(20.0) == pytest.approx(0.0127, abs=0.0005)
    assert 7 in rules(program(slot(), 1, "frets 1"), setup=face(cone))


def test_an_arc_in_an_upright_plane_is_followed():
    """The slot's floor as one arc in YZ (G19 G2 rising, as over a crown), about the crown's own centre."""
    reach = 20.8
    high = number(-2.0 - fall(reach))
    along = number(math.sqrt(RADIUS**2 - reach**2))
    body = [
        f"G0 X20.0 Y{-reach}",
        "G0 Z0.5",
        f"G1 Z{high} F100.0",
        f"G19 G2 Y{reach} Z{high} J{reach} K-{along}",
        "G1 Z0.5",
    ]
    told = [finding.message for finding in verdict(program(body, 1, "frets 1")).findings if finding.rule == 6]
    assert len(told) == 1
    assert float(told[0].split()[1]) == pytest.approx(fall(20.3) - fall(20.0), abs=0.002)
    sagging = [line.replace("G19 G2", "G19 G3").replace("K-", "K") for line in body]
    told = [finding.message for finding in verdict(program(sagging, 1, "frets 1")).findings if finding.rule == 6]
    assert max(float(each.split()[-1].strip(")Z")) for each in told) < -2.0
    assert "too deep in fret 1" in told[0]


def test_nothing_to_cut_means_that_no_wood_may_be_cut():
    empty = face(Hole("face dots", 9, "face dot 9", (50.0, 15.0), 2.0, -1.0, -0.9, -1.1))
    assert 6 in rules(program(bore(), cuts="face dots 9"), setup=empty)


def test_the_slot_of_a_mill_more_than_the_match_wider_is_outside():
    assert STOPPED.width_mm == 0.6
    assert 6 in rules(program(stopped(radius=1.0), 3, "frets 2"))
