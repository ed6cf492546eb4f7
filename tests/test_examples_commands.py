"""The commands' exit codes on an example: what a script around them may rely on."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from pearlkerf.cli import main
from pearlkerf.jobs import making, proving

EXAMPLES = Path(__file__).parents[1] / "examples"
CLASSICAL = EXAMPLES / "lantern-classical.toml"


def code(*arguments: object) -> int:
    return CliRunner().invoke(main, [str(argument) for argument in arguments]).exit_code


def test_every_example_is_right_by_itself() -> None:
    for example in sorted(EXAMPLES.glob("*.toml")):
        assert code("check", example) == 0, example


def test_a_starter_file_cuts(tmp_path: Path) -> None:
    board = tmp_path / "gannet.toml"
    assert code("new", board, "--instrument", "tenor ukulele", "--hand", "left", "--unit", "in") == 0
    assert code("cut", board, "-m", "benchtop-arcs", "-o", tmp_path / "job") == 0
    assert (tmp_path / "job" / "job.json").is_file()


def test_a_starter_file_is_not_overwritten(tmp_path: Path) -> None:
    board = tmp_path / "gannet.toml"
    board.write_text("mine", encoding="utf-8")
    assert code("new", board) == 4
    assert board.read_text(encoding="utf-8") == "mine"
    assert code("new", board, "--force") == 0


@pytest.mark.parametrize(
    "answer",
    [("--instrument", "lyre"), ("--scale", "30"), ("--frets", "99"), ("--dots", "some"), ("--title", "x" * 201)],
)
def test_a_wrong_answer_is_a_wrong_command(tmp_path: Path, answer: tuple[str, str]) -> None:
    result = CliRunner().invoke(main, ["new", str(tmp_path / "gannet.toml"), *answer])
    assert result.exit_code == 2
    assert answer[0].removeprefix("--") in result.stderr.lower()
    assert list(tmp_path.iterdir()) == []


def test_wrong_commands_and_missing_files(tmp_path: Path) -> None:
    assert code("cut", CLASSICAL, "-o", tmp_path / "job") == 2  # no machine
    assert code("cut", CLASSICAL, "-m", "benchtop-arc", "-o", tmp_path / "job") == 1  # no such profile
    assert code("check", tmp_path / "nowhere.toml") == 4
    assert list(tmp_path.iterdir()) == []


def test_what_is_not_proved_is_not_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "job"
    assert code("cut", CLASSICAL, "-m", "benchtop-arcs", "-o", folder) == 0
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    made = making.make_programs
    monkeypatch.setattr(making, "make_programs", lambda *given: made(*given)[:1])  # the edge is never cut
    assert code("cut", CLASSICAL, "-m", "benchtop-arcs", "-o", folder) == 3
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    assert [path.name for path in tmp_path.iterdir()] == ["job"]


def test_an_interruption_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(proving, "prove_programs", interrupted)
    assert code("cut", CLASSICAL, "-m", "benchtop-arcs", "-o", tmp_path / "job") == 130
    assert list(tmp_path.iterdir()) == []
