"""What could cut each group of features, what was chosen, and how long each way takes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pearlkerf.errors import Refusal
from pearlkerf.jobs.model import Job
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.plan import plan
from pearlkerf.program.write import write_programs
from pearlkerf.reading.duration import MachineTime, machine_time
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.trace import trace


@dataclass(frozen=True, slots=True)
class Way:
    """One way to cut a group of a setup: with which cutter, how, how long it takes, and whether it was chosen."""

    setup: str
    group: str
    cutter: Cutter
    how: tuple[str, ...]
    time: MachineTime
    chosen: bool


def ways_of(job: Job) -> tuple[Way, ...]:
    """Give every way that the machine has for each group, in the order to run, what was chosen first.

    Times are those of programs of their own, read back: the same estimate as on the job card.
    """
    return tuple(way for workplan in job.workplans for way in _ways(workplan, job.machine))


def _ways(workplan: Workplan, machine: Machine) -> Iterator[Way]:
    setup = workplan.setup
    chosen = {
        (operation.feature.group, stage.cutter.number): stage.cutter
        for stage in workplan.stages for operation in stage.operations
    }  # fmt: skip
    for group in dict.fromkeys(group for group, _ in chosen):
        own = [cutter for (of, _), cutter in chosen.items() if of == group]
        if len(own) == 1:
            others = [cutter for cutter in machine.cutters if cutter not in own]
            for cutter in (*own, *others):
                yield from _way(_only(setup, group), group, cutter, machine, own)


def _only(setup: Setup, group: str) -> Setup:
    return replace(setup, features=tuple(feature for feature in setup.features if feature.group == group))


def _way(setup: Setup, group: str, cutter: Cutter, machine: Machine, own: list[Cutter]) -> Iterator[Way]:
    """Give the way of one cutter alone, if it serves for all of a group."""
    alone = replace(machine, cutters=(cutter,), dialect=replace(machine.dialect, cutter_change="file"))
    try:
        workplan = plan(setup, alone)
        (program,) = write_programs((trace(workplan),), "", "")
    except Refusal:
        return
    reading = read_program(program.text, program.file, dwell_unit=alone.dialect.dwell_unit)
    how = tuple(dict.fromkeys(operation.strategy for stage in workplan.stages for operation in stage.operations))
    yield Way(setup.name, group, cutter, how, machine_time(reading, alone), cutter in own)
