"""Rule 7, every feature in full: programs that keep it, and damaged ones that it must catch."""

import math
from dataclasses import replace

import numpy as np
import pytest
from small_board import (
    CROWN,
    DOT,
    FRET,
    HALF_WIDTH,
    OUTLINE,
    bore,
    broken,
    face,
    number,
    pecks,
    program,
    rules,
    slot,
    stopped,
    verdict,
)  # fmt: skip

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Floor
from pearlkerf.proof.cover import Discs, Ends, Lozenges, disc_gap, strip_gap

SHALLOW = ["G0 X10.0 Y5.0", "G0 Z0.5", "G1 Z-0.5 F100.0", "G1 Z0.5"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (program(bore(orbit=1.488)), "face dot 1 is not cut to its full size and depth"),
        (program(bore(floor=-1.438)), "face dot 1 is 0.012 mm too shallow"),
        (program(bore(final=2)[:-3] + bore()[-2:]), "face dot 1 is not cut to its full size and depth"),
        (program(SHALLOW), "face dot 1 is 0.95 mm too shallow"),
        (program([], cuts="face dots 1 3"), "face dot 1 is not cut"),
        (program(slot(depth=-1.988), 1, "frets 1"), "fret 1, bass side is 0.012 mm too shallow"),
        (
            program(slot(lanes=(0.02, -0.02), radius=0.25), 7, "frets 1"),
            "fret 1, bass side is not cut to its full width",
        ),
        (program(stopped(ends=17.988), 1, "frets 2"), "fret 2, bass side is not cut to its full width"),
        (program(stopped(depth=-0.988), 1, "frets 2"), "fret 2, bass side is 0.012 mm too shallow"),
        (program(pecks(bottom=-2.28), 3, "face dots 3"), "face dot 3 is 0.020 mm too shallow"),
        (program(bore(), cuts="face dots 1 8"), "the header says that it cuts face dots 8"),
    ],
)
def test_damage_is_told_in_the_makers_words(text, words):
    told = [finding.message for finding in verdict(text).findings if finding.rule == 7]
    assert any(words in message for message in told), told


@pytest.mark.parametrize(
    "text",
    [
        program(bore(orbit=1.488)),
        program(bore(floor=-1.438)),
        program(slot(depth=-1.988), 1, "frets 1"),
        program(stopped(ends=17.988), 1, "frets 2"),
    ],
)
def test_only_this_rule_catches_what_is_left(text):
    assert rules(text) == {7}


def test_a_dropped_turn_and_a_turn_cut_short_are_found():
    lines = bore(final=3)
    turn = [place for place, line in enumerate(lines) if line.startswith("G3") and "Z-1.500" in line]
    for dropped in turn[-3:]:
        text = program([line for place, line in enumerate(lines) if place != dropped])
        assert broken(verdict(text)), dropped
    short = [line for place, line in enumerate(lines) if place not in turn[1:3]]
    assert 7 in rules(program(short))


def test_a_last_pass_that_turns_back_before_the_end_leaves_it():
    lines = slot(passes=6)  # six passes, so the last runs toward the operator
    places = [place for place, line in enumerate(lines) if line.startswith("G1 X20")]
    early = lines[: places[-3]] + lines[-2:]
    assert 7 in rules(program(early, 1, "frets 1"))


def test_a_last_pass_level_with_the_crown_leaves_the_falling_sides():
    lines = slot(passes=6)
    places = [place for place, line in enumerate(lines) if line.startswith("G1 X20")]
    for place in places[-43:]:
        words = lines[place].split()
        lines[place] = " ".join([*words[:3], "Z-2.000", *words[4:]])
    told = [finding.message for finding in verdict(program(lines, 1, "frets 1")).findings if finding.rule == 7]
    assert told and "too shallow" in told[0]


