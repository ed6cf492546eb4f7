"""Random boards: laid out as the textbook says, or refused with hints that mend."""

import math
import re
from dataclasses import replace
from itertools import combinations

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from mending import mended, ways_to_mend
from shapely import LineString, Point, Polygon

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.lay_out import lay_out
from random_boards import boards, sound_boards

NEAR = 1e-6
unhurried = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


def laid(board: Board):
    try:
        return lay_out(board)
    except Refusal:
        return assume(False)


def fall(board: Board, x, y):
    """R - sqrt(R**2 - y**2) with R linear along the board, apart from the layout's own functions."""
    if math.isinf(board.radius.nut_mm):
        return np.zeros(np.broadcast_shapes(np.shape(x), np.shape(y)))
    share = np.clip(np.asarray(x) / board.length_mm, 0, 1)
    radius = board.radius.nut_mm + (board.radius.end_mm - board.radius.nut_mm) * share
    return radius - np.sqrt(radius**2 - np.asarray(y) ** 2)


@unhurried
@given(sound_boards())
def test_floors_lie_inside_the_interval_that_every_point_of_the_disc_allows(board):
    layout, dots = laid(board), board.face_dots
    angle = np.linspace(0, 2 * np.pi, 73)
    for hole in layout.face_dots:
        r = np.array([[0.0], [dots.diameter_mm / 4], [dots.diameter_mm / 2]])
        s = fall(board, hole.centre[0] + r * np.cos(angle), hole.centre[1] + r * np.sin(angle))
        depth = -hole.floor_mm - board.crown_allowance_mm
        assert s.max() + dots.shell_left_mm <= depth + 2 * NEAR
        assert depth <= s.min() + dots.thinnest_mm - dots.proud_mm + NEAR
        assert hole.deepest_mm - NEAR <= hole.floor_mm <= hole.shallowest_mm + NEAR


@unhurried
@given(sound_boards())
def test_wood_stays_around_every_pocket(board):
    """In plan, by shapely: half a millimetre to every slot, to the outline and to each other."""
    layout = laid(board)
    outline = Polygon(layout.edges.finished.corners).exterior
    pockets = [(hole, Point(hole.centre)) for hole in layout.face_dots]
    for hole, centre in pockets:
        radius = hole.diameter_mm / 2
        assert outline.distance(centre) >= radius + 0.5 - NEAR
        for slot in layout.slots:
            x = slot.start[0]
            line = LineString([(x, -100.0), (x, 100.0)])
            assert line.distance(centre) >= radius + slot.width_mm / 2 + 0.5 - NEAR
    for (one, here), (other, there) in combinations(pockets, 2):
        assert here.distance(there) >= (one.diameter_mm + other.diameter_mm) / 2 + 0.5 - NEAR


@unhurried
@given(sound_boards())
def test_wood_stays_under_everything(board):
    layout = laid(board)
    assert all(row.wood_left_mm >= 1.5 - NEAR for row in layout.face_dot_rows)
    if board.fret_slots and board.fret_slots.state == "to cut":
        assert all(row.wood_left_mm >= 1.5 - NEAR for row in layout.fret_rows)
        for slot in layout.slots:
            y = np.linspace(slot.start[1], slot.end[1], 41)
            inside = y[np.abs(y) <= layout.fret_rows[slot.number - 1].width_mm / 2]
            assert (slot.floor.z_mm(slot.start[0], inside) >= 1.5 - board.thickness_mm - NEAR).all()


@unhurried
@given(sound_boards())
def test_slots_are_as_deep_below_the_finished_surface_as_asked(board):
    layout = laid(board)
    for slot in layout.slots:
        x = slot.start[0]
        half = (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * x / board.length_mm) / 2
        y = np.linspace(-1.0, 1.0, 21) * min(slot.end[1], half)
        depth = -slot.floor.z_mm(x, y) - board.crown_allowance_mm - fall(board, x, y)
        if board.fret_slots.floor == "follow":
            assert np.allclose(depth, board.fret_slots.depth_mm, atol=1e-9)
        else:
            assert math.isclose(depth.min(), board.fret_slots.depth_mm, abs_tol=1e-9)
            assert math.isclose(depth[0], depth[-1], abs_tol=1e-9)


@unhurried
@given(sound_boards())
def test_one_height_keeps_the_margin_at_every_side_dot(board):
    layout, dots = laid(board), board.side_dots
    assert len({hole.centre[1] for hole in layout.side_dots}) <= 1
    for row in layout.side_dot_rows:
        half = (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * row.x_mm / board.length_mm) / 2
        edge = board.thickness_mm - board.crown_allowance_mm - float(fall(board, row.x_mm, half))
        assert row.height_mm >= dots.diameter_mm / 2 + dots.margin_mm - NEAR
        assert row.height_mm <= edge - dots.diameter_mm / 2 - dots.margin_mm + NEAR


@unhurried
@given(sound_boards())
def test_the_left_hand_is_the_mirror_of_the_right(board):
    right, left = laid(replace(board, hand="right")), laid(replace(board, hand="left"))
    assert right.slots == left.slots
    assert [(hole.name, hole.centre[0], hole.centre[1], hole.floor_mm) for hole in right.face_dots] == [
        (hole.name, hole.centre[0], -hole.centre[1], hole.floor_mm) for hole in left.face_dots
    ]
    assert [(hole.name, hole.centre[0], hole.centre[1]) for hole in right.side_dots] == [
        (hole.name, hole.centre[0], -hole.centre[1]) for hole in left.side_dots
    ]
    assert right.warnings == left.warnings


@unhurried
@given(sound_boards())
def test_flat_and_radiused_blanks_end_alike(board):
    flat, radiused = laid(replace(board, state="flat")), laid(replace(board, state="radiused"))
    assert (flat.slots, flat.face_dots, flat.side_dots) == (radiused.slots, radiused.face_dots, radiused.side_dots)


@unhurried
@given(boards())
def test_every_hint_mends(board):
    """Whatever is refused, each way of its hint does away with this complaint."""
    try:
        lay_out(board)
    except Refusal as refusal:
        impossible = [problem for problem in refusal.problems if problem.key == "board.radius"]
        problems = impossible or refusal.problems  # the rest was looked at on a flat board
    else:
        return
    for problem in problems:
        assert "nan" not in str(problem) and "inf" not in problem.found.split(), problem
        for way in ways_to_mend(problem):
            better = mended(board, problem, way)
            try:
                lay_out(better)
            except Refusal as left:
                assert complaint(problem) not in map(complaint, left.problems), (str(problem), way, str(left))


def complaint(problem: Problem) -> tuple[str, str]:
    """What is said, whatever the figures and whichever the dot."""
    return problem.key, re.sub(r"[\d.]+|,? (?:bass|treble|nut|bridge) side|no wood|mm of wood", "", problem.found)
