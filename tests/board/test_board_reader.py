"""Board files: every key with its default, every mistake at once with its place, no surprise for any input."""

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pearlkerf.board.model import Blank, Board, FaceDots, FretSlots, Radius, Scale, SideDots
from pearlkerf.board.reader import BoardFile, read_board
from pearlkerf.errors import Problem
from refusal_files import hold

REFUSALS = sorted((Path(__file__).parent / "refusals").glob("*.toml"))
CORE = """\
unit = "mm"
[scale]
length = 632
frets = 20
[board]
length = 448
nut_width = "1 3/4 in"
end_width = 56.5
thickness = 6.5
"""
FULL = """\
format = 1
title = "A) board ("
unit = "in"
[scale]
length = 25.5
frets = 22
[board]
wood = "wenge"
hand = "left"
length = "460 mm"
nut_width = 1.7
end_width = 2.2
thickness = "1/4 in"
radius = { nut = 10, end = "16 in" }
state = "radiused"
crown_allowance = "0.1 mm"
[blank]
width = "64 mm"
beyond_nut = "12 mm"
beyond_end = 0.25
[fret_slots]
width = 0.023
depth = "2 mm"
floor = "level"
ends = "stopped"
margin = "2 mm"
state = "already cut"
fit = "-0.02 mm"
[face_dots]
frets = [3, 5, 12]
double = [12]
diameter = 0.25
thickness = ["1.4 mm", "1.6 mm"]
proud = "0.3 mm"
fit = "0.05 mm"
shell_left = "0.6 mm"
spacing = "20 mm"
[side_dots]
frets = [3, 12]
double = [12]
diameter = "2 mm"
depth = "3 mm"
height = "3.5 mm"
spacing = "6 mm"
margin = "0.9 mm"
fit = "0.02 mm"
"""


def read(folder: Path, text: str, name: str = "long-board.toml") -> BoardFile:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_board(path)


@pytest.mark.parametrize("path", REFUSALS, ids=lambda path: path.stem)
def test_a_bad_file_is_told_what_it_says_is_wrong_with_it(path: Path) -> None:
    hold(read_board(path).problems, path)


def test_what_may_be_left_out_has_its_default(tmp_path: Path) -> None:
    tables = "[fret_slots]\nwidth = 0.58\ndepth = 2\n[face_dots]\nfrets = [3]\ndiameter = 6\nthickness = 1.5\n"
    file = read(tmp_path, CORE + tables + "[side_dots]\nfrets = [3]\ndiameter = 2\ndepth = 3\n")
    assert file.problems == ()
    assert file.board == Board(
        title="long-board",
        scale=Scale(632.0, 20),
        length_mm=448.0,
        nut_width_mm=44.45,
        end_width_mm=56.5,
        thickness_mm=6.5,
        radius=Radius(math.inf, math.inf),
        state="flat",
        crown_allowance_mm=0.2,
        wood="",
        hand="right",
        blank=None,
        fret_slots=FretSlots(0.58, 2.0, "follow", "through", 1.5, "to cut", 0.0),
        face_dots=FaceDots((3,), 6.0, 1.5, 1.5, (), 0.2, 0.0, 0.5, None),
        side_dots=SideDots((3,), 2.0, 3.0, (), None, None, 0.8, 0.0),
    )


def test_every_key_is_read_and_bare_numbers_are_in_the_files_unit(tmp_path: Path) -> None:
    file = read(tmp_path, FULL)
    assert file.problems == ()
    assert file.board == Board(
        title="A) board (",
        scale=Scale(647.7, 22),
        length_mm=460.0,
        nut_width_mm=43.18,
        end_width_mm=55.88,
        thickness_mm=6.35,
        radius=Radius(254.0, 406.4),
        state="radiused",
        crown_allowance_mm=0.1,
        wood="wenge",
        hand="left",
        blank=Blank(64.0, 12.0, 6.35),
        fret_slots=FretSlots(0.5842, 2.0, "level", "stopped", 2.0, "already cut", -0.02),
        face_dots=FaceDots((3, 5, 12), 6.35, 1.4, 1.6, (12,), 0.3, 0.05, 0.6, 20.0),
        side_dots=SideDots((3, 12), 2.0, 3.0, (12,), 3.5, 6.0, 0.9, 0.02),
    )


