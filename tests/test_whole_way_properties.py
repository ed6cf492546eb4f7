"""Random boards on random machines, the whole way: refused with a way out, or cut by programs that prove.

More examples by hand: PEARLKERF_EXAMPLES=500 python -m pytest tests/test_whole_way_properties.py
"""

from dataclasses import replace

import numpy as np
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from makers import a_machine
from pearlkerf.board.model import Board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Cutter, Machine, Travel
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ARC
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Clampings, Placement
from pearlkerf.setups.set_up import set_up
from random_boards import boards, rounded, sound_boards, wide_boards
from random_machines import machines
from same_way import assert_same_way

WOODS = st.sampled_from(("ebony", "rosewood", "maple", "plywood from the harbour", ""))
# where neither the board nor the machine is at fault, nothing is refused
MILLS = (Cutter(1, "end mill", 0.38, 2, 6.0), Cutter(2, "end mill", 2.0, 2, 9.0), Cutter(3, "end mill", 0.7, 2, 6.0))
SHOP = replace(a_machine(*MILLS), travel=Travel(1000.0, 220.0, 70.0))


def often(examples: int):
    """So many examples in every run, the same ones; as many as are asked for by hand, ever others."""
    return settings(
        max_examples=EXAMPLES or examples, derandomize=not EXAMPLES, phases=[Phase.explicit, Phase.generate]
    )  # boards are not shrunk: each try takes a whole job


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Board, Machine, Placement]:
    """A board, a machine, and how the board lies."""
    board = replace(draw(sound_boards() | sound_boards() | boards() | wide_boards()), wood=draw(WOODS))
    square = st.just(Placement())
    skew = st.builds(Placement, rounded(-1.5, 1.5), rounded(-3.0, 3.0), rounded(-3.0, 3.0))
    return board, draw(machines(board)), draw(square | square | skew)


def turned(clampings: Clampings, placement: Placement) -> Clampings:
    return replace(clampings, setups=tuple(replace(setup, placement=placement) for setup in clampings.setups))


def cut(clampings: Clampings, machine: Machine) -> tuple[Job, dict[str, bytes], Verdict]:
    """The whole way after the layout, but for the pictures."""
    job = plan_job(clampings, machine)
    texts = {program.file: program.text for program in make_programs(job, "test")}
    return job, texts, prove_programs(job, texts)


def laid(board: Board) -> Clampings:
    try:
        return set_up(lay_out(board))
    except Refusal:
        return assume(False)


@often(9)
@given(jobs())
def test_a_board_is_refused_with_a_way_out_or_its_programs_prove(drawn) -> None:
    board, machine, placement = drawn
    try:
        job, texts, verdict = cut(turned(set_up(lay_out(board)), placement), machine)
    except Refusal as refusal:
        assert refusal.problems
        for problem in refusal.problems:
            assert problem.found and problem.hint, str(problem)
            assert problem.key or problem.found.startswith("there is nothing to cut"), str(problem)
            assert "nan" not in str(problem).split(), str(problem)
        return
    assert verdict.findings == (), [str(finding) for finding in verdict.findings]
    assert_same_way(job, texts)


@often(5)
@given(sound_boards())
def test_inches_and_millimetres_cut_alike(board) -> None:
    clampings, ends = laid(board), []
    for unit, decimals in (("mm", 3), ("in", 4)):
        machine = replace(SHOP, dialect=replace(SHOP.dialect, unit=unit, decimals=decimals))
        _, texts, verdict = cut(clampings, machine)
        assert verdict.findings == ()
        ends.append([read_program(text).motions.end for text in texts.values()])
    for mm, inch in zip(*ends, strict=True):
        both = (0.001 + 0.00254) / 2  # half a last digit of each; heights are rounded up, by up to a whole one
        for off in (farthest(inch, mm), farthest(mm, inch)):
            assert max(off[:2]) <= both + 1e-9 and off[2] <= 0.00254 + 1e-9, off


def farthest(some: np.ndarray, others: np.ndarray) -> tuple[float, ...]:
    """How far, axis by axis, points of one program (two hundred or more) lie from the nearest of another's."""
    some, others = (each[~np.isnan(each).any(axis=1)] for each in (some, others))
    if len(some) == len(others) and np.abs(some - others).max() < 0.01:  # they mostly go point by point together
        return tuple(np.abs(some - others).max(axis=0))
    off = np.zeros(3)
    for point in some[:: max(1, len(some) // 200)]:
        apart = np.abs(others - point)
        off = np.maximum(off, apart[np.argmin(apart.sum(axis=1))])
    return tuple(off)


@often(5)
@given(sound_boards())
def test_the_left_handed_board_is_cut_as_the_mirror_of_the_right_handed_one(board) -> None:
    centres = []
    for hand in ("right", "left"):
        clampings = laid(replace(board, hand=hand))
        _, texts, verdict = cut(clampings, SHOP)
        assert verdict.findings == ()
        motions = [read_program(text).motions for text in texts.values()]
        assert all((each.sweep[each.kind == ARC] > 0).all() for each in motions)  # climb, whatever the hand
        centres.append(
            [np.insert(np.unique(each.centre[each.kind == ARC][:, :2], axis=0), 2, 0, 1) for each in motions]
        )
    for right, left in zip(*centres, strict=True):
        mirrored = left * (1, -1, 1)
        if len(right):  # a centre is read back from start and offset, both rounded, and nudged by a step at most
            assert max(farthest(right, mirrored) + farthest(mirrored, right)) <= 0.004
    assert any(len(right) for right in centres[0])
