"""Setups cut in positions: features once each, where the board lies, what people are told."""

import re
from dataclasses import replace

import numpy as np
import pytest

from makers import a_machine, clamped
from pearlkerf.board.model import Blank, FretSlots
from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Carrier, Machine, Travel
from pearlkerf.setups.model import Clampings, Placement, Setup
from pearlkerf.setups.positions import zero_marks
from pearlkerf.setups.words import sentences
from pearlkerf.toolpath.indexing import in_positions

PLAIN_TEXT = re.compile(r"[A-Za-z0-9 .,\-+=/]+")
BOARDS = {
    "right": {},
    "left": {"hand": "left"},
    "in its blank": {"blank": Blank(64.0, 12.0, 6.0)},
    "to be trimmed": {"blank": Blank(64.0, 12.0, 6.0, "both")},
    "radiused": {"state": "radiused"},
}


def short(travel: float = 200.0, carrier: Carrier | None = None) -> Machine:
    return replace(a_machine(), travel=Travel(travel, 220.0, 70.0), carrier=carrier)


def of_kind(setting: Clampings, kind: str) -> list[Setup]:
    return [setup for setup in setting.setups if setup.kind == kind]


def middle_x(setup: Setup, feature: object) -> float:
    place = feature.start if isinstance(feature, Slot) else feature.centre
    return float(setup.placement.to_machine(place)[0])


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("carrier", [None, Carrier(25.0), Carrier(60.0)], ids=["by slots", "25 mm", "60 mm"])
def test_every_feature_is_cut_wholly_in_one_position(board: str, carrier: Carrier | None) -> None:
    whole = clamped(**BOARDS[board])
    placed = in_positions(whole, short(carrier=carrier))
    for setup in whole.setups:
        positions = of_kind(placed, setup.name)
        assert len(positions) > 1
        assert [each.name for each in positions] == [f"{setup.name}-{n}" for n in range(1, len(positions) + 1)]
        cut = [feature for each in positions for feature in each.features]
        assert sorted(map(repr, cut)) == sorted(map(repr, setup.features))
        for each in positions:
            places = [middle_x(each, feature) for feature in each.features]
            assert max(*places, 0.0) - min(*places, 0.0) <= 200.0
            assert each.placement.y_mm == 0.0
            assert all(PLAIN_TEXT.fullmatch(sentence) for sentence in sentences(each)), sentences(each)
            assert len(each.cut_before) == sum(len(other.features) for other in positions if other.name < each.name)


def test_on_a_carrier_the_board_moves_by_whole_pitches_and_one_zero_serves() -> None:
    placed = in_positions(clamped(), short(carrier=Carrier(30.0)))
    for kind in ("face", "edge"):
        positions = of_kind(placed, kind)
        steps = [-each.placement.x_mm / 30.0 for each in positions]
        assert steps == [round(step) for step in steps] and steps == sorted(steps)
        assert {each.zero for each in positions} == {kind}
        assert not any("on the bed" in sentence for each in positions for sentence in sentences(each))
        places = [middle_x(each, feature) for each in positions for feature in each.features]
        assert max(*places, 0.0) - min(*places, 0.0) <= 200.0


def test_without_a_carrier_x_is_zeroed_on_a_slot_that_an_earlier_position_has_cut() -> None:
    whole = clamped()
    faces = of_kind(in_positions(whole, short()), "face")
    done: set[str] = set()
    for number, face in enumerate(faces):
        (zero,) = face.placement.to_board([[0.0, 0.0]])
        at_zero = [slot for slot in whole.layout.slots if abs(slot.start[0] - zero[0]) < 1e-9]
        if number == 0:
            assert zero[0] == 0.0 and "X0 at the nut end of the finished board" in "\n".join(sentences(face))
        else:
            (slot,) = at_zero
            assert slot.name in done
            said = "\n".join(sentences(face))
            assert f"X0 in the middle of the slot of {slot.name}, Y0 on the centre line of the board, Z0 on" in said
            assert f"zeroed again on the slot of {slot.name}, which must be cut already" in said
            assert "X0 at the nut end" not in said
        done |= {feature.name for feature in face.features}
    assert len({face.zero for face in faces}) == len(faces)


