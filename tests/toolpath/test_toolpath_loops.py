"""Stopped slots cut in loops by a narrower cutter: whole, whatever part of the slot's width it has."""

import pytest

from makers import POCKET_MILL, SIDE_MILL, a_machine, clamped
from pearlkerf.board.model import FretSlots, Scale
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath import slots

SHORT = {
    "scale": Scale(632.0, 3),
    "fret_slots": FretSlots(0.68, 2.0, ends="stopped"),
    "face_dots": None,
    "side_dots": None,
}


def findings(diameter_mm: float) -> list[str]:
    machine = a_machine(Cutter(1, "end mill", diameter_mm, 2, 4.5), POCKET_MILL, SIDE_MILL, decimals=5, arcs=False)
    job = plan_job(clamped(**SHORT), machine)
    programs = make_programs(job, "test")
    return [str(finding) for finding in prove_programs(job, {each.file: each.text for each in programs}).findings]


@pytest.mark.parametrize("share", [0.3, 0.4999, 0.5, 0.56, 0.9])
def test_a_stopped_slot_is_cut_whole(share):
    assert findings(share * 0.68) == []


def test_sides_that_only_touch_on_the_centre_line_leave_a_sliver(monkeypatch):
    monkeypatch.setattr(slots, "_loop_offsets_mm", lambda outer, cutter: (outer,))
    assert "is not cut to its full width, length and depth" in findings(0.34)[0]
