"""Files beside a board file: those of its folder and below, and nothing else by whatever name."""

from pathlib import Path

import pytest

from pearlkerf.board.reader import read_board, read_board_text
from pearlkerf.files.beside import MOST_BYTES, BesideIn
from pearlkerf.files.toml_values import WrongValue


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    inside = tmp_path / "boards"
    (inside / "drawings").mkdir(parents=True)
    (inside / "drawings" / "wave.svg").write_bytes(b"<svg/>")
    (tmp_path / "secret").write_bytes(b"not yours")
    (inside / "link").symlink_to(tmp_path / "secret")
    (inside / "kept").symlink_to(inside / "drawings" / "wave.svg")
    return inside


@pytest.mark.parametrize("name", ["drawings/wave.svg", "kept"])
def test_what_lies_beside_or_below_is_read(folder: Path, name: str) -> None:
    assert BesideIn(folder)(name) == b"<svg/>"


@pytest.mark.parametrize(
    "name",
    ["", "../secret", "drawings/../../secret", "/etc/hostname", "link", "C:secret", "drawings\\wave.svg", "a\0b",
     "drawings", "none.svg"],
)  # fmt: skip
def test_what_leads_out_or_is_no_file_is_refused(folder: Path, name: str) -> None:
    with pytest.raises(WrongValue) as refused:
        BesideIn(folder)(name)
    assert refused.value.allowed == "the name of a file beside or below the board file"


def test_a_large_file_is_refused(folder: Path) -> None:
    (folder / "most").write_bytes(bytes(MOST_BYTES))
    (folder / "more").write_bytes(bytes(MOST_BYTES + 1))
    assert len(BesideIn(folder)("most")) == MOST_BYTES
    with pytest.raises(WrongValue, match="has more than 4194304 bytes"):
        BesideIn(folder)("more")


def test_a_board_file_finds_the_files_of_its_folder(folder: Path) -> None:
    (folder / "board.toml").write_text('unit = "mm"\n', encoding="utf-8")
    assert read_board(folder / "board.toml").beside("drawings/wave.svg") == b"<svg/>"


def test_text_in_no_folder_has_nothing_beside_it() -> None:
    with pytest.raises(WrongValue, match="cannot be read"):
        read_board_text(b'unit = "mm"\n', "new").beside("wave.svg")
