"""Slots along any line of the plan: where they end, how deep they are, what wood is left, against shapely's geometry.

No board asks for them: they are laid out here on lines that fan out from edge to edge.
"""

import math
from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
import pytest
from shapely import LineString, Point

from makers import a_board
from pearlkerf.board.model import Binding, Blank, Board, FretSlots, Radius
from pearlkerf.layout.board_checks import check_board_end
from pearlkerf.layout.dot_walls import walls_to_slots_mm
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.lay_out import ground_of
from pearlkerf.layout.lines import Line
from pearlkerf.layout.slot_checks import check_waste_of_blank, check_wood_between_slots
from pearlkerf.layout.slots import deepest_mm, fret_slots, length_in_core_mm

BOUND = a_board(binding=Binding(1.5, "after"), radius=Radius(254.0, 406.4))
STOPPED = replace(BOUND, fret_slots=FretSlots(0.58, 2.0, ends="stopped", margin_mm=2.0))
IN_BLANK = replace(BOUND, blank=Blank(70.0, 12.0, 12.0))
BOARDS = pytest.mark.parametrize("board", [BOUND, STOPPED, IN_BLANK], ids=["through", "stopped", "in its blank"])


def fanned(board: Board, slant: float = 0.12, closes: float = 0.004) -> Laid:
    """Give a board whose frets slant by ``slant`` at the nut, and by ``closes`` less at each that follows."""
    ground = ground_of(board)
    lines = []
    for number, line in enumerate(ground.lines):
        (x, low), (_, high) = line.start, line.end
        steep = slant - closes * number
        lines.append(ground.edges.finished.across(Line((x + steep * low, low), (x + steep * high, high))))
    ground = replace(ground, lines=tuple(lines))
    of_ground = {each.name: getattr(ground, each.name) for each in fields(ground)}
    return Laid(**of_ground, slots=fret_slots(ground), face_dots=(), side_dots=(), trims=(), inlays=())


@BOARDS
def test_slots_end_where_their_lines_leave_the_wood_or_short_of_the_core(board: Board) -> None:
    laid = fanned(board)
    wood = laid.edges.core if board is STOPPED else laid.edges.wood
    edges = [LineString([(x, edge.y_mm(x)) for x in (-50.0, 600.0)]) for edge in (wood.low, wood.high)]
    for slot, line in zip(laid.slots, laid.lines[1:], strict=True):
        for end, edge in zip(slot.ends, edges, strict=True):
            assert abs(line.beyond_mm(end)) < 1e-9
            along = abs(Point(end).distance(edge)) / abs(math.sin(_between_rad(line, edge)))
            assert along == pytest.approx(2.0 if board is STOPPED else 0.0, abs=1e-9)


def _between_rad(line: Line, edge: LineString) -> float:
    (x, y), (far_x, far_y) = edge.coords
    return math.atan2(far_y - y, far_x - x) - math.atan2(line.along[1], line.along[0])


@BOARDS
@pytest.mark.parametrize("floor", ["follow", "level"])
def test_the_deepest_place_is_that_of_many_along_the_slot(board: Board, floor: str) -> None:
    laid = fanned(replace(board, fret_slots=replace(board.fret_slots, floor=floor)))
    for slot, line in zip(laid.slots, laid.lines[1:], strict=True):
        core = laid.edges.core.across(line)
        ends = slot.ends if board is STOPPED else (core.start, core.end)
        x, y = (np.linspace(ends[0][axis], ends[1][axis], 4001) for axis in (0, 1))
        if floor == "level":  # as deep as asked for at the lowest place of the finished surface
            assert -slot.floor.crown_z_mm == pytest.approx(2.2 + laid.surface.fall_mm(x, y).max(), abs=1e-9)
        assert deepest_mm(laid, slot) == pytest.approx(-slot.floor.z_mm(x, y).min(), abs=1e-9)
        left = LineString([core.start, core.end]).length - 2 * board.fret_slots.margin_mm
        assert length_in_core_mm(laid, slot) == pytest.approx(left)


@pytest.mark.parametrize("y", [-15.0, 0.0, 12.0])
def test_wood_beside_a_dot_counts_square_to_slanted_walls(y: float) -> None:
    laid = fanned(BOUND)
    walls = [LineString(slot.ends).buffer(0.29, cap_style="flat") for slot in laid.slots]
    for number in (2, 7, 12):
        x = laid.middle_mm(number, y) - 1.0
        hole = Hole("face dots", number, "", (x, y), 3.0, -1.5, -1.5, -1.5)
        disc = Point(x, y)
        expected = min(walls[number - 2].distance(disc), walls[number - 1].distance(disc)) - 1.5
        assert walls_to_slots_mm(laid, hole, (x, y)) == pytest.approx(expected, abs=1e-9)


def test_the_middle_of_a_slanted_space_lies_on_its_own_height() -> None:
    laid = fanned(BOUND)
    before, after = (LineString([line.start, line.end]) for line in laid.space(5))
    level = LineString([(0.0, 12.0), (400.0, 12.0)])
    expected = (before.intersection(level).x + after.intersection(level).x) / 2
    assert laid.middle_mm(5, 12.0) == pytest.approx(expected)


def test_wood_between_slanted_slots_is_counted_where_they_are_nearest() -> None:
    laid = fanned(BOUND, closes=0.009)
    lines = [LineString([line.start, line.end]) for line in laid.lines[1:]]
    gaps = [one.distance(other) for one, other in pairwise(lines)]
    least = min(gaps)
    wide = replace(laid.slots[0], width_mm=least - 0.405)
    (remark,) = check_wood_between_slots(replace(laid, slots=(wide, *laid.slots[1:])))
    near = gaps.index(least) + 1
    assert remark.weight == "refused"
    assert remark.problem.found.startswith(f"0.40 mm of wood stays between the slots of frets {near} and {near + 1}")


def test_a_slanted_slot_that_runs_over_the_boards_end_is_refused() -> None:
    """On the centre line the last fret lies where it should; its treble end does not."""
    board = replace(BOUND, length_mm=BOUND.scale.length_mm * (1 - 2 ** (-20 / 12)) + 3.0)
    assert list(check_board_end(fanned(board, slant=0.0, closes=0.0))) == []
    (remark,) = check_board_end(fanned(board, slant=0.2, closes=0.0))
    assert remark.weight == "refused" and remark.problem.key == "scale.frets"


def test_a_slanted_slot_in_a_blank_is_lowest_at_whichever_end_falls_farther() -> None:
    """On a cone the end that lies nearer to the tighter radius falls farther: with the slant, or against it."""
    tight = replace(IN_BLANK, radius=Radius(254.0, 508.0), thickness_mm=5.2, blank=Blank(76.0, 12.0, 12.0))
    for slant in (-0.15, 0.15):
        laid = fanned(tight, slant=slant, closes=0.0)
        lowest = max(-float(slot.floor.z_mm(*end)) for slot in laid.slots for end in slot.ends)
        left = math.floor((5.2 - lowest) * 100 + 1e-6) / 100
        assert left < 1.0
        (remark,) = check_waste_of_blank(laid)
        assert f"{left:.2f} mm of wood stays" in remark.problem.found
