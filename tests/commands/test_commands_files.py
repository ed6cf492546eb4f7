"""What commands write: never over a file without a word, never over one that they read; what stays is named."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main
from pearlkerf.files.moves import JOURNAL, SAVING

ROOT = Path(__file__).parents[2]
BOARD = ROOT / "tests" / "golden" / "short-board.toml"
MACHINE = ROOT / "machine_profiles" / "benchtop-arcs.toml"
NOTHING = """
unit = "mm"
[scale]
length = 480
frets = 3
[board]
wood = "rosewood"
length = 90
nut_width = 42
end_width = 44.5
thickness = 6
[fret_slots]
state = "already cut"
width = 0.58
depth = 1.2
"""


def run(*words: object) -> Result:
    return CliRunner().invoke(main, list(map(str, words)))


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job of the short board, for those who look only."""
    folder = tmp_path_factory.mktemp("files") / "job"
    assert run("cut", BOARD, "-m", "benchtop-arcs", "-o", folder).exit_code == 0
    return folder


@pytest.mark.parametrize("name", ["a.pdf", "a.svg", "a.dxf", "a.csv"])
def test_paper_overwrites_nothing_unless_it_is_forced(tmp_path: Path, name: str) -> None:
    paper = tmp_path / name
    paper.write_bytes(b"mine")
    refused = run("paper", BOARD, "-o", paper)
    assert (refused.exit_code, paper.read_bytes()) == (4, b"mine")
    assert f"{paper} exists already; choose another name, or say --force" in refused.stderr
    assert run("paper", BOARD, "-o", paper, "--force").exit_code == 0
    assert paper.read_bytes() != b"mine"


def test_what_is_read_is_never_replaced(tmp_path: Path, job: Path) -> None:
    program = tmp_path / "a.nc"
    program.write_bytes((job / "1-face-cutter-2.nc").read_bytes())
    profile = tmp_path / "mine.toml"
    profile.write_bytes(MACHINE.read_bytes())
    board = tmp_path / "board.svg"
    board.write_bytes(BOARD.read_bytes())
    os.link(program, tmp_path / "hard.html")
    (tmp_path / "soft.html").symlink_to(program)
    pages = [program, tmp_path / "hard.html", tmp_path / "soft.html", tmp_path / ".." / tmp_path.name / "a.nc"]
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    refused = [run("show", program, "-o", page, "--force") for page in pages]
    refused += [
        run("prove", program, board, "-m", profile, "--page", page, "--force") for page in [*pages, board, profile]
    ]
    refused += [run("show", program, "-m", profile, "-o", profile, "--force")]
    refused += [run("paper", board, "-o", board, "--force")]
    assert [each.exit_code for each in refused] == [2] * len(refused)
    assert all("which is read here; choose another name" in each.stderr for each in refused)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_what_stays_in_a_folder_and_is_no_part_of_the_job_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    cut = ("cut", BOARD, "-m", "benchtop-arcs", "-o", folder)
    assert run(*cut).exit_code == 0
    changed = folder / "3-edge-cutter-3.nc"
    changed.write_bytes(changed.read_bytes() + b"\n")
    (folder / "old.nc").write_bytes(b"M2\n")
    part = run(*cut, "--only", "face dots")
    told = [line for line in part.stderr.splitlines() if "no part of this job" in line]
    assert [line.partition(" is ")[0] for line in told] == [f"warning: {changed}", f"warning: {folder / 'old.nc'}"]
    assert "removed 2-face-cutter-1.nc, of the earlier job" in part.stdout
    again = json.loads(run(*cut, "--only", "face dots", "--json").stdout)
    assert (again["removed"], again["kept"]) == ([], [changed.name, "old.nc"])


@pytest.mark.parametrize("words", [("--from", ""), ("--from", " "), ("--only", "")])
def test_an_empty_name_is_a_mistake(tmp_path: Path, words: tuple[str, str]) -> None:
    refused = run("cut", BOARD, "-m", "benchtop-arcs", "-o", tmp_path / "job", *words)
    assert (refused.exit_code, list(tmp_path.iterdir())) == (1, [])
    assert f'{words[0]}: there is no "" to cut here (face dots 1 3, frets 1-3, side dots 3)\n' in refused.stderr


def test_a_carrier_goes_with_no_part_not_even_an_empty_one(tmp_path: Path) -> None:
    assert run("cut", BOARD, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--carrier", "--from", "").exit_code == 2


def test_nothing_to_cut_is_refused(tmp_path: Path) -> None:
    board = tmp_path / "board.toml"
    board.write_text(NOTHING, encoding="utf-8")
    refused = run("cut", board, "-m", "benchtop-arcs", "-o", tmp_path / "job")
    assert (refused.exit_code, (tmp_path / "job").exists()) == (1, False)
    assert "there is nothing to cut: the board has no dots, and its slots are there already" in refused.stderr
    assert run("check", board, "-m", "benchtop-arcs").exit_code == 0


def test_what_an_interruption_leaves_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    folder = tmp_path / "job"
    cut = ("cut", BOARD, "-m", "benchtop-arcs", "-o", folder, "--only", "side dots")
    monkeypatch.setattr("pearlkerf.jobs.pages.draw_job", interrupt)
    early = run(*cut)
    assert (early.exit_code, early.stderr.splitlines()[-2:]) == (130, ["interrupted", f"{folder}: nothing is changed"])
    assert list(tmp_path.iterdir()) == []
    monkeypatch.undo()
    monkeypatch.setattr("pearlkerf.files.moves.names_through", interrupt)
    monkeypatch.setattr("pearlkerf.files.moves._put_back", interrupt)
    twice = run(*cut)
    told = f"{folder} is unfinished: use no program there; the next run that saves a job there puts it right"
    assert (twice.exit_code, twice.stderr.splitlines()[-2:]) == (130, [told, "interrupted"])
    monkeypatch.undo()
    shown = run("show", BOARD, "-o", tmp_path / "a.html")
    assert "unfinished" not in shown.stderr
    (folder / "a.nc").write_bytes(b"M2\n")
    assert f"warning: {folder} is unfinished, its programs may be of two jobs" in run("show", folder / "a.nc").stderr
    (folder / "a.nc").unlink()
    after = run(*cut)
    assert after.exit_code == 0
    assert f"{folder}: what a run had left unfinished there was put right first" in after.stderr
    assert not {JOURNAL, SAVING} & {path.name for path in folder.iterdir()}
