"""Breaking off a run that saves, at a step that is chosen by its number.

A kill, of a process of its own, comes before each call that changes a folder, wherever it is made
(PEP 578), and so after the one before it; an interrupt comes before each line that saves and moves.
"""

import json
import os
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any, Literal

from pearlkerf.files import moves, saving
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import JOB_FILE, MovedIn, move_in, staged, write_and_read_back

End = Literal["kill", "interrupt"]
Held = dict[str, bytes]
OF_MOVES = {moves.__file__, saving.__file__}
ON_DISK = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "open"}
# functions while which nothing has to be put right yet, or somebody else does
AT_WORK = {"move_in", "write_and_read_back"}
DONE, INTERRUPTED, ENDING = 0, 130, 131


def save(folder: Path, files: Held, force: bool = False) -> MovedIn:
    """Save a job of some files, all of them programs."""
    listed = [{"file": name, "sha256": digest(data)} for name, data in files.items()]
    with staged(folder) as stage:
        write_and_read_back(stage, {**files, JOB_FILE: json.dumps({"files": listed}).encode()})
        return move_in(stage, folder, files=tuple(files), programs=tuple(files), force=force)


def held(folder: Path) -> Held:
    """Give what a folder holds, the place of a run's own left out."""
    if not folder.exists():
        return {}
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != moves.SAVING}


def is_clean(folder: Path) -> bool:
    """Say whether nothing of a run's own is left in a folder."""
    return not any((folder / name).exists() for name in (moves.SAVING, moves.JOURNAL))


@dataclass(frozen=True)
class Broken:
    """How a process ended: killed, interrupted at its work or while it cleared up, or done."""

    code: int

    @property
    def is_done(self) -> bool:
        return self.code == DONE

    @property
    def at_work(self) -> bool:
        return self.code == INTERRUPTED


class Steps:
    """Counts steps, and ends the process at one of them."""

    def __init__(self, at: int, end: End) -> None:
        self.left, self.end, self.at_work = at, end, False

    def step(self, frame: FrameType | None) -> None:
        self.left -= 1
        if self.left != -1:
            return
        if self.end == "kill":
            os.kill(os.getpid(), signal.SIGKILL)
        while frame is not None:
            self.at_work |= frame.f_code.co_name in AT_WORK
            frame = frame.f_back
        raise KeyboardInterrupt

    def trace(self, frame: FrameType, event: str, _argument: object) -> Any:
        if frame.f_code.co_filename not in OF_MOVES:
            return None
        if event == "line":
            self.step(frame)
        return self.trace

    def audit(self, event: str, _arguments: object) -> None:
        if event in ON_DISK:
            self.step(None)


def broken_off(work: Callable[[], object], at: int, end: End) -> Broken:
    """Do some work that is ended at a step; give how it ended."""
    steps = Steps(at, end)
    return _killed(work, steps) if end == "kill" else _interrupted(work, steps)


def _interrupted(work: Callable[[], object], steps: Steps) -> Broken:
    before = sys.gettrace()
    sys.settrace(steps.trace)
    try:
        work()
    except KeyboardInterrupt:
        return Broken(INTERRUPTED if steps.at_work else ENDING)
    finally:
        sys.settrace(before)
    return Broken(DONE)


def _killed(work: Callable[[], object], steps: Steps) -> Broken:
    child = os.fork()
    if not child:
        try:
            sys.addaudithook(steps.audit)
            work()
            os._exit(DONE)
        finally:
            os._exit(1)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert code in (DONE, -signal.SIGKILL), code
    return Broken(code)
