"""Every strategy has its row, and is traced; what a path can allow for is what the table says."""

from typing import get_args

import pytest

from makers import POCKET_MILL
from pearlkerf.operations.model import Strategy
from pearlkerf.operations.strategies import STRATEGIES
from pearlkerf.operations.widths import TrueWidth


def test_every_strategy_has_its_row() -> None:
    assert set(STRATEGIES) == set(get_args(Strategy))
    assert len({row.why for row in STRATEGIES.values()}) == len(STRATEGIES)


@pytest.mark.parametrize(("strategy", "makes"), [("bore", 6.0), ("side passes", 6.0), ("plunge", 3.0), ("sawn", 3.0)])
def test_a_path_off_the_middle_allows_for_the_cutters_width(strategy: Strategy, makes: float) -> None:
    width = TrueWidth("face", "face dots", POCKET_MILL, strategy, 6.0)
    assert width.makes_mm == makes
    assert ("which no path can allow for" in str(width)) is (makes == 3.0)
