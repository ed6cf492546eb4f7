"""Level slots through a radiused blank so wide that its raw top falls below their floor: cut to where it comes out.

How far that is comes from the circle: a section of radius R has fallen by F at y = sqrt(2 R F - F**2).
The programs are read line by line, with no other reader.
"""

import math
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from makers import a_board, a_machine
from pearlkerf.board.model import Blank, Radius
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Carrier, Cutter, Travel
from pearlkerf.setups.selection import EVERYTHING, Choice
from pearlkerf.setups.set_up import set_up

MILL = Cutter(1, "end mill", 0.58, 2, 4.5, stick_out_mm=20.0, bite_mm=0.4)
NARROW = replace(MILL, diameter_mm=0.4)
SAW = Cutter(1, "saw", 63.0, 100, 9.0, 3000, 9000, plunges=False, kerf_mm=0.58, flange_mm=20.0, lowest_teeth="away")
WIDTH_MM, NUT_MM, END_MM, SCALE_MM, LENGTH_MM = 88.7, 52.0, 56.5, 632.0, 200.0
CASES: dict[str, tuple[Cutter, float, float, float, dict]] = {
    "mill": (MILL, WIDTH_MM, 184.15, 184.15, {}),
    "lanes": (NARROW, WIDTH_MM, 184.15, 184.15, {}),
    "saw": (SAW, WIDTH_MM, 184.15, 184.15, {}),
    "wide blank": (MILL, 140.0, 254.0, 254.0, {}),
    "saw, wide blank": (SAW, 140.0, 254.0, 254.0, {}),
    "flat round": (MILL, 140.0, 508.0, 508.0, {}),
    "cone": (MILL, WIDTH_MM, 184.15, 508.0, {}),
    "saw, cone": (SAW, WIDTH_MM, 184.15, 508.0, {}),
    "left": (MILL, WIDTH_MM, 184.15, 184.15, {"hand": "left"}),
}


def job(case: str, choice: Choice = EVERYTHING, travel_mm: float = 650.0, carrier: Carrier | None = None) -> Job:
    cutter, width, nut, end, changes = CASES[case]
    board = a_board(
        scale=replace(a_board().scale, frets=3), length_mm=LENGTH_MM, nut_width_mm=NUT_MM, end_width_mm=END_MM,
        thickness_mm=14.0, radius=Radius(nut, end), state="radiused", blank=Blank(width, 5.0, 5.0), face_dots=None,
        side_dots=None, fret_slots=replace(a_board().fret_slots, floor="level", ends="through", depth_mm=1.5),
        **changes,
    )  # fmt: skip
    machine = replace(a_machine(cutter), travel=Travel(travel_mm, 400.0, 120.0), carrier=carrier)
    machine = replace(machine, spindle=replace(machine.spindle, slowest_rpm=2000.0))
    return plan_job(set_up(lay_out(board)), machine, choice)


@cache
def text_of(case: str) -> str:
    (program,) = make_programs(job(case), "test")
    return program.text.decode("ascii")


def findings(case: str, text: str) -> list[str]:
    verdict = prove_programs(job(case), {make_programs(job(case), "test")[0].file: text.encode("ascii")})
    return [f"{each.rule} {each.message}" for each in verdict.findings]


def floor_and_half(case: str, fret: int) -> tuple[float, float]:
    """How deep a slot's level floor lies, and how far from the crown line the raw top has fallen to it."""
    _, _, nut, end, _ = CASES[case]
    x = SCALE_MM * (1 - 2 ** (-fret / 12))
    radius, half = nut + (end - nut) * x / LENGTH_MM, (NUT_MM + (END_MM - NUT_MM) * x / LENGTH_MM) / 2
    deep = a_board().crown_allowance_mm + 1.5 + radius - math.sqrt(radius**2 - half**2)
    return deep, math.sqrt(2 * radius * deep - deep**2)


def strokes(text: str, fret: int) -> list[tuple[float, float, float, float]]:
    """Y and Z of both ends of every feed of a slot that moves across the board."""
    part = re.split(rf"\(fret {fret}, [^)]*\)\n", text)[1].partition("(")[0]
    y = z = math.nan
    found, motion = [], ""
    for line in part.splitlines():
        before = (y, z)
        for letter, number in re.findall(r"([GYZ])(-?[\d.]+)", line):
            if letter == "G":
                motion = number
            y, z = (float(number), z) if letter == "Y" else (y, float(number)) if letter == "Z" else (y, z)
        if motion == "1" and y != before[0]:
            found.append((*before, y, z))
    return found


@pytest.mark.parametrize("case", CASES)
def test_the_slot_is_as_deep_as_it_should_be_as_far_as_there_is_wood_and_no_deeper_anywhere(case: str) -> None:
    assert findings(case, text_of(case)) == []
    cutter = CASES[case][0]
    for fret in (1, 2, 3):
        deep, half = floor_and_half(case, fret)
        found = strokes(text_of(case), fret)
        assert min(min(one, other) for _, one, _, other in found) >= -deep - 0.0011
        reach = max(max(abs(one), abs(other)) for one, _, other, _ in found)
        lowest = [(min(a, b), max(a, b)) for a, z0, b, z1 in found if z0 == z1 and abs(z0 + deep) < 0.0011]
        for y in np.linspace(-half, half, 41):
            assert any(low <= y <= high for low, high in lowest)
        if cutter.kind != "saw":
            assert reach == pytest.approx(half + cutter.radius_mm, abs=0.002)


@pytest.mark.parametrize("case", ["mill", "saw"])
def test_a_floor_that_is_left_short_or_cut_beyond_is_found(case: str) -> None:
    text, (deep, half) = text_of(case), floor_and_half(case, 2)
    head, mark, tail = text.partition("(fret 2")
    ends = sorted({float(each) for each in re.findall(r"Y(-?\d+\.\d+)", tail.partition("(fret 3")[0])})
    short = tail
    for each in ends:
        if abs(each) > half - 3.0:
            short = short.replace(f"Y{each:.3f}".rstrip("0"), f"Y{math.copysign(half - 3.0, each):.3f}", 50)
    assert short != tail and findings(case, head + mark + short)
    lower = tail.replace(f"Z-{deep:.3f}".rstrip("0"), f"Z-{deep + 0.05:.3f}")
    assert lower != tail and any(each.startswith("6 ") for each in findings(case, head + mark + lower))


def test_parts_positions_and_pointing_runs_are_proved_too() -> None:
    for each in (
        job("mill", Choice(only=("fret 2",))),
        job("mill", travel_mm=90.0),
        job("left", travel_mm=90.0, carrier=Carrier(25.0)),
        with_pointing(job("cone")),
    ):
        texts = {program.file: program.text for program in make_programs(each, "test")}
        assert prove_programs(each, texts).findings == ()


def test_a_narrower_blank_leaves_the_slot_through_its_edges() -> None:
    board = a_board(
        state="radiused", blank=Blank(60.0, 5.0, 5.0), side_dots=None, face_dots=None, radius=Radius(184.15, 184.15),
        thickness_mm=14.0, fret_slots=replace(a_board().fret_slots, floor="level", ends="through"),
    )  # fmt: skip
    for slot in lay_out(board).slots:
        assert (slot.start[1], slot.end[1]) == (-30.0, 30.0)
