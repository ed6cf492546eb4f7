"""Rules 5 and 8, what is wood and what is air before each move: good programs, and damaged ones."""

from dataclasses import replace

import pytest
from small_board import (  # fmt: skip
    AGAIN,
    CROWN,
    DOT,
    DRILLED,
    FRET,
    bore,
    broken,
    damaged,
    face,
    machine,
    mill,
    number,
    pecks,
    program,
    rules,
    slot,
    stopped,
    verdict,
)

GOOD = program(bore())
ROUGH_AND_FINE = [*bore(orbit=1.2), *bore()]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (damaged(GOOD, "G0 Z5.0\nM5", "G0 Z2.0\nG0 X20.0\nG0 Z5.0\nM5"), "moves sideways at rapid at Z 2.00"),
        (damaged(GOOD, "G1 Z0.5\n", "G0 X20.0\nG1 Z0.5\n"), "moves sideways at rapid at Z -1.50"),
        (damaged(GOOD, "G0 Z0.5", "G0 Z-0.5"), "moves at rapid at Z -0.50, below the wood's top"),
        (damaged(GOOD, "G1 X11.500 F300.0", "G0 X11.500"), "moves sideways at rapid at Z 0.10"),
        (program([line.replace("G1 X20.000 Y9.200", "G0 X20.000 Y9.200").split(" F4")[0] if "Y9.200" in line else line
                  for line in slot()], 1, "frets 1"), "moves sideways at rapid"),
        (program(damaged("\n".join(pecks()), "G0 Z-0.600", "G0 Z-0.9").split("\n"), 3, "face dots 3"),
         "moves at rapid at Z -0.90"),
    ],
)  # fmt: skip
def test_rapids_that_can_meet_wood_are_told(text, words):
    told = [finding.message for finding in verdict(text).findings if finding.rule == 5]
    assert any(words in message for message in told), told


def test_only_this_rule_catches_a_low_traverse():
    assert rules(damaged(GOOD, "G0 Z5.0\nM5", "G0 Z1.0\nG0 X20.0\nG0 Z5.0\nM5")) == {5}


def test_a_rapid_that_climbs_while_it_travels_counts_with_its_whole_box():
    assert 5 in rules(damaged(GOOD, "G1 Z0.5\nG0 Z5.0", "G1 Z0.5\nG0 X20.0 Z6.0"))


@pytest.mark.parametrize(("depth", "kept"), [(-1.4, True), (-1.5, True), (-1.501, False)])
def test_a_rapid_goes_down_into_an_opening_wide_enough(depth, kept):
    """The hole is 6 mm wide, the cutter 3 mm."""
    again = [*bore(), "G0 X10.000 Y5.000", f"G0 Z{depth}", "G1 Z0.5 F100.0"]
    assert (5 not in rules(program(again))) == kept


@pytest.mark.parametrize(("aside", "kept"), [(1.2, True), (1.27, False)])
def test_an_opening_must_exceed_the_cutter_by_half_a_millimetre(aside, kept):
    """The hole's radius is 3 mm, the cutter's 1.5 mm: 0.25 mm of air remains 1.25 mm from the centre."""
    again = [*bore(), f"G0 X{10 + aside} Y5.000", "G0 Z-1.0", "G1 Z0.5 F100.0"]
    assert (5 not in rules(program(again))) == kept


def test_an_opening_counts_only_once_it_is_cut_also_by_an_earlier_program():
    before = ["G0 X10.000 Y5.000", "G0 Z-1.0", "G1 Z0.5 F100.0", "G0 Z5.0"]
    assert 5 in rules(program([*before, *bore()]))
    assert rules(GOOD, program([*before, *bore()])) == set()
    assert 5 in rules(program([*before, *bore()]), GOOD)


@pytest.mark.parametrize(("x", "kept"), [(-1.76, True), (-1.74, False)])
def test_air_beside_the_wood_is_an_opening(x, kept):
    beside = [f"G0 X{x} Y0.0", "G0 Z-2.0", "G0 Z5.0"]
    told = " ".join(map(str, verdict(program([*beside, *bore()])).findings))
    assert ("moves at rapid at Z -2.00, below the wood's top" not in told) == kept


