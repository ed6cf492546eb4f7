"""A job's folder: staged beside it, moved in when all is well, and never over what a person changed."""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final

JOB_FILE: Final = "job.json"


class InTheWay(Exception):
    """Files of the folder that no earlier job lists as they are; only ``--force`` replaces them."""

    def __init__(self, folder: Path, files: tuple[str, ...]) -> None:
        self.folder, self.files = folder, files
        super().__init__(f"{folder}: {', '.join(files)}")


def digest(data: bytes) -> str:
    """Give the SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


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


def _own(folder: Path) -> set[str]:
    """Give the files that an earlier job of the folder lists and nobody changed, its job file among them."""
    try:
        files = json.loads((folder / JOB_FILE).read_bytes())["files"]
        listed = {str(entry["file"]): str(entry["sha256"]) for entry in files if "/" not in str(entry["file"])}
    except (OSError, ValueError, KeyError, TypeError):
        return set()
    paths = {name: folder / name for name in listed}
    return {JOB_FILE} | {
        name for name, path in paths.items() if path.is_file() and digest(path.read_bytes()) == listed[name]
    }


@contextmanager
def staged(folder: Path) -> Iterator[Path]:
    """Give an empty folder beside ``folder``, on the same disk, that is gone afterwards."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    stage = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        yield stage
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def write_and_read_back(stage: Path, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Write files into a stage, force them to the disk, and give what is read back."""
    for name, data in files.items():
        with (stage / name).open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    return {name: (stage / name).read_bytes() for name in files}


def move_in(stage: Path, folder: Path, *, names: tuple[str, ...], force: bool) -> tuple[str, ...]:
    """Move staged files into the folder, the job file last; give the stale files that were removed.

    An earlier job's files that nobody changed are replaced, or removed where they are stale.
    Raises InTheWay, before anything is moved, where other files would be overwritten.
    """
    own = _own(folder)
    blocked = tuple(name for name in names if (folder / name).exists() and name not in own)
    if blocked and not force:
        raise InTheWay(folder, blocked)
    stale = tuple(sorted(own - set(names)))
    folder.mkdir(parents=True, exist_ok=True)
    (folder / JOB_FILE).unlink(missing_ok=True)
    for name in stale:
        (folder / name).unlink()
    for name in sorted(names, key=lambda each: each == JOB_FILE):
        (stage / name).replace(folder / name)
    return stale
