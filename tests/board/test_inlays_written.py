"""Inlays: what may be left out has its default, a board that is written reads back, files beside are read once."""

from dataclasses import fields, replace

import pytest

from pearlkerf.board import inlay_tables
from pearlkerf.board.inlay_writer import FIELDS, KEYS
from pearlkerf.board.inlays import Inlay, InlayBlank, PiecePlace, UsedPlace
from pearlkerf.board.reader import read_board_text
from pearlkerf.board.writer import write_board
from pearlkerf.outlines import shapes

CORE = """\
unit = "mm"
[scale]
length = 632
frets = 20
[board]
length = 448
nut_width = 44
end_width = 56
thickness = 6.5
"""
PLAIN = CORE + '[[inlay]]\nshape = "star"\nfrets = [5]\nlength = 8\nthickness = 1.5\n'
EVERY = (
    Inlay(0, outline="a/wave.svg", parts=("petals", 'a "leaf"'), frets=(3, 5), across_mm=-2.5, length_mm=18.0,
          width_mm=9.1, mirror=True, turn_deg=-12.5, material="bone", proud_mm=0.3, shell_left_mm=0.6,
          floor="follow", strips=3, gap_mm=0.04, detail_mm=0.2, pocket_cutter=4, piece_cutter=2, corners="by hand",
          corner_limit_mm=1.0, slots="by hand"),
    Inlay(1, name="initials", text="Wr", font="face.ttf", on_frets=(12,), width_mm=9.0, thickness_mm=(1.4, 1.6),
          pieces="by hand", slots="after"),
    Inlay(2, shape="block", frets=(7,), thickness_mm=(2.0, 2.0), beside_frets_mm=1.5, beside_edges_mm=5.0),
    Inlay(3, shape="oval", along_mm=300.25, length_mm=4.0, material="bone", set_in="initials"),
)  # fmt: skip
BLANKS = (
    InlayBlank("bone", 1.5, 1.7, "skin"),
    InlayBlank("bone", 1.5, 1.7, "skin", length_mm=40.0, width_mm=25.0, count=6,
               used=(UsedPlace(2, (0.0, 0.0, 12.5, 25.0)), UsedPlace(1, (3.0, 1.0, 4.0, 2.0))),
               place=(PiecePlace("initials on 12/1", 1, (12.5, 8.0), 90.0),
                      PiecePlace('a "b" 5', 6, (1.25, 3.0), 0.0))),
    InlayBlank("ebony", 2.0, 2.0, "tabs", length_mm=60.0, width_mm=20.0, tape_mm=0.1, figure="lengthwise"),
)  # fmt: skip


def drawings(name: str) -> bytes:
    return name.encode()


def test_what_may_be_left_out_has_the_models_default() -> None:
    file = read_board_text(PLAIN.encode(), "a.toml")
    assert file.problems == () and file.board is not None
    assert file.board.inlays == (Inlay(0, shape="star", frets=(5,), length_mm=8.0, thickness_mm=(1.5, 1.5)),)


def test_every_key_has_its_place_in_the_model_with_the_same_default() -> None:
    usual = Inlay(0)
    for name, key in KEYS.items():
        held = getattr(usual, FIELDS.get(name, name))
        assert held == (tuple(key.default) if isinstance(key.default, list) else key.default), name
    assert {FIELDS.get(name, name) for name in KEYS} == {each.name for each in fields(Inlay)} - {"index"}


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_board_with_inlays_that_is_written_reads_back_as_the_same(unit) -> None:
    board = read_board_text(CORE.encode(), "a.toml").board
    assert board is not None
    board = replace(board, inlays=EVERY, inlay_blanks=BLANKS)
    read = read_board_text(write_board(board, unit).encode(), "a.toml", drawings)
    assert read.problems == ()
    assert read.board == board


def test_every_shape_that_a_board_may_name_is_drawn() -> None:
    assert tuple(shapes.SHAPES) == inlay_tables.SHAPES


def test_files_are_read_once_and_kept_by_name() -> None:
    asked = []

    def beside(name: str) -> bytes:
        asked.append(name)
        return b"<svg/>"

    inlay = '[[inlay]]\noutline = "wave.svg"\nfrets = [5]\nthickness = 1.5\n'
    file = read_board_text((CORE + inlay + inlay).encode(), "a.toml", beside)
    assert asked == ["wave.svg"]
    assert file.files == {"wave.svg": b"<svg/>"}


def test_a_skin_that_is_sanded_off_makes_pieces_thinner_only_where_the_machine_cuts_them() -> None:
    skin = InlayBlank("bone", 1.5, 1.7, "skin")
    assert skin.piece_mm("cut") == (1.35, 1.55)
    assert skin.piece_mm("by hand") == (1.5, 1.7)


def test_it_is_called_by_its_name_or_by_what_is_drawn() -> None:
    assert [Inlay(0, outline="a/wave.one.svg").called, Inlay(0, text="Wr").called, Inlay(0, shape="oval").called] == [
        "wave.one", "Wr", "oval",
    ]  # fmt: skip
    assert Inlay(0, name="sea", shape="oval").called == "sea"
