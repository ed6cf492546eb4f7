"""A drilling strip, the whole way: its holes are the side dots', proved; who has no height still cuts the face."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main
from pearlkerf.machine.reader import read_profile_bytes
from pearlkerf.reading.reader import read_program
from pearlkerf.way import look_at

EXAMPLES = Path(__file__).parents[2] / "examples"
HARBOUR, FERRY, TIDEWAY = (EXAMPLES / name for name in (
    "harbour-steel-string.toml", "ferry-left-handed-electric.toml", "tideway-bass.toml"))  # fmt: skip


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def lowest_places(program: bytes) -> list[tuple[float, float]]:
    """Where the tip goes deeper than any strip is thick, each place once, by X."""
    motions = read_program(program, "strip").motions
    deep = motions.end[motions.end[:, 2] <= -8.0]
    return sorted({(round(float(x), 4), round(float(y), 4)) for x, y in deep[:, :2]})


@pytest.mark.parametrize("machine", ["workshop-cycles", "production-automatic"])
@pytest.mark.parametrize("board", [HARBOUR, FERRY, TIDEWAY], ids=lambda path: path.stem)
def test_holes_lie_where_the_side_dots_lie(board: Path, machine: str, tmp_path: Path) -> None:
    done = run("drill-strip", board, "-m", machine, "-o", tmp_path / "strip", "--json")
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    (file,) = [name for name in told["files"] if name.startswith("1-strip")]
    layout = look_at(board).right()
    dots = sorted(dot.centre for dot in layout.side_dots)
    places = lowest_places((tmp_path / "strip" / file).read_bytes())
    assert len(places) == len(dots) == len(told["holes"])
    assert np.abs(np.array(places) - np.array(dots)).max() <= 0.01
    assert [hole["along_mm"] for hole in told["holes"]] == [row.along_mm for row in layout.side_dot_rows]
    assert [hole["height_mm"] for hole in told["holes"]] == [row.height_mm for row in layout.side_dot_rows]
    assert (tmp_path / "strip" / "strip-card.pdf").read_bytes().startswith(b"%PDF")


def test_it_is_proved_again_and_a_hole_that_was_moved_is_found(tmp_path: Path) -> None:
    assert run("drill-strip", HARBOUR, "-m", "workshop-cycles", "-o", tmp_path / "strip").exit_code == 0
    (program,) = (tmp_path / "strip").glob("*.nc")
    assert run("prove", program, HARBOUR, "-m", "workshop-cycles").exit_code == 0
    text = program.read_text(encoding="utf-8")
    moved = re.sub(r"X144\.(\d\d)(\d\d)", lambda at: f"X144.{int(at[1]) + 5}{at[2]}", text)
    assert moved != text
    program.write_text(moved, encoding="utf-8")
    found = run("prove", program, HARBOUR, "-m", "workshop-cycles")
    assert found.exit_code == 3
    assert "guide hole 5" in found.output


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ("435x25x6", "a strip 6.0 mm thick is too small for a drill that does not wander"),
        ("400x25x8", "a strip 400.0 mm long is too small for the last dot"),
        ("435x10x8", "a strip 10.0 mm wide is too small for the dots"),
    ],
)
def test_a_strip_that_is_too_small_is_refused(size: str, told: str, tmp_path: Path) -> None:
    done = run("drill-strip", HARBOUR, "-m", "workshop-cycles", "-o", tmp_path / "strip", "--strip", size)
    assert done.exit_code == 1
    assert f"--strip: {told}" in done.output
    assert not (tmp_path / "strip").exists()


def test_a_size_that_cannot_be_read_names_the_option_that_it_was_said_with(tmp_path: Path) -> None:
    done = run("drill-strip", HARBOUR, "-m", "workshop-cycles", "-o", tmp_path / "strip", "--strip", "long")
    assert done.exit_code == 2
    assert '--strip: "long" is not LENGTHxWIDTHxTHICKNESS' in done.output


def test_a_strip_of_ones_own_size_is_drilled_through(tmp_path: Path) -> None:
    done = run("drill-strip", HARBOUR, "-m", "workshop-cycles", "-o", tmp_path / "strip", "--strip", "500x30x10")
    assert done.exit_code == 0, done.output
    (program,) = (tmp_path / "strip").glob("*.nc")
    assert read_program(program.read_bytes(), "strip").motions.end[:, 2].min() <= -10.5


def test_without_side_dots_there_is_nothing_to_guide(tmp_path: Path) -> None:
    board = tmp_path / "board.toml"
    board.write_text(HARBOUR.read_text(encoding="utf-8").split("[side_dots]")[0], encoding="utf-8")
    done = run("drill-strip", board, "-m", "workshop-cycles", "-o", tmp_path / "strip")
    assert done.exit_code == 1
    assert "the board has no side dots" in done.output


def test_who_has_no_height_cuts_the_face_and_is_told_of_the_strip(tmp_path: Path) -> None:
    profile = tmp_path / "low.toml"
    text = read_profile_bytes("workshop-cycles").decode("utf-8")
    profile.write_text(re.sub(r"under_spindle = \S+", "under_spindle = 50", text), encoding="utf-8")
    assert "under_spindle = 50" in profile.read_text(encoding="utf-8")
    whole = run("cut", HARBOUR, "-m", profile, "-o", tmp_path / "job")
    assert whole.exit_code == 1
    assert "drill-strip" in whole.output
    assert run("cut", HARBOUR, "-m", profile, "-o", tmp_path / "dots", "--only", "side dots").exit_code == 1
    face = run("cut", HARBOUR, "-m", profile, "-o", tmp_path / "job", "--only", "frets", "--only", "face dots")
    assert face.exit_code == 0, face.output
    rest = run("cut", HARBOUR, "-m", profile, "-o", tmp_path / "rest", "--only", "frets", "--from", "fret 11")
    assert rest.exit_code == 0, rest.output
    assert run("drill-strip", HARBOUR, "-m", profile, "-o", tmp_path / "strip").exit_code == 0
