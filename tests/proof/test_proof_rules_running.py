"""Rules 2, 3, 4 and 9, how a program runs: good ones that keep them, and damaged ones that each must catch."""

import pytest
from small_board import bore, broken, by_hand, damaged, face, machine, pecks, program, rules, slot, verdict

GOOD = program(bore())
BY_HAND = by_hand(GOOD)


def test_the_programs_that_are_damaged_below_are_good():
    assert rules(GOOD) == set()
    assert rules(BY_HAND, on=machine("hand")) == set()


@pytest.mark.parametrize(
    ("old", "new", "rule", "words"),
    [
        ("G21\n", "", 2, "stated in the head; write G21 first"),
        ("G17 G90 G94 G54", "G90 G94 G54", 2, "write G17 first"),
        ("G17 G90 G94 G54", "G17 G94 G54", 2, "write G90 first"),
        ("G17 G90 G94 G54", "G17 G90 G54", 2, "write G94 first"),
        ("S16000 M3", "S16000", 3, "cuts with the spindle off"),
        ("S16000 M3", "S16000 M4", 3, "cuts with the spindle backward"),
        ("S16000 M3", "M3", 3, "cuts before a spindle speed is set"),
        ("S16000 M3", "S25000 M3", 3, "at 25000 rpm (at most 24000)"),
        ("S16000 M3", "S1600 M3", 3, "at 1600 rpm (at least 8000)"),
        ("G4 P2.0\n", "", 3, "waits 0.00 s between the spindle's start and the first cut"),
        ("G4 P2.0", "G4 P0.2", 3, "waits 0.20 s"),
        ("Z0.100 F100.0", "Z0.100", 3, "moves at feed before a feed is set"),
        ("X11.500 F300.0", "X11.500 F3000.0", 3, "cuts at a feed of 3000.0 mm/min (at most 400.0"),
        ("X11.500 F300.0", "X11.500 F0.0", 3, "moves at feed before a feed is set"),
        ("G1 Z0.5\n", "G4 P1.0\nG1 Z0.5\n", 3, "dwells 1.00 s in one place with the cutter in the wood"),
        ("G1 Z0.5\n", "M0\nG1 Z0.5\n", 3, "stops with the cutter in the wood"),
        ("G0 X10.000 Y5.000", "G0 X90.0\nG0 X-15.0\nG0 X10.000 Y5.000", 4, "span 105.00 mm in X, from -15.00 to 90.00"),
        ("G0 X10.000 Y5.000", "G0 Y61.0\nG0 X10.000 Y5.000", 4, ""),
        ("G0 Z5.0\nM5", "G0 Z30.0\nM5", 4, "cutter 2 spans 31.50 mm in Z"),
        ("G0 Z5.0\nS16000", "S16000", 4, "does not first go straight up"),
        ("G0 Z5.0\nS16000", "G0 X0.0 Y0.0\nG0 Z5.0\nS16000", 4, "does not first go straight up"),
        ("G0 Z5.0\nS16000", "G0 Z4.0\nS16000", 4, "does not first go straight up"),
        ("G0 Z5.0\nG0 Z5.0\nM5", "M5", 9, "ends with the cutter at Z 0.50, below the clearance of 5.00"),
        ("M5\n", "", 9, "leaves the spindle running"),
        ("M2\n", "", 9, "has no end; its tail may be cut off"),
    ],
)
def test_each_damage_is_caught_by_its_rule(old, new, rule, words):
    found = verdict(damaged(GOOD, old, new), on=machine(travel=(100.0, 50.0, 30.0)))
    assert rule in broken(found)
    told = [finding.message for finding in found.findings if finding.rule == rule]
    assert any(words in message for message in told), told


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        ("G21\n", "", 2),
        ("X11.500 F300.0", "X11.500 F3000.0", 3),
        ("G4 P2.0", "G4 P0.2", 3),
        ("G1 Z0.5\n", "G4 P1.0\nG1 Z0.5\n", 3),
        ("G0 X10.000 Y5.000", "G0 X95.0\nG0 X-15.0\nG0 X10.000 Y5.000", 4),
        ("G0 Z5.0\nG0 Z5.0\nM5", "M5", 9),
        ("M2\n", "", 9),
    ],
)
def test_no_other_rule_catches_these(old, new, rule):
    assert rules(damaged(GOOD, old, new)) == {rule}


