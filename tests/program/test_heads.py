"""What every head says besides how the board lies: where its zero is set, and whether corners are kept."""

import re
from dataclasses import replace
from functools import cache

import pytest

from makers import POCKET_MILL, SIDE_MILL, SLOT_MILL, a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_carrier, plan_job, with_pointing
from pearlkerf.jobs.pieces import SETUPS, Wish, lay_out_piece, plan_piece
from pearlkerf.machine.model import Carrier
from pearlkerf.setups.words import sentences

ZERO, CORNERS = "zero is set in G54", "corners may be rounded by the controller"


@cache
def heads(**dialect: str) -> tuple[str, ...]:
    """The words before the first motion of all programs: of a board, its pointing runs, pieces, a carrier."""
    machine = a_machine(SLOT_MILL, POCKET_MILL, replace(SIDE_MILL, reach_mm=9.0), **dialect)
    narrow = replace(machine, travel=replace(machine.travel, x_mm=90.0), carrier=Carrier(25.0))
    pieces = [plan_piece(lay_out_piece(clamped(), machine, Wish(each)), clamped(), machine, each)
              for each in SETUPS.values()]  # fmt: skip
    jobs = [with_pointing(plan_job(clamped(), machine)), *pieces, plan_carrier(clamped(), narrow)]
    texts = [program.text.decode() for job in jobs for program in make_programs(job, "test")]
    return tuple(re.sub(r"\)\n(?:N\d+ )?\(- ", " ", text.partition("G0 Z")[0].partition("G0 G43")[0]) for text in texts)


@pytest.mark.parametrize("path_control", ["none", "exact"])
def test_every_head_says_where_zero_is_set_and_whether_corners_are_kept(path_control: str) -> None:
    for head in heads(path_control=path_control):
        assert head.count(f"({ZERO})") == 1 and "G54" in head.replace(ZERO, "")
        assert head.count(f"({CORNERS})") == (path_control == "none") == ("G61" not in head)


def test_the_card_says_where_zero_is_set() -> None:
    assert all(sentences(setup).count(ZERO) == 1 for setup in clamped().setups)
