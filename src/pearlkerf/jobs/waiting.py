"""How long people wait for each program, and what would shorten it where that is long."""

from typing import Final

from pearlkerf.jobs.model import Job
from pearlkerf.operations.sooner import what_would_shorten
from pearlkerf.reading.duration import MachineTime

# beyond an hour people ask what would shorten it
LONG_S: Final = 3600.0


def shortened_by(job: Job, setup: str, cutter: int, time: MachineTime | None) -> tuple[str, ...]:
    """Say what would shorten what a cutter does in a setup; nothing where its program takes an hour or less."""
    if time is None or not time.likely_s > LONG_S:
        return ()
    return tuple(
        f"over an hour, shorter with {text}"
        for plan in job.workplans
        for stage in plan.stages
        if plan.setup.name == setup and stage.cutter.number == cutter
        for text in what_would_shorten(stage, plan.setup, job.machine)
    )
