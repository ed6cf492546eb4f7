"""From clampings to a job, and from a job to its programs: every setup planned and traced, nothing out of reach."""

from dataclasses import replace

from pearlkerf.errors import Problem, Refusal
from pearlkerf.jobs.dry_runs import with_dry_run
from pearlkerf.jobs.model import Job
from pearlkerf.layout.features import Feature
from pearlkerf.machine.model import Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.plan import order_of, plan
from pearlkerf.program.write import Program, write_programs
from pearlkerf.setups.after_gluing import at_this_visit, without_figures
from pearlkerf.setups.carrier import with_carrier
from pearlkerf.setups.holding import with_holding
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.selection import EVERYTHING, Choice, choose_part
from pearlkerf.toolpath.holding import in_the_way_of, nut_meets_wood
from pearlkerf.toolpath.indexing import in_positions
from pearlkerf.toolpath.pointing import POINT_HEIGHT_MM, point_out
from pearlkerf.toolpath.reach import shank_meets_wood
from pearlkerf.toolpath.span import beyond_travel
from pearlkerf.toolpath.trace import trace


def plan_job(clampings: Clampings, machine: Machine, choice: Choice = EVERYTHING) -> Job:
    """Plan all setups of a board, in positions where the travel is too short, or the chosen part of them.

    Raises Refusal with every problem of every setup.
    """
    clampings = with_fits(clampings, machine)
    clampings = at_this_visit(clampings, machine, choice)
    clampings = with_holding(in_positions(clampings, machine), machine)
    if choice != EVERYTHING:
        clampings = choose_part(clampings, [_order(setup, machine) for setup in clampings.setups], choice)
    problems: list[Problem] = []
    workplans: list[Workplan] = []
    for setup in clampings.setups:
        try:
            workplans.append(plan(setup, machine))
            problems += without_figures(setup, [stage.cutter for stage in workplans[-1].stages])
        except Refusal as refusal:
            problems += refusal.problems
    toolpaths = tuple(with_dry_run(trace(workplan), workplan) for workplan in workplans)
    problems += [problem for toolpath in toolpaths for problem in beyond_travel(toolpath)]
    for toolpath in toolpaths:
        problems += [*shank_meets_wood(toolpath), *nut_meets_wood(toolpath), *in_the_way_of(toolpath)]
    if problems:
        raise Refusal(dict.fromkeys(problems))
    return Job(clampings, machine, tuple(workplans), toolpaths, asked=choice.asked)


def with_fits(clampings: Clampings, machine: Machine) -> Clampings:
    """Give clampings with the pockets of inlays fitted for the machine's cutters; raises Refusal where none serve."""
    if not clampings.layout.inlays:
        return clampings  # and waits for no geometry of outlines
    from pearlkerf.setups.fit import fitted

    return fitted(clampings, machine)


def _order(setup: Setup, machine: Machine) -> tuple[Feature, ...]:
    """Give a setup's features in the order in which they are done.

    Of one that the machine cannot cut, which matters only if a part of it is chosen, in the layout's.
    """
    try:
        return order_of(plan(setup, machine))
    except Refusal:
        return setup.features


def with_pointing(job: Job, height_mm: float | None = None) -> Job:
    """Give a job with a pointing run before each setup's cuts, its tip ``height_mm`` over the wood, or as usual.

    Raises Refusal where that cannot be.
    """
    height = POINT_HEIGHT_MM if height_mm is None else height_mm
    runs = [point_out(workplan, height) for workplan in job.workplans]
    problems = [
        problem for run in runs for problem in (*beyond_travel(run), *shank_meets_wood(run), *in_the_way_of(run))
    ]
    if problems:
        raise Refusal(problems)
    paired = zip(runs, job.toolpaths, strict=True)
    toolpaths = tuple(toolpath for pair in paired for toolpath in pair)
    return replace(job, toolpaths=toolpaths, asked={**job.asked, "point_height_mm": runs[0].paths[0].tip_above_mm})


def plan_carrier(clampings: Clampings, machine: Machine) -> Job:
    """Plan the carrier on which a board is cut in positions; raises Refusal where there is none to be made."""
    try:
        clampings = with_fits(clampings, machine)
        job = plan_job(with_carrier(clampings, in_positions(clampings, machine), machine), machine)
    except Refusal as refusal:  # what is wrong with one position is wrong with all
        raise Refusal({problem.key: problem for problem in reversed(refusal.problems)}.values()) from None
    return replace(job, asked={"carrier": True})


def make_programs(job: Job, maker: str) -> tuple[Program, ...]:
    """Write the programs of a job; raises Refusal where nothing is to be cut, or the profile cannot express it."""
    if not job.toolpaths:
        raise Refusal([Problem("there is nothing to cut: the board has no dots, and its slots are there already",
                               hint="say what is to be cut in the board file")])  # fmt: skip
    return write_programs(job.toolpaths, job.title, maker)
