"""Random boards as they lie on random machines, with their pointing runs: refused with a way out, or proved.

More examples by hand: PEARLKERF_EXAMPLES=500 python -m pytest tests/test_turned_properties.py
"""

import math
import re

from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from pearlkerf.board.model import Board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Machine
from pearlkerf.setups.lying import FAR_END, Mark
from pearlkerf.setups.marks import turn_to_marks
from pearlkerf.setups.set_up import set_up
from random_boards import boards, rounded, sound_boards
from random_machines import machines


def often(examples: int):
    return settings(
        max_examples=EXAMPLES or examples, derandomize=not EXAMPLES, phases=[Phase.explicit, Phase.generate]
    )


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Board, Machine, list[Mark], float]:
    """A board, a machine, marks measured on it to a tenth, and the height of a pointing run."""
    board = draw(sound_boards() | sound_boards() | boards())
    angle, marks = math.radians(draw(rounded(-2.5, 2.5))), []
    places = [(FAR_END, board.length_mm)]
    if board.fret_slots is not None:
        number = draw(st.integers(max(1, board.scale.frets // 2), board.scale.frets))
        places.append((f"fret {number}", board.scale.length_mm * (1 - 2 ** (-number / 12))))
    for name, along in draw(st.lists(st.sampled_from(places), min_size=1, max_size=2, unique=True)):
        along += draw(rounded(-0.4, 0.4))
        beside = draw(rounded(-0.08, 0.08))
        marks.append(Mark(name, (along * math.cos(angle) - beside * math.sin(angle),
                                 along * math.sin(angle) + beside * math.cos(angle))))  # fmt: skip
    return board, draw(machines(board)), marks, draw(rounded(0.2, 4.0))


def pointed(board: Board, machine: Machine, marks: list[Mark], height_mm: float) -> tuple[Job, dict[str, bytes]]:
    job = with_pointing(plan_job(turn_to_marks(set_up(lay_out(board)), marks), machine), height_mm)
    return job, {program.file: program.text for program in make_programs(job, "test")}


@often(7)
@given(jobs())
def test_a_board_is_refused_with_a_way_out_or_shown_and_cut_as_it_lies(drawn) -> None:
    try:
        job, texts = pointed(*drawn)
    except Refusal as refusal:
        for problem in refusal.problems:
            assert problem.key and problem.found and problem.hint, str(problem)
        return
    verdict = prove_programs(job, texts)
    assert verdict.findings == (), [str(finding) for finding in verdict.findings]


@often(7)
@given(jobs(), st.data())
def test_a_run_that_goes_lower_or_leaves_a_place_out_is_found(drawn, data) -> None:
    try:
        job, texts = pointed(*drawn)
    except Refusal:
        assume(False)
    file = data.draw(st.sampled_from([name for name in texts if "pointing" in name]))
    lines = texts[file].decode("ascii").split("\n")
    stops = [number for number, line in enumerate(lines) if re.fullmatch(r"(N\d+ )?M0", line)]
    downs = [number for number, line in enumerate(lines) if re.search(r"G1 .*Z", line)]
    if data.draw(st.booleans()):
        number = data.draw(st.sampled_from(downs))
        lower = 0.01 if job.machine.dialect.unit == "mm" else 0.0004
        decimals = job.machine.dialect.decimals
        lines[number] = re.sub(r"Z(-?[0-9.]+)", lambda found: f"Z{float(found[1]) - lower:.{decimals}f}", lines[number])
        rules = {6}
    else:
        middle = [number for number in stops if any(down < number for down in downs)]
        if job.machine.spindle.control == "hand":
            middle = middle[:-1]
        number = data.draw(st.sampled_from(middle))
        del lines[number]
        rules = {7}
    found = prove_programs(job, texts | {file: "\n".join(lines).encode("ascii")}).findings
    assert {finding.rule for finding in found if finding.file == file} >= rules
