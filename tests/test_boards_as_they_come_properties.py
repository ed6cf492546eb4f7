"""Random bound, measured and trimmed boards, the whole way: refused with a way out, or cut by programs that prove.

More examples by hand: PEARLKERF_EXAMPLES=500 python -m pytest tests/test_boards_as_they_come_properties.py
"""

from dataclasses import replace

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from pearlkerf.board.model import Binding, Blank, Board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Machine
from pearlkerf.setups.set_up import set_up
from random_boards import rounded, sound_boards
from random_machines import machines
from same_way import assert_same_way

# bores and cuts may lie this far off by the limits of the programs' digits alone, and by what counts as equal
ROUNDING_MM = 1e-6


@st.composite
def bound(draw: st.DrawFn, board: Board) -> Board:
    """A binding on it or to come, mostly with slots that it bears."""
    put_on = draw(st.sampled_from(("before", "after")))
    board = replace(board, binding=Binding(draw(rounded(0.2, 4.0)), put_on))
    if put_on == "after" or draw(st.integers(0, 5)) == 0:
        return board
    assert board.fret_slots is not None
    return replace(board, blank=None, fret_slots=replace(board.fret_slots, ends="stopped"))


@st.composite
def measured(draw: st.DrawFn, board: Board) -> Board:
    """Slots sawn by hand, mostly well."""
    assert board.fret_slots is not None
    frets, off = board.scale.frets, draw(st.sampled_from((0.1, 0.2, 0.4, 1.1)))
    right = [board.scale.length_mm * (1 - 2 ** (-n / 12)) for n in range(1, frets + 1)]
    errors = draw(st.lists(rounded(-off, off), min_size=frets, max_size=frets))
    places = tuple(round(place + error, 2) for place, error in zip(right, errors, strict=True))
    return replace(board, fret_slots=replace(board.fret_slots, state="already cut", measured_mm=places))


@st.composite
def trimmed(draw: st.DrawFn, board: Board) -> Board:
    """A blank that is longer than the board, with a groove where it ends."""
    width = max(board.nut_width_mm, board.end_width_mm) + draw(rounded(0.5, 12.0))
    trim = draw(st.sampled_from(("nut", "end", "both")))
    depth, wide = draw(rounded(0.2, 5.0)), draw(st.none() | rounded(0.4, 2.0))
    return replace(board, blank=Blank(width, draw(rounded(2.0, 20.0)), draw(rounded(2.0, 20.0)), trim, depth, wide))


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Board, Machine]:
    """A board as it comes, and a machine."""
    board = draw(sound_boards())
    for kind in draw(st.sampled_from(((trimmed,), (bound,), (measured,), (trimmed, measured, bound)))):
        board = draw(kind(board))
    return board, draw(machines(board))


@settings(max_examples=EXAMPLES or 9, derandomize=not EXAMPLES, phases=[Phase.explicit, Phase.generate])
@given(jobs())
def test_a_board_as_it_comes_is_refused_with_a_way_out_or_its_programs_prove(drawn: tuple[Board, Machine]) -> None:
    board, machine = drawn
    try:
        setups = set_up(lay_out(board))
        job = plan_job(setups, machine)
        texts = {program.file: program.text for program in make_programs(job, "test")}
    except Refusal as refusal:
        for problem in refusal.problems:
            assert problem.key and problem.found and problem.hint, str(problem)
        return
    stays_inside(board, [feature for setup in job.clampings.setups[:1] for feature in setup.features])
    verdict = prove_programs(job, texts)
    assert verdict.findings == (), [str(finding) for finding in verdict.findings]
    assert_same_way(job, texts)


def stays_inside(board: Board, features: list[Slot | Hole]) -> None:
    """Nothing is cut into a binding, nothing of a trim into the board, worked out with plain arithmetic."""
    thick = 0.0 if board.binding is None else board.binding.thickness_mm
    for each in features:
        if isinstance(each, Slot) and each.group == "trims":
            left, right = each.start[0] - each.width_mm / 2, each.start[0] + each.width_mm / 2
            assert right <= ROUNDING_MM or left >= board.length_mm - ROUNDING_MM
            continue
        x, y = (each.centre[0], abs(each.centre[1]) + each.diameter_mm / 2) if isinstance(each, Hole) else each.end
        if isinstance(each, Slot) and each.through and board.blank is not None:
            continue
        if each.group != "side dots":
            half = (board.nut_width_mm + (board.end_width_mm - board.nut_width_mm) * x / board.length_mm) / 2
            assert y <= half - thick + ROUNDING_MM
