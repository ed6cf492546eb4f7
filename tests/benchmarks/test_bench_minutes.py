"""Minutes at the machine, over the least that its own bites and feeds allow: all examples on all profiles.

Run: PEARLKERF_MINUTES=1 pytest tests/benchmarks/test_bench_minutes.py -s
The least time of slots is the area that the cutter must sweep, top to floor along each slot, its run-out past the
edges included, over bite times feed, each wall's strip of a narrower cutter counting nothing; of a saw the way of one
pass, its chord past the edges included, over its feed, as many times as the depth has bites, once at least.  The
program's time is that of the model in ``reading/duration.py``, approach, retreat and the spindle's start included:
both come from one run, so their ratio tells how much is gone for nothing.
"""

import math
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from pearlkerf.board.reader import read_board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.layout.features import Slot
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.operations.model import Stage
from pearlkerf.reading.duration import machine_time
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.set_up import set_up

EXAMPLES = sorted(path.stem for path in (Path(__file__).parents[2] / "examples").glob("*.toml"))
# what is held by default: each way to cut slots once; PEARLKERF_MINUTES asks for all examples on all profiles
FEW = (
    ("harbour-steel-string", "workshop-cycles"), ("wren-tenor-ukulele", "benchtop-arcs"),
    ("lantern-classical", "compact-chords"), ("lantern-classical", "workshop-saw"),
)  # fmt: skip
ALL = "PEARLKERF_MINUTES" in os.environ
RUN_OUT_MM = 0.5  # past the wood, beyond the cutter's radius
# the ratios that are held, for jobs with more than a handful of slots; what each slot costs in the air is shared by few
# strokes where slots are short or shallow
MOST = {"through": 1.15, "stopped": 1.23, "side passes": 2.35, "loops": 2.8, "sawn": 2.4, "sawn at once": 2.25}
FEWEST_SLOTS = 5


@dataclass(frozen=True)
class Row:
    """One program's slots: what was cut how, in how many minutes, and in how many at least."""

    example: str
    profile: str
    how: str
    minutes: float
    least: float
    slots: int

    @property
    def ratio(self) -> float:
        """Give the program's time over the least."""
        return self.minutes / self.least


def job_of(example: str, machine: Machine) -> Job | None:
    """Plan an example on a machine, a program for each cutter; None where it cannot be cut there."""
    board = read_board(Path(__file__).parents[2] / "examples" / f"{example}.toml").board
    assert board is not None
    try:
        return plan_job(
            set_up(lay_out(board)), replace(machine, dialect=replace(machine.dialect, cutter_change="file"))
        )
    except Refusal:
        return None


def minutes_of(job: Job) -> list[float]:
    """Give how long each program takes."""
    programs = make_programs(job, "a benchmark")
    readings = [read_program(each.text, each.file, dwell_unit=job.machine.dialect.dwell_unit) for each in programs]
    return [machine_time(reading, job.machine).likely_s / 60 for reading in readings]


def rows_of(example: str, machine: Machine) -> Iterator[Row]:
    """Give the rows of one example on one machine."""
    job = job_of(example, machine)
    if job is None:
        return
    stages = [(stage, plan.setup.stock) for plan in job.workplans for stage in plan.stages]
    for (stage, stock), minutes in zip(stages, minutes_of(job), strict=True):
        slots = [each.feature for each in stage.operations if isinstance(each.feature, Slot)]
        if slots:
            least = sum(least_minutes(slot, stage, stock) for slot in slots)
            yield Row(example, machine.name, how_of(stage, slots), minutes, least, len(slots))


def how_of(stage: Stage, slots: list[Slot]) -> str:
    """Name how slots are cut."""
    strategy = stage.operations[-1].strategy
    if strategy == "sawn":
        deepest = max(-float(slot.floor.z_mm(*end)) for slot in slots for end in slot.ends)
        return "sawn at once" if stage.figures.bite_mm >= deepest else "sawn"
    if strategy == "side passes":  # stopped slots aslant under a crown are still cut in loops
        return strategy if slots[0].through or slots[0].axes.right[1] == 0.0 else "loops"
    return "through" if slots[0].through else "stopped"


def least_minutes(slot: Slot, stage: Stage, stock: Stock) -> float:
    """Give the least time of one slot."""
    (low, high), figures, radius = slot.axes.ends_mm, stage.figures, stage.cutter.radius_mm
    if stage.operations[-1].strategy == "sawn":
        depth = slot.depth_below_top_mm(stock)
        way = high - low + 2 * math.sqrt(depth * (2 * radius - depth))
        return way / figures.feed_mm_min * max(1.0, depth / figures.bite_mm)
    beyond = radius + RUN_OUT_MM if slot.through else 0.0
    along = np.linspace(low - beyond, high + beyond, 1001)
    x, y = slot.axes.at(along)
    area = float(np.trapezoid(stock.top_mm(x, y) - slot.floor.z_mm(x, y), along))
    return area / figures.bite_mm / figures.feed_mm_min


@cache
def every_row() -> tuple[Row, ...]:
    """Give the rows of examples on profiles, and on the saw's with a blade that may go down at once."""
    machines = [read_machine(name) for name in profile_names()]
    for machine in tuple(machines):
        if any(cutter.kind == "saw" for cutter in machine.cutters):
            at_once = [replace(each, bite_mm=4.0) if each.kind == "saw" else each for each in machine.cutters]
            machines.append(replace(machine, name=f"{machine.name}, at once", cutters=tuple(at_once)))
    asked = [(example, machine) for example in EXAMPLES for machine in machines
             if ALL or (example, machine.name.partition(",")[0]) in FEW]  # fmt: skip
    return tuple(row for example, machine in asked for row in rows_of(example, machine))


def test_no_program_takes_much_longer_than_its_bites_and_feeds_ask_for() -> None:
    for row in every_row():
        print(f"{row.example:28}{row.profile:24}{row.how:14}{row.slots:3}{row.minutes:7.1f} min, "
              f"at least {row.least:6.1f}: {row.ratio:5.2f}")  # fmt: skip
    slow = [row for row in every_row() if row.slots >= FEWEST_SLOTS and row.ratio > MOST[row.how]]
    assert not slow
    assert {row.how for row in every_row()} | {"loops"} == set(MOST)


@pytest.mark.parametrize("example", EXAMPLES if ALL else ["wren-tenor-ukulele"])
def test_chords_take_little_longer_than_arcs(example: str) -> None:
    """1.15 at most: the same board on the same machine, whose controller knows arcs, or does not."""
    for name in profile_names() if ALL else ["benchtop-arcs"]:
        machine = read_machine(name)
        with_arcs, with_chords = (job_of(example, replace(machine, dialect=replace(machine.dialect, arcs=arcs)))
                                  for arcs in (True, False))  # fmt: skip
        if with_arcs and with_chords:
            assert sum(minutes_of(with_chords)) <= 1.15 * sum(minutes_of(with_arcs))


def test_a_steel_strings_job_at_the_shortest_reach_that_serves() -> None:
    """All programs of the board, its slots 3.3 mm deep, by a mill that cuts 3.5 mm deep."""
    machine = read_machine("benchtop-arcs")
    cutters = tuple(replace(each, reach_mm=3.5) if each.diameter_mm < 1 else each for each in machine.cutters)
    job = job_of("harbour-steel-string", replace(machine, cutters=cutters))
    assert job is not None
    minutes = minutes_of(job)
    print("steel-string at a reach of 3.5 mm:", *(f"{each:.1f}" for each in minutes), f"in all {sum(minutes):.1f} min")
    assert sum(minutes) <= 36.8
