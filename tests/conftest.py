"""Lets test modules import the helpers that stand beside them; no test fails because the machine is busy.

Every program that a test reads, it reads in both lanes of the reader, except where time is measured.
Tests over drawn examples draw few, the same ones every time; PEARLKERF_EXAMPLES=500 draws so many, others each time.
"""

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))

from how_often import EXAMPLES

settings.register_profile(
    "busy machines", deadline=None, suppress_health_check=[HealthCheck.too_slow], max_examples=EXAMPLES or 40,
    derandomize=not EXAMPLES,
)  # fmt: skip
settings.load_profile("busy machines")


@pytest.fixture(scope="session", autouse=True)
def both_lanes(request):
    """Hold the quick lane of the reader against the slow one, whatever is read."""
    if request.config.getoption("benchmark_enable", False):
        yield
        return
    from both_lanes import every_text_in_both

    with every_text_in_both():
        yield


@pytest.fixture(scope="session")
def bench(tmp_path_factory):
    """Keep one bench open for all tests, over a folder in which each has boards of its own."""
    from benches import opened

    with opened(tmp_path_factory.mktemp("bench")) as held:
        yield held


@pytest.fixture(scope="session")
def browser_of_bench():
    """Keep one browser open for all tests of the bench."""
    from benches import browsing

    with browsing() as held:
        yield held
