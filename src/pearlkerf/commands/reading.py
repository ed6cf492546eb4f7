"""From files to a layout and a planned job, with every mistake at its place in the board file."""

from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pearlkerf.board.reader import BoardFile
    from pearlkerf.errors import Problem
    from pearlkerf.job import Job
    from pearlkerf.layout.model import Layout
    from pearlkerf.machine.model import Machine
    from pearlkerf.setups.model import Clampings
    from pearlkerf.setups.selection import Choice

# keys of a refusal that stand in the machine's profile; "holding" alone is one of its boxes
OF_THE_PROFILE: Final = ("cutter.", "spindle.")


def lay_out_file(path: Path) -> tuple["BoardFile", "Layout"]:
    """Read and lay out a board; raises Refusal with every mistake of both, in the file's order."""
    from pearlkerf.board.reader import read_board
    from pearlkerf.errors import Refusal
    from pearlkerf.layout.lay_out import lay_out

    board = read_board(path)
    problems, layout = list(board.problems), None
    if board.board is not None:
        try:
            layout = lay_out(board.board)
        except Refusal as refusal:
            problems += [board.places.put(problem) for problem in refusal.problems]
    if problems or layout is None:
        raise Refusal(sorted(dict.fromkeys(problems), key=lambda problem: (problem.line or 0, problem.column or 0)))
    return board, layout


def plan_file(board: "BoardFile", clampings: "Clampings", machine: "Machine", choice: "Choice | None" = None) -> "Job":
    """Plan a laid-out board, or a chosen part of it; raises Refusal whose places are those of its file."""
    from pearlkerf.job import plan_job
    from pearlkerf.setups.selection import EVERYTHING

    with _placed(board, machine):
        return plan_job(clampings, machine, choice or EVERYTHING)


def plan_carrier_file(board: "BoardFile", clampings: "Clampings", machine: "Machine") -> "Job":
    """Plan the carrier for a laid-out board; raises Refusal whose places are those of its file."""
    from pearlkerf.job import plan_carrier

    with _placed(board, machine):
        return plan_carrier(clampings, machine)


@contextmanager
def _placed(board: "BoardFile", machine: "Machine") -> "Iterator[None]":
    """Give what is refused its places in a board's file; what the profile says has its, options and carriers none."""
    from pearlkerf.errors import Refusal

    try:
        yield
    except Refusal as refusal:
        raise Refusal(_place(problem, board, machine) for problem in refusal.problems) from None


def _place(problem: "Problem", board: "BoardFile", machine: "Machine") -> "Problem":
    if problem.key.startswith(("--", "carrier")):
        return problem
    if problem.key == "holding" or problem.key.startswith(OF_THE_PROFILE):
        return problem.at(f"{machine.name}.toml")
    return board.places.put(problem)


def maker() -> str:
    """Name and version of this program, as its files give them."""
    from pearlkerf.version import VERSION

    return f"Pearlkerf {VERSION}"
