"""The boards of a folder: read, saved whole, never over what somebody else wrote meanwhile."""

import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from how_often import EXAMPLES
from pearlkerf.bench import families
from pearlkerf.bench.answers import Answers
from pearlkerf.bench.shelf import ChangedMeanwhile, Shelf
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.files import whole
from pearlkerf.layout.ground import Laid

ROOT = Path(__file__).parents[2]
WREN = (ROOT / "examples" / "wren-tenor-ukulele.toml").read_text(encoding="utf-8")
KILLS = 50 if EXAMPLES >= 50 else 3


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


def test_boards_are_listed_and_machines_are_not(shelf: Shelf) -> None:
    shelf.begin("wren", WREN)
    (shelf.folder / "broken.toml").write_text("title = ", encoding="utf-8")
    (shelf.folder / "notes.txt").write_text("none", encoding="utf-8")
    shutil.copy(ROOT / "machine_profiles" / "benchtop-arcs.toml", shelf.folder)
    assert shelf.names() == ["broken", "wren"]


def test_a_fault_in_the_drawing_of_one_board_is_said_on_its_card_and_logged_and_the_others_are_shown(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    shelf.begin("robin", WREN.replace('title = "', 'title = "Robin, after the ', 1))
    shelf.begin("wren", WREN)
    draw = families.small_drawing

    def faulty(laid: Laid) -> str:
        if laid.board.title.startswith("Robin"):
            raise ZeroDivisionError("of no length")
        return draw(laid)

    monkeypatch.setattr(families, "small_drawing", faulty)
    robin, wren = Answers(shelf).boards()["boards"]
    assert (robin["name"], robin["state"], robin["drawing"]) == ("robin", "wrong", "")
    assert "cannot be drawn" in robin["words"]
    assert (wren["state"], wren["drawing"][:4]) == ("right", "<svg")
    (logged,) = caplog.records
    assert "robin.toml" in logged.getMessage() and "of no length" in str(logged.exc_info)


def test_what_was_written_meanwhile_is_not_written_over(shelf: Shelf) -> None:
    read = shelf.begin("wren", WREN)
    (shelf.folder / "wren.toml").write_text("title = 'theirs'\n", encoding="utf-8")
    with pytest.raises(ChangedMeanwhile) as changed:
        shelf.save("wren", WREN + "# mine\n", read.digest)
    assert changed.value.now is not None
    assert changed.value.now.text == "title = 'theirs'\n"
    assert (shelf.folder / "wren.toml").read_text(encoding="utf-8") == "title = 'theirs'\n"
    kept = shelf.save("wren", WREN + "# mine\n", changed.value.now.digest)
    assert shelf.read("wren") == kept


def test_a_board_that_is_gone_is_told(shelf: Shelf) -> None:
    read = shelf.begin("wren", WREN)
    (shelf.folder / "wren.toml").unlink()
    with pytest.raises(ChangedMeanwhile) as changed:
        shelf.save("wren", WREN, read.digest)
    assert changed.value.now is None
    assert not (shelf.folder / "wren.toml").exists()


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_line_ends_and_mark_stay_as_they_are(shelf: Shelf, mark: bytes, end: bytes) -> None:
    path = shelf.folder / "wren.toml"
    path.write_bytes(mark + WREN.encode().replace(b"\n", end))
    read = shelf.read("wren")
    assert read.text == WREN
    shelf.save("wren", WREN.replace("maple", "ebony"), read.digest)
    assert path.read_bytes() == mark + WREN.replace("maple", "ebony").encode().replace(b"\n", end)


def test_a_new_board_takes_no_other_s_place(shelf: Shelf) -> None:
    shelf.begin("wren", WREN)
    with pytest.raises(CannotBe, match="already"):
        shelf.begin("wren", "")
    with pytest.raises(CannotBe, match="already"):
        shelf.copy("wren", "wren")
    shelf.copy("wren", "robin")
    with pytest.raises(CannotBe, match="already"):
        shelf.rename("robin", "wren")
    assert shelf.read("wren").text == shelf.read("robin").text == WREN


def test_a_board_is_renamed_with_its_job(shelf: Shelf) -> None:
    shelf.begin("wren", WREN)
    shelf.job_folder("wren").mkdir()
    shelf.rename("wren", "robin")
    assert shelf.names() == ["robin"]
    assert shelf.job_folder("robin").is_dir()


@pytest.mark.parametrize("data", [b"\xff\xfe", b"x" * (1 << 20) + b"x"])
def test_what_is_no_text_or_too_much_is_told(shelf: Shelf, data: bytes) -> None:
    (shelf.folder / "wren.toml").write_bytes(data)
    with pytest.raises(CannotBe) as wrong:
        shelf.read("wren")
    assert wrong.value.status == 422


def test_in_a_folder_that_cannot_be_written_nothing_is_lost(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    read = shelf.begin("wren", WREN)

    def read_only(path: Path, data: bytes) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(path))

    monkeypatch.setattr(whole, "write_through", read_only)
    with pytest.raises(OSError, match="Read-only"):
        shelf.save("wren", "", read.digest)
    assert shelf.read("wren") == read
    assert [path.name for path in shelf.folder.iterdir()] == ["wren.toml"]


def test_a_folder_in_which_nothing_can_even_be_cleared_away_is_told_by_the_board_s_name(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a disk that is mounted to be read only, removing what is not there fails too."""
    read = shelf.begin("wren", WREN)

    def read_only(path: Path, missing_ok: bool = False) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(path))

    monkeypatch.setattr(Path, "unlink", read_only)
    with pytest.raises(OSError, match="Read-only") as told:
        shelf.save("wren", "", read.digest)
    assert told.value.filename == str(shelf.folder / "wren.toml")
    assert shelf.read("wren") == read


KEEPS_SAVING = """
import sys
from pathlib import Path
from pearlkerf.bench.shelf import Shelf
shelf = Shelf(Path(sys.argv[1]))
held = shelf.read("wren")
print("saving", flush=True)
while True:
    for letter in "ab":
        held = shelf.save("wren", letter * 400_000, held.digest)
"""


def test_killed_in_the_middle_of_saving_it_leaves_a_whole_board(shelf: Shelf) -> None:
    """A process that saves and saves is killed at any moment: the file is one of those that were saved."""
    chance, wholes = Random(16), {letter * 400_000 for letter in "ab"}
    shelf.begin("wren", "a" * 400_000)
    for _ in range(KILLS):
        child = subprocess.Popen(
            [sys.executable, "-c", KEEPS_SAVING, str(shelf.folder)], stdout=subprocess.PIPE, env=os.environ
        )
        assert child.stdout is not None and child.stdout.readline() == b"saving\n"
        time.sleep(chance.uniform(0.0, 0.05))
        child.send_signal(signal.SIGKILL)
        child.communicate()
        assert shelf.read("wren").text in wholes
    shelf.save("wren", WREN, shelf.read("wren").digest)
    assert [path.name for path in shelf.folder.iterdir()] == ["wren.toml"]
