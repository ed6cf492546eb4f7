"""Every example on every machine that is shipped, planned and written once for all tests that read programs."""

from functools import cache
from pathlib import Path

from pearlkerf.board.reader import read_board_text
from pearlkerf.errors import Refusal
from pearlkerf.files.beside import BesideIn
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.program.write import Program
from pearlkerf.setups.set_up import set_up

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))


# machines that no board stands under on its edge: it is cut on its face alone
LOW = {"engraver-300"}


def tall_profiles() -> list[str]:
    """Every profile that a board fits on its edge, too."""
    return [name for name in profile_names() if name not in LOW]


def names() -> list[tuple[str, str]]:
    """Every example with every profile."""
    return [(path.stem, profile) for path in EXAMPLES for profile in profile_names()]


@cache
def example_job(example: str, profile: str, more: str = "") -> tuple[Job, tuple[Program, ...]] | None:
    """Give the job of an example on a machine, and its programs; None where it does not fit.

    ``more`` is written behind the example's own tables.
    """
    path = next(path for path in EXAMPLES if path.stem == example)
    read = read_board_text((path.read_text(encoding="utf-8") + more).encode(), path.name, BesideIn(path.parent))
    try:
        job = plan_job(set_up(lay_out(read.board, read.files)), read_machine(profile))
        return job, tuple(make_programs(job, "Pearlkerf"))
    except Refusal:
        return None
