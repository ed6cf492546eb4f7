"""A job's folder: staged in it, moved in whole when all is well, and never over what a person changed."""

import errno
import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Final

from pearlkerf.files import moves
from pearlkerf.files.moves import Moves, digest, digest_of, is_plain, is_there
from pearlkerf.files.whole import alone_in, read_file, write_through

JOB_FILE: Final = moves.RECORD
SAVED: Final = "the new job is saved"
AS_IT_WAS: Final = "nothing is changed"
MOST_RECORD_BYTES: Final = 16 << 20  # far more than any job's record has


class InTheWay(Exception):
    """Files of the folder that no earlier job lists as they are; only ``--force`` replaces them."""

    def __init__(self, folder: Path, files: tuple[str, ...]) -> None:
        self.folder, self.files = folder, files
        super().__init__(f"{folder}: {', '.join(files)}")


def job_record(
    board: bytes, profile: bytes, files: Mapping[str, bytes], maker: str, asked: Mapping[str, object] | None = None
) -> bytes:
    """Give job.json: what it was made from, every file with its hash, and what was ``asked`` for beyond the board."""
    listed = [{"file": name, "sha256": digest(data)} for name, data in files.items()]
    record = {
        "made_by": maker,
        "board_sha256": digest(board),
        "machine_sha256": digest(profile),
        **(asked or {}),
        "files": listed,
    }
    return (json.dumps(record, indent=2) + "\n").encode("ascii")


def named_files(files: Mapping[str, bytes]) -> dict[str, object]:
    """Give the part of job.json that tells the files which a board names, with their hashes; nothing where none is."""
    return {"files_beside": [{"file": name, "sha256": digest(data)} for name, data in files.items()]} if files else {}


@dataclass(frozen=True, slots=True)
class MadeFrom:
    """What a job's record says: hashes of the board file and of the profile it was made from, and of its files."""

    board_sha256: str
    machine_sha256: str
    files: Mapping[str, str]


def recorded(folder: Path) -> MadeFrom | None:
    """Give what a job's folder was made from and holds, by its record; None where it has none, or no whole one."""
    try:
        record = json.loads(read_file(folder / JOB_FILE, MOST_RECORD_BYTES))
        files = {str(entry["file"]): str(entry["sha256"]) for entry in record["files"]}
        return MadeFrom(str(record["board_sha256"]), str(record["machine_sha256"]), files)
    except (OSError, ValueError, KeyError, TypeError):
        return None


def made_from(program: Path) -> MadeFrom | None:
    """Give what a program was made from, by the record of the job beside it; None where it is not of that job."""
    made = recorded(program.parent)
    return made if made is not None and program.name in made.files else None


def _listed(folder: Path) -> dict[str, str]:
    """Give the files that an earlier job of the folder lists, with their hashes; none where no job is recorded."""
    try:
        files = json.loads(read_file(folder / JOB_FILE, MOST_RECORD_BYTES))["files"]
        listed = {str(entry["file"]): str(entry["sha256"]) for entry in files}
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    return {name: found for name, found in listed.items() if is_plain(name)} | {JOB_FILE: digest_of(folder / JOB_FILE)}


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """Give an empty place in ``folder`` for what is to be moved in; it is gone afterwards.

    What an earlier run has left unfinished is ended first.  Where this one is broken off, the folder holds
    what it held before, or the new job, and a note of what broke it off says which.  Raises OSError.
    """
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with alone_in(folder):
            moves.settle(folder)
            before = digest_of(folder / JOB_FILE)
            try:
                try:
                    yield moves.arrivals(folder)
                finally:
                    moves.settle(folder)
            except BaseException as fault:
                if not is_unfinished(folder):
                    fault.add_note(f"{folder}: {AS_IT_WAS if digest_of(folder / JOB_FILE) == before else SAVED}")
                raise
    finally:
        for each in missing:
            with suppress(OSError):  # only those that this run has made, and left empty
                each.rmdir()


def is_unfinished(folder: Path) -> bool:
    """Say whether a run was broken off among its moves into a folder; the next one ends them."""
    return is_there(folder / moves.JOURNAL)


def write_and_read_back(stage: Path, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Write files into a stage, force them to the disk, and give what is read back."""
    for name, data in files.items():
        write_through(stage / name, data)
    return {name: (stage / name).read_bytes() for name in files}


@dataclass(frozen=True, slots=True)
class MovedIn:
    """What moving in did to the folder's other files: stale ones of an earlier job that were ``removed``.

    And those that were ``kept`` and are no part of the job: what an earlier one made and somebody
    changed, and whatever else ends as its programs do.
    """

    removed: tuple[str, ...]
    kept: tuple[str, ...]


def move_in(stage: Path, folder: Path, *, files: Iterable[str], programs: Iterable[str], force: bool) -> MovedIn:
    """Move staged files and the job file into the folder, all of them or none.

    An earlier job's files that nobody changed are replaced, or removed where they are stale.
    Raises InTheWay, before anything is moved, where other files would be overwritten; OSError where a
    folder would be, or what has moved cannot.
    """
    names = (*files, JOB_FILE)
    listed = _listed(folder)
    own = {name for name, found in listed.items() if found and digest_of(folder / name) == found}
    there = [name for name in names if is_there(folder / name)]
    blocked = tuple(name for name in there if name not in own)
    if blocked and not force:
        raise InTheWay(folder, blocked)
    for name in blocked:
        if (folder / name).is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(folder / name))
    stale = tuple(sorted(own.difference(names)))
    endings = {PurePath(name).suffix.lower() for name in programs}
    kept = [
        path.name
        for path in folder.iterdir()
        if (path.name in listed or path.suffix.lower() in endings) and path.is_file()
    ]
    moves.make(folder, Moves({name: digest_of(stage / name) for name in names}, (*there, *stale)))
    return MovedIn(stale, tuple(sorted(set(kept).difference(names, stale))))
