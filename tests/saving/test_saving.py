"""A job's folder: an earlier job's own files are replaced, whatever else is there is kept."""

import json
from pathlib import Path

import pytest

from pearlkerf.files.moves import digest
from pearlkerf.files.saving import JOB_FILE, InTheWay, MovedIn, move_in, staged, write_and_read_back


def moved(folder: Path, files: dict[str, bytes], force: bool = False) -> MovedIn:
    """Save a job of some files, all of them programs."""
    listed = [{"file": name, "sha256": digest(data)} for name, data in files.items()]
    with staged(folder) as stage:
        write_and_read_back(stage, {**files, JOB_FILE: json.dumps({"files": listed}).encode()})
        return move_in(stage, folder, files=tuple(files), programs=tuple(files), force=force)


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "job"


def test_own_files_are_replaced_and_stale_ones_removed(folder: Path) -> None:
    moved(folder, {"a.nc": b"1", "b.nc": b"2"})
    assert moved(folder, {"a.nc": b"3"}) == MovedIn(("b.nc",), ())
    assert set(held(folder)) == {"a.nc", JOB_FILE}
    assert held(folder)["a.nc"] == b"3"


@pytest.mark.parametrize("name", ["a.nc", JOB_FILE])
def test_what_no_job_made_is_kept(folder: Path, name: str) -> None:
    folder.mkdir()
    (folder / name).write_bytes(b"mine")
    before = held(folder)
    with pytest.raises(InTheWay, match=name):
        moved(folder, {"a.nc": b"1"})
    assert held(folder) == before
    moved(folder, {"a.nc": b"1"}, force=True)
    assert held(folder)["a.nc"] == b"1"


def test_a_changed_file_is_kept_even_when_it_would_be_stale_and_named(folder: Path) -> None:
    moved(folder, {"a.nc": b"1", "b.txt": b"2", "c.nc": b"3"})
    (folder / "b.txt").write_bytes(b"mine")
    (folder / "notes.txt").write_bytes(b"mine too")
    assert moved(folder, {"a.nc": b"4"}) == MovedIn(("c.nc",), ("b.txt",))
    assert (held(folder)["b.txt"], held(folder)["notes.txt"]) == (b"mine", b"mine too")


def test_programs_of_no_job_are_named_every_time(folder: Path) -> None:
    folder.mkdir()
    (folder / "x.NC").write_bytes(b"mine")
    for text in (b"1", b"2"):
        assert moved(folder, {"a.nc": text}).kept == ("x.NC",)


def test_nobody_forces_a_folder_away(folder: Path) -> None:
    (folder / "a.nc").mkdir(parents=True)
    with pytest.raises(InTheWay):
        moved(folder, {"a.nc": b"1"})
    with pytest.raises(IsADirectoryError):
        moved(folder, {"a.nc": b"1"}, force=True)
    assert [path.name for path in folder.iterdir()] == ["a.nc"]


def test_a_link_that_leads_nowhere_is_in_the_way_too(folder: Path) -> None:
    folder.mkdir()
    (folder / "a.nc").symlink_to("elsewhere")
    with pytest.raises(InTheWay):
        moved(folder, {"a.nc": b"1"})
    assert (folder / "a.nc").is_symlink()


@pytest.mark.parametrize("name", ["../a.nc", "..", "", "sub/a.nc", "/etc/a.nc"])
def test_no_record_leads_out_of_its_folder(folder: Path, name: str) -> None:
    moved(folder, {"a.nc": b"1"})
    outside = folder.parent / "a.nc"
    outside.write_bytes(b"mine")
    (folder / JOB_FILE).write_text(json.dumps({"files": [{"file": name, "sha256": digest(b"mine")}]}))
    with pytest.raises(InTheWay, match=r"a\.nc"):
        moved(folder, {"a.nc": b"2"})
    assert moved(folder, {"b.nc": b"2"}) == MovedIn((), ("a.nc",))
    assert outside.read_bytes() == b"mine"


def test_a_listed_file_that_is_gone_is_not_missed(folder: Path) -> None:
    moved(folder, {"a.nc": b"1", "b.nc": b"2"})
    (folder / "b.nc").unlink()
    assert moved(folder, {"a.nc": b"3"}) == MovedIn((), ())


def test_what_fails_before_the_moves_leaves_no_folder_that_was_not_there(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), staged(tmp_path / "some" / "job") as stage:
        (stage / "a.nc").write_bytes(b"1")
        raise RuntimeError
    assert list(tmp_path.iterdir()) == []
