"""Harmful changes of proved programs that look like nothing: each must be found by the rule it breaks.

M1 stops only where the optional-stop switch is on (NISTIR 6556, section 3.6.1); a work offset other
than G54 has its zero where nobody touched off; a slower spindle takes more at each turn.
"""

from pathlib import Path

import pytest

from pearlkerf.board.reader import read_board
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.prove import prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.set_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"


def proved_with(profile: str, old: bytes, new: bytes, which: int = 0) -> Verdict:
    """Prove an example's first program after occurrence ``which`` of some bytes is changed."""
    board = read_board(EXAMPLES / "lantern-classical.toml").board
    assert board is not None
    clampings, machine = set_up(lay_out(board)), read_machine(profile)
    program = make_programs(plan_job(clampings, machine), "test")[0]
    parts = program.text.split(old)
    assert len(parts) > 1, "the program holds no such bytes"
    at = which % (len(parts) - 1)
    changed = old.join(parts[: at + 1]) + new + old.join(parts[at + 1 :])
    return prove([ProgramText(program.file, changed)], clampings.setups, machine)


@pytest.mark.parametrize(
    ("profile", "old", "new", "which", "rule"),
    [
        pytest.param("benchtop-inch-hand", b"\nM0\n", b"\nM1\n", 0, 3, id="optional stop for the spindle's start"),
        pytest.param("benchtop-inch-hand", b"\nM0\n", b"\nM1\n", -1, 9, id="optional stop for the spindle's end"),
        pytest.param("benchtop-arcs", b"G94 G54", b"G94 G55", 0, 2, id="another zero"),
        pytest.param("benchtop-arcs", b"S24000", b"S14000", 0, 3, id="a digit of the speed"),
        pytest.param("benchtop-arcs", b"S24000", b"S8000", 0, 3, id="the slowest speed"),
    ],
)
def test_a_quiet_change_that_harms_is_found(profile: str, old: bytes, new: bytes, which: int, rule: int) -> None:
    assert proved_with(profile, old, old, which).proved
    verdict = proved_with(profile, old, new, which)
    assert rule in {finding.rule for finding in verdict.findings}


def test_a_speed_a_little_lower_is_allowed() -> None:
    assert proved_with("benchtop-arcs", b"S24000", b"S23500").proved