@pytest.mark.parametrize(("written", "nut_mm", "end_mm"), [
    ('"flat"', math.inf, math.inf), ('"14 in"', 355.6, 355.6), ("300", 300.0, 300.0),
    ('{ nut = "10 in", end = "16 in" }', 254.0, 406.4),
])  # fmt: skip
def test_a_radius_is_a_length_or_flat_or_one_for_each_end(
    tmp_path: Path, written: str, nut_mm: float, end_mm: float
) -> None:
    board = read(tmp_path, f"{CORE}radius = {written}\n").board
    assert board is not None
    assert board.radius == Radius(nut_mm, end_mm)


def test_what_can_be_read_is_kept_beside_the_mistakes(tmp_path: Path) -> None:
    tables = (
        "colour = 1\n[fret_slots]\nwidth = 0.58\n[face_dots]\nfrets = [3]\ndiameter = 6\nthickness = 1.5\nprod = 1\n"
    )
    file = read(tmp_path, CORE + tables)
    assert [problem.key for problem in file.problems] == ["board.colour", "fret_slots.depth", "face_dots.prod"]
    assert file.board is not None
    assert file.board.fret_slots is None
    assert file.board.face_dots == FaceDots((3,), 6.0, 1.5, 1.5)


def test_without_what_must_be_there_no_board_is_given(tmp_path: Path) -> None:
    file = read(tmp_path, CORE.replace("length = 448\n", ""))
    assert file.board is None
    assert [problem.key for problem in file.problems] == ["board.length"]


def test_without_a_unit_bare_numbers_are_not_judged(tmp_path: Path) -> None:
    file = read(tmp_path, FULL.replace('unit = "in"\n', ""))
    assert [problem.key for problem in file.problems] == ["unit"]


def test_a_later_check_gets_its_place_from_the_file(tmp_path: Path) -> None:
    file = read(tmp_path, FULL)
    placed = file.places.put(Problem("too close", key="face_dots.frets.2"))
    assert (placed.file, placed.line, placed.column) == (file.file, 30, 16)


def test_a_byte_order_mark_is_accepted_and_the_bytes_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"\xef\xbb\xbf" + CORE.replace("\n", "\r\n").encode())
    file = read_board(path)
    assert file.problems == ()
    assert file.text == path.read_bytes()


def test_a_file_above_a_mebibyte_is_refused(tmp_path: Path) -> None:
    file = read(tmp_path, CORE + "# fill\n" * 150_000)
    (problem,) = file.problems
    assert file.places.put(Problem("x", key="board.length")).file == problem.file == file.file
    assert "at most 1048576 bytes" in str(problem)


values = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8),
              st.sampled_from(["6 mm", "flat", "auto", "in", "mm", "follow"])),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.sampled_from(["nut", "end", "x"]), inner)),
    max_leaves=4,
)  # fmt: skip
KEYS = [line.split(" =")[0] for line in FULL.splitlines() if "=" in line]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow], max_examples=150)
@given(data=st.dictionaries(
    st.sampled_from(["scale", "board", "blank", "fret_slots", "face_dots", "side_dots", "unit", "title", "x"]),
    st.one_of(values, st.dictionaries(st.sampled_from(KEYS), values)), max_size=6))  # fmt: skip
def test_any_tables_are_read_or_told_in_house_words(tmp_path: Path, data: dict[str, Any]) -> None:
    file = read(tmp_path, "".join(f"{key} = {toml(value)}\n" for key, value in data.items()))
    assert (file.board is None) or isinstance(file.board, Board)
    assert file.problems or file.board
    for problem in file.problems:
        assert problem.file == str(tmp_path / "long-board.toml")
        assert "nput should" not in str(problem)
        assert "voluptuous" not in str(problem)


def toml(value: object) -> str:
    """Write a value as TOML (None as an empty list)."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(letter):08X}" for letter in value if not 0xD800 <= ord(letter) < 0xE000) + '"'
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list | None):
        return "[" + ", ".join(toml(part) for part in value or []) + "]"
    return str(value)


@pytest.mark.parametrize(("text", "unit"), [(CORE, "mm"), (FULL, "in")])
def test_a_board_knows_what_its_maker_measures_in(tmp_path: Path, text: str, unit: str) -> None:
    board = read(tmp_path, text).board
    assert board is not None
    assert board.unit == unit
