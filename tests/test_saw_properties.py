"""Random boards and random saws, the whole way: what is planned is proved, and what the saw leaves is measured.

More examples by hand: PEARLKERF_EXAMPLES=500 python -m pytest tests/test_saw_properties.py
"""

import math
import re
from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from makers import a_machine
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.features import Slot
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Cutter, Spindle, Travel
from pearlkerf.setups.set_up import set_up
from random_boards import rounded, sound_boards, wide_boards
from random_machines import dialects

MILLS = (Cutter(1, "end mill", 0.38, 2, 6.0), Cutter(2, "end mill", 2.0, 2, 9.0), Cutter(3, "end mill", 0.7, 2, 6.0))


@st.composite
def sawing(draw):
    """A board whose slots go through, and a machine whose saw mostly fits them."""
    board = draw(sound_boards() | wide_boards())
    assume(board.fret_slots is not None)
    slots = replace(board.fret_slots, ends="through", state="to cut")
    board = replace(board, fret_slots=slots, face_dots=None, side_dots=None)
    width = slots.width_mm + slots.fit_mm
    blade, off = draw(rounded(30.0, 125.0)), draw(st.sampled_from((-0.02, 0.0, 0.013)))
    saw = Cutter(
        4, "saw", blade, 80, draw(rounded(4.0, 8.0)), 3000.0, 6000.0, plunges=False,
        bite_mm=draw(st.none() | rounded(0.4, 4.0)), kerf_mm=round(width + off, 3),
        flange_mm=draw(rounded(10.0, blade / 2)), lowest_teeth=draw(st.sampled_from(("away", "toward"))),
        sawing=draw(st.sampled_from(("conventional", "climb"))),
    )  # fmt: skip
    machine = replace(
        a_machine(*MILLS, saw),
        travel=Travel(2400.0, 900.0, 120.0),
        spindle=Spindle(3000.0, 24000.0, draw(st.sampled_from(("program", "hand"))), 3.0),
        dialect=replace(draw(dialects()), comments=True, line_limit=80),
    )
    return board, machine, saw


@given(sawing())
@settings(max_examples=EXAMPLES or 8)
def test_whatever_is_sawn_is_proved_and_as_deep_as_the_board_wants(given_):
    board, machine, saw = given_
    try:
        job = plan_job(set_up(lay_out(board)), machine)
        programs = make_programs(job, "test")
    except Refusal as refused:
        assert all(problem.hint or problem.allowed for problem in refused.problems)
        assume(False)
        return
    assume(any(stage.cutter.kind == "saw" for plan in job.workplans for stage in plan.stages))
    texts = {program.file: program.text for program in programs}
    verdict = prove_programs(job, texts)
    assert verdict.proved, "\n".join(map(str, verdict.findings))
    setup = job.workplans[0].setup
    slot = next(feature for feature in setup.features if isinstance(feature, Slot))
    text = next(text for text in texts.values() if b"saw" in text).decode("ascii")
    scale = 25.4 if machine.dialect.unit == "in" else 1.0
    y = np.linspace(slot.start[1], slot.end[1], 41)
    off = lowest(text, slot.start[0], scale, saw.radius_mm, y) - slot.floor.z_mm(slot.start[0], y)
    assert -0.01 <= off.min() <= off.max() <= 0.01


def lowest(text, at_x, scale, radius, y):
    """What the saw leaves of the first slot, by a plain reading: every feed at its x, in discs very close together."""
    place, motion, found, sawing = {"X": math.nan, "Y": math.nan, "Z": math.nan}, "", np.zeros(len(y)), False
    for line in text.splitlines():
        line = re.sub(r"^N\d+ ", "", line)
        if line.startswith("("):
            sawing = True
            continue
        before = dict(place)
        for letter, number in re.findall(r"([XYZG])(-?[\d.]+)", line):
            if letter == "G":
                motion = number if number in ("0", "1") else motion
            else:
                place[letter] = float(number) * scale
        if motion == "1" and sawing and abs(place["X"] - at_x) < 0.05:
            share = np.linspace(0.0, 1.0, 401)[:, None]
            cy = before["Y"] + (place["Y"] - before["Y"]) * share
            cz = before["Z"] + (place["Z"] - before["Z"]) * share + radius
            under = radius**2 - (y - cy) ** 2
            discs = np.where(under >= 0, cz - np.sqrt(np.maximum(under, 0.0)), np.inf)
            found = np.minimum(found, discs.min(axis=0))
    return found
