"""An inch board on a machine in inches: not one millimetre is said, unless the inches stand beside it."""

import re
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from pageless import without_pages
from pearlkerf.cli import main

MACHINE = "benchtop-inch-hand"
BOARD = """title = "Lathe Street trial board"
unit = "in"
[scale]
length = "25 1/2 in"
frets = 7
[board]
wood = "ebony"
length = "8 7/8 in"
nut_width = "1 3/4 in"
end_width = 1.95
thickness = 0.26
radius = "16 in"
[fret_slots]
tang = 0.02
width = 0.023
depth = 0.075
[face_dots]
frets = [3, 5, 7]
diameter = "1/4 in"
thickness = 0.06
[side_dots]
frets = [3, 5, 7]
diameter = "5/64 in"
depth = 0.12
[[holding]]
name = "long clamp"
setup = "face"
x = ["1.6 in", "2.3 in"]
y = ["2.2 in", "2.8 in"]
above_wood = 0.2
"""
# both are said: "0.4 mm (0.016 in)"; and what a file says stands in quotation marks
BOTH = re.compile(r"-?[\d.]+(?: to [\d.]+)? mm(?:/min)? \(-?[\d.]+(?: to [\d.]+)? in(?:/min)?\)|\"[^\"\n]*\"")
MILLIMETRES = re.compile(r".*(?:\bmm\b|millimet|\bum\b|\bm/min\b).*")


def run(*arguments: object) -> str:
    """Run a command; give all that it says."""
    with without_pages():
        result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert not result.exception or isinstance(result.exception, SystemExit), result.exception
    return result.output


def millimetres_in(said: str) -> list[str]:
    return MILLIMETRES.findall(BOTH.sub("", said))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("inches")
    (folder / "board.toml").write_text(BOARD)
    return folder


@pytest.fixture(scope="module")
def job(folder: Path) -> list[Path]:
    """Programs of the board, cut and pointed at."""
    said = run("cut", folder / "board.toml", "-m", MACHINE, "-o", folder / "job", "--pointing")
    programs = sorted((folder / "job").glob("*.ngc"))
    assert len(programs) == 5 and not millimetres_in(said), said
    return programs


def test_nothing_is_said_in_millimetres_by_check(folder: Path) -> None:
    said = run("check", folder / "board.toml", "-m", MACHINE)
    assert "scale 25.500 in" in said and "distances in inches" in said and "in a pass" in said
    assert not millimetres_in(said)
    assert millimetres_in("1.5 mm") and not millimetres_in("1.5 mm (0.059 in)")


def test_nothing_is_said_in_millimetres_by_programs(job: list[Path]) -> None:
    heads = {path.name: re.sub(r"\)\n\(- ", " ", path.read_text()) for path in job}
    for text in heads.values():
        assert "blocks and notes in inches" in text and not millimetres_in(text)
        assert "(long clamp stands at X 1.598 to " in text or "-edge-" in text.partition("file ")[2][:20]
    assert "tip stops 0.0394 in above the wood" in heads["1-face-pointing.ngc"]


def test_findings_are_told_in_inches(folder: Path, job: list[Path]) -> None:
    slots = next(path for path in job if path.name.startswith("3-face"))
    text = slots.read_text()
    deeper = re.sub(r"Z-0\.1(\d+)", r"Z-0.2\1", text)
    shallow = re.sub(r"Z-0\.1\d+", "Z-0.05", text)
    for name, changed in {
        "deeper": deeper,
        "shallow": shallow,
        "head": text.replace("deepest 0.1", "deepest 0.01"),
    }.items():
        (folder / f"{name}.ngc").write_text(changed)
        said = run("prove", folder / f"{name}.ngc", folder / "board.toml", "-m", MACHINE)
        assert "not proved" in said and re.search(r"\d in\b", said) and not millimetres_in(said), said


WRONG = [
    ("thickness = 0.26", "thickness = 0.16", "at least"),
    ('diameter = "1/4 in"', "diameter = 0.7", "face_dots"),
    ("depth = 0.075", "depth = 0.2", "fret_slots.depth"),
    ("width = 0.023", "width = 0.035", "fret_slots.width"),
    ("end_width = 1.95", "end_width = 9.5", "end_width"),
    ('diameter = "5/64 in"', "diameter = 0.15", "side_dots"),
    ("thickness = 0.06", "thickness = 0.02", "shell"),
    ('y = ["2.2 in", "2.8 in"]', "y = [0.8, 1.5]", "too near"),
    ("above_wood = 0.2", "above_wood = 2", "traverses"),
    ("width = 0.023", "width = 0.018", "bare tang"),
    ('length = "25 1/2 in"', 'length = "50 in"', "scale.length"),
]


@pytest.mark.parametrize(("old", "new", "words"), WRONG)
def test_what_is_wrong_is_told_in_inches(old: str, new: str, words: str, tmp_path: Path) -> None:
    (tmp_path / "wrong.toml").write_text(BOARD.replace(old, new))
    said = run("check", tmp_path / "wrong.toml", "-m", MACHINE)
    assert words in said and ("refused" in said or "warning" in said), said
    assert not millimetres_in(said)


@pytest.mark.parametrize(("command", "options"), [
    ("coupon", []), ("coupon", ["--kind", "calibration"]), ("coupon", ["--scrap", "1 in x 1 in x 0.2 in"]),
    ("coupon", ["--kind", "calibration", "--scrap", "2 x 1 x 0.2"]), ("drill-strip", []),
    ("drill-strip", ["--strip", "3 x 1 x 1"]),
])  # fmt: skip
def test_pieces_on_scrap_are_told_in_inches(command: str, options: list[str], folder: Path, tmp_path: Path) -> None:
    said = run(command, folder / "board.toml", "-m", MACHINE, "-o", tmp_path / "job", *options)
    assert re.search(r"\d in\b|, in\b", said) and not millimetres_in(said)
    for program in (tmp_path / "job").glob("*.ngc"):
        assert not millimetres_in(re.sub(r"\)\n\(- ", " ", program.read_text()))


@cache
def profile() -> str:
    return run("machines", MACHINE)


@pytest.mark.parametrize(("old", "new", "words"), [
    ('reach = "0.18 in"', 'reach = "9 in"', "cutter 1.reach"),
    ('diameter = "3/64 in"', "diameter = 0.001", "cutter 3.diameter"),
    ("rapid = [2000, 2000, 800]", "rapid = [900000, 1, 1]", "motion.rapid"),
    ('clearance = "0.3 in"', 'clearance = "5 in"', "motion.clearance"),
])  # fmt: skip
def test_a_profile_is_told_both_units_and_its_cutters_by_number(old: str, new: str, words: str, folder: Path) -> None:
    assert old in profile()
    (folder / "wrong.toml").write_text(profile().replace(old, new))
    said = run("check", folder / "board.toml", "-m", folder / "wrong.toml")
    assert words in said and re.search(r"mm(/min)? \(", said) and not millimetres_in(said), said
