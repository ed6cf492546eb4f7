"""A single file is written whole or not at all, and read within limits."""

import itertools
import os
from contextlib import nullcontext
from pathlib import Path

import pytest
from breaking import broken_off, held

from pearlkerf.files import whole
from pearlkerf.files.beside import BesideIn
from pearlkerf.files.toml_values import WrongValue
from pearlkerf.files.whole import read_program_file, replace_file

posix = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes that have names")


def test_a_link_stays_and_so_does_what_may_be_done_with_a_file(tmp_path: Path) -> None:
    real, link = tmp_path / "real.html", tmp_path / "link.html"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link.symlink_to(real)
    replace_file(link, b"new")
    assert (link.is_symlink(), real.read_bytes()) == (True, b"new")
    assert real.stat().st_mode & 0o777 == 0o640
    assert set(held(tmp_path)) == {"real.html", "link.html"}


def test_a_new_file_is_as_open_as_any(tmp_path: Path) -> None:
    replace_file(tmp_path / "ours", b"1")
    (tmp_path / "any").write_bytes(b"1")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "any").stat().st_mode


@posix
@pytest.mark.parametrize("end", ["kill", "interrupt"])
def test_a_run_that_ends_leaves_the_old_file_or_the_new_one(
    tmp_path: Path, end: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("breaking.OF_MOVES", {whole.__file__})
    monkeypatch.setattr(whole, "alone_in", nullcontext)  # its lock ends with the process, which lives on here
    for at in itertools.count():
        (tmp_path / "a").write_bytes(b"old")
        broken = broken_off(lambda: replace_file(tmp_path / "a", b"new"), at, end)
        assert (tmp_path / "a").read_bytes() in (b"old", b"new")
        replace_file(tmp_path / "a", b"newest")
        assert held(tmp_path) == {"a": b"newest"}
        if broken.is_done:
            return


@posix
def test_pipes_and_devices_are_neither_read_nor_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.nc"
    os.mkfifo(pipe)
    for path in (pipe, Path(os.devnull)):
        with pytest.raises(OSError, match="is no file"):
            read_program_file(path)
        with pytest.raises(OSError, match="is no file"):
            replace_file(path, b"")
        assert not path.is_file()
    with pytest.raises(IsADirectoryError):
        read_program_file(tmp_path)
    with pytest.raises(WrongValue, match="is no file"):
        BesideIn(tmp_path)(pipe.name)
    assert [path.name for path in tmp_path.iterdir()] == [pipe.name]


def test_a_program_is_read_to_its_limits_and_no_further(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program = tmp_path / "a.nc"
    monkeypatch.setattr(whole, "MOST_PROGRAM_BYTES", 1 << 20)
    monkeypatch.setattr(whole, "MOST_PROGRAM_LINES", 1000)
    for good in (b"X" * (1 << 20), b"\n" * 1000, b"\n" * 999 + b"M2"):
        program.write_bytes(good)
        assert read_program_file(program) == good
    program.write_bytes(b"X" * ((1 << 20) + 1))
    with pytest.raises(OSError, match="more than 1 MiB"):
        read_program_file(program)
    program.write_bytes(b"\n" * 1000 + b"M2")
    with pytest.raises(OSError, match="has 1001 lines; a program has at most 1000"):
        read_program_file(program)
