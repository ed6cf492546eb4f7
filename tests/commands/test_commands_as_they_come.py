"""Programs of bound and trimmed boards, edited by hand: what leaves a slot for the binding, or a trim for the board."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
STEEL = (EXAMPLES / "harbour-steel-string.toml").read_text(encoding="utf-8")
THIN_WALL = STEEL.replace('ends = "through"\n', "margin = 0.5\n")
BOUND = f'unusual = ["fret_slots.margin"]\n{THIN_WALL}[binding]\nthickness = 1.6\nput_on = "before"\n'
TRIMMED = STEEL + '[blank]\nwidth = 66\nbeyond_nut = 8\nbeyond_end = 7\ntrim = "both"\n'


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def into_the_binding(text: str) -> str:
    """Make the last feed of fret 7 that reaches an end of it go 0.03 mm farther out."""
    head, cut, rest = text.partition("(fret 7, bass side first)")
    body, up, tail = rest.partition("G0 Z8")
    feeds = list(re.finditer(r"(?<=^G1 )Y(-?\d+\.\d+)", body, re.MULTILINE))
    last = max(feeds, key=lambda feed: (abs(float(feed[1])), feed.start()))
    place = float(last[1])
    moved = f"Y{place + (0.03 if place > 0 else -0.03):.3f}"
    return head + cut + body[: last.start()] + moved + body[last.end() :] + up + tail


def into_the_board(text: str) -> str:
    """Lay the trim at the bridge end, whose wall is the board's end at 448 mm, 0.03 mm nearer."""
    head, cut, rest = text.partition("(trim at the bridge end, bass side first)")
    return head + cut + rest.replace("X448.29 ", "X448.26 ", 1)


@pytest.mark.parametrize(
    ("board", "edited", "named"),
    [(BOUND, into_the_binding, "fret 7"), (TRIMMED, into_the_board, "trim at the bridge end")],
)
def test_a_cut_that_leaves_its_place_is_found(
    board: str, edited: Callable[[str], str], named: str, tmp_path: Path
) -> None:
    file = tmp_path / "board.toml"
    file.write_text(board, encoding="utf-8")
    assert run("cut", file, "-m", "benchtop-arcs", "-o", tmp_path / "job").exit_code == 0
    program = tmp_path / "job" / "2-face-cutter-1.nc"
    assert run("prove", program, file, "-m", "benchtop-arcs").exit_code == 0
    program.write_text(edited(program.read_text()))
    result = run("prove", program, file, "-m", "benchtop-arcs")
    assert result.exit_code == 3
    assert named in result.stderr


def test_trims_can_be_cut_alone(tmp_path: Path) -> None:
    heron = EXAMPLES / "heron-parlour-guitar.toml"
    assert run("cut", heron, "-m", "benchtop-arcs", "-o", tmp_path, "--only", "trims").exit_code == 0
    (program,) = tmp_path.glob("*.nc")
    assert "cuts=trims 1-2)" in program.read_text()
