"""Drilling cycles: a hole is visited once."""

import pytest

from pearlkerf.machine.model import Dialect
from pearlkerf.program.blocks import Blocks
from pearlkerf.toolpath.moves import Drill


def cycle(bottom: float, peck: float) -> list[str]:
    """Write a hole 12 mm along the board, from 0.5 mm above the wood."""
    return list(Blocks(Dialect(drilling_cycles=True)).words([Drill(12.0, 3.0, 0.5, 0.0, bottom, peck, 0.01, 120.0)]))


@pytest.mark.parametrize(("bottom", "peck", "wanted"), [
    (-1.6, 1.6, ["G99 G82 X12.0 Y3.0 Z-1.6 R0.5 P0.01 F120.0", "G80"]),  # one peck, and a dwell for a flat floor
    (-3.8, 1.0, ["G99 G83 X12.0 Y3.0 Z-3.8 R0.5 Q1.0 F120.0", "G80"]),
])  # fmt: skip
def test_one_cycle_a_hole(bottom: float, peck: float, wanted: list[str]) -> None:
    assert cycle(bottom, peck) == wanted
