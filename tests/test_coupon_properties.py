"""Coupons and calibration pieces of random boards on random machines: refused with a way out, or proved and as stated.

More examples by hand: PEARLKERF_EXAMPLES=300 python -m pytest tests/test_coupon_properties.py
"""

from hypothesis import given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from pearlkerf.errors import Refusal
from pearlkerf.jobs.pieces import Kind, Wish, lay_out_piece
from pearlkerf.proof.measures import measure
from pearlkerf.setups.coupons import on_scrap
from pearlkerf.setups.scrap import Scrap
from test_whole_way_properties import cut, jobs, laid

SCRAPS = st.none() | st.builds(
    Scrap, st.integers(20, 400).map(float), st.integers(10, 120).map(float), st.integers(2, 20).map(float)
)
WITHIN_MM = 0.005


@settings(max_examples=EXAMPLES or 8)
@given(jobs(), SCRAPS, st.sampled_from(("fits", "calibration")))
def test_a_piece_is_refused_with_a_way_out_or_proved_and_of_the_stated_sizes(
    job: tuple, scrap: Scrap | None, kind: Kind
) -> None:
    board, machine, _ = job
    clampings = laid(board)
    try:
        laid_out = lay_out_piece(clampings, machine, Wish(kind, scrap))
        piece, left_out = laid_out.of, laid_out.left_out
        made, _, verdict = cut(on_scrap(clampings.layout, (piece.setup,), "piece"), machine)
    except Refusal as refusal:
        assert refusal.problems and all(problem.found and problem.hint for problem in refusal.problems)
        return
    assert all(problem.hint for problem in left_out)
    assert verdict.proved, [str(finding) for finding in verdict.findings[:3]]
    measures = measure(verdict.programs, made.clampings.setups[0], machine)
    assert [each.name for each in measures] == [feature.name for feature in piece.setup.features]
    worst = max(measures, key=lambda each: each.off_mm)
    assert worst.off_mm <= WITHIN_MM, worst
