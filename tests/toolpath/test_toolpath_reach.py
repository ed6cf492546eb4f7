"""A shank that would rub on the crown is refused before anything is written, by how much; what passes is proved."""

import re
from dataclasses import replace

import pytest

from makers import a_board, a_layout, a_machine
from pearlkerf.board.model import Radius
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.setups.set_up import set_up

INCH = 25.4
MILLS = (
    Cutter(1, "end mill", 0.58, 2, 4.5, shank_mm=3.0, stick_out_mm=12.0),
    Cutter(2, "end mill", 3.0, 2, 12.0, shank_mm=3.0, stick_out_mm=20.0),
    Cutter(3, "end mill", 1.5, 2, 6.0, shank_mm=3.0, stick_out_mm=15.0),
)


def bench(**figures: object) -> Machine:
    """A machine whose slot mill has these figures."""
    return a_machine(replace(MILLS[0], **figures), *MILLS[1:])  # type: ignore[arg-type]


def problems(machine: Machine, **changes: object) -> list[str]:
    """What keeps a board from being cut; where nothing does, its programs and pointing runs are proved."""
    try:
        job = plan_job(set_up(lay_out(a_board(**{"state": "radiused", **changes}))), machine)
    except Refusal as refusal:
        return [f"{problem.key}: {problem.found}; {problem.allowed}" for problem in refusal.problems]
    for each in (job, with_pointing(job)):
        verdict = prove_programs(each, {p.file: p.text for p in make_programs(each, "test")})
        assert verdict.proved, verdict.findings
    return []


def fall(y: float, radius: float) -> float:
    """Fall of the crown, R - sqrt(R**2 - y**2)."""
    return float(radius - (radius**2 - y**2) ** 0.5)


@pytest.mark.parametrize(("shank", "radius"), [(3.0, 14.0), (6.0, 14.0), (None, 9.5), (0.58, 9.5)])
def test_what_a_shank_needs_is_the_depth_and_the_rise_beside_it(shank: float | None, radius: float) -> None:
    """The worst is the last slot's end, its tip r + 0.5 mm past the edge, its floor followed r inward."""
    board = a_board(radius=Radius(radius * INCH, radius * INCH), state="radiused")
    last = float(lay_out(board).frets_mm[-1])
    half = (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * last / board.length_mm) / 2
    tip, wide = half + 0.29 + 0.5, (6.35 if shank is None else shank) / 2
    rise = fall(tip - 0.29, radius * INCH) - fall(tip - wide, radius * INCH)
    found = problems(bench(reach_mm=2.2, shank_mm=shank), radius=board.radius)
    if wide < 0.3:
        assert found == []
        return
    assert len(found) == 1
    assert "cutter.reach: cutter 1 reaches 2.20 mm, where its shank begins" in found[0]
    assert "beside fret 20" in found[0]
    least = float(re.search(r"a reach of at least ([\d.]+) mm", found[0]).group(1))  # type: ignore[union-attr]
    assert least == pytest.approx(2.2 + rise + 0.05, abs=0.01)
    assert problems(bench(reach_mm=least + 0.006, shank_mm=shank), radius=board.radius) == []


def test_on_a_flat_top_reach_is_enough() -> None:
    deepest = max(-float(slot.floor.z_mm(*slot.end)) for slot in a_layout().slots)
    assert problems(bench(reach_mm=deepest + 0.05), state="flat") == []


@pytest.mark.parametrize("reach", [2.2, 2.3, 2.35, 2.4, 2.5, 2.7, 3.0])
@pytest.mark.parametrize("radius", [(7.25, 7.25), (9.5, 14.0)])
def test_whatever_is_let_is_proved(reach: float, radius: tuple[float, float]) -> None:
    """``problems`` proves what it lets; what it refuses, the proof holds against the same bytes, or nearly did."""
    ends = Radius(radius[0] * INCH, radius[1] * INCH)
    short = bench(reach_mm=reach, shank_mm=6.0)
    told = problems(short, radius=ends)
    if told:
        job = plan_job(set_up(lay_out(a_board(radius=ends, state="radiused"))), bench())
        verdict = prove_programs(job, {p.file: p.text for p in make_programs(job, "test")})
        assert verdict.proved
        held = prove_programs(replace(job, machine=short), {p.file: p.text for p in make_programs(job, "test")})
        by = float(re.search(r"come ([\d.]+) mm too low", told[0]).group(1))  # type: ignore[union-attr]
        assert any("brings the shank" in finding.message for finding in held.findings) == (by > 0.07)
