"""Folders as shops have them: on another disk, at a mount point, with a file that nobody can move, on a full disk."""

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from breaking import Held, held, is_clean, save

from pearlkerf.files.whole import alone_in, replace_file

MEMORY = Path("/dev/shm")
OLD: Held = {"1.nc": b"old", "2.nc": b"stale"}
NEW: Held = {"1.nc": b"new", "3.nc": b"added"}


@contextmanager
def mounted(place: Path, size: str) -> Iterator[Path]:
    """Mount a small disk in memory; skip the test where that is not allowed."""
    place.mkdir(exist_ok=True)
    command = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(place)]
    if sys.platform != "linux" or os.geteuid() != 0 or subprocess.run(command, capture_output=True).returncode:
        pytest.skip("only who administers a machine may mount a disk")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


@contextmanager
def immovable(file: Path) -> Iterator[None]:
    """Make a file immutable; skip the test where that is not allowed, or the disk knows no such thing."""
    try:
        made = subprocess.run(["chattr", "+i", str(file)], capture_output=True).returncode == 0
    except OSError:
        made = False
    if not made:
        pytest.skip("no file can be made immutable here")
    try:
        yield
    finally:
        subprocess.run(["chattr", "-i", str(file)], check=True)


def saved_twice(folder: Path) -> None:
    """See that a folder takes a job, and another one after it."""
    save(folder, OLD)
    assert save(folder, NEW).removed == ("2.nc",)
    assert {name for name in held(folder) if name != "job.json"} == set(NEW)
    assert is_clean(folder)


@pytest.mark.skipif(not MEMORY.is_dir(), reason="no second disk")
def test_a_link_to_another_disk(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    other = MEMORY / f"pearlkerf-{os.getpid()}"
    other.mkdir()
    try:
        if other.stat().st_dev == tmp_path.stat().st_dev:
            pytest.skip("no second disk")
        (tmp_path / "job").symlink_to(other)
        saved_twice(tmp_path / "job")
        assert (tmp_path / "job").is_symlink()
    finally:
        for path in other.iterdir():
            path.unlink()
        other.rmdir()


def test_a_mount_point(tmp_path: Path) -> None:
    with mounted(tmp_path / "job", "1m") as folder:
        saved_twice(folder)


def test_a_folder_beside_which_nothing_can_be_written(tmp_path: Path) -> None:
    with mounted(tmp_path / "disk", "1m") as disk:
        (disk / "job").mkdir()
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        with mounted(disk / "job", "1m") as folder:
            saved_twice(folder)


def test_a_file_that_cannot_be_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    for name in (*OLD, "job.json"):
        save(folder, OLD)
        before = held(folder)
        with immovable(folder / name), pytest.raises(PermissionError) as told:
            save(folder, NEW)
        assert (held(folder), is_clean(folder)) == (before, True)
        assert Path(told.value.filename).name == name
        assert told.value.__notes__ == [f"{folder}: nothing is changed"]
    save(folder, NEW)


def test_a_file_that_is_mounted_over(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    save(folder, {"a.nc": b"old", **OLD})
    before = held(folder)
    with mounted(tmp_path / "disk", "1m") as disk:
        (disk / "2.nc").write_bytes(OLD["2.nc"])
        subprocess.run(["mount", "--bind", str(disk / "2.nc"), str(folder / "2.nc")], check=True)
        try:
            with pytest.raises(OSError, match="busy"):
                save(folder, NEW)
            assert (held(folder), is_clean(folder)) == (before, True)
        finally:
            subprocess.run(["umount", str(folder / "2.nc")], check=True)


@pytest.mark.parametrize("kib", [4, 8, 16, 24, 32, 44, 60])
def test_a_full_disk(tmp_path: Path, kib: int) -> None:
    """Room for nothing more, for a file more, ... for all: 4 KiB are a page of tmpfs."""
    with mounted(tmp_path / "disk", "128k") as disk:
        save(disk / "job", OLD)
        filling = disk / "filling"
        filling.write_bytes(b"\0" * ((120 - kib) << 10))
        before = held(disk / "job")
        after = {**NEW, "4.nc": b"large" * 2000}
        try:
            save(disk / "job", after)
        except OSError as full:
            assert "No space left" in str(full)
            assert held(disk / "job") == before
        else:
            assert kib > 16
            assert {name: data for name, data in held(disk / "job").items() if name != "job.json"} == after
        assert is_clean(disk / "job")
        filling.unlink()
        save(disk / "job", after)


def test_a_full_disk_leaves_a_file_as_it_was(tmp_path: Path) -> None:
    with mounted(tmp_path / "disk", "64k") as disk:
        (disk / "a.html").write_bytes(b"old")
        with pytest.raises(OSError, match="No space left") as told:
            replace_file(disk / "a.html", b"new" * 40_000)
        assert told.value.filename == str(disk / "a.html")
        assert held(disk) == {"a.html": b"old"}


def test_two_runs_do_not_write_into_a_folder_at_once(tmp_path: Path) -> None:
    begun, done = threading.Event(), []

    def second() -> None:
        begun.set()
        save(tmp_path / "job", NEW)
        done.append("second")

    save(tmp_path / "job", OLD)
    other = threading.Thread(target=second)
    with alone_in(tmp_path / "job"):
        other.start()
        begun.wait()
        other.join(0.2)
        done.append("first")
        assert held(tmp_path / "job")["1.nc"] == b"old"
    other.join()
    assert done == ["first", "second"]
