"""All examples on all profiles, proved once, as cases for damage: one for each setup; some of them with clamps."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from oracle import Case

from pearlkerf.board.model import Board
from pearlkerf.board.reader import read_board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.set_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"
HELD = ", held"  # behind an example's name: with the clamps below
HOLDING = """
[[holding]]
name = "clamp at the nut"
x = [-70, -14]
y = [-14, 14]
above_wood = 4

[[holding]]
name = "stop at the front"
x = [90, 170]
y = [-95, -58]
above_wood = 3

[[holding]]
name = "stop at the back"
x = [90, 170]
y = [58, 95]
above_wood = 3

[[holding]]
name = "front jaw"
setup = "edge"
x = [0, 330]
y = [-60, -12]
above_wood = -3

[[holding]]
name = "back jaw"
setup = "edge"
x = [0, 330]
y = [12, 60]
above_wood = -3
"""
HELD_EXAMPLES = ("gull-octave-mandolin", "lantern-classical", "skiff-tenor-guitar")


def names() -> list[tuple[str, str]]:
    """Every example with every profile."""
    return [(path.stem, profile) for path in sorted(EXAMPLES.glob("*.toml")) for profile in profile_names()]


def names_with_held() -> list[tuple[str, str]]:
    """The same, and some of the examples held by clamps that their board file describes."""
    return names() + [(example + HELD, profile) for example in HELD_EXAMPLES for profile in profile_names()]


def _board(example: str) -> Board:
    path = EXAMPLES / f"{example.removesuffix(HELD)}.toml"
    if not example.endswith(HELD):
        return read_board(path).board
    with TemporaryDirectory() as folder:
        held = Path(folder) / path.name
        held.write_text(path.read_text("utf-8") + HOLDING, "utf-8")
        return read_board(held).board


@cache
def cases(example: str, profile: str) -> tuple[Case, ...]:
    """The setups of an example on a machine; none where the machine is too small, or its spindle too wide."""
    machine = read_machine(profile)
    try:
        job = plan_job(set_up(lay_out(_board(example))), machine)
        programs = make_programs(job, "Pearlkerf")
    except Refusal:
        return ()
    return tuple(
        Case(f"{example}, {profile}, {setup.name}", setup, machine,
             [(program.file, program.text) for program in programs if f"-{setup.name}-" in program.file])
        for setup in job.clampings.setups
    )  # fmt: skip
