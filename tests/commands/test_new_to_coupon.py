"""From a new board to a coupon in scrap, as somebody would who has never done it, in both units."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from pageless import without_pages
from pearlkerf.cli import main

WAYS = {
    "in mm": (["--instrument", "tenor ukulele", "--unit", "mm", "--tang", "0.5 mm"], "benchtop-arcs"),
    "in inches": (["--instrument", "steel-string guitar", "--unit", "in", "--tang", "0.02 in", "--scale", "25.4 in",
                   "--wood", "ebony"], "benchtop-inch-hand"),
    "with a dial": (["--instrument", "mandolin", "--unit", "in", "--tang", "0.5 mm"], "router-dial"),
}  # fmt: skip


def run(*arguments: object) -> tuple[str, str]:
    with without_pages():
        result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exit_code == 0, result.output
    return result.stdout, result.stderr


@pytest.mark.parametrize(("answers", "machine"), WAYS.values(), ids=WAYS)
def test_new_check_coupon(answers: list[str], machine: str, tmp_path: Path) -> None:
    board, inches = tmp_path / "gannet.toml", "in" in answers[answers.index("--unit") + 1]
    run("new", board, *answers)
    told, doubts = run("check", board, "-m", machine)
    told_of_widths = re.findall(r"warning: (?!.*makes slots about)", doubts)  # what a coupon is for
    assert not told_of_widths, doubts
    cut, _ = run("coupon", board, "-m", machine, "-o", tmp_path / "coupon")
    measured, _ = run("coupon", board, "-m", machine, "-o", tmp_path / "piece", "--kind", "calibration")
    proved, _ = run("prove", *sorted((tmp_path / "coupon").glob("*.n*c")), board, "-m", machine)
    assert "proved" in cut and "slot 1" in cut and "depth 2 less depth 1" in measured and proved.startswith("proved:")
    for said in (told, cut, measured):
        assert bool(re.search(r"\d mm\b", said)) != inches, said


def test_a_slot_a_hair_narrower_than_its_mill_is_told_what_would_do(tmp_path: Path) -> None:
    board = tmp_path / "gannet.toml"
    run("new", board, "--instrument", "steel-string guitar", "--unit", "in", "--tang", "0.02 in", "--wood", "rosewood")
    with without_pages():
        result = CliRunner().invoke(main, ["check", str(board), "-m", "benchtop-inch-hand"])
    assert result.exit_code == 1 and "a diameter of 0.022 in or less and a reach of 0.1" in result.stderr
    assert "or make the slots 0.023 in wide, as cutter 1 is" in result.stderr
    board.write_text(re.sub(r"^width = 0.022\b", "width = 0.023", board.read_text(), flags=re.MULTILINE))
    _, doubts = run("check", board, "-m", "benchtop-inch-hand")
    assert "warning" not in doubts
