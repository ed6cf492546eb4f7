"""Slots: what a flat cutter leaves is what the layout demands, worked out again by brute force."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from makers import FIGURES, SLOT_MILL, a_machine, clamped
from pearlkerf.board.model import FretSlots, Radius
from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.moves import Feed, Move, TraverseHeight, TraversePlane
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.slots import cut_full_width, cut_side_passes, lane_offsets_mm


def slot_and_setup(**changes: object) -> tuple[Slot, Setup]:
    setup = clamped(**changes).setups[0]
    return next(f for f in setup.features if isinstance(f, Slot) and f.number == 7), setup


def moves_of(slot: Slot, setup: Setup, cutter: Cutter) -> list[Move]:
    pen = Pen(FIGURES, a_machine(cutter))
    equal = abs(cutter.diameter_mm - slot.width_mm) < 0.02
    (cut_full_width if equal else cut_side_passes)(slot, cutter, setup.stock, pen)
    return pen.moves


def sampled_tips(moves: list[Move]) -> np.ndarray:
    """Points (n, 3) of the tip, every 0.02 mm along all feeds."""
    at, tips = None, []
    for move in moves:
        if isinstance(move, TraversePlane):
            at = np.array([move.x_mm, move.y_mm, 8.0])
        elif isinstance(move, TraverseHeight):
            at = np.array([at[0], at[1], move.z_mm])
        elif isinstance(move, Feed):
            end = np.array([move.x_mm, move.y_mm, move.z_mm])
            steps = max(2, math.ceil(np.linalg.norm(end - at) / 0.02))
            tips.append(at + (end - at) * np.linspace(0, 1, steps)[:, None])
            at = end
    return np.concatenate(tips)


def floor_at(tips: np.ndarray, x: float, y: float, radius: float) -> float:
    near = np.hypot(tips[:, 0] - x, tips[:, 1] - y) <= radius
    return float(tips[near, 2].min()) if near.any() else 0.0


@pytest.mark.parametrize("radius", [Radius(7.25 * 25.4, 7.25 * 25.4), Radius(254.0, 406.4), Radius(math.inf, math.inf)])
@pytest.mark.parametrize("ends", ["through", "stopped"])
@pytest.mark.parametrize(
    "cutter", [SLOT_MILL, replace(SLOT_MILL, diameter_mm=0.5), replace(SLOT_MILL, diameter_mm=0.25)]
)
def test_floor_on_the_centre_line_is_the_demanded_one(radius: Radius, ends: str, cutter: Cutter) -> None:
    slot, setup = slot_and_setup(
        radius=radius,
        fret_slots=FretSlots(0.58, 2.0, ends=ends),
        face_dots=None,
        thickness_mm=8.0,  # type: ignore[arg-type]
    )
    tips = sampled_tips(moves_of(slot, setup, cutter))
    inset = 0.0 if slot.through else 0.35
    for y in np.linspace(slot.start[1] + inset, slot.end[1] - inset, 25):
        wanted = float(slot.floor.z_mm(slot.start[0], y))
        cut = floor_at(tips, slot.start[0], float(y), cutter.radius_mm)
        steepness = (
            2 * cutter.radius_mm * abs(float(np.gradient(slot.floor.z_mm(slot.start[0], [abs(y), abs(y) + 1]))[0]))
        )
        assert wanted - 0.005 <= cut <= wanted + (0.005 if slot.through else 0.005 + steepness)


@pytest.mark.parametrize("ends", ["through", "stopped"])
@pytest.mark.parametrize("diameter", [0.58, 0.5, 0.25])
def test_walls_are_cut_to_the_slots_width_and_no_farther(ends: str, diameter: float) -> None:
    slot, setup = slot_and_setup(fret_slots=FretSlots(0.58, 2.0, ends=ends))  # type: ignore[arg-type]
    cutter = replace(SLOT_MILL, diameter_mm=diameter)
    tips = sampled_tips(moves_of(slot, setup, cutter))
    below = tips[tips[:, 2] < 0]
    assert np.abs(below[:, 0] - slot.start[0]).max() + diameter / 2 == pytest.approx(0.29, abs=0.003)
    if ends == "stopped":
        assert below[:, 1].max() + diameter / 2 == pytest.approx(slot.end[1], abs=0.003)
        assert below[:, 1].min() - diameter / 2 == pytest.approx(slot.start[1], abs=0.003)
    else:
        assert below[:, 1].max() == pytest.approx(slot.end[1] + diameter / 2 + 0.5)


def test_through_slot_is_entered_from_the_air() -> None:
    slot, setup = slot_and_setup()
    moves = moves_of(slot, setup, SLOT_MILL)
    first = next(index for index, move in enumerate(moves) if isinstance(move, Feed))
    approach = moves[first - 2]
    assert isinstance(approach, TraversePlane)
    assert approach.y_mm < slot.start[1] - SLOT_MILL.radius_mm


def test_features_are_approached_from_lower_x_and_y() -> None:
    slot, setup = slot_and_setup()
    first, second = moves_of(slot, setup, SLOT_MILL)[:2]
    assert isinstance(first, TraversePlane)
    assert isinstance(second, TraversePlane)
    assert first.x_mm < second.x_mm
    assert first.y_mm < second.y_mm


def test_lanes_climb_on_both_walls() -> None:
    assert lane_offsets_mm(0.2, 0.2) == pytest.approx((0.2, 0.2 / 3, -0.2 / 3, -0.2))
    assert all(len(lane_offsets_mm(offset, 0.5)) % 2 == 0 for offset in (0.01, 0.1, 0.4, 0.9))


@pytest.mark.parametrize("state", ["flat", "radiused"])
def test_no_pass_is_deeper_than_the_bite(state: str) -> None:
    slot, setup = slot_and_setup(state=state)
    tips = sampled_tips(moves_of(slot, setup, SLOT_MILL))
    for y in (0.0, 10.0, 20.0, -24.0):
        crossings = tips[np.abs(tips[:, 1] - y) < 0.011, 2]
        top = float(setup.stock.top_mm(slot.start[0], max(abs(y) - SLOT_MILL.radius_mm, 0.0)))
        heights = [top, *sorted({round(z, 2) for z in crossings.tolist()}, reverse=True)]
        assert len(heights) > 10
        assert np.diff(heights).min() >= -FIGURES.bite_mm - 0.011  # heights are told to 0.01 mm


def test_a_stopped_slot_is_cut_in_full_bites_with_plunges_at_its_ends() -> None:
    """Each plunge goes down by a bite, at the plunge feed, 0.4 radii short of the end, where nothing is freshly cut."""
    slot, setup = slot_and_setup(fret_slots=FretSlots(0.58, 2.0, ends="stopped"), radius=Radius(math.inf, math.inf))
    moves = [move for move in moves_of(slot, setup, SLOT_MILL) if isinstance(move, Feed)]
    down = [(before, move) for before, move in pairwise(moves) if (move.x_mm, move.y_mm) == (before.x_mm, before.y_mm)
            and move.z_mm < before.z_mm]  # fmt: skip
    floor = -float(slot.floor.z_mm(*slot.anchor))
    strokes = math.ceil(floor / FIGURES.bite_mm)
    assert len(down) == strokes - 1  # the first plunge comes from the air
    assert [before.z_mm - move.z_mm for before, move in down] == pytest.approx([floor / strokes] * len(down))
    assert [move.feed_mm_min for _, move in down] == pytest.approx([FIGURES.plunge_feed_mm_min] * len(down))
    low, high = slot.start[1] + SLOT_MILL.radius_mm, slot.end[1] - SLOT_MILL.radius_mm
    within = [min(move.y_mm - low, high - move.y_mm) for _, move in down]
    assert within == pytest.approx([0.4 * SLOT_MILL.radius_mm] * len(down))


def test_a_cutter_that_does_not_plunge_ramps_at_a_stopped_slots_ends() -> None:
    """No more steeply than 3 degrees (common practice, no source) under a level floor."""
    slot, setup = slot_and_setup(fret_slots=FretSlots(0.58, 2.0, ends="stopped"), radius=Radius(math.inf, math.inf))
    feeds = [move for move in moves_of(slot, setup, replace(SLOT_MILL, plunges=False)) if isinstance(move, Feed)]
    down = [(before, move) for before, move in pairwise(feeds) if move.z_mm < before.z_mm - 1e-9 and before.z_mm <= 0.0]
    ways = [math.hypot(move.x_mm - before.x_mm, move.y_mm - before.y_mm) for before, move in down]
    falls = [
        math.degrees(math.atan2(before.z_mm - move.z_mm, way)) for (before, move), way in zip(down, ways, strict=True)
    ]
    assert len(falls) == math.ceil(-float(slot.floor.z_mm(*slot.anchor)) / FIGURES.bite_mm)
    assert falls == pytest.approx([3.0] * len(falls))
