"""Kill and interrupt ``cut`` by the hundred, at random and at chosen moments, and look at what its folder holds.

    python tests/saving/break_off.py --count 200 --seed 1

Each run cuts another part of the short board than the folder holds, beside a file of a person's own, in a
process that is ended: at any time of it, shortly after its moves begin, or before one of the calls that
change a folder, by SIGKILL, by SIGINT, or by SIGINT twice.  Whatever the folder then holds must be one of
the two jobs, or bear the mark of an unfinished one; what is put right must be one of them; and the next
``cut`` must take it.  Prints a table of what was found, and fails where anything else was.
"""

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from breaking import Held, Steps, held, is_clean

from pearlkerf.cli import main as command_line
from pearlkerf.files import moves

BOARD = Path(__file__).parents[1] / "golden" / "short-board.toml"
PARTS = ([], ["--only", "face dots"], ["--only", "frets"])
MOMENTS = ("at any time", "among the moves", "at a step")
ENDS = ("kill", "interrupt", "interrupt twice")
MOST_STEPS = 80  # a little more than a whole run has


@dataclass(frozen=True)
class Trial:
    """How one run is ended, and what its folder may hold."""

    moment: str
    end: str
    step: int
    draw: random.Random
    folder: Path
    words: list[str]
    takes_s: float


def cut(folder: Path, words: list[str]) -> int:
    """Cut a part of the short board; give the exit code."""
    try:
        with Path(os.devnull).open("w") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
            command_line(["cut", str(BOARD), "-m", "benchtop-arcs", "-o", str(folder), *words])
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    return 0


def child(trial: Trial, begun: int) -> None:
    """Cut, in a process that is ended; says when its moves begin."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    make = moves.make

    def told(*given: object) -> None:
        os.write(begun, b"!")
        make(*given)  # type: ignore[arg-type]

    moves.make = told
    if trial.moment == "at a step":
        end = "kill" if trial.end == "kill" else "interrupt"
        sys.addaudithook(Steps(trial.step, end).audit)  # type: ignore[arg-type]
    os._exit(cut(trial.folder, trial.words))


def ended(trial: Trial) -> int:
    """Have a run ended; give its exit code, negative where a signal ended it."""
    reads, writes = os.pipe()
    process = os.fork()
    if not process:
        try:
            child(trial, writes)
        finally:  # whatever came before or after its work, it is not the parent
            os._exit(130)
    os.close(writes)
    if trial.moment == "at any time":
        time.sleep(trial.draw.uniform(0, trial.takes_s))
    elif trial.moment == "among the moves":
        os.read(reads, 1)
        time.sleep(trial.draw.uniform(0, 0.012))
    if trial.moment != "at a step":
        os.kill(process, signal.SIGKILL if trial.end == "kill" else signal.SIGINT)
    if trial.end == "interrupt twice":
        time.sleep(trial.draw.uniform(0, 0.003))
        os.kill(process, signal.SIGINT)
    os.close(reads)
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])


def look(trial: Trial, code: int, jobs: tuple[Held, Held]) -> str:
    """Say what a folder holds after a run was ended, and put right; raises AssertionError where it may not."""
    found = held(trial.folder)
    assert moves.JOURNAL in found or found in jobs, "a mix without its mark"
    if code == 0:
        assert (found, is_clean(trial.folder)) == (jobs[1], True), "done, and not the new job"
    before = "unfinished" if moves.JOURNAL in found else "as it was" if found == jobs[0] else "the new job"
    copy = shutil.copytree(trial.folder, trial.folder.with_name("copy"))
    moves.settle(copy)
    assert held(copy) in jobs and is_clean(copy), "put right, and neither job"
    after = "the old job" if held(copy) == jobs[0] else "the new job"
    shutil.rmtree(copy)
    assert cut(trial.folder, trial.words) == 0, "the next cut does not take it"
    assert (held(trial.folder), is_clean(trial.folder)) == (jobs[1], True), "the next cut is not the new job"
    return f"{before:<12} {after}"


def main() -> int:
    """Run, print, and fail where a folder held what it may not."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=200, help="of kills, and of interrupts")
    parser.add_argument("--seed", default="1")
    asked = parser.parse_args()
    draw, told, wrong = random.Random(asked.seed), Counter[str](), 0
    with tempfile.TemporaryDirectory(prefix="pearlkerf-") as place:
        whole = [Path(place, str(number)) for number in range(len(PARTS))]
        for folder, words in zip(whole, PARTS, strict=True):
            folder.mkdir()
            (folder / "notes.txt").write_bytes(b"mine")
            begun = time.perf_counter()
            assert cut(folder, words) == 0
            takes_s = time.perf_counter() - begun
        for number in range(2 * asked.count):
            old, new = draw.sample(range(len(PARTS)), 2) if number % 10 else [0, 0]
            folder = Path(place, "job")
            shutil.copytree(whole[old], folder)
            end = "kill" if number < asked.count else draw.choice(ENDS[1:])
            trial = Trial(
                draw.choice(MOMENTS), end, draw.randrange(MOST_STEPS), draw, folder, PARTS[new], 1.3 * takes_s
            )
            try:
                code = ended(trial)
                said = look(trial, code, (held(whole[old]), held(whole[new])))
            except AssertionError as fault:
                said, wrong = f"WRONG: {fault}", wrong + 1
            told[f"{trial.end:<16} {trial.moment:<16} {said}"] += 1
            shutil.rmtree(folder)
    print(f"{'ended by':<16} {'when':<16} {'the folder':<12} put right")
    print("\n".join(f"{line:<60} {count:>4}" for line, count in sorted(told.items())))
    print(f"\n{sum(told.values())} runs ended, {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