def test_a_lost_lift_at_the_end_is_found_though_the_spindle_stops():
    assert rules(damaged(damaged(GOOD, "G0 Z5.0\n", "", -1), "G0 Z5.0\n", "", -1)) == {9}


@pytest.mark.parametrize(
    ("old", "new", "place", "rule", "words"),
    [
        ("M0\n", "", 0, 3, "cuts before a stop"),
        ("M0\n", "", 1, 9, "does not stop (M0) after its last cut"),
    ],
)
def test_a_hand_set_spindle_needs_its_stops(old, new, place, rule, words):
    found = verdict(damaged(BY_HAND, old, new, place), on=machine("hand"))
    assert broken(found) == {1, rule}  # nor does it follow in the order of a program
    assert any(words in finding.message for finding in found.findings)


def test_a_plunge_feed_counts_only_what_goes_down_in_wood():
    fast = program(pecks()[:2] + [line.replace("F100.0", "F200.0") for line in pecks()[2:]], 3, "face dots 3")
    told = [finding.message for finding in verdict(fast).findings]
    assert told[0].startswith("goes down into wood at 200.0 mm/min (at most 100.0")
    beside = slot()
    assert beside[2].endswith("F100.0")
    beside[2] = beside[2].replace("F100.0", "F300.0")
    assert rules(program(beside, 1, "frets 1")) == set()


def test_a_feed_beyond_an_axis_is_found_in_the_air_too():
    lifted = damaged(GOOD, "G1 Z0.5\n", "G1 Z0.5\nG1 Z4.0 F400.0\n", -1)
    told = [finding.message for finding in verdict(lifted).findings]
    assert told == ["drives Z at a feed of 400.0 mm/min (at most 300.0)"]


def test_an_arc_drives_both_axes_at_its_whole_feed_somewhere():
    lifted = damaged(GOOD, "G1 Z0.5\n", "G1 Z0.5\nG0 Z5.0\nG1 X20.0 F1000.0\nG3 X22.0 Y7.0 I0.0 J2.0 F1600.0\n", -1)
    told = [finding.message for finding in verdict(lifted).findings]
    assert told == [f"drives {axis} at a feed of 1600.0 mm/min (at most 1500.0)" for axis in "XY"]


def test_a_first_rapid_that_also_travels_starts_at_an_unknown_height():
    assert {4, 5} <= rules(damaged(GOOD, "G0 Z5.0\nS16000", "G0 X0.0 Y0.0 Z5.0\nS16000"))


def test_an_unknown_place_is_never_cut_from():
    lost = damaged(program(pecks(), 3, "face dots 3"), " Y-8.000", "")
    assert 4 in rules(lost)


def test_programs_of_one_setup_share_the_travel():
    wide = face()
    left, right = (program([f"G0 X{x} Y0.0", *body], *more) for x, body, more in
                   ((-30.0, bore(), ()), (80.0, pecks(), (3, "face dots 3"))))  # fmt: skip
    assert rules(left, setup=wide) == set() and rules(right, setup=wide) == set()
    assert rules(left, right, setup=wide) == {4}


def test_an_arcs_radii_agree_in_motions_made_by_hand():
    """The reader refuses such an arc; the rule holds for motions from anywhere."""
    from dataclasses import replace

    import numpy as np

    from pearlkerf.proof.identity import identify
    from pearlkerf.proof.prove import prepare
    from pearlkerf.proof.rules.arcs import arcs_agree
    from pearlkerf.reading.reader import read_program

    reading = read_program(GOOD.encode())
    centre = reading.motions.centre.copy()
    arc = int(np.flatnonzero(reading.motions.kind == 2)[0])
    for off, caught in ((0.001, False), (0.004, True)):
        centre[arc, 0] = reading.motions.centre[arc, 0] + off
        bent = replace(reading, motions=replace(reading.motions, centre=centre))
        identity = identify(bent, "1.nc", [face()], machine())
        run = prepare(bent, "1.nc", identity, face(), machine())
        assert bool(list(arcs_agree(run))) == caught
