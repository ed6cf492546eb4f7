"""A board that is written reads back as the same board, in mm and in inches; lengths as people write them."""

import tomllib
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.board.model import Binding, Board, Partial, Scale, Strings
from pearlkerf.board.reader import BoardFile, read_board, read_board_text
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.board.writer import WIDEST, write_board
from pearlkerf.files.beside import BesideIn, FilesBeside, nothing_beside
from pearlkerf.files.lengths import MM_PER_UNIT, LengthError, Unit, parse_length_mm, write_length
from pearlkerf.files.toml_keys import tables_of
from pearlkerf.machine.holding import SETUPS, Holding
from random_boards import boards, rounded, sound_boards, wide_boards

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
# random boards hold figures that no board file may, and names that none may have
BEYOND_BOUNDS = ("is too", "is more than the second", "in it, which programs")
units = st.sampled_from(get_args(Unit))


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths to the last bit, none nearer to 0 than a file of inches can hold."""
    return st.floats(low, high).filter(lambda length: length == 0 or abs(length) > 1e-30)


def read_back(board: Board, unit: Unit, beside: FilesBeside = nothing_beside) -> BoardFile:
    return read_board_text(write_board(board, unit).encode(), "board.toml", beside)


spreads = st.none() | lengths(1.0, 290.0)
ratios = st.fractions(Fraction(1001, 1000), 60, max_denominator=10**6)


pairs = st.tuples(st.integers(1, 24), st.integers(1, 24)).map(sorted).map(tuple)
ACROSS = ({}, {"across_mm": -7.5}, {"between": "bass"}, {"between": "treble"}, {"triple": (3, 5)})
edge = lengths(-200.0, 200.0)
stations = st.lists(st.tuples(lengths(0.0, 2000.0), edge, edge), min_size=1, max_size=9).map(
    lambda widths: {"widths": tuple(widths), "length_mm": widths[-1][0], "nut_width_mm": widths[0][2] - widths[0][1],
                    "end_width_mm": widths[-1][2] - widths[-1][1]})  # fmt: skip
outlines = st.just({}) | stations | st.sampled_from(({"end": "slanted"}, {"end_arc_mm": 60.5}))


@st.composite
def scales(draw: st.DrawFn, scale: Scale) -> Scale:
    """A scale in any steps, slanted or not."""
    steps = draw(st.sampled_from(({}, {"division": 19}, {"steps": st.lists(ratios, min_size=1, max_size=9)},
                                  {"cents": st.lists(st.floats(0, 12000), min_size=1, max_size=9)})))  # fmt: skip
    return replace(
        scale,
        treble_mm=draw(st.none() | lengths(100.0, 2000.0)),
        square_at=draw(st.just(7.0) | st.floats(0, 120)) if draw(st.booleans()) else 7.0,
        **{key: tuple(draw(value)) if key != "division" else value for key, value in steps.items()},
        left_out=tuple(draw(st.lists(st.integers(1, 120), max_size=4))),
        names=tuple(draw(st.lists(st.text(min_size=1, max_size=12), max_size=4))),
        zero_fret=draw(st.booleans()),
        behind_zero_mm=draw(st.just(5.0) | lengths(0.5, 100.0)),
        nut_forward_mm=draw(st.just(0.0) | lengths(0.0, 5.0)),
    )


@st.composite
def clothed(draw: st.DrawFn, board: Board) -> Board:
    """A board with what random boards leave out: a binding, measured slots, clamps, words of any kind."""
    low, high = draw(rounded(-200.0, 0.0)), draw(rounded(1.0, 200.0))
    clamps = tuple(
        Holding(f"clamp {draw(st.text(max_size=9))}{index}", draw(st.sampled_from(SETUPS)), (low, high),
                (2 * low - 1, high), draw(rounded(0.0, 30.0)), draw(st.sampled_from(("wood", "bed"))),
                draw(st.none() | st.integers(1, 9)))
        for index in range(draw(st.integers(0, 2)))
    )  # fmt: skip
    slots = board.fret_slots
    measured = tuple(draw(st.lists(lengths(0.0, 2000.0), max_size=30)))
    return replace(
        board,
        scale=draw(scales(board.scale)),
        strings=draw(st.none() | st.builds(Strings, st.integers(1, 24), spreads, spreads)),
        nut=draw(st.sampled_from(("slanted", "square"))),
        before_nut_mm=draw(st.just(10.0) | lengths(0.0, 200.0)),
        **draw(outlines),
        partial=tuple(draw(st.lists(st.builds(Partial, st.integers(1, 120), pairs), max_size=2))),
        face_dots=board.face_dots and replace(board.face_dots, **draw(st.sampled_from(ACROSS))),
        side_dots=board.side_dots and replace(board.side_dots, edges=draw(st.sampled_from(("bass", "treble", "both")))),
        title=draw(st.text(max_size=40)),
        wood=draw(st.text(max_size=20)),
        crown_allowance_mm=draw(lengths(0.0, 5.0)),
        binding=draw(st.none() | st.builds(Binding, lengths(0.2, 20.0), st.sampled_from(("before", "after")))),
        fret_slots=None if slots is None else replace(slots, measured_mm=measured, fit_mm=draw(lengths(-1.0, 1.0))),
        holding=clamps,
    )


@given(board=(boards() | sound_boards() | wide_boards()).flatmap(clothed), unit=units)
def test_a_written_board_reads_back_the_same(board: Board, unit: Unit) -> None:
    try:
        read = read_back(board, unit)
    except LengthError as wrong:
        assert (unit, wrong.hint) == ("in", "write the file in mm")
        return
    beyond_bounds = [problem for problem in read.problems if any(words in problem.found for words in BEYOND_BOUNDS)]
    assert list(read.problems) == beyond_bounds
    assert read.problems or read.board == board


@pytest.mark.parametrize("unit", get_args(Unit))
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_reads_back_the_same(path: Path, unit: Unit) -> None:
    board = read_board(path).board
    assert board is not None
    read = read_back(board, unit, BesideIn(path.parent))
    assert (read.board, read.problems) == (board, ())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_key_is_written_with_what_it_means(path: Path) -> None:
    board = read_board(path).board
    assert board is not None
    text = write_board(board, "mm")
    data = tomllib.loads(text)
    said = " ".join(text.replace("#", " ").split())
    for table, keys in tables_of(BoardFileTable).items():
        for name, key in keys.items():
            written = data.get(table, {}) if table else data
            assert name not in written or " ".join(key.meaning.split()) in said
    assert max(map(len, text.splitlines())) <= WIDEST


@given(length_mm=st.floats(-3000.0, 3000.0), unit=units)
def test_any_length_is_written_exactly(length_mm: float, unit: Unit) -> None:
    try:
        value = tomllib.loads(f"length = {write_length(length_mm, unit)}")["length"]
    except LengthError:
        assert unit == "in"
        assert abs(length_mm) < 1e-30  # such a length has more figures than a written one may have
        return
    assert parse_length_mm(value, unit) == length_mm


@given(parts=st.integers(-64 * 80, 64 * 80))
def test_fractions_of_an_inch_are_written_as_such(parts: int) -> None:
    written = write_length(float(Fraction(parts, 64) * MM_PER_UNIT["in"]), "in")
    whole, rest = divmod(abs(parts), 64)
    assert ("/" in written) == (rest > 0)
    assert written.strip('-"').startswith(f"{whole} " if whole and rest else str(whole) if whole else "")


@pytest.mark.parametrize(
    ("length_mm", "unit", "written"),
    [
        (6.0, "mm", "6"),
        (0.58, "mm", "0.58"),
        (1e-05, "mm", "1e-05"),
        (304.8, "in", "12"),
        (647.7, "in", '"25 1/2 in"'),
        (-0.396875, "in", '"-1/64 in"'),
        (0.5842, "in", "0.023"),
        (-0.0254, "in", "-0.001"),
        (6.5, "in", '"6.5 mm"'),
        (1e-05, "in", '"0.00001 mm"'),
        (0.0, "in", "0"),
    ],
)
def test_lengths_are_written_as_people_write_them(length_mm: float, unit: Unit, written: str) -> None:
    assert write_length(length_mm, unit) == written


def test_a_length_that_inches_cannot_hold_is_refused() -> None:
    with pytest.raises(LengthError) as refused:
        write_length(5e-324, "in")
    assert refused.value.hint == "write the file in mm"
    assert write_length(5e-324, "mm") == "5e-324"
