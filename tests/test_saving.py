"""A job's folder: an earlier job's own files are replaced, whatever else is there is kept."""

import json
from pathlib import Path

import pytest

from pearlkerf.files.saving import JOB_FILE, InTheWay, digest, move_in, write_and_read_back


def job(stage: Path, files: dict[str, bytes]) -> tuple[str, ...]:
    """Put files and their job file into a stage; give their names."""
    stage.mkdir(exist_ok=True)
    listed = [{"file": name, "sha256": digest(data)} for name, data in files.items()]
    record = json.dumps({"files": listed}).encode()
    return tuple(write_and_read_back(stage, {**files, JOB_FILE: record}))


def moved(tmp_path: Path, files: dict[str, bytes], force: bool = False) -> tuple[str, ...]:
    return move_in(tmp_path / "stage", tmp_path / "job", names=job(tmp_path / "stage", files), force=force)


def held(tmp_path: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (tmp_path / "job").iterdir()}


def test_own_files_are_replaced_and_stale_ones_removed(tmp_path: Path) -> None:
    moved(tmp_path, {"a.nc": b"1", "b.nc": b"2"})
    assert moved(tmp_path, {"a.nc": b"3"}) == ("b.nc",)
    assert set(held(tmp_path)) == {"a.nc", JOB_FILE}
    assert held(tmp_path)["a.nc"] == b"3"


@pytest.mark.parametrize("name", ["a.nc", JOB_FILE])
def test_what_no_job_made_is_kept(tmp_path: Path, name: str) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / name).write_bytes(b"mine")
    before = held(tmp_path)
    with pytest.raises(InTheWay, match=name):
        moved(tmp_path, {"a.nc": b"1"})
    assert held(tmp_path) == before
    moved(tmp_path, {"a.nc": b"1"}, force=True)
    assert held(tmp_path)["a.nc"] == b"1"


def test_a_changed_file_is_kept_even_when_it_would_be_stale(tmp_path: Path) -> None:
    moved(tmp_path, {"a.nc": b"1", "b.nc": b"2"})
    (tmp_path / "job" / "b.nc").write_bytes(b"mine")
    assert moved(tmp_path, {"a.nc": b"3"}) == ()
    assert held(tmp_path)["b.nc"] == b"mine"
