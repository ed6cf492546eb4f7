"""One file, read within limits or written whole: beside its place first, and into it in one step."""

import errno
import os
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

if sys.platform != "win32":
    import fcntl

MOST_PROGRAM_BYTES: Final = 64 << 20  # 64 MiB
MOST_PROGRAM_LINES: Final = 2_000_000


def read_file(path: Path, most_bytes: int) -> bytes:
    """Give the bytes of a file, at most one more than ``most_bytes``; raises OSError, for pipes and devices too.

    What a path leads to is asked before it is opened: opening a pipe waits for somebody to write, and
    opening a device may do something.
    """
    _only_a_file(path.stat().st_mode, path)
    with path.open("rb") as file:
        return file.read(most_bytes + 1)


def read_program_file(path: Path) -> bytes:
    """Give the bytes of a program; raises OSError, for one that is longer than the limits above too."""
    data = read_file(path, MOST_PROGRAM_BYTES)
    if len(data) > MOST_PROGRAM_BYTES:
        raise OSError(errno.EFBIG, f"has more than {MOST_PROGRAM_BYTES >> 20} MiB, the most of a program", str(path))
    lines = data.count(b"\n") + (not data.endswith(b"\n"))
    if lines > MOST_PROGRAM_LINES:
        raise OSError(errno.EFBIG, f"has {lines} lines; a program has at most {MOST_PROGRAM_LINES}", str(path))
    return data


def _only_a_file(mode: int, path: Path) -> None:
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "is no file: a pipe or a device is neither read nor replaced", str(path))


class NotAsItWas(Exception):
    """A file that was to be replaced is not what it was thought to be; ``now`` says what it holds, None for nothing."""

    def __init__(self, path: Path, now: bytes | None) -> None:
        self.path, self.now = path, now
        super().__init__(str(path))


def whatever_it_holds(now: bytes | None) -> bool:  # noqa: ARG001 - whatever it is
    """Let a file be replaced."""
    return True


def replace_file(path: Path, data: bytes, may_replace: Callable[[bytes | None], bool] = whatever_it_holds) -> None:
    """Write a file: whoever looks sees the old one or the new one, wherever the run ends.

    Where it is a link, what it leads to is replaced.  What a killed run left beside it is cleared away.
    ``may_replace`` is asked while no other run writes there, with what the file holds, None where there is none.
    Raises OSError or NotAsItWas, with the old file as it was.
    """
    target = path.resolve()
    part = target.with_name(f".{target.name}.pearlkerf-part")
    with alone_in(target.parent):
        mode = target.stat().st_mode if target.exists() else None
        if mode is not None:
            _only_a_file(mode, path)
        if may_replace is not whatever_it_holds:
            now = None if mode is None else target.read_bytes()
            if not may_replace(now):
                raise NotAsItWas(path, now)
        try:
            part.unlink(missing_ok=True)
            write_through(part, data)
            if mode is not None:
                part.chmod(stat.S_IMODE(mode))
            part.replace(target)
        except BaseException as fault:
            with suppress(OSError):  # where nothing can be written, nothing can be cleared away
                part.unlink(missing_ok=True)
            if isinstance(fault, OSError):
                fault.filename, fault.filename2 = str(path), None
            raise
        names_through(target.parent)


def write_through(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, and force it to the disk."""
    try:
        with path.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:  # a full disk does not say which file did not fit
        fault.filename = str(path)
        raise


def names_through(folder: Path) -> None:
    """Force to the disk which names a folder holds, where the system can do that."""
    if sys.platform == "win32":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):  # some file systems force no folder; what fails here has been done all the same
            os.fsync(opened)
    finally:
        os.close(opened)


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Let one run at a time write into a folder: the next one waits, and a killed run holds nobody up.

    Where the system has no such locks, or none on this disk, nobody waits.
    """
    if sys.platform == "win32":
        yield
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):
            fcntl.flock(opened, fcntl.LOCK_EX)
        yield
    finally:
        os.close(opened)
