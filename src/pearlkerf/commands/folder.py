"""A job's folder: its programs are written beside it, read back and proved, and only then moved in with their pages."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from pearlkerf.commands.talk import NO_FILE, NOT_PROVED, Steps, say, tell_verdict

if TYPE_CHECKING:
    from pearlkerf.program.write import Program
    from pearlkerf.proof.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Folder:
    """Where a job goes, and how the command talks about it."""

    path: Path
    force: bool
    as_json: bool
    steps: Steps


@dataclass(frozen=True, slots=True)
class Making:
    """How a job's files come about: programs, their proof, their pages, and the record of all of them."""

    programs: "tuple[Program, ...]"
    prove: "Callable[[Mapping[str, bytes]], Verdict]"
    draw: "Callable[[Verdict], dict[str, bytes]]"
    record: Callable[[Mapping[str, bytes]], bytes]


@dataclass(frozen=True, slots=True)
class Saved:
    """What was saved: the verdict, the files' names, and the stale ones of an earlier job that were removed."""

    verdict: "Verdict"
    files: tuple[str, ...]
    stale: tuple[str, ...]


def save_proved(folder: Folder, making: Making) -> Saved:
    """Save a job that is proved; else exit, with the folder as it was."""
    from pearlkerf.files import saving

    with saving.staged(folder.path) as stage:
        texts = saving.write_and_read_back(stage, {program.file: program.text for program in making.programs})
        with folder.steps.step("reading back and proving"):
            verdict = making.prove(texts)
        if not verdict.proved:
            tell_verdict(verdict, folder.as_json)
            say("proof failed: nothing was saved")
            raise SystemExit(NOT_PROVED)
        with folder.steps.step("drawing the pages"):
            pictures = making.draw(verdict)
        files = {**texts, **pictures}
        saving.write_and_read_back(stage, {**pictures, saving.JOB_FILE: making.record(files)})
        try:
            stale = saving.move_in(stage, folder.path, names=(*files, saving.JOB_FILE), force=folder.force)
        except saving.InTheWay as blocked:
            in_the_way = f"{', '.join(blocked.files)} would be overwritten; no earlier job made them as they are"
            say(f"{folder.path}: {in_the_way}")
            say("  hint: choose another folder, or say --force; nothing was written")
            raise SystemExit(NO_FILE) from None
    return Saved(verdict, tuple(files), stale)