def test_the_edge_is_zeroed_where_a_slot_opens_in_it() -> None:
    whole = clamped()
    second = of_kind(in_positions(whole, short()), "edge")[1]
    ((x, y),) = second.placement.to_board([[0.0, 0.0]]).tolist()
    # from the nut corner along the edge: the point (x, half width there) by Pythagoras, not by the edge's angle
    nut, end, length = 44.45, 56.5, 448.0
    edges = {
        slot.name: np.hypot(slot.start[0], slot.start[0] / length * (end - nut) / 2) for slot in whole.layout.slots
    }
    (name,) = [name for name, along in edges.items() if abs(along - x) < 1e-9]
    assert y == 0.0
    assert f"X0 in the middle of the slot of {name} where it opens in the edge, Y0 on the glue face" in str(
        sentences(second)
    )


@pytest.mark.parametrize("slots", [None, FretSlots(0.58, 2.0, ends="stopped")], ids=["no slots", "stopped slots"])
def test_an_edge_without_slots_in_it_cannot_be_zeroed_again(slots: FretSlots | None) -> None:
    whole = clamped(fret_slots=slots)
    placed = in_positions(whole, short())
    assert of_kind(placed, "edge") == [whole.setups[-1]]


def test_slots_sawn_by_hand_are_marks_from_the_start() -> None:
    sawn = clamped(fret_slots=FretSlots(0.58, 2.0, state="already cut"))
    marks = zero_marks(sawn.layout, sawn.setups[0])
    assert [mark.cut_by for mark in marks] == [None] * 21
    assert len(of_kind(in_positions(sawn, short()), "face")) > 1


def test_a_board_that_fits_stays_as_it_is() -> None:
    whole = clamped()
    assert in_positions(whole, short(448.0)) is whole
    assert in_positions(whole, short(448.0, Carrier(50.0))) is whole


def test_a_zero_mark_beyond_the_travel_is_told_or_zeroed_on_a_slot() -> None:
    whole = clamped()  # the face's cuts span 401 mm and end 435 mm from the nut, the edge's dots 330 and 415
    placed = in_positions(whole, short(405.0))
    face, edge = placed.setups
    assert face is whole.setups[0]
    (told,) = [problem for problem in placed.warnings if "the tip cannot stand on X0" in problem.found]
    assert "face setup" in told.found and "stop of known length" in told.hint
    assert edge.name == "edge-1" and "zeroed again on the slot of fret 1" in sentences(edge)[0]
    on_dowels = in_positions(whole, short(405.0, Carrier(50.0)))
    assert [setup.name for setup in on_dowels.setups] == ["face-1", "edge-1"]
    said = "\n".join(sentences(on_dowels.setups[0]))
    assert "the dowels of the bed in holes 2 and 5 of the carrier" in said
    assert "with the dowels in holes 1 and 4, X0 at the nut end of the finished board" in said


def test_a_turned_board_moves_along_the_machine_not_along_itself() -> None:
    whole = clamped()
    turned = replace(whole, setups=tuple(replace(s, placement=Placement(2.0, 1.0, 3.0)) for s in whole.setups))
    for each in of_kind(in_positions(turned, short(carrier=Carrier(50.0))), "face"):
        assert each.placement.angle_deg == 2.0 and each.placement.y_mm == 3.0
        assert (1.0 - each.placement.x_mm) % 50.0 == 0.0
    for each in of_kind(in_positions(turned, short()), "face")[1:]:
        ((x, y),) = each.placement.to_board([[0.0, 0.0]]).tolist()
        assert y == pytest.approx(0.0, abs=1e-9) and min(abs(slot.start[0] - x) for slot in whole.layout.slots) < 1e-9


def test_the_carrier_raises_the_board() -> None:
    whole = clamped()
    placed = in_positions(whole, short(carrier=Carrier(50.0, thickness_mm=9.0)))
    assert of_kind(placed, "edge")[0].standing_mm == whole.setups[1].standing_mm + 9.0
    assert of_kind(in_positions(whole, short()), "edge")[0].standing_mm == whole.setups[1].standing_mm
