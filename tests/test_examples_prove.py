"""Every example proves, through the commands, under every profile that it fits; the same board gives the same bytes."""

import json
import shutil
from contextlib import nullcontext
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from example_jobs import LOW
from pageless import without_pages
from pearlkerf.cli import main
from pearlkerf.machine.reader import profile_names
from pearlkerf.setups.set_up import set_up
from pearlkerf.way import look_at

EXAMPLES = sorted((Path(__file__).parents[1] / "examples").glob("*.toml"))
IN_POSITIONS = {("tideway-bass", "compact-chords")} | {
    (path.stem, "engraver-300") for path in EXAMPLES if path.stem not in ("wren-tenor-ukulele", "gull-octave-mandolin")
}
STEEL = next(path for path in EXAMPLES if path.stem == "harbour-steel-string")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.mark.parametrize("profile", profile_names())
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_proves_under_every_profile_that_it_fits(example: Path, profile: str, tmp_path: Path) -> None:
    drawn = profile == profile_names()[EXAMPLES.index(example) % len(profile_names())]  # pages of each example, once
    with nullcontext() if drawn else without_pages():
        result = run("cut", example, "-m", profile, "-o", tmp_path / "job", "--json")
        if profile in LOW and "[side_dots]" in example.read_text(encoding="utf-8"):
            assert result.exit_code == 1 and "under_spindle of engraver-300" in result.stderr, result.output
            face = next(setup for setup in set_up(look_at(example).right()).setups if setup.kind == "face")
            only = [part for group in {each.group for each in face.features} for part in ("--only", group)]
            result = run("cut", example, "-m", profile, "-o", tmp_path / "job", "--json", *only)
    assert result.exit_code == 0, result.stderr
    told = json.loads(result.stdout)
    assert told["proof"]["proved"] is True
    assert sorted(told["files"]) == sorted(path.name for path in (tmp_path / "job").iterdir())
    assert ((example.stem, profile) in IN_POSITIONS) == any("-face-2-" in file for file in told["files"])


def test_the_same_board_gives_the_same_bytes_from_another_folder(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    copy = Path(shutil.copy(STEEL, tmp_path / "elsewhere"))
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "a").exit_code == 0
    assert run("cut", copy, "-m", "benchtop-arcs", "-o", tmp_path / "b").exit_code == 0
    assert [p.read_bytes() for p in sorted((tmp_path / "a").iterdir())] == [
        p.read_bytes() for p in sorted((tmp_path / "b").iterdir())
    ]


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("diameter = 6\n", "diameter = 40\n", "face_dots.diameter"),
        ("width = 0.58", "widht = 0.58", "fret_slots.width"),
        ("length = 448", "length = nan", "board.length"),
        ("length = 632", 'length = "632,0 mm"', "scale.length"),
        ("width = 0.58", "width = 0.3", "fret_slots.width"),
    ],
)
def test_nonsense_is_refused_by_key_and_nothing_is_written(old: str, new: str, key: str, tmp_path: Path) -> None:
    board = tmp_path / "board.toml"
    board.write_text(STEEL.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    result = run("cut", board, "-m", "benchtop-arcs", "-o", tmp_path / "job")
    assert result.exit_code == 1
    assert key.rpartition(".")[0] in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["board.toml"]


def test_a_title_with_code_changes_no_motion(tmp_path: Path) -> None:
    plain, hostile = tmp_path / "plain.toml", tmp_path / "hostile.toml"
    text = STEEL.read_text(encoding="utf-8")
    plain.write_text(text, encoding="utf-8")
    hostile.write_text(text.replace("Harbour steel-string, first of two", "x) G0 Z-50 (", 1), encoding="utf-8")
    assert run("cut", plain, "-m", "benchtop-arcs", "-o", tmp_path / "a").exit_code == 0
    assert run("cut", hostile, "-m", "benchtop-arcs", "-o", tmp_path / "b").exit_code == 0
    for one in (tmp_path / "a").glob("*.nc"):
        other = tmp_path / "b" / one.name
        code = [[line for line in path.read_text().splitlines() if not line.startswith("(")] for path in (one, other)]
        assert code[0] == code[1]


def test_one_bad_number_is_not_proved(tmp_path: Path) -> None:
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "a").exit_code == 0
    program = tmp_path / "a" / "1-face-cutter-2.nc"
    assert run("prove", program, STEEL, "-m", "benchtop-arcs").exit_code == 0
    program.write_text(program.read_text().replace("Z-1.5 ", "Z-1.6 ", 1))
    result = run("prove", program, STEEL, "-m", "benchtop-arcs")
    assert result.exit_code == 3
    assert "face dot 3" in result.stderr


def test_files_that_a_person_changed_are_kept(tmp_path: Path) -> None:
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "a").exit_code == 0
    program = tmp_path / "a" / "1-face-cutter-2.nc"
    program.write_text("(mine)\n")
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "a").exit_code == 4
    assert program.read_text() == "(mine)\n"
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "a", "--force").exit_code == 0
