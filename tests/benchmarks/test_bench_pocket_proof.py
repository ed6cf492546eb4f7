"""The proof of pockets beside their making: at most twice its time, whatever the outline.

Run: pytest tests/benchmarks/test_bench_pocket_proof.py --benchmark-enable -s
Programs as the makers write them, by the processor's time, the least of several runs in turn.
"""

import time

import pytest

from makers import a_machine
from pearlkerf.jobs.making import make_programs
from pearlkerf.machine.model import Cutter
from pearlkerf.proof.prove import Assumed, prove
from pearlkerf.reading.motions import ProgramText
from pockets import DRAWN, a_pocket, clamped_with, job_of

CUTTERS = Cutter(1, "end mill", 1.0, 2, 5.0), Cutter(2, "end mill", 3.0, 2, 12.0)
SPOKEN = ({}, {"arcs": False}, {"unit": "in", "decimals": 4})
TIMES, MOST = 5, 2.0


def took(give):
    """The seconds that something takes of the processor, and what it gives."""
    begun = time.process_time()
    given = give()
    return time.process_time() - begun, given


@pytest.mark.parametrize("dialect", SPOKEN)
@pytest.mark.parametrize("name", DRAWN)
def test_the_proof_takes_at_most_twice_the_making(name, dialect, request):
    if not request.config.getoption("benchmark_enable", False):
        pytest.skip("measures time")
    setup, on = clamped_with([a_pocket(name)]), a_machine(*CUTTERS, **dialect)
    making, proving = [], []
    for _ in range(TIMES):
        seconds, (job, programs) = took(lambda: (job := job_of(setup, on), list(make_programs(job, "test"))))
        texts = [ProgramText(each.file, each.text) for each in programs]
        making.append(seconds)
        seconds, given = took(lambda: prove(texts, [setup], on, Assumed(titles=(job.title,)), "whole setups"))  # noqa: B023
        proving.append(seconds)
        assert given.proved
    print(f"{name}, {dialect}: {sum(len(each.text.splitlines()) for each in programs)} lines, made in "
          f"{min(making) * 1000:.0f} ms, proved in {min(proving) * 1000:.0f} ms")  # fmt: skip
    assert min(proving) <= MOST * min(making)
