"""All examples on all profiles, proved once, as cases for damage: one for each setup."""

from functools import cache
from pathlib import Path

from oracle import Case

from pearlkerf.board.reader import read_board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.set_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"


def names() -> list[tuple[str, str]]:
    """Every example with every profile."""
    return [(path.stem, profile) for path in sorted(EXAMPLES.glob("*.toml")) for profile in profile_names()]


@cache
def cases(example: str, profile: str) -> tuple[Case, ...]:
    """The setups of an example on a machine; none where the machine is too small."""
    board, machine = read_board(EXAMPLES / f"{example}.toml").board, read_machine(profile)
    try:
        job = plan_job(set_up(lay_out(board)), machine)
        programs = make_programs(job, "Pearlkerf")
    except Refusal:
        return ()
    return tuple(
        Case(f"{example}, {profile}, {setup.name}", setup, machine,
             [(program.file, program.text) for program in programs if f"-{setup.name}-" in program.file])
        for setup in job.clampings.setups
    )  # fmt: skip
