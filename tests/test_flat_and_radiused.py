"""A board cut flat and the same board cut radiused end alike: measured in the programs' own text, within 0.01 mm.

The finished board is one: the flat blank is as much thicker as more is taken off it afterwards.
"""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely

from makers import a_board
from pearlkerf.board.model import Board, Radius
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.set_up import set_up
from sampled_motion import Path as Way
from sampled_motion import calliper, opened, sample

ALIKE_MM = 0.01
STEP_MM = 0.02
NEAR_MM = 0.3  # along the board, of a slot's middle
NUT_R, END_R = 254.0, 406.4
TALL_MM = 62.0  # the board on its edge, and what clears it
PROFILES = [
    name for name, machine in ((each, read_machine(each)) for each in profile_names())
    if not any(cutter.kind == "saw" for cutter in machine.cutters)
    and (machine.travel.under_spindle_mm or math.inf) >= TALL_MM
]  # fmt: skip
FLAT = a_board(radius=Radius(NUT_R, END_R), crown_allowance_mm=0.2, thickness_mm=6.5)
RADIUSED = replace(FLAT, state="radiused", crown_allowance_mm=0.05, thickness_mm=6.35)


def ways_of(board: Board, machine: Machine) -> tuple[Layout, dict[str, list[tuple[float, Way]]]]:
    """Give the layout, and each setup's motions with the radius of their cutter."""
    layout = lay_out(board)
    found: dict[str, list[tuple[float, Way]]] = {"face": [], "edge": []}
    for program in make_programs(plan_job(set_up(layout), machine), "test"):
        text = program.text.decode()
        setup = "edge" if "(setup=edge" in text else "face"
        for number, way in sample(text).items():
            cutter = machine.cutter(number)
            assert cutter is not None
            found[setup].append((cutter.diameter_mm / 2, way))
    return layout, found


def dense(way: Way, x: float) -> np.ndarray:
    """Give a way's feeds that come near a place along the board as points STEP_MM apart, (n, 3)."""
    every = [pair for run in way.runs for pair in pairwise(run)]
    legs = [(a, b) for a, b in every if min(a[0], b[0]) < x + NEAR_MM and max(a[0], b[0]) > x - NEAR_MM]
    parts = [a + (b - a) * np.linspace(0, 1, 2 + int(np.linalg.norm(b - a) / STEP_MM))[:, None] for a, b in legs]
    return np.concatenate([np.zeros((0, 3)), *parts])


def finished_mm(board: Board, x: float, y: np.ndarray) -> np.ndarray:
    """Height of the finished face, by the circle's own formula."""
    radius = NUT_R + (END_R - NUT_R) * x / board.length_mm
    return -board.crown_allowance_mm - radius + np.sqrt(radius**2 - y**2)


def slot_depths(board: Board, ways: list[tuple[float, Way]], x: float, y: np.ndarray) -> np.ndarray:
    """How far the floor that flat cutters leave at places of a slot lies below the finished face."""
    floor = np.zeros(len(y))
    for radius, way in ways:
        points = dense(way, x)
        near = points[np.abs(points[:, 0] - x) < NEAR_MM]
        for n, place in enumerate(y):
            under = near[np.abs(near[:, 1] - place) <= radius]
            floor[n] = min(floor[n], under[:, 2].min(initial=0.0))
    return finished_mm(board, x, y) - floor


def hole(ways: list[tuple[float, Way]], centre: tuple[float, float]) -> tuple[float, float, float, float]:
    """Give where a hole's middle lies, its diameter, and its floor."""
    place = shapely.Point(centre).buffer(4.0)
    lowest, (radius, way) = min(
        ((min((run[:, 2].min() for run in way.runs if _all_within(run, place)), default=0.0), (radius, way))
         for radius, way in ways), key=lambda each: each[0])  # fmt: skip
    area = opened(way, radius, lowest + 0.002, place)
    return area.centroid.x, area.centroid.y, calliper(area)[2], lowest


def _all_within(run: np.ndarray, place: shapely.Geometry) -> bool:
    return bool(shapely.contains_xy(place, run[:, 0], run[:, 1]).all())


@pytest.mark.parametrize("profile", PROFILES)
def test_flat_and_radiused_blanks_end_with_the_same_dots_and_slots(profile: str) -> None:
    machine = read_machine(profile)
    (layout, flat), (_, radiused) = ways_of(FLAT, machine), ways_of(RADIUSED, machine)
    for number in (1, 12, 20):
        x = 632.0 * (1 - 2 ** (-number / 12))
        half = (44.45 + (56.5 - 44.45) * x / 448.0) / 2
        across = np.linspace(-half, half, 41)
        one, other = (slot_depths(board, ways["face"], x, across)
                      for board, ways in ((FLAT, flat), (RADIUSED, radiused)))  # fmt: skip
        assert np.abs(one - other).max() < ALIKE_MM
        assert np.abs(one - 2.0).max() < ALIKE_MM  # as deep as was asked for, all along
    for dot in layout.face_dots:
        one, other = (hole(ways["face"], dot.centre) for ways in (flat, radiused))
        assert math.dist(one[:2], other[:2]) < ALIKE_MM
        assert one[2] == pytest.approx(other[2], abs=ALIKE_MM)
        assert one[3] + 0.2 == pytest.approx(other[3] + 0.05, abs=ALIKE_MM)  # below the finished crown
    for dot in layout.side_dots:
        assert hole(flat["edge"], dot.centre) == pytest.approx(hole(radiused["edge"], dot.centre), abs=ALIKE_MM)
