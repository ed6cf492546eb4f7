"""Hints as a file is written: its unit, its spelling; what is missing in one order; what has changed since a job."""

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pageless import without_pages
from pearlkerf.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
WREN, TIDEWAY = EXAMPLES / "wren-tenor-ukulele.toml", EXAMPLES / "tideway-bass.toml"


def run(*arguments: object) -> Result:
    with without_pages():
        return CliRunner().invoke(main, [str(argument) for argument in arguments])


def hinted(text: str, tmp_path: Path) -> str:
    (tmp_path / "board.toml").write_text(text, encoding="utf-8")
    return run("check", tmp_path / "board.toml").stderr


@pytest.mark.parametrize(
    ("example", "key", "written", "hint"),
    [
        (TIDEWAY, "nut_width", '"1 13/16"', 'write "1 13/16 in"'),
        (TIDEWAY, "nut_width", "1 13/16", '"1 13/16 in"'),
        (TIDEWAY, "nut_width", ".023", "0.023"),
        (TIDEWAY, "nut_width", "2.", "2.0"),
        (WREN, "nut_width", '"36"', 'write "36 mm", or leave the quotation marks out'),
        (WREN, "nut_width", "1 13/32", '"1 13/32 mm"'),
        (WREN, "nut_width", "-.5 # a comment", "-0.5"),
    ],
)
def test_a_length_is_hinted_at_in_the_files_own_unit_and_spelling(
    example: Path, key: str, written: str, hint: str, tmp_path: Path
) -> None:
    lines = example.read_text(encoding="utf-8").splitlines()
    row = next(number for number, line in enumerate(lines) if line.startswith(f"{key} ="))
    lines[row] = f"{key} = {written}"
    assert hint in hinted("\n".join(lines), tmp_path)


def test_a_table_that_there_are_several_of_is_hinted_at_as_it_is_written(tmp_path: Path) -> None:
    profile = run("machines", "benchtop-arcs").stdout
    mine = tmp_path / "mine.toml"
    mine.write_text(profile.replace("[[cutter]]", "[cutter]"))
    assert "write [[cutter]] for each of them" in run("check", WREN, "-m", mine).stderr
    mine.write_text("[cutter]".join(profile.split("[[cutter]]")[:2]))
    assert "write [[cutter]] in place of [cutter]" in run("check", WREN, "-m", mine).stderr
    mine.write_text(profile.replace("[spindle]", "[spindle]\n[spindle]", 1))
    assert "leave one of the two" in run("check", WREN, "-m", mine).stderr


def test_what_is_missing_is_told_in_the_order_of_the_reference_every_time() -> None:
    """Sets of words have another order in every process: three of them, each with a seed of its own."""
    script = ("from pearlkerf.machine.reader import read_machine_text\n"
              "try: read_machine_text(b'[travel]\\n[[cutter]]\\n', 'm.toml')\n"
              "except Exception as refused: print([each.key for each in refused.problems])")  # fmt: skip
    said = {
        subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True,
                       env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2] / "src")}).stdout
        for seed in ("1", "2", "3")
    }  # fmt: skip
    assert len(said) == 1
    (keys,) = map(eval, said)
    assert [key for key in keys if key.startswith("travel.")] == ["travel.x", "travel.y", "travel.z"]
    cutter = [key.rpartition(".")[2] for key in keys if key.startswith("cutter.")]
    assert cutter == ["number", "kind", "diameter", "flutes", "reach"]


def test_prove_without_a_board_says_so() -> None:
    for programs in (["1-face.nc"], ["1-face.nc", "2-face.nc"]):
        result = run("prove", *programs, "-m", "benchtop-arcs")
        assert result.exit_code == 2
        assert f"{programs[-1]} is taken for the board, which comes last" in result.stderr


def test_what_has_changed_since_a_job_was_made_is_told(tmp_path: Path) -> None:
    board, profile, job = tmp_path / "board.toml", tmp_path / "mine.toml", tmp_path / "job"
    board.write_text(WREN.read_text(encoding="utf-8"), encoding="utf-8")
    profile.write_text(run("machines", "benchtop-arcs").stdout)
    assert run("cut", board, "-m", profile, "-o", job, "--only", "face dots").exit_code == 0
    program = next(job.glob("*.nc"))
    assert "note" not in run("prove", program, board, "-m", profile).stderr
    profile.write_text(profile.read_text() + "\n")
    told = run("prove", program, board, "-m", profile)
    assert told.exit_code == 0 and f"note: the profile {profile} is not as it was when {job} was made" in told.stderr
    board.write_text(board.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert "note: the board file is not as it was" in run("prove", program, board, "-m", profile).stderr
    elsewhere = tmp_path / "copy.nc"
    elsewhere.write_bytes(program.read_bytes())
    assert "note" not in run("prove", elsewhere, board, "-m", profile).stderr  # of no job, nothing is known
