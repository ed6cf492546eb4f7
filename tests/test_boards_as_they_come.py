"""Bound, measured and trimmed boards through the whole way, on every profile; the files that people look at say so."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from makers import a_board
from pearlkerf.board.model import Binding, Blank
from pearlkerf.board.reader import read_board
from pearlkerf.cli import main
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.set_up import set_up

PLACES = tuple(632 * (1 - 2 ** (-n / 12)) + (-0.1, 0.05, 0.12)[n % 3] for n in range(1, 21))
SLOTS = a_board().fret_slots
BOARDS = {
    "bound after": {"binding": Binding(1.6, "after")},
    "bound after, a blank": {"binding": Binding(1.6, "after"), "blank": Blank(66.0, 8.0, 7.0, "both", 1.2, 0.58)},
    "bound before": {"binding": Binding(1.6, "before"), "fret_slots": replace(SLOTS, ends="stopped", margin_mm=0.5)},
    "bound before, radiused, left": {"binding": Binding(2.0, "before"), "state": "radiused", "hand": "left",
                                     "fret_slots": replace(SLOTS, ends="stopped", margin_mm=0.6)},
    "measured": {"fret_slots": replace(SLOTS, state="already cut", measured_mm=PLACES)},
    "trimmed": {"blank": Blank(66.0, 8.0, 7.0, "both", 1.2)},
    "trimmed, radiused": {"blank": Blank(66.0, 8.0, 7.0, "nut", 0.8), "state": "radiused"},
}  # fmt: skip


@pytest.mark.parametrize("profile", profile_names())
@pytest.mark.parametrize("name", BOARDS)
def test_they_are_proved_or_refused_with_a_hint(name: str, profile: str) -> None:
    try:
        job = plan_job(set_up(lay_out(a_board(**BOARDS[name]))), read_machine(profile))
    except Refusal as refused:
        assert all(problem.hint for problem in refused.problems)
        assert profile not in ("benchtop-arcs", "compact-chords")
        return
    verdict = prove_programs(job, {program.file: program.text for program in make_programs(job, "test")})
    assert verdict.proved, "\n".join(map(str, verdict.findings))


@pytest.mark.parametrize("bite_mm", [0.05, 0.0625, 0.1])
def test_small_pecks_through_a_crowned_top_prove(bite_mm: float) -> None:
    """Some peck ends just at the wood's top, off the crown line, where the drill has not yet cut anything."""
    board = read_board(Path(__file__).parent / "golden" / "short-board.toml").board
    assert board is not None
    machine = read_machine("workshop-cycles")
    first, *others = machine.cutters
    machine = replace(machine, cutters=(replace(first, bite_mm=bite_mm), *others))
    job = plan_job(set_up(lay_out(replace(board, state="radiused"))), machine)
    verdict = prove_programs(job, {program.file: program.text for program in make_programs(job, "test")})
    assert verdict.proved, "\n".join(map(str, verdict.findings))


MEASURED = """
[binding]
thickness = 1.6
put_on = "after"
"""


def test_people_are_told_where_slots_were_measured_and_that_edges_are_bound(tmp_path: Path) -> None:
    text = (Path(__file__).parents[1] / "examples" / "harbour-steel-string.toml").read_text(encoding="utf-8")
    places = ", ".join(f"{place:.2f}" for place in PLACES)
    text = text.replace("[fret_slots]\n", f'[fret_slots]\nstate = "already cut"\nmeasured = [{places}]\n')
    board, job = tmp_path / "board.toml", tmp_path / "job"
    board.write_text(text + MEASURED, encoding="utf-8")
    checked = CliRunner().invoke(main, ["check", str(board), "--json"])
    assert checked.exit_code == 0, checked.output
    rows = json.loads(checked.stdout)["frets"]
    off = [(-0.1, 0.05, 0.12)[n % 3] for n in range(1, 21)]
    assert [row["off_mm"] for row in rows] == pytest.approx(off, abs=0.006)
    told = CliRunner().invoke(main, ["check", str(board)]).stdout
    assert "measured beyond the formula" in told
    assert CliRunner().invoke(main, ["cut", str(board), "-m", "benchtop-arcs", "-o", str(job)]).exit_code == 0
    page = (job / "dry-run.html").read_text(encoding="utf-8")
    assert "binding, 1.60 mm thick" in page
    for ending in ("svg", "dxf", "pdf"):
        paper = tmp_path / f"paper.{ending}"
        assert CliRunner().invoke(main, ["paper", str(board), "-o", str(paper)]).exit_code == 0
    drawn = (tmp_path / "paper.dxf").read_text(encoding="utf-8")
    assert drawn.count("\nbinding\n") >= 2
    steel = Path(__file__).parents[1] / "examples" / "harbour-steel-string.toml"
    assert "measured" not in CliRunner().invoke(main, ["check", str(steel)]).stdout
