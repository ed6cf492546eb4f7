"""A run that ends among its moves leaves the old job or the new one, and a mix is never without its mark."""

import itertools
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from breaking import Broken, End, Held, broken_off, held, is_clean, save

from pearlkerf.files import moves

pytestmark = pytest.mark.skipif(not hasattr(__import__("os"), "fork"), reason="a process of its own is forked")


@dataclass(frozen=True)
class Trial:
    """What a folder holds before, and what is saved into it."""

    before: Callable[[Path], object]
    files: Held
    force: bool = False

    def save(self, folder: Path) -> object:
        return save(folder, self.files, self.force)


def an_earlier_job(folder: Path) -> None:
    """One file that will be replaced, one that is the same, one stale, one changed, one of a person's own."""
    save(folder, {"1.nc": b"old", "2.nc": b"same", "3.nc": b"stale", "4.nc": b"made"})
    (folder / "4.nc").write_bytes(b"changed")
    (folder / "notes.txt").write_bytes(b"mine")


def a_person(folder: Path) -> None:
    folder.mkdir()
    (folder / "1.nc").write_bytes(b"mine")
    (folder / "job.json").write_bytes(b"mine too")


NEW = {"1.nc": b"new", "2.nc": b"same", "5.nc": b"added"}
TRIALS = {
    "no folder": Trial(lambda _folder: None, NEW),
    "an earlier job": Trial(an_earlier_job, NEW),
    "the same job": Trial(lambda folder: save(folder, NEW), NEW),
    "over a person's files": Trial(a_person, NEW, force=True),
}


def ways_to_end(trial: Trial, end: End, tmp_path: Path) -> Iterator[tuple[Path, Broken, tuple[Held, Held]]]:
    """End a run at each of its steps in turn; give the folder, how it ended, and the two that it may hold."""
    trial.before(tmp_path / "old")
    trial.before(tmp_path / "new")
    trial.save(tmp_path / "new")
    may_be = held(tmp_path / "old"), held(tmp_path / "new")
    for at in itertools.count():
        folder = tmp_path / str(at)
        trial.before(folder)
        broken = broken_off(lambda folder=folder: trial.save(folder), at, end)
        yield folder, broken, may_be
        if broken.is_done:
            return


@pytest.fixture(autouse=True)
def nothing_is_forced_to_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.fsync", lambda _opened: None)


@pytest.mark.parametrize(
    ("name", "end"),
    [(name, "kill") for name in TRIALS] + [("an earlier job", "interrupt"), ("over a person's files", "interrupt")],
)
def test_the_folder_is_the_old_job_or_the_new_one(name: str, end: End, tmp_path: Path) -> None:
    seen = []
    for folder, broken, may_be in ways_to_end(TRIALS[name], end, tmp_path):
        found = held(folder)
        assert moves.JOURNAL in found or found in may_be, (broken, found)
        if broken.is_done or broken.at_work:
            assert is_clean(folder)
            assert found in may_be
        moves.settle(folder) if folder.exists() else None
        assert is_clean(folder)
        assert held(folder) in may_be
        seen.append(may_be.index(held(folder)))
    assert seen[-1] == 1 or name == "the same job"
    assert sorted(seen) == seen, "once the new job counts, it counts"
    assert len(seen) > 25


def test_the_next_run_takes_what_a_killed_one_left(tmp_path: Path) -> None:
    for folder, _, _ in ways_to_end(TRIALS["an earlier job"], "kill", tmp_path):
        save(folder, {"1.nc": b"third"})
        expected = {"1.nc": b"third", "4.nc": b"changed", "notes.txt": b"mine"}
        assert {name: data for name, data in held(folder).items() if name != "job.json"} == expected
        assert is_clean(folder)


def in_the_middle(folder: Path, name: str = "an earlier job") -> None:
    """Have a run killed when a part of the new job has arrived beside a part of the old one."""
    trial, beside = TRIALS[name], folder.parent / "beside"
    for at in range(10, 60):
        trial.before(beside)
        broken_off(lambda: trial.save(beside), at, "kill")
        if (beside / "1.nc").exists() and (beside / moves.SAVING / "old" / "1.nc").exists():
            break
        shutil.rmtree(beside)
    assert {"1.nc", moves.JOURNAL} <= set(held(beside))
    assert not {"2.nc", "job.json"} & set(held(beside))
    beside.rename(folder)


@pytest.mark.parametrize("name", ["an earlier job", "the same job"])
def test_who_puts_a_folder_right_may_be_killed_as_well(name: str, tmp_path: Path) -> None:
    TRIALS[name].before(tmp_path / "old")
    in_the_middle(tmp_path / "middle", name)
    old, ends = held(tmp_path / "old"), 0
    for at in itertools.count():
        folder = shutil.copytree(tmp_path / "middle", tmp_path / str(at))
        broken = broken_off(lambda folder=folder: moves.settle(folder), at, "kill")
        moves.settle(folder)
        assert (held(folder), is_clean(folder)) == (old, True)
        ends += 1
        if broken.is_done:
            break
    assert ends > 8


def test_what_a_person_changes_in_the_meantime_is_not_touched(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    in_the_middle(folder)
    (folder / "1.nc").write_bytes(b"changed by hand")
    before = held(folder)
    with pytest.raises(OSError, match=r"1\.nc"):
        save(folder, NEW, force=True)
    assert held(folder) == before
    (folder / "1.nc").unlink()
    save(folder, NEW)
    assert held(folder)["1.nc"] == b"new"


@pytest.mark.parametrize("gone", [moves.JOURNAL, moves.SAVING])
def test_what_has_left_is_never_lost_without_a_word(tmp_path: Path, gone: str) -> None:
    folder = tmp_path / "job"
    in_the_middle(folder)
    (folder / gone).rename(tmp_path / "taken away")
    before = held(folder)
    with pytest.raises(OSError, match=moves.JOURNAL):
        save(folder, NEW)
    assert held(folder) == before


LEADS_OUT = '{"arriving": [{"file": "../a", "sha256": ""}, {"file": "job.json", "sha256": ""}], "leaving": []}'


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"arriving": [], "leaving": []}', "not a journal", LEADS_OUT])
def test_a_journal_that_cannot_be_read_is_told(tmp_path: Path, text: str) -> None:
    (tmp_path / moves.JOURNAL).write_text(text)
    with pytest.raises(OSError, match="not as it was written"):
        save(tmp_path, NEW)
    assert held(tmp_path) == {moves.JOURNAL: text.encode()}
