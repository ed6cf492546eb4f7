"""Write the golden programs, figures of cutters and findings anew, after a change that is meant; then read the diff.

python tests/golden/renew.py
"""

from pathlib import Path

from pearlkerf.board.reader import read_board
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.set_up import set_up

FOLDER = Path(__file__).parent
MAKER = "Pearlkerf, golden"


def golden_programs(machine: str) -> dict[str, bytes]:
    """The programs of the short board for a machine, by file name."""
    board = read_board(FOLDER / "short-board.toml").board
    assert board is not None
    return {
        program.file: program.text
        for program in make_programs(_job(set_up(lay_out(board)), read_machine(machine)), MAKER)
    }


def _job(clampings: Clampings, machine: Machine) -> Job:
    """All of a board, or its face alone on a machine that it does not stand under on its edge."""
    try:
        return plan_job(clampings, machine)
    except Refusal:
        return plan_job(clampings, machine, Choice(only=("frets", "face dots")))


def golden_findings() -> list[str]:
    """What the proof tells of damaged programs, in all cases."""
    from told import cases, told

    return [line for name in cases() for line in told(name)]


def golden_cutters() -> list[str]:
    """What every mill of every profile does, beside what it did before."""
    from cutters import table

    return table()


def main() -> None:
    """Write all of them."""
    for machine in profile_names():
        folder = FOLDER / machine
        folder.mkdir(exist_ok=True)
        for old in folder.iterdir():
            old.unlink()
        for file, text in golden_programs(machine).items():
            (folder / file).write_bytes(text)
    (FOLDER / "cutters.txt").write_text("\n".join(golden_cutters()) + "\n")
    (FOLDER / "findings.txt").write_text("\n".join(golden_findings()) + "\n")


if __name__ == "__main__":
    main()
