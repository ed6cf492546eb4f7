"""Every example with a bore, on every machine: a gouge of 2 um too much, a dropped turn, a turn cut short are found.

The programs are read here with the plain reader of the damage tests, not with the proof's own.
"""

import re
import sys
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent / "damage"))

from cases import cases
from oracle import Case
from plain_reader import COLUMNS, read_plainly

from example_jobs import names
from pearlkerf.layout.features import Hole
from pearlkerf.proof.prove import prove
from pearlkerf.reading.motions import ProgramText

TOLERANCE_MM, GOUGE_MM = 0.01, 0.002  # what a cut may lie outside its feature, and the gouge beyond it
STEP_MM = {"mm": 0.001, "in": 0.00254}  # least step of a program, and what its rounding may hide twice
START, END = (slice(COLUMNS.index(name), COLUMNS.index(name) + 3) for name in ("x0", "x1"))


class Bore(NamedTuple):
    """A hole that is bored round: its program, the lines of the turn along its wall at its floor, and the way there."""

    case: Case
    program: int
    lines: list[int]  # from 0
    hole: Hole
    angle: float  # where the turn ends
    orbit: float
    radius: float  # of the cutter


def line_of(text: bytes) -> list[int]:
    """The line, from 0, of each motion: each line of these programs with X, Y or Z outside comments makes one."""
    return [
        n
        for n, line in enumerate(text.decode("ascii").split("\n"))
        if re.search(r"[XYZ]", re.sub(r"\(.*?\)", "", line))
    ]


@cache
def bores(example: str, profile: str) -> list[Bore]:
    """The first bore of each setup."""
    found = []
    for case in cases(example, profile):
        every = (bore for n in range(len(case.programs)) for bore in _bores_of(case, n))
        found += [bore for bore in [next(every, None)] if bore]
    return found


def _bores_of(case: Case, program: int):
    table, lines = read_plainly(case.programs[program][1], case.machine.dialect).track.table, None
    for hole in case.setup.features:
        if not isinstance(hole, Hole):
            continue
        away = [np.hypot(*(table[:, part][:, :2] - hole.centre).T) for part in (START, END)]
        deep = (table[:, START][:, 2] == table[:, END][:, 2]) & (np.abs(table[:, END][:, 2] - hole.floor_mm) < 0.006)
        on = deep & (away[0] < hole.diameter_mm / 2) & (away[1] < hole.diameter_mm / 2) & (table[:, 0] > 0)
        orbit = float(away[1][on].max(initial=0.0))
        ring = np.flatnonzero(on & (np.abs(away[0] - orbit) < 0.006) & (np.abs(away[1] - orbit) < 0.006))
        if orbit < 0.1 or len(ring) < 3:
            continue
        lines = line_of(case.programs[program][1])
        if len(lines) != len(table):
            return  # its cycles are not written out
        last = table[ring[-1], END][:2] - hole.centre
        cutter = case.machine.cutter(int(table[ring[-1], COLUMNS.index("cutter")]))
        if cutter is None:  # put in by hand: the only one of its program
            number = re.search(rb"\(setup=\w+ cutter=(\d+)", case.programs[program][1])
            cutter = case.machine.cutter(int(number[1]))
        yield Bore(
            case, program, [lines[k] for k in ring], hole, float(np.arctan2(last[1], last[0])), orbit, cutter.radius_mm
        )


def found_in(bore: Bore, lines: list[str]) -> set[int]:
    """The rules that are broken where the bore's program is made of these lines: it is to cut what it claims."""
    program = ProgramText(bore.case.programs[bore.program][0], "\n".join(lines).encode("ascii"))
    verdict = prove([program], [bore.case.setup], bore.case.machine, completeness="named cuts")
    return {finding.rule for finding in verdict.findings}


def with_excursion(bore: Bore, outside_mm: float) -> list[str]:
    """The program's lines, the cutter sent so far out of the hole at the end of the turn, and back."""
    lines = bore.case.programs[bore.program][1].decode("ascii").split("\n")
    unit = 25.4 if bore.case.machine.dialect.unit == "in" else 1.0
    digits = bore.case.machine.dialect.decimals
    out = bore.hole.diameter_mm / 2 + outside_mm - bore.radius
    head = re.match(r"N\d+ ", lines[bore.lines[-1]])
    places = [
        (bore.hole.centre + reach * np.array([np.cos(bore.angle), np.sin(bore.angle)])) / unit
        for reach in (out, bore.orbit)
    ]
    blocks = [f"{head[0] if head else ''}G1 X{x:.{digits}f} Y{y:.{digits}f}" for x, y in places]
    feed = re.findall(r"F[\d.]+", "\n".join(lines[: bore.lines[-1] + 1]))[-1]
    at = bore.lines[-1] + 1
    return [*lines[:at], f"{blocks[0]} {feed}", blocks[1], *lines[at:]]


JOBS = names()


@pytest.mark.parametrize(("example", "profile"), JOBS, ids=["-".join(job) for job in JOBS])
def test_harm_in_a_bore_is_found(example: str, profile: str) -> None:
    for bore in bores(example, profile):
        lines = bore.case.programs[bore.program][1].decode("ascii").split("\n")
        step = STEP_MM[bore.case.machine.dialect.unit]
        assert 6 in found_in(bore, with_excursion(bore, TOLERANCE_MM + GOUGE_MM + step))
        assert 6 not in found_in(bore, with_excursion(bore, TOLERANCE_MM - 2 * step))
        dropped = [line for n, line in enumerate(lines) if n not in bore.lines]
        assert found_in(bore, dropped), "a dropped turn"
        short = bore.lines[len(bore.lines) * 2 // 3 :]
        assert found_in(bore, [line for n, line in enumerate(lines) if n not in short]), "a turn cut short"


def test_there_are_bores_on_most_examples() -> None:
    every = {example for example, _ in JOBS}
    # letters and blocks are in its face, and nothing round
    assert {example for example, profile in JOBS if bores(example, profile)} == every - {"dunlin-initials"}
