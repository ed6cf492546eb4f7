"""`prove` holds programs edited by hand against the board, and draws the page where they fail."""

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from pearlkerf.cli import main

BOARD = str(Path(__file__).parents[2] / "examples" / "wren-tenor-ukulele.toml")


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("prove") / "job"
    assert CliRunner().invoke(main, ["cut", BOARD, "-m", "benchtop-arcs", "-o", str(folder)]).exit_code == 0
    return folder


def test_the_page_of_a_failing_program_opens_at_its_finding(job: Path, tmp_path: Path) -> None:
    program = sorted(job.glob("*.nc"))[0]
    lines = program.read_text("ascii").splitlines()
    row = max(n for n, line in enumerate(lines) if line.startswith("G") and " Z-" in line)
    lines[row] = lines[row].replace("Z-", "Z-9")
    bad, page = tmp_path / "bad.nc", tmp_path / "bad.html"
    bad.write_text("\n".join(lines) + "\n", "ascii")
    asked = ["prove", str(bad), BOARD, "-m", "benchtop-arcs", "--page", str(page), "--json"]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 3
    found = [finding["line"] for finding in json.loads(result.stdout)["findings"]]
    assert row + 1 in found
    data = json.loads(page.read_text("utf-8").partition('id="run">')[2].partition("</script>")[0])
    assert [finding["line"] for finding in data["findings"]] == found
    again = CliRunner().invoke(main, asked)
    assert again.exit_code == 4 and "exists already" in again.stderr
    assert CliRunner().invoke(main, [*asked, "--force"]).exit_code == 3


def test_a_program_is_shown_with_the_times_of_a_machine(job: Path, tmp_path: Path) -> None:
    program = sorted(job.glob("*.nc"))[0]
    times = {}
    for name, option in (("alone", []), ("machine", ["-m", "benchtop-arcs"])):
        page = tmp_path / f"{name}.html"
        result = CliRunner().invoke(main, ["show", str(program), *option, "-o", str(page)])
        assert result.exit_code == 0, result.output
        times[name] = json.loads(page.read_text("utf-8").partition('id="run">')[2].partition("</script>")[0])
    assert [cutter["number"] for cutter in times["machine"]["cutters"]] and not times["alone"]["cutters"]
    assert times["alone"]["programs"] != times["machine"]["programs"]


def test_the_second_reader_agrees_on_a_job(job: Path) -> None:
    programs = [str(path) for path in sorted(job.glob("*.nc"))]
    result = CliRunner().invoke(main, ["prove", *programs, BOARD, "-m", "benchtop-arcs", "--second-reader"])
    assert (result.exit_code, result.stdout.startswith("proved: ")) == (0, True), result.stderr


def test_where_the_second_reader_differs_is_a_finding(job: Path, tmp_path: Path) -> None:
    """It cannot read a plus sign, which the standard allows (NISTIR 6556, 3.3.2.1)."""
    program = sorted(job.glob("*.nc"))[-1]
    lines = program.read_text("ascii").splitlines()
    row = next(n for n, line in enumerate(lines) if line.startswith("G0 Z"))
    lines[row] = lines[row].replace("Z", "Z+")
    odd = tmp_path / "odd.nc"
    odd.write_text("\n".join(lines) + "\n", "ascii")
    asked = ["prove", str(odd), BOARD, "-m", "benchtop-arcs"]
    assert CliRunner().invoke(main, asked).exit_code == 0
    result = CliRunner().invoke(main, [*asked, "--second-reader", "--json"])
    assert result.exit_code == 3
    first, *others = json.loads(result.stdout)["findings"]
    assert (first["rule"], first["line"], first["file"]) == (1, row + 1, str(odd))
    assert first["message"] == "two readers differ: the second cannot read this line (GCodeWordStrError)"
    assert all("ends lie" in finding["message"] for finding in others)  # until Z is said again


def test_without_the_second_reader_the_command_is_wrong_and_says_how_to_get_it(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pygcode", None)
    program = sorted(job.glob("*.nc"))[-1]
    result = CliRunner().invoke(main, ["prove", str(program), BOARD, "-m", "benchtop-arcs", "--second-reader"])
    assert result.exit_code == 2
    assert "--second-reader: the second reader is not installed" in result.stderr
    assert "hint: pip install 'pearlkerf[second-reader]'" in result.stderr


def test_what_is_proved_is_said_and_what_no_program_claims(job: Path, tmp_path: Path) -> None:
    programs = [str(path) for path in sorted(job.glob("*.nc"))]
    first = CliRunner().invoke(main, ["prove", programs[0], BOARD, "-m", "benchtop-arcs"])
    assert first.stdout.splitlines()[1] == "proved: face dots 5 7 10 12 15; not claimed: frets"
    every = CliRunner().invoke(main, ["prove", *programs, BOARD, "-m", "benchtop-arcs"])
    assert every.stdout.splitlines()[1].startswith("proved, face: face dots 5 7 10 12 15, frets 1-")
    assert "not claimed" not in every.stdout
    told = json.loads(CliRunner().invoke(main, ["prove", programs[0], BOARD, "-m", "benchtop-arcs", "--json"]).stdout)
    (claims,) = told["claims"]
    assert claims["claimed"] == {"face dots": [5, 7, 10, 12, 15]} and list(claims["not_claimed"]) == ["frets"]


def test_who_says_nothing_and_is_said_nothing_of_is_asked(job: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.nc"
    bare.write_text("G21\nG17 G90 G94 G54\nG0 Z5.0\nM2\n", "ascii")
    result = CliRunner().invoke(main, ["prove", str(bare), BOARD, "-m", "benchtop-arcs"])
    assert result.exit_code == 2 and "does not say its setup" in result.stderr and "--setup" in result.stderr
    said = ["--setup", "face", "--cutter", "1"]
    result = CliRunner().invoke(main, ["prove", str(bare), BOARD, "-m", "benchtop-arcs", *said])
    assert result.exit_code == 3 and "claims nothing" in result.stderr
