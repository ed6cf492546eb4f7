"""A board on a machine with a saw, through the commands: proved, told, damaged, refused."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main
from pearlkerf.machine.reader import read_profile_bytes

EXAMPLES = Path(__file__).parents[2] / "examples"
STEEL = EXAMPLES / "harbour-steel-string.toml"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("saw") / "job"
    result = run("cut", STEEL, "-m", "workshop-saw", "-o", folder, "--json")
    assert result.exit_code == 0, result.stderr
    assert json.loads(result.stdout)["proof"]["proved"] is True
    return (folder / "2-face-cutter-1.nc").read_text(encoding="ascii")


def test_the_head_tells_zero_teeth_and_clamps(program: str) -> None:
    head = " ".join(program.partition("G21")[0].replace(")\n(- ", " ").replace(")\n(", ". ").split())
    assert "Z 0 is where its lowest point touches the top on the centre line" in head
    assert "conventional sawing, the lowest teeth run away from the operator" in head
    assert "never faster than 6000 rpm" in head
    assert re.search(r"clamps stay off the edge by \d+\.\d mm", head)


def first(program: str, pattern: str, new: str) -> str:
    damaged, count = re.subn(pattern, new, program, count=1)
    assert count == 1
    return damaged


DAMAGE = {
    "a pass deeper": (r"Z-2.2\n", r"Z-2.25\n", 6),
    "a pass higher": (r"Z-2.2\n", r"Z-2.15\n", 7),
    "a slot aside": (r"(fret 7, bass side first\)\n)G0 X(\d+)\.\d+ (Y\S+)\nG0 X\S+", r"\1G0 X\2.0 \3\nG0 X\2.3", 6),
    "too fast": (r"S3000 M3", "S6500 M3", 3),
    "no delay": (r"G4 P5.0", "G4 P0.5", 3),
    "no spindle": (r"S3000 M3", "S3000", 3),
    "a feed too high": (r"F1200.0", "F1900.0", 3),
    "a rapid through the wood": (r"G1 (Y-?\d+\.\d+) F1200.0", r"G0 \1", 5),
    "down in the wood": (r"Y-31\.\d+\nG0 Z0.5", "Y-10.0\nG0 Z0.5", 8),
    "no lift": (r"G1 Z0.5 F\S+\nG0 Z10.0\n", "", 5),
    "a missing last line": (r"M5\n", "", 9),
}


@pytest.mark.parametrize("what", DAMAGE)
def test_damage_is_found(program: str, what: str, tmp_path: Path) -> None:
    pattern, new, rule = DAMAGE[what]
    file = tmp_path / "2-face-cutter-1.nc"
    file.write_text(first(program, pattern, new), encoding="ascii")
    result = run("prove", file, STEEL, "-m", "workshop-saw", "--json")
    assert result.exit_code == 3
    assert rule in {finding["rule"] for finding in json.loads(result.stdout)["findings"]}


def test_the_program_is_proved_alone_and_not_for_a_saw_of_another_kerf(program: str, tmp_path: Path) -> None:
    file = tmp_path / "2-face-cutter-1.nc"
    file.write_text(program, encoding="ascii")
    assert run("prove", file, STEEL, "-m", "workshop-saw").exit_code == 0
    text = read_profile_bytes("workshop-saw").decode("utf-8")
    for old, new, rules in (("kerf = 0.58", "kerf = 0.62", {6, 7}), ('"away" ', '"toward" ', {8}),
                            ("arbor = 44", "arbor = 57.5", {8})):  # fmt: skip
        profile = tmp_path / "other.toml"
        changed = text.replace(old, new, 1).replace("reach = 9", "reach = 2.5" if "arbor" in old else "reach = 9", 1)
        profile.write_text(changed, encoding="utf-8")
        result = run("prove", file, STEEL, "-m", profile, "--json")
        assert result.exit_code == 3
        assert rules <= {finding["rule"] for finding in json.loads(result.stdout)["findings"]}


@pytest.mark.parametrize(("old", "new", "words"), [
    ('ends = "through"', 'ends = "stopped"', "the slot stops inside the wood, and the round blade would cut"),
    ("width = 0.58", "width = 0.7", "its kerf is 0.580 mm, the slot 0.700 mm wide"),
    ("depth = 2.0", "depth = 2.8", "it reaches 3.50 mm, the slot is 4.1"),
])  # fmt: skip
def test_what_no_blade_cuts_is_refused_before_anything_is_written(
    old: str, new: str, words: str, tmp_path: Path
) -> None:
    text = read_profile_bytes("workshop-saw").decode("utf-8").replace("reach = 9", "reach = 3.5", 1)
    profile, board = tmp_path / "saw.toml", tmp_path / "board.toml"
    profile.write_text(text.replace("diameter = 0.5 ", "diameter = 0.9 ", 1), encoding="utf-8")
    board.write_text(STEEL.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    result = run("cut", board, "-m", profile, "-o", tmp_path / "job")
    assert result.exit_code == 1
    assert "the saw, cutter 1, does not serve" in result.stderr
    assert words in result.stderr
    assert 'add a [[cutter]] of kind "end mill"' in result.stderr
    assert not (tmp_path / "job").exists()


def test_check_says_what_was_chosen_and_why_and_how_long_each_way_takes() -> None:
    told = run("check", STEEL, "-m", "workshop-saw").stdout
    assert "cutter 1 takes frets: its kerf is as wide as they are" in told
    assert "rosewood: dense wood, about 10900 N hard" in told
    data = json.loads(run("check", STEEL, "-m", "workshop-saw", "--json").stdout)
    frets = {way["cutter"]: way for way in data["ways"] if way["cuts"] == "frets"}
    assert set(frets) == {1, 2}
    assert frets[1]["chosen"] and not frets[2]["chosen"]
    assert frets[1]["how"] == ["sawn"]
    assert frets[2]["how"] == ["side passes"]
    assert 0 < frets[1]["shortest_s"] <= frets[1]["longest_s"] < frets[2]["shortest_s"]
