"""Starter files: for every instrument and hand one that reads, lays out and has no doubts worth a refusal."""

from pathlib import Path

import pytest

from pearlkerf.board.reader import read_board
from pearlkerf.board.starter import INSTRUMENTS, Answers, starter_text
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.lengths import LengthError


@pytest.mark.parametrize("dots", [None, "face and side", "side", "none"])
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_starter_reads_and_lays_out(tmp_path: Path, instrument: str, hand: str, dots: str | None) -> None:
    path = tmp_path / "board.toml"
    path.write_text(starter_text(Answers(instrument, 'A (title) "x"', hand=hand, dots=dots)), encoding="utf-8")  # type: ignore[arg-type]
    read = read_board(path)
    assert read.problems == ()
    assert read.board is not None
    layout = lay_out(read.board)
    assert layout.board.hand == hand
    assert layout.board.title == 'A (title) "x"'
    wanted = INSTRUMENTS[instrument].face_frets and dots in (None, "face and side")
    assert bool(layout.face_dots) == bool(wanted)
    assert bool(layout.side_dots) == (dots != "none")


def test_answers_are_kept() -> None:
    text = starter_text(Answers("bass", "x", scale="30 in", frets=20, wood="wenge"))
    assert 'length = "30 in"' in text
    assert "frets = 20\n" in text
    assert 'wood = "wenge"' in text


def test_a_scale_without_a_unit_is_refused() -> None:
    with pytest.raises(LengthError):
        starter_text(Answers("bass", "x", scale="30"))
