"""What holds the wood, ten times as much of it: planning and proving grow with it, and no faster.

Run: pytest tests/benchmarks/test_bench_holding.py --benchmark-enable -s
Posts stand in rows beside a steel-string board, clear of everything, each of them described by itself.
"""

import time
from dataclasses import replace
from pathlib import Path

import pytest

from pearlkerf.board.reader import read_board
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.holding import Holding
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.set_up import set_up

BOARD = Path(__file__).parents[2] / "examples" / "harbour-steel-string.toml"
FEW, MANY = 100, 1000
GROWTH = MANY / FEW


def posts(count: int) -> tuple[Holding, ...]:
    """So many posts in a row on either side of the board."""
    step = 500.0 / count
    rows = [((60.0, 90.0) if n % 2 else (-90.0, -60.0), n * step) for n in range(count)]
    return tuple(
        Holding(f"post {n}", "face", (x, x + step / 2), y, height_mm=4.0, above="wood")
        for n, (y, x) in enumerate(rows, 1)
    )


def planned_and_proved(count: int, machine_name: str) -> float:
    """Seconds that a board with so many posts takes."""
    read = read_board(BOARD)
    assert read.board is not None
    clampings = set_up(lay_out(replace(read.board, holding=posts(count))))
    machine = read_machine(machine_name)
    begun = time.perf_counter()
    job = plan_job(clampings, machine)
    assert len(job.toolpaths[0].setup.holding) == count
    assert prove_programs(job, {each.file: each.text for each in make_programs(job, "benchmark")}).proved
    return time.perf_counter() - begun


@pytest.mark.parametrize("machine_name", ["benchtop-arcs", "production-automatic"])
def test_ten_times_the_boxes_take_no_more_than_ten_times_as_long(machine_name: str) -> None:
    none, few, many = (planned_and_proved(count, machine_name) for count in (1, FEW, MANY))
    print(f"\n{machine_name}: 1 box {none:.2f} s, {FEW} boxes {few:.2f} s, {MANY} boxes {many:.2f} s")
    assert many < GROWTH * max(few - none, 0.1 * none) + none
