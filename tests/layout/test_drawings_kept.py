"""Drawings that are kept by who looks again and again: each worked out once, the last few only, by their bytes."""

import pytest

from pearlkerf import way
from pearlkerf.layout.drawings import MOST_READ, Drawings
from pearlkerf.outlines import read

BOARD = """\
unit = "mm"
[scale]
length = 632
frets = 12
[board]
length = 448
nut_width = 44
end_width = 56
thickness = 6.5
[[inlay]]
outline = "square.svg"
frets = [5]
length = 8
thickness = 1.5
"""
SQUARE = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20"><path d="M0 0H9V{}H0Z"/></svg>'


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """Say of every drawing that is read that it was."""
    told: list[bytes] = []
    read_drawing = read.read_drawing

    def reading(data: bytes, file: str) -> object:
        told.append(data)
        return read_drawing(data, file)

    monkeypatch.setattr(read, "read_drawing", reading)
    return told


def looked(drawings: Drawings, high: int, board: str = BOARD) -> way.Look:
    return way.look(board, lambda _: SQUARE.format(high).encode(), drawings=drawings)


def test_a_drawing_is_read_once_while_the_board_is_changed(reads: list[bytes]) -> None:
    drawings = Drawings()
    for thickness in (6.5, 6.6, 6.7):
        assert looked(drawings, 9, BOARD.replace("6.5", str(thickness))).layout is not None
    looked(drawings, 9, BOARD.replace("length = 8", "length = 9"))
    assert len(reads) == 1


def test_what_the_file_holds_now_counts(reads: list[bytes]) -> None:
    drawings = Drawings()
    heights = [looked(drawings, high).right().inlay_rows[0].width_mm for high in (9, 18)]
    assert heights == pytest.approx([8.0, 16.0]) and len(reads) == 2


def test_the_last_few_are_kept_and_nobody_else_has_them(reads: list[bytes]) -> None:
    drawings = Drawings()
    for high in range(1, MOST_READ + 2):
        looked(drawings, high)
    looked(drawings, MOST_READ + 1, BOARD.replace("length = 8", "length = 9"))
    assert len(reads) == MOST_READ + 1
    looked(drawings, 1, BOARD.replace("length = 8", "length = 9"))  # the first has gone by now
    looked(Drawings(), MOST_READ + 1)
    assert len(reads) == MOST_READ + 3


def test_a_wrong_board_is_drawn_of_what_was_read_to_find_it_wrong(reads: list[bytes]) -> None:
    look = looked(Drawings(), 9, BOARD.replace("length = 8", "length = 60"))
    assert look.layout is None and look.problems and way.to_look_at(look) is not None
    assert len(reads) == 1
