"""How long the dry run of a setup takes: that of its pointing run, written and read back like any program."""

from dataclasses import replace

from pearlkerf.errors import Refusal
from pearlkerf.operations.model import Workplan
from pearlkerf.program.write import write_programs
from pearlkerf.reading.duration import durations
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.dry_run import DryRun
from pearlkerf.toolpath.moves import Toolpath
from pearlkerf.toolpath.pointing import point_out


def with_dry_run(toolpath: Toolpath, workplan: Workplan) -> Toolpath:
    """Give a toolpath that tells of its setup's dry run; scrap has none, nor has what cannot be pointed at.

    Minutes are whole ones, one at least, of the moves alone: people at its stops are not counted.
    """
    if workplan.setup.is_trial:
        return toolpath
    try:
        run = point_out(workplan)
    except Refusal:  # no cutter that points downward, or no room under the clearance: told where it is asked for
        return toolpath
    machine = workplan.machine
    programs = write_programs((run,), "", "")
    readings = [read_program(each.text, each.file, dwell_unit=machine.dialect.dwell_unit) for each in programs]
    seconds = sum(float(durations(each.motions, machine, each.events).sum()) for each in readings)
    stops = sum(bool(cut.stop) for path in run.paths for cut in path.cuts)
    return replace(toolpath, dry_run=DryRun(stops, max(1, round(seconds / 60))))