def test_a_drill_goes_back_into_its_own_hole_only():
    assert rules(program(pecks(), 3, "face dots 3")) == set()
    elsewhere = [line.replace("G0 Z-0.600", "G1 X45.01\nG0 Z-0.600") for line in pecks()]
    assert 5 in rules(program(elsewhere, 3, "face dots 3"))


def test_a_canned_cycle_is_a_drill_in_its_own_hole():
    cycle = [
        "G0 X45.0 Y-8.0",
        "G0 Z0.5",
        "G99 G83 X45.0 Y-8.0 Z-2.4 R0.5 Q0.8 F100.0",
        "G99 G82 X45.0 Y-8.0 Z-2.4 R0.5 P0.1",
    ]
    text = program([*cycle, "G80", "G0 Z5.0"], 3, "face dots 3").replace("G54\n", "G54\nG80\n")
    assert rules(text, on=machine(drilling_cycles=True)) == set()
    deep = text.replace("Q0.8", "Q2.0")
    found = verdict(deep, on=machine(drilling_cycles=True))
    assert broken(found) == {8}


def test_a_flat_mill_of_a_brad_points_diameter_does_not_follow_it_at_rapid_to_its_tip():
    """The lips cut to 2.0 mm, the point to 2.4 mm: a flat mill meets a ring of wood between them."""
    flat = ["G0 X45.000 Y-8.000", "G0 Z{}", "G1 Z0.5 F100.0", "G0 Z5.0"]
    pause = [
        *pecks(),
        "M5",
        "M0",
        *AGAIN.splitlines(),
        "(setup=face cutter=10 cuts=face dots 3)",
        "S16000 M3",
        "G4 P2.0",
    ]
    on = machine(cutter_change="stop")
    on = replace(on, cutters=(*on.cutters, mill(10, 2.0, 0.8)))
    assert [
        5 in rules(program([*pause, *(line.format(z) for line in flat)], 3, "face dots 3"), on=on) for z in (0.1, -2.4)
    ] == [False, True]


@pytest.mark.parametrize("retract", [0.402, 0.404, 0.406, 0.41])
def test_a_small_peck_may_end_between_the_crowned_top_beneath_and_beside_the_drill(retract):
    """At the drill's edge, y 7, the raw top lies 0.096 mm below the crown, 0.25 mm farther in 0.090 mm.

    A peck that ends between them cuts nothing, and yet the drill has been where a cycle's rapid brings it back to.
    """
    cycle = [f"G99 G8{kind} X45.0 Y-8.0 Z-2.4 R{retract} {word} F100.0" for kind, word in ((3, "Q0.1"), (2, "P0.1"))]
    text = program(["G0 X45.0 Y-8.0", "G0 Z0.5", *cycle, "G80", "G0 Z5.0"], 3, "face dots 3")
    on, setup = machine(drilling_cycles=True), face(DRILLED, crown=CROWN)
    assert rules(text.replace("G54\n", "G54\nG80\n"), setup=setup, on=on) == set()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (program(bore(turns=1)), "of wood at once in face dot 1 (at most 0.80 mm with this cutter)"),
        (program(slot(passes=5), 1, "frets 1"), "takes 0.56 mm of wood at once in fret 1 (at most 0.50 mm"),
        (program(stopped(strokes=2), 1, "frets 2"), "takes 1.00 mm of wood at once in fret 2"),
        (program(pecks(peck=1.0), 3, "face dots 3"), "takes 1.00 mm of wood at once in face dot 3"),
        (program(bore(), cutter=8), "cuts 1.50 mm deep in face dot 1 (this cutter reaches 1.20 mm)"),
    ],
)
def test_bites_that_are_too_deep_are_told(text, words):
    told = [finding.message for finding in verdict(text).findings if finding.rule == 8]
    assert any(words in message for message in told), told


@pytest.mark.parametrize(
    "text",
    [
        program(bore(turns=1)),
        program(slot(passes=5), 1, "frets 1"),
        program(stopped(strokes=2), 1, "frets 2"),
        program(pecks(peck=1.0), 3, "face dots 3"),
        program(bore(), cutter=8),
    ],
)
def test_only_this_rule_catches_them(text):
    assert rules(text) == {8}


