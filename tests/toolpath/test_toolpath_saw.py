"""Sawn slots, measured: what the blade's discs leave, worked out again on a fine grid from the moves alone."""

from dataclasses import replace

import numpy as np
import pytest

from makers import FIGURES, a_board, a_machine, clamped
from pearlkerf.board.model import Radius, Scale
from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.moves import Feed, TraverseHeight, TraversePlane
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.saw import saw

SAW = Cutter(4, "saw", 63.0, 100, 9.0, 3000, 9000, kerf_mm=0.58, flange_mm=32.0, lowest_teeth="away")
SAWING = replace(FIGURES, bite_mm=1.0)
CASES = {
    "flat blank, followed": {},
    "flat blank, level": {"fret_slots": replace(a_board().fret_slots, floor="level")},
    "radiused blank": {"state": "radiused"},
    "compound": {"radius": replace(a_board().radius, end_mm=500.0)},
    "small radius": {"radius": replace(a_board().radius, nut_mm=184.15, end_mm=184.15)},
}
# narrows by 24 mm in 20: the wood of a slot 5 mm wide goes on for 1.5 mm past where its centre line leaves it
NARROWS = {
    "thickness_mm": 12.0,
    "scale": Scale(100.0, 1), "length_mm": 20.0, "nut_width_mm": 120.0, "end_width_mm": 96.0, "face_dots": None,
    "side_dots": None, "fret_slots": replace(a_board().fret_slots, width_mm=5.0, depth_mm=1.0),
}  # fmt: skip
CASES["narrows fast"] = NARROWS
CASES["narrows fast, flat"] = NARROWS | {"radius": Radius(np.inf, np.inf)}


def sawn(case, cutter=SAW, number=12):
    setup = next(setup for setup in clamped(**CASES[case]).setups if setup.name == "face")
    slot = [each for each in setup.features if isinstance(each, Slot)][:number][-1]
    pen = Pen(SAWING, a_machine(cutter))
    saw(slot, cutter, setup.stock, pen)
    return setup, slot, pen.moves


def strokes(moves):
    """The cutting strokes: (n, 2) y and z of each pass, the moves down and up left out."""
    passes, here = [], []
    for move in moves:
        if isinstance(move, Feed):
            here.append((move.y_mm, move.z_mm))
        elif here:
            passes.append(np.array(here[:-1]))  # the last feed lifts
            here = []
    return passes


def lowest(path, y, radius=31.5):
    """Lower side at y of discs that stand very close along a path."""
    way = np.r_[0.0, np.cumsum(np.hypot(*np.diff(path, axis=0).T))]
    at = np.linspace(0.0, way[-1], 40001)
    cy, cz = np.interp(at, way, path[:, 0]), np.interp(at, way, path[:, 1]) + radius
    found = np.full(len(y), np.inf)
    for place, here in enumerate(y):
        under = radius**2 - (here - cy) ** 2
        found[place] = np.min(np.where(under >= 0, cz - np.sqrt(np.maximum(under, 0.0)), np.inf))
    return found


def wood_over_the_kerf(setup, slot):
    """How far the wood reaches across the board, anywhere between the slot's walls: its edges are straight."""
    half = np.interp(slot.start[0] - slot.width_mm / 2, *setup.stock.outline[2:][::-1].T)
    other = np.interp(slot.start[0] + slot.width_mm / 2, *setup.stock.outline[2:][::-1].T)
    return -max(half, other), max(half, other)


@pytest.mark.parametrize("case", CASES)
def test_the_floor_is_what_the_board_wants_everywhere(case):
    setup, slot, moves = sawn(case)
    y = np.linspace(*wood_over_the_kerf(setup, slot), 101)
    floor, top = slot.floor.z_mm(slot.start[0], y), setup.stock.top_mm(slot.start[0], y)
    left = top.copy()
    for path in strokes(moves):
        after = np.minimum(left, lowest(path, y))
        assert np.max(left - after) <= SAWING.bite_mm + 0.005
        left = after
    assert np.abs(left - floor).max() <= 0.005


@pytest.mark.parametrize("case", CASES)
def test_every_pass_begins_and_ends_clear_of_the_wood_by_a_millimetre(case):
    setup, slot, moves = sawn(case)
    wood = np.linspace(*wood_over_the_kerf(setup, slot), 2001)
    top = setup.stock.top_mm(slot.start[0], wood)
    for path in strokes(moves):
        for y, z in (path[0], path[-1]):
            upright = np.maximum(z + 31.5 - top, 0.0)
            side = np.sqrt(np.maximum(31.5**2 - upright**2, 0.0))
            assert 0.999 <= np.min(np.abs(wood - y) - side) <= 1.5


@pytest.mark.parametrize(("changes", "away"), [
    ({}, True), ({"lowest_teeth": "toward"}, False), ({"sawing": "climb"}, False),
    ({"sawing": "climb", "lowest_teeth": "toward"}, True),
])  # fmt: skip
def test_every_pass_feeds_the_one_way_that_the_profile_asks_for(changes, away):
    """Conventional: the lowest teeth run the way that the blade travels (up milling, any milling handbook)."""
    _, _, moves = sawn("flat blank, followed", replace(SAW, **changes))
    for path in strokes(moves):
        assert np.all(np.diff(path[:, 0]) > -1e-9 if away else np.diff(path[:, 0]) < 1e-9)


def test_the_blade_goes_back_above_the_work():
    _, _, moves = sawn("flat blank, followed")
    z = None
    for move in moves:
        if isinstance(move, TraversePlane):
            assert z in (None, 8.0)
        elif isinstance(move, TraverseHeight | Feed):
            z = move.z_mm
    assert z == 8.0
