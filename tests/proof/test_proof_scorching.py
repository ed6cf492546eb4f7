"""Rule 3, heat: who stays in a place stays there for the sum of it; who goes on, or bores, does not stay."""

import math

import pytest
from small_board import bore, damaged, machine, number, pecks, program, rules, slot, verdict

from pearlkerf.machine.model import Cutter

GOOD = program(bore())
IN_WOOD = "G1 X10.000 Y5.000\n"  # at the floor, back over the centre: then it rises
# a chain at the floor of the pocket, at 300 mm/min 5 mm/s
FEED = "F300.0"


def with_chain(*lines: str) -> str:
    return damaged(GOOD, IN_WOOD + "G1 Z0.5", IN_WOOD + "\n".join([*lines, "G1 X10.000 Y5.000", "G1 Z0.5"]))


def told(text: str) -> list[str]:
    return [finding.message for finding in verdict(text).findings if finding.rule == 3]


def to_and_fro(step: float, times: int) -> list[str]:
    return [f"G1 X{number(10 + step)} {FEED}", "G1 X10.000"] * times


@pytest.mark.parametrize(("dwells", "kept"), [((0.1, 0.1), True), ((0.1, 0.12), False), ((0.05,) * 5, False)])
def test_dwells_add_up_in_a_place_whatever_was_done_between(dwells, kept):
    parted = [line for dwell in dwells for line in (f"G4 P{dwell}", f"G1 X11.0 {FEED}", "G1 X10.000")]
    assert (rules(with_chain(*parted)) == set()) == kept


def test_a_place_in_which_it_dwells_too_long_is_told_once_at_the_line_at_which_it_is_too_long():
    (message,) = told(with_chain(*["G4 P0.15"] * 8))
    assert message == "dwells 0.30 s in one place with the cutter in the wood, which scorches (at most 0.2 s)"


@pytest.mark.parametrize(("aside", "kept"), [(0.2, True), (0.04, False), (0.001, False)])
def test_dwells_beside_each_other_are_in_one_place(aside, kept):
    parted = ["G4 P0.15", f"G1 X{number(10 + aside)} {FEED}", "G4 P0.15"]
    assert (rules(with_chain(*parted)) == set()) == kept


def test_above_the_wood_it_may_wait():
    assert rules(damaged(GOOD, "G0 Z0.5", "G4 P3.0\nG0 Z0.5")) == set()


@pytest.mark.parametrize(("step", "times", "kept"), [(0.001, 490, True), (0.001, 520, False), (0.03, 16, True),
                                                     (0.03, 18, False), (0.2, 6, True)])  # fmt: skip
def test_a_chain_to_and_fro_is_one_place_once_it_lasts(step, times, kept):
    """At 5 mm/s, 0.201 s are 1.005 mm of way: 503 times 0.001 mm there and back, 17 times 0.03 mm."""
    assert (rules(with_chain(*to_and_fro(step, times))) == set()) == kept


@pytest.mark.parametrize("way", ["circles", "circles by half turns", "down and up"])
def test_a_chain_that_turns_or_rises_in_one_place_is_told(way):
    turn = [f"G1 X{number(10 + 0.02 * math.cos(at))} Y{number(5 + 0.02 * math.sin(at))} {FEED}" for at in range(180)]
    halves = ["G3 X9.990 Y5.000 I-0.010 J0.000", "G3 X10.010 Y5.000 I0.010 J0.000"] * 40
    lines = {
        "circles": turn,
        "circles by half turns": [f"G1 X10.010 {FEED}", *halves],
        "down and up": ["G1 Z-1.47 F100.0", "G1 Z-1.5"] * 16,
    }[way]
    (message,) = told(with_chain(*lines))
    assert message.startswith("goes to and fro in one place with the cutter in the wood")


@pytest.mark.parametrize(("times", "found"), [(30, set()), (120, {3})])
def test_a_rapid_of_a_hair_between_them_makes_no_difference(times, found):
    """In its own hole a drill may come back at rapid; 120 times 0.01 mm at 100 mm/min are 0.7 s in one place."""
    lines = pecks()
    floor = lines.index("G4 P0.1")
    again = ["G0 Z-2.390", "G1 Z-2.400 F100.0"] * times
    assert rules(program([*lines[:floor], *again, *lines[floor:]], 3, "face dots 3")) == found


@pytest.mark.parametrize(("times", "found"), [(5, set()), (7, {3})])
def test_the_same_way_is_not_gone_again_and_again(times, found):
    """Half a millimetre there and back at the floor: after six times it has been gone twelve times."""
    lines = ["G1 X10.500 F300.0", "G1 X10.000"] * times
    assert rules(with_chain(*lines)) == found
    turns = [f"G3 X{x} Y{y} I{i} J{j}" for x, y, i, j in (
        (9.25, 6.299, -1.5, 0.0), (9.25, 3.701, 0.75, -1.299), (11.5, 5.0, 0.75, 1.299))] * 2 * times  # fmt: skip
    assert rules(with_chain("G1 X11.500", *turns)) == found


def test_a_drill_is_not_fed_through_its_own_hole_again_and_again():
    lines = pecks()
    floor = lines.index("G4 P0.1")
    again = ["G0 Z-1.000", "G1 Z-2.400 F100.0"] * 13
    (finding,) = verdict(program([*lines[:floor], *again, *lines[floor:]], 3, "face dots 3")).findings
    assert finding.message == "goes the same way through the wood 13 times, which scorches (at most 12)"


def test_a_slow_feed_that_goes_on_in_short_moves_is_no_rest():
    """Steps of 0.02 mm at the slowest feed that is allowed: the whole of it is one chain that lasts for minutes."""
    slow = [line.replace("F400.0", "F80.0") for line in slot(step=0.02)]
    assert rules(program(slow, 1, "frets 1")) == set()


def test_a_bore_hardly_wider_than_its_mill_goes_round_in_one_place_and_down():
    """The mill's axis goes round on 0.02 mm, 0.13 mm of way a turn: 3 degrees of descent are 0.0066 mm each."""
    on = machine()
    thick = Cutter(number=2, diameter_mm=5.96, bite_mm=0.8, flutes=2, kind="end mill", speed_rpm=16000,
                   feed_mm_min=400, plunge_feed_mm_min=100, reach_mm=4.0)  # fmt: skip
    on = type(on)(on.name, on.title, on.travel, on.spindle, on.motion, on.dialect, (thick,))
    assert rules(program(bore(orbit=0.02, turns=243, feed=FEED)), on=on) == set()
    assert 3 in rules(program(bore(orbit=0.02, turns=243, final=60, feed=FEED)), on=on)
