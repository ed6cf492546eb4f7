"""Slots along any line of the plan: what a flat cutter leaves of them, worked out again by brute force.

No board asks for them: they are laid out here on a board that tapers from 44 to 56 mm.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from makers import FIGURES, SLOT_MILL, a_machine
from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Crown, Floor, Stock
from pearlkerf.toolpath.moves import Feed, Move, TraversePlane, follow
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.slots import cut_full_width, cut_side_passes

WIDTH = 0.58
# the proof allows so much on walls and floors, mm; the makers keep half of it for the rounding of programs
ALLOWED, KEPT = 0.01, 0.005
STOCK = Stock(np.array([[0.0, -22.0], [450.0, -28.0], [450.0, 28.0], [0.0, 22.0]]), 8.0)
WOOD = shapely.Polygon(STOCK.outline)
CYLINDER, CONE = Crown(254.0, 254.0, 450.0), Crown(254.0, 406.4, 450.0)

SLANTS = pytest.mark.parametrize("degrees", [12.0, -20.0, 30.0, 60.0])
ENDS = pytest.mark.parametrize("through", [True, False], ids=["through", "stopped"])
CUTTERS = pytest.mark.parametrize("diameter", [WIDTH, 0.5, 0.25])
TWO_CUTTERS = pytest.mark.parametrize("diameter", [WIDTH, 0.25])


def slanted(degrees: float, through: bool, crown: Crown | None = CYLINDER, x: float = 200.0) -> Slot:
    """A slot turned so far from lying square to the centre line, which it crosses at ``x``."""
    way = np.array([math.sin(math.radians(degrees)), math.cos(math.radians(degrees))])
    line = shapely.LineString(np.array([x, 0.0]) + np.outer([-200.0, 200.0], way)).intersection(WOOD)
    start, end = shapely.get_coordinates(line) + np.outer([0.0, 0.0] if through else [2.0, -2.0], way)
    return Slot("frets", 7, "fret 7", tuple(start), tuple(end), WIDTH, Floor(-2.5, crown), through)


def moves_of(slot: Slot, diameter: float) -> list[Move]:
    cutter = replace(SLOT_MILL, diameter_mm=diameter)
    pen = Pen(FIGURES, a_machine(cutter))
    (cut_full_width if diameter == WIDTH else cut_side_passes)(slot, cutter, STOCK, pen)
    return pen.moves


def tips_of(slot: Slot, diameter: float) -> np.ndarray:
    """Points (n, 3) of the tip, every 0.05 mm along all feeds."""
    tips = []
    for start, move, end in follow(moves_of(slot, diameter)):
        if isinstance(move, Feed):
            count = max(2, math.ceil(math.dist(start, end) / 0.05))
            tips.append(np.linspace(start, end, count))
    return np.concatenate(tips)


def own(slot: Slot, points: np.ndarray) -> np.ndarray:
    """Points (n, 2) along the slot from its middle, and to the right of its way."""
    start, end = np.array(slot.ends)
    way = (end - start) / math.dist(*slot.ends)
    away = points[:, :2] - (start + end) / 2
    return np.column_stack([away @ way, away @ [way[1], -way[0]]])


@SLANTS
@ENDS
@CUTTERS
def test_a_slanted_slot_is_cut_to_its_walls_and_ends_and_no_farther(
    degrees: float, through: bool, diameter: float
) -> None:
    slot = slanted(degrees, through)
    tips = tips_of(slot, diameter)
    along, across = np.abs(own(slot, tips[tips[:, 2] < 0])).T
    assert across.max() + diameter / 2 == pytest.approx(WIDTH / 2, abs=0.001)
    if not through:
        middle = math.dist(*slot.ends) / 2 - WIDTH / 2
        beyond = np.hypot(np.maximum(along - middle, 0.0), across) + diameter / 2
        assert beyond.max() == pytest.approx(WIDTH / 2, abs=0.001)


def lowest_possible(slot: Slot, diameter: float, place: np.ndarray) -> float:
    """The lowest that a flat disc gets over a place: within the slot, on the highest floor anywhere under it."""
    radius, room = diameter / 2, (WIDTH - diameter) / 2
    start, end = np.array(slot.ends)
    way = (end - start) / math.dist(*slot.ends)
    ((here, beside),) = own(slot, place[None, :])
    along, across = (
        each.ravel() for each in np.meshgrid(np.linspace(-radius, radius, 61), np.linspace(-room, room, 13))
    )
    along = along + here
    over = np.hypot(along - here, across - beside) <= radius
    if not slot.through:
        straight = math.dist(start, end) / 2 - WIDTH / 2
        over &= np.hypot(np.maximum(np.abs(along) - straight, 0.0), across) <= room + 1e-9
    centres = (start + end) / 2 + along[over, None] * way + across[over, None] * [way[1], -way[0]]
    turn, share = np.meshgrid(np.linspace(0, 2 * np.pi, 73), np.linspace(0, radius, 5))
    under = np.column_stack([(share * np.cos(turn)).ravel(), (share * np.sin(turn)).ravel()])
    points = centres[:, None, :] + under
    return float(slot.floor.z_mm(points[..., 0], points[..., 1]).max(axis=1).min())


@SLANTS
@ENDS
@TWO_CUTTERS
def test_its_floor_is_the_lowest_that_a_flat_disc_reaches_without_digging(
    degrees: float, through: bool, diameter: float
) -> None:
    slot = slanted(degrees, through, CYLINDER if degrees < 0 else CONE)
    tips = tips_of(slot, diameter)
    start, end = np.array(slot.ends)
    right = np.array([end[1] - start[1], start[0] - end[0]]) / math.dist(start, end)
    short = 0.0 if through else WIDTH / 2 / math.dist(start, end)
    for share in np.linspace(short, 1 - short, 7):
        for beside in (0.01 - WIDTH / 2, 0.0, WIDTH / 2 - 0.01):
            place = start + (end - start) * share + right * beside
            if not WOOD.contains(shapely.Point(place)):
                continue
            over = np.hypot(*(tips[:, :2] - place).T) <= diameter / 2
            cut = float(tips[over, 2].min())
            assert cut > float(slot.floor.z_mm(*place)) - KEPT
            assert cut < lowest_possible(slot, diameter, place) + KEPT


@pytest.mark.parametrize("degrees", [0.0, 12.0, -20.0, 30.0, 60.0, 75.0])
@CUTTERS
def test_a_through_slot_runs_on_until_the_whole_cutter_has_left_the_wood(degrees: float, diameter: float) -> None:
    slot = slanted(degrees, through=True)
    tips = tips_of(slot, diameter)
    along, across = own(slot, tips).T
    for end in (along < along.min() + 1e-9, along > along.max() - 1e-9):
        assert shapely.distance(shapely.points(tips[end, :2]), WOOD).min() > diameter / 2 + 0.2
        assert across[end].max() - across[end].min() == pytest.approx(WIDTH - diameter, abs=1e-9)


@pytest.mark.parametrize("degrees", [0.0, 12.0, -30.0])
def test_both_walls_are_cut_climbing(degrees: float) -> None:
    """A cutter that turns clockwise climbs along the wall on its right when it goes on, here up the right one."""
    slot = slanted(degrees, through=True)
    for start, move, end in follow(moves_of(slot, 0.5)):
        (low, beside), (high, _) = own(slot, np.array([start, end]))
        if isinstance(move, Feed) and abs(high - low) > 0.5:
            assert (high > low) == (beside > 0)
    loop = [end for _, move, end in follow(moves_of(slanted(degrees, through=False), 0.5)) if isinstance(move, Feed)]
    assert shapely.LinearRing(np.array(loop[-40:])[:, :2]).is_ccw


def test_a_slot_along_the_board_is_cut_like_one_across_it_turned_by_a_quarter() -> None:
    across = Slot("marks", 1, "notch", (21.5, 5.0), (21.5, 50.0), WIDTH, Floor(-1.0), through=False)
    along = replace(across, start=(-50.0, 21.5), end=(-5.0, 21.5))
    turned = moves_of(along, 0.5)
    for one, other in zip(moves_of(across, 0.5), turned, strict=True):
        assert type(one) is type(other)
        if isinstance(one, Feed | TraversePlane):
            assert (other.x_mm, other.y_mm) == pytest.approx((-one.y_mm, one.x_mm), abs=1e-9)
        if not isinstance(one, TraversePlane):
            assert one.z_mm == other.z_mm
