"""Moves into a folder that are made wholly or not at all, wherever the run ends that makes them.

    DIR/.pearlkerf-saving/new/   what is to arrive, written and forced to the disk
    DIR/.pearlkerf-saving/old/   what has left to make room for it
    DIR/job-unfinished.json      what arrives and what leaves; there from before the first move until all is well

The folder's record leaves first and arrives last.  Its arrival is one step, and with it the new files count;
until then the old ones do.  So the disk alone says how to end what was broken off: ``settle`` puts all back,
or clears what has left away, and may itself be broken off and begun again.  All of it lies in the folder
itself, so that every move stays on one disk, whatever is mounted there.
"""

import errno
import hashlib
import json
import os
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pearlkerf.files.whole import names_through, read_file, write_through

RECORD: Final = "job.json"
JOURNAL: Final = "job-unfinished.json"
SAVING: Final = ".pearlkerf-saving"
NOTE: Final = (
    "A job was being moved into this folder when the run that saved it ended. Use no program here: "
    "they may be of two jobs. Say pearlkerf cut again, which puts this right."
)
# far more than the names and hashes of any job
MOST_JOURNAL_BYTES: Final = 16 << 20


@dataclass(frozen=True, slots=True)
class Moves:
    """What is to arrive in a folder, each name with its hash, the record last; and which names leave it."""

    arriving: Mapping[str, str]
    leaving: tuple[str, ...]


def digest(data: bytes) -> str:
    """Give the SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def digest_of(path: Path) -> str:
    """Give the SHA-256 of a file, in hexadecimal; "" where a name leads to no file."""
    if not path.is_file():
        return ""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def is_there(path: Path) -> bool:
    """Say whether a name is taken, by a link that leads nowhere too."""
    return os.path.lexists(path)


def is_plain(name: str) -> bool:
    """Say whether a name stands for something in the folder itself."""
    return name not in ("", "..") and Path(name).name == name and "\\" not in name


def arrivals(folder: Path) -> Path:
    """Give the empty place where what is to arrive in a settled folder is written."""
    place = folder / SAVING / "new"
    place.mkdir(parents=True)
    return place


def make(folder: Path, moves: Moves) -> None:
    """Make the moves; whatever breaks them off, ``settle`` ends them one way or the other."""
    new, old = folder / SAVING / "new", folder / SAVING / "old"
    old.mkdir()
    _write_journal(folder, moves)
    for name in sorted(moves.leaving, key=lambda each: each != RECORD):
        (folder / name).rename(old / name)
    for name in moves.arriving:
        if name != RECORD:
            (new / name).rename(folder / name)
    for place in (old, new, folder):
        names_through(place)
    (new / RECORD).rename(folder / RECORD)
    names_through(folder)


def settle(folder: Path) -> bool:
    """End what was broken off in a folder, and clear it away: say whether the new files are those that count.

    Raises OSError where a person has changed what would have to be put back, or a disk fails; the next
    call goes on from there.
    """
    saving, journal = folder / SAVING, folder / JOURNAL
    arrived = False
    if is_there(journal):
        arrived = _end(folder, _read_journal(journal))
        journal.unlink()
        names_through(folder)
    if is_there(saving):
        _no_one_waits(saving / "old")
        shutil.rmtree(saving)
    return arrived


def _end(folder: Path, moves: Moves) -> bool:
    """Leave nothing in ``old``, one way or the other."""
    old = folder / SAVING / "old"
    # where the old record has the same bytes, it is there before anything has left, or after all is back
    if digest_of(folder / RECORD) == moves.arriving[RECORD]:
        if is_there(old):
            old.rename(folder / SAVING / "gone")
        return True
    if not is_there(old):
        raise OSError(errno.ENOENT, f"is gone, and {JOURNAL} needs it; move the programs to another folder", str(old))
    _put_back(folder, old, moves)
    names_through(folder)
    return False


def _put_back(folder: Path, old: Path, moves: Moves) -> None:
    """Send away what has arrived, and put back what has left, the record last."""
    back = [name for name in moves.leaving if is_there(old / name)]
    stayed = set(moves.leaving).difference(back)
    for name in sorted({*moves.arriving, *back} - stayed):
        path = folder / name
        if is_there(path) and digest_of(path) != moves.arriving.get(name):
            raise OSError(errno.EEXIST, f"was changed while {JOURNAL} is there; move it to another folder", str(path))
    for name in sorted(set(moves.arriving).difference(moves.leaving)):
        (folder / name).unlink(missing_ok=True)
    for name in sorted(back, key=lambda each: each == RECORD):
        (old / name).replace(folder / name)


def _no_one_waits(old: Path) -> None:
    """Refuse to clear away what has left, where nobody says any more what became of it."""
    if is_there(old) and any(old.iterdir()):
        raise OSError(errno.EEXIST, f"holds what a broken-off run moved away, {JOURNAL} is gone; move it", str(old))


def _write_journal(folder: Path, moves: Moves) -> None:
    listed = [{"file": name, "sha256": found} for name, found in moves.arriving.items()]
    text = json.dumps({"note": NOTE, "arriving": listed, "leaving": moves.leaving}, indent=2) + "\n"
    written = folder / SAVING / JOURNAL
    write_through(written, text.encode("utf-8"))
    written.rename(folder / JOURNAL)
    names_through(folder)


def _read_journal(path: Path) -> Moves:
    try:
        read = json.loads(read_file(path, MOST_JOURNAL_BYTES))
        moves = Moves({str(each["file"]): str(each["sha256"]) for each in read["arriving"]}, tuple(read["leaving"]))
        right = RECORD in moves.arriving and all(map(is_plain, (*moves.arriving, *moves.leaving)))
    except (ValueError, KeyError, TypeError):
        right = False
    if not right:
        raise OSError(errno.EINVAL, "is not as it was written; choose another folder", str(path))
    return moves
