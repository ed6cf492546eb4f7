"""Setups: what is clamped, what it demands, and what the header says of it."""

import re

import pytest
from shapely import Point, Polygon

from makers import clamped
from pearlkerf.board.model import Blank, FretSlots
from pearlkerf.setups.words import sentences

PLAIN_TEXT = re.compile(r"[A-Za-z0-9 .,\-+=/]+")


def test_the_face_is_cut_before_the_edge():
    setting = clamped(wood="ebony")
    layout = setting.layout
    assert [setup.name for setup in setting.setups] == ["face", "edge"]
    assert [setup.wood for setup in setting.setups] == ["ebony", "ebony"]
    face, edge = setting.setups
    assert set(face.features) == {*layout.slots, *layout.face_dots}
    assert edge.features == layout.side_dots


def test_setups_without_features_are_left_out():
    assert [setup.name for setup in clamped(side_dots=None).setups] == ["face"]
    assert [setup.name for setup in clamped(face_dots=None, fret_slots=None).setups] == ["edge"]
    sawn = FretSlots(0.58, 2.0, state="already cut")
    assert [setup.name for setup in clamped(face_dots=None, fret_slots=sawn).setups] == ["edge"]
    assert clamped(face_dots=None, fret_slots=None, side_dots=None).setups == ()


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("state", ["flat", "radiused"])
@pytest.mark.parametrize("blank", [None, Blank(64.0, 12.0, 6.0)])
def test_holes_lie_in_the_wood(hand, state, blank):
    for setup in clamped(hand=hand, state=state, blank=blank).setups:
        wood = Polygon(setup.stock.outline)
        for hole in setup.features:
            if hole.group != "frets":
                assert wood.contains(Point(hole.centre).buffer(hole.diameter_mm / 2 + 0.5)), hole.name
                assert -setup.stock.thickness_mm < hole.floor_mm < 0


def test_the_edge_counts_as_thick_as_the_least_width_and_stands_as_tall_as_the_greatest():
    edge = clamped().setups[1]
    assert edge.stock.thickness_mm == pytest.approx(44.45)
    assert edge.standing_mm == pytest.approx(56.5)
    assert clamped().setups[0].standing_mm == 6.5


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("state", ["flat", "radiused"])
@pytest.mark.parametrize("blank", [None, Blank(64.0, 12.0, 6.0)])
@pytest.mark.parametrize("nut_width", [44.45, 56.5, 60.0])
def test_sentences_can_stand_in_a_comment(hand, state, blank, nut_width):
    for setup in clamped(hand=hand, state=state, blank=blank, nut_width_mm=nut_width).setups:
        for sentence in sentences(setup):
            assert PLAIN_TEXT.fullmatch(sentence), sentence


def test_the_right_handed_face():
    said = "\n".join(sentences(clamped(blank=Blank(64.0, 12.0, 6.0)).setups[0]))
    assert "playing face up, nut end at the left, bass edge toward the operator" in said
    assert "X0 at the nut end of the finished board, Y0 on its centre line, Z0 on top" in said
    assert "X0 lies 12.00 mm right of the left end of the blank" in said
    assert "flat within 0.1 mm" in said
    assert "face dots may lie up to 0.15 mm below the raw face" in said


def test_the_left_handed_radiused_face():
    said = "\n".join(sentences(clamped(hand="left", state="radiused").setups[0]))
    assert "bass edge away from the operator" in said
    assert "already radiused" in said
    assert "cut to its outline" in said
    assert "below the raw face" not in said


def test_the_edge_is_packed_up_level():
    said = "\n".join(sentences(clamped(blank=Blank(64.0, 12.0, 6.0)).setups[1]))
    assert "cut the board to its outline first" in said
    assert "bass edge up and level, nut end at the left, playing face away from the operator" in said
    assert "X0 at the nut corner of the edge, Y0 on the glue face, Z0 on the edge" in said
    assert "packed up 12.05 mm at the nut end" in said
    assert "touch off within 0.1 mm" in said
    assert "56.5 mm tall" in said


def test_the_left_handed_edge():
    said = "\n".join(sentences(clamped(hand="left").setups[1]))
    assert "playing face toward the operator" in said
    assert "negative Y" in said
    assert "cut the board" not in said


def test_boards_that_do_not_widen():
    assert "no packing is needed" in " ".join(sentences(clamped(nut_width_mm=56.5).setups[1]))
    assert "packed up 3.50 mm at the bridge end" in " ".join(sentences(clamped(nut_width_mm=60.0).setups[1]))
