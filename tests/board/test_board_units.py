"""The same board described in inches and in millimetres is the same board."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pearlkerf.board.reader import read_board
from pearlkerf.errors import Refusal
from pearlkerf.layout.lay_out import lay_out

BOARD = """\
unit = "{unit}"
[scale]
length = {0}
frets = 14
[board]
length = {1}
nut_width = {2}
end_width = {3}
thickness = {4}
radius = {{ nut = {5}, end = {6} }}
crown_allowance = {7}
[fret_slots]
width = {8}
depth = {9}
[face_dots]
frets = [3, 5, 7, 12]
double = [12]
diameter = {10}
thickness = {11}
proud = {12}
[side_dots]
frets = [5, 12]
diameter = {13}
depth = {14}
"""
# least and most of each, thousandths of an inch
RANGES = (
    (20000, 27000), (14200, 16000), (1600, 2000), (2000, 2300), (240, 320), (9000, 12000), (12000, 20000), (2, 12),
    (20, 28), (60, 90), (200, 250), (55, 80), (2, 8), (60, 80), (80, 160),
)  # fmt: skip
INCH = Decimal("25.4")


def layout_of(folder: Path, unit: str, lengths: list[Decimal]):
    path = folder / "board.toml"
    path.write_text(BOARD.format(*lengths, unit=unit), encoding="utf-8")
    read = read_board(path)
    assert read.problems == () and read.board is not None
    try:
        return lay_out(read.board)
    except Refusal as refusal:
        return [(problem.key, problem.found, problem.hint) for problem in refusal.problems]


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.tuples(*(st.integers(*each) for each in RANGES)))
def test_inches_and_millimetres_describe_the_same_board(tmp_path, thousandths):
    inches = [Decimal(count) / 1000 for count in thousandths]
    one, other = (
        layout_of(tmp_path, unit, lengths) for unit, lengths in (("in", inches), ("mm", [x * INCH for x in inches]))
    )
    if isinstance(one, list) or isinstance(other, list):
        assert one == other
        return
    assert other.frets_mm.tolist() == pytest.approx(one.frets_mm.tolist(), abs=1e-9)
    for mine, theirs in zip((*one.face_dots, *one.side_dots), (*other.face_dots, *other.side_dots), strict=True):
        assert (*theirs.centre, theirs.diameter_mm, theirs.floor_mm) == pytest.approx(
            (*mine.centre, mine.diameter_mm, mine.floor_mm), abs=1e-9
        )
    for mine, theirs in zip(one.slots, other.slots, strict=True):
        assert (*theirs.start, *theirs.end, theirs.width_mm, theirs.floor.crown_z_mm) == pytest.approx(
            (*mine.start, *mine.end, mine.width_mm, mine.floor.crown_z_mm), abs=1e-9
        )