def test_a_slot_on_a_tapered_board_is_cut_to_its_slanted_end():
    slanted = OUTLINE + np.array([[0, 0], [0, -6], [0, 6], [0, 0]])
    middle = HALF_WIDTH + 6 * 20 / 60
    tapered = Slot("frets", 1, "fret 1", (20.0, -middle), (20.0, middle), 0.6, Floor(-0.4), through=True)

    def strokes(reach):
        return ["G0 X20.0 Y0.0", "G0 X20.0 Y-24.0", "G0 Z0.5", "G1 Z-0.4 F100.0", f"G1 Y{number(reach)} F400.0",
                f"G1 Y{-24.0}", "G1 Z0.5 F100.0"]  # fmt: skip

    # at the wall, 0.29 mm aside, the wood ends 0.029 mm further on, where the cutter reaches 0.077 mm ahead
    assert rules(program(strokes(21.96), 1, "frets 1"), setup=face(tapered, outline=slanted)) == set()
    assert rules(program(strokes(21.94), 1, "frets 1"), setup=face(tapered, outline=slanted)) == {7}


def test_two_programs_complete_one_feature_together():
    coarse, fine = bore(orbit=1.2), bore(orbit=1.5)
    alone = program(coarse)
    assert rules(alone) == {7}
    assert rules(alone, program(fine)) == set()


def test_named_cuts_answer_for_their_names_and_whole_setups_for_all():
    text = program(bore())
    assert rules(text) == set()
    left = verdict(text, completeness="whole setups").findings
    assert {finding.feature for finding in left} == {"fret 1", "fret 2", "face dot 3"}
    every = [text, program(slot(), 1, "frets 1"), program(stopped(), 1, "frets 2"), program(pecks(), 3, "face dots 3")]
    assert rules(*every, completeness="whole setups") == set()


def test_a_setup_without_a_program_is_told():
    edge = face(Hole("side dots", 1, "side dot 1", (10.0, 3.0), 2.0, -3.0, -2.9, -3.1))
    told = verdict(program(bore()), setup=[face(DOT), replace(edge, kind="edge")], completeness="whole setups").findings
    assert [finding.message for finding in told] == ["no program cuts the edge setup"]


def test_a_ball_cannot_make_a_flat_floor():
    assert 7 in rules(program(bore(), cutter=5))


def test_lanes_may_leave_on_the_centre_line_what_no_cutter_reaches():
    """Two lanes 0.8 radius either side: on a falling floor the ridge between them stays by 0.4 r ds/dy."""
    wide = Slot("frets", 1, "fret 1", (20.0, -HALF_WIDTH), (20.0, HALF_WIDTH), 0.9, Floor(-2.0, CROWN), through=True)
    text = program(slot(radius=0.25, lanes=(0.2, 0.0, -0.2)), 7, "frets 1")
    assert rules(text, setup=face(wide)) == set()
    gap = program(slot(radius=0.25, lanes=(0.2, -0.2)), 7, "frets 1")
    assert rules(gap, setup=face(wide)) == set()
    wider = Slot("frets", 1, "fret 1", FRET.start, FRET.end, 1.2, Floor(-2.0, CROWN), through=True)
    apart = program(slot(radius=0.25, lanes=(0.35, -0.35)), 7, "frets 1")
    assert 7 in rules(apart, setup=face(wider))


def test_rings_find_a_hole_between_discs_and_no_other():
    """Seven discs of 0.5001 cover the unit disc (Neville's disc covering problem: radius 1/2 is enough for seven)."""
    angle = np.arange(6) * math.pi / 3
    outer = np.column_stack([np.cos(angle), np.sin(angle)]) * math.sqrt(3) / 2
    seven = np.vstack([outer, [[0.0, 0.0]]])
    assert disc_gap(1.0, Discs.whole(seven, np.full(7, 0.5005))) is None
    assert disc_gap(1.0, Discs.whole(seven, np.full(7, 0.4995))) is not None
    assert disc_gap(1.0, Discs.whole(outer, np.full(6, 0.5005))) is not None


def test_lanes_find_a_gap_in_a_strip_and_no_other():
    def row(spacing):
        along = np.arange(0.0, 10.0 + spacing, spacing)
        discs = Discs.whole(np.column_stack([np.zeros(len(along)), along]), np.full(len(along), 0.5))
        return Lozenges(discs, np.zeros(len(along)), discs.good)

    ends = Ends(0.0, 10.0, 0.0)
    reach = 2 * math.sqrt(0.5**2 - 0.4**2)  # neighbouring discs meet on the lane 0.4 aside
    assert strip_gap(0.4, ends, row(reach - 0.002)) is None
    assert strip_gap(0.4, ends, row(reach + 0.002)) is not None
