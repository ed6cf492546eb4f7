"""Sentences and placement hold together: where the words say that zero is taken, the placement puts machine 0, 0.

The words are read here by patterns of their own, and the places that they name are worked out anew:
frets by the formula, the edge by Pythagoras.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from makers import a_machine, clamped
from pearlkerf.board.model import Binding, Blank, FretSlots
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Carrier, Machine, Travel
from pearlkerf.setups.carrier import carrier_setups
from pearlkerf.setups.coupons import stock_of
from pearlkerf.setups.lying import FAR_END, NUT_CORNER, NUT_END, SCRAP_CORNER, HeldScrap, Lying, Mark
from pearlkerf.setups.marks import turn_to_marks
from pearlkerf.setups.model import Setup
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps
from pearlkerf.setups.words import sentences
from pearlkerf.toolpath.indexing import in_positions

# words give a place to hundredths of a millimetre, the layout's own to far less
EXACT_MM, WRITTEN_MM = 1e-9, 0.0051
PITCH_MM = 30.0
X0 = re.compile(r"(?:with the dowels in holes (\d+) and \d+, )?X0 (.+)")
SLOT = re.compile(r"in the middle of the slot of fret (\d+)( where it opens in the edge)?, Y0 on (.+), Z0 on .+")
DOWELS = re.compile(r".* the dowels of the bed in holes (\d+) and .*")
IN_BLANK = re.compile(r"lies (\d+\.\d\d) mm right of the left end of the blank")
ON_STRIP = re.compile(r"the strip clamped along X, X0 Y0 (\d+\.\d) mm right of its left end, on its middle line, Z0 .+")
BOARDS = {
    "plain": {},
    "left": {"hand": "left"},
    "narrowing": {"nut_width_mm": 60.0},
    "in a blank": {"blank": Blank(66.0, 8.0, 7.0, "both", 1.2, 0.8)},
    "bound, radiused": {"binding": Binding(1.6, "after"), "state": "radiused"},
    "sawn by hand, left": {"hand": "left", "fret_slots": FretSlots(0.58, 2.0, state="already cut")},
}


def named(words: str, layout: Layout) -> tuple[float, float]:
    """Give the place that the words name, in the axes of the board."""
    if words.startswith(("at the nut end of the finished board, Y0 on its centre line",
                         "at the nut corner of the edge, Y0 on the glue face")):  # fmt: skip
        return 0.0, 0.0
    number, opens, y0 = SLOT.fullmatch(words).groups()
    board = layout.board
    x = board.scale.length_mm * (1 - 2 ** (-int(number) / 12))
    assert y0.startswith("the glue face" if opens else "the centre line of the board")
    rises = x / board.length_mm * (board.end_width_mm - board.nut_width_mm) / 2 if opens else 0.0
    return math.hypot(x, rises), 0.0


def off_mm(setup: Setup, layout: Layout) -> Iterator[float]:
    """Give how far from machine 0, 0 every place lies on which the words take zero, when they take it."""
    said = sentences(setup)
    left = float(setup.stock.outline[:, 0].min())
    holes = [
        int(each[1]) for each in map(re.compile(r".* dowels of the bed in holes (\d+) and .*").fullmatch, said) if each
    ]
    for sentence in said:
        found, strip = X0.fullmatch(sentence), ON_STRIP.fullmatch(sentence)
        if found is None and strip is None:
            continue
        blank = found and IN_BLANK.fullmatch(found[2])
        if strip or blank:
            place = (left + float((strip or blank)[1]), 0.0)
        elif setup.scrap is not None:
            assert found[2].startswith("at the left end of the scrap, Y0 on its edge toward the operator")
            place = (left, float(setup.stock.outline[:, 1].min()))
        else:
            place = named(found[2], layout)
        moved = (holes[0] - int(found[1])) * PITCH_MM if found and found[1] else 0.0
        x, y = setup.placement.to_machine(place).tolist()
        yield math.hypot(x + moved, y)


def short(carrier: Carrier | None) -> Machine:
    return replace(a_machine(), travel=Travel(220.0, 220.0, 70.0), carrier=carrier)


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("carrier", [None, Carrier(PITCH_MM)], ids=["by slots", "by carrier"])
@pytest.mark.parametrize("angle", [0.0, -0.4, 2.0])
def test_zero_is_where_the_words_say_in_every_position(board: str, carrier: Carrier | None, angle: float) -> None:
    whole = clamped(**BOARDS[board])
    turn, length = math.radians(angle), whole.layout.board.length_mm
    mark = Mark(FAR_END, (length * math.cos(turn), length * math.sin(turn)))
    marks = [mark] if angle and whole.setups[0].kind == "face" else []
    placed = in_positions(turn_to_marks(whole, marks), short(carrier))
    assert len(placed.setups) > len(whole.setups) or carrier is None
    for setup in (*whole.setups, *placed.setups):
        off = list(off_mm(setup, placed.layout))
        assert off and max(off) < EXACT_MM, (setup.name, sentences(setup))


CHECK = re.compile(
    r"(lay it straight|it lies as it was measured here), check that its centre line passes "
    r"X (\S+) Y (\S+) and X (\S+) Y (\S+)"
)


@pytest.mark.parametrize(("later_deg", "lies"), [(None, "lay it straight"), (-0.7, "it lies as it was measured here")])
def test_who_lays_the_board_as_the_words_say_lays_it_as_it_is_cut(later_deg: float | None, lies: str) -> None:
    length = clamped().layout.board.length_mm
    first, turn = Mark(FAR_END, (length * math.cos(0.009), length * math.sin(0.009))), math.radians(later_deg or 0.0)
    last = next(each for each in reversed(in_positions(clamped(), short(None)).setups) if each.kind == "face")
    away = length - last.lying.zero.at[0]
    marks = [first, Mark(FAR_END, (away * math.cos(turn), away * math.sin(turn)), last.number)]
    placed = in_positions(turn_to_marks(clamped(), marks[: 1 if later_deg is None else 2]), short(None))
    faces = [setup for setup in placed.setups if setup.kind == "face"]
    assert faces[0].placement.angle_deg == pytest.approx(math.degrees(0.009), abs=1e-6)
    for face in faces[1:]:
        said, mine = sentences(face), face.number == last.number and later_deg is not None
        (told,) = [match for match in map(CHECK.fullmatch, said) if match]
        assert told[1] == (lies if mine else "lay it straight")
        assert face.placement.angle_deg == pytest.approx(later_deg if mine else 0.0, abs=1e-9)
        x, y, other_x, other_y = map(float, told.groups()[1:])
        ((_, off), (_, other_off)) = face.placement.to_board([(x, y), (other_x, other_y)]).tolist()
        assert max(abs(off), abs(other_off)) < WRITTEN_MM + 0.05 * math.tan(abs(turn))
        cut = [float(face.placement.to_machine(each.anchor)[0]) for each in face.features]
        assert min(x, other_x) - 0.06 <= min(cut) and max(cut) <= max(x, other_x) + 0.06
        assert any("was measured at" in each for each in said) is mine


def test_zero_is_where_the_words_say_on_a_carrier_and_on_scrap() -> None:
    whole, scrap = clamped(), Scrap(180.0, 40.0, 6.0)
    first, *moved = carrier_setups(whole.setups, 9, Carrier(PITCH_MM), 200.0)
    assert max(off_mm(first, whole.layout)) < WRITTEN_MM
    assert moved and all("X, Y and the bed as before" in " ".join(sentences(each)) for each in moved)
    lying = Lying(SCRAP_CORNER, rests=HeldScrap(at_ends=True))
    coupon = Setup("coupon", "", stock_of(scrap), (), lying, scrap=scrap, steps=Steps())
    assert list(off_mm(coupon, whole.layout)) == [0.0]


def test_words_of_the_nut_end_in_a_position_zeroed_on_a_slot_are_found_out() -> None:
    whole = clamped()
    zeroed = [setup for setup in in_positions(whole, short(None)).setups if setup.lying.zero.slot]
    assert zeroed
    for setup in zeroed:
        nut = NUT_CORNER if setup.kind == "edge" else NUT_END
        for wrong in (nut, replace(setup.lying.zero, slot="fret 20")):
            told = replace(setup, lying=replace(setup.lying, zero=wrong))
            assert max(off_mm(told, whole.layout)) > 30.0, sentences(told)