def test_a_lost_pass_makes_the_next_bite_too_deep():
    lines = slot(passes=6)
    each = (len(lines) - 4) // 6
    assert rules(program(lines, 1, "frets 1")) == set()
    lost = lines[: 2 + 2 * each] + lines[2 + 3 * each :]
    assert 8 in rules(program(lost, 1, "frets 1"))


def test_a_pecks_depth_counts_from_the_last_return():
    by_feed = ["G0 X45.0 Y-8.0", "G0 Z0.5"]
    for depth in (-0.8, -1.6, -2.4):
        by_feed += [f"G1 Z{depth} F100.0", "G1 Z0.5"]
    assert rules(program(by_feed, 3, "face dots 3")) == set()
    at_once = ["G0 X45.0 Y-8.0", "G0 Z0.5", "G1 Z-0.8 F100.0", "G1 Z-1.6", "G1 Z-2.4", "G1 Z0.5"]
    assert rules(program(at_once, 3, "face dots 3")) == {8}


def test_no_plunge_hides_in_a_chain_of_short_moves():
    """Down 1.5 mm along a zigzag 0.05 mm wide in thirty moves of 0.05 mm, and down stairs of the same steps."""
    lines = ["G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z0.0 F100.0"]
    zigzag = [f"G1 X{10.05 if step % 2 else 10.0} Z{number(-0.05 * step)}" for step in range(1, 31)]
    assert 8 in rules(program([*lines, *zigzag, "G1 Z0.5", *bore()]))
    stairs = [step for pair in ((line.split(" Z")[0], f"G1 Z{line.split('Z')[1]}") for line in zigzag) for step in pair]
    assert 8 in rules(program([*lines, *stairs, "G1 Z0.5", *bore()]))


def test_a_cutter_that_cannot_plunge_ramps():
    assert rules(program(bore(turns=4), cutter=4)) == set()
    straight = ["G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z-0.5 F100.0", "G1 Z0.5"]
    told = [finding.message for finding in verdict(program([*straight, *bore()], cutter=4)).findings]
    assert told[0].startswith("goes down 0.50 mm into face dot 1, although its cutter does not plunge")
    assert rules(program([*bore(), "G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z-1.5 F100.0", "G1 Z0.5"], cutter=4)) == set()


def test_a_saw_cannot_be_followed():
    told = [finding.message for finding in verdict(program(bore(), cutter=6)).findings if finding.rule == 8]
    assert told == ["cuts with cutter 6, a saw, which this proof cannot follow"]


def test_wood_that_an_earlier_program_took_is_air():
    deep = program(["G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z-1.5 F100.0", "G1 Z0.5"])
    assert rules(deep) == {7, 8}
    assert rules(GOOD, deep) == set()


def test_side_passes_and_rings_raise_no_alarm():
    assert rules(program(ROUGH_AND_FINE)) == set()
    lanes = program(slot(radius=0.25, lanes=(0.05, -0.05)), 7, "frets 1")
    assert rules(lanes) == set()


def test_a_crowned_top_counts_as_it_stands():
    """On a crowned blank the edges lie fall(20) = 0.789 mm lower: the same passes bite less there."""
    shallow = program(slot(passes=4, top=True), 1, "frets 1")
    assert rules(shallow, setup=face(FRET, crown=CROWN)) == set()
    assert 8 in rules(program(slot(passes=3, top=True), 1, "frets 1"), setup=face(FRET, crown=CROWN))
    assert 8 in rules(shallow, setup=face(FRET))


def test_holes_near_the_margin_of_a_narrow_edge_are_drilled():
    from dataclasses import replace

    import numpy as np

    strip = np.array([[0, 0], [60, 0], [60, 5.5], [0, 6.5]], dtype=float)
    hole = replace(DOT, group="side dots", name="side dot 3", number=3, centre=(45.0, 1.9), diameter_mm=2.0,
                   floor_mm=-2.0, shallowest_mm=-1.9, deepest_mm=-2.1)  # fmt: skip
    edge = replace(face(hole, outline=strip), kind="edge")
    text = program(pecks(centre=(45.0, 1.9)), 3, "side dots 3", "edge")
    assert rules(text, setup=edge) == set()
    assert 6 in rules(text, setup=replace(edge, features=(replace(hole, centre=(45.0, 1.88)),)))
