"""Every family of instruments starts, checks, is cut and proved; what a person answers at a terminal is asked again."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from pearlkerf.board.instruments import FOLDER, INSTRUMENTS, find_instrument
from pearlkerf.board.reader import read_board, read_board_text
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.cli import main
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.prove import prove
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.set_up import set_up

# of the design's families each has a name
WANTED = (
    "steel", "parlour", "classical", "electric", "baritone", "seven-string", "bass", "five-string bass", "soprano",
    "concert", "uke", "baritone uke", "tenor guitar", "mandolin", "mandola", "octave mandolin", "greek", "irish",
    "five-string banjo", "tenor banjo", "dulcimer", "cigar-box",
)  # fmt: skip


def test_every_family_has_a_file_of_its_own_and_a_short_name() -> None:
    found = [find_instrument(name) for name in WANTED]
    assert None not in found and len({each.name for each in found}) == len(INSTRUMENTS) == len(list(FOLDER.glob("*")))
    for path in FOLDER.glob("*.toml"):
        assert "common practice, no source" in path.read_text(encoding="utf-8")
    for old in ("steel-string guitar", "classical guitar", "electric guitar", "tenor ukulele", "mandolin", "banjo"):
        assert find_instrument(old) == INSTRUMENTS[old]


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_every_family_starts_checks_is_cut_and_proved(instrument: str) -> None:
    """On one machine, whose saw cuts all straight slots in a few moves; cutting what starts would cut."""
    read = read_board_text(starter_text(Answers(instrument, "Gannet")).encode(), "gannet.toml")
    assert read.problems == () and read.doubtful == () and read.board is not None
    machine = read_machine("workshop-saw")
    job = plan_job(set_up(lay_out(read.board)), machine)
    programs = [ProgramText(program.file, program.text) for program in make_programs(job, "Pearlkerf")]
    verdict = prove(programs, job.clampings.setups, machine)
    assert verdict.proved, verdict.findings[:3]


def test_a_starter_takes_tang_and_widths() -> None:
    text = starter_text(
        Answers("steel", "Gannet", wood="maple", tang="0.52 mm", nut_width="1 3/4 in", width_at_12="54 mm")
    )
    board = read_board_text(text.encode(), "gannet.toml").board
    assert (board.fret_slots.tang_mm, board.fret_slots.width_mm) == (0.52, 0.565)  # 0.03 to 0.06 more in maple
    assert board.nut_width_mm == pytest.approx(44.45) and board.width_at.width_mm == 54.0


@pytest.fixture
def at_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pearlkerf.commands.new.at_terminal", lambda: True)


@pytest.mark.usefixtures("at_terminal")
def test_a_wrong_answer_is_asked_again_and_a_length_without_its_unit_for_its_unit(tmp_path: Path) -> None:
    answers = ["lyre", "steel", "cm", "mm", "both", "left", "lots", "25.34", "in", "twenty", "20", "side", "maple",
               "0.51 mm", "1 3/4 in", "54.5", "mm"]  # fmt: skip
    result = CliRunner().invoke(main, ["new", str(tmp_path / "board.toml")], input="\n".join(answers) + "\n")
    assert result.exit_code == 0, result.output
    board = read_board(tmp_path / "board.toml").board
    assert board.scale.length_mm == pytest.approx(25.34 * 25.4) and board.scale.frets == 20
    assert (board.hand, board.wood, board.face_dots) == ("left", "maple", None)
    assert (board.nut_width_mm, board.width_at.width_mm, board.fret_slots.tang_mm) == (pytest.approx(44.45), 54.5, 0.51)
    for told in ("Unknown instrument 'lyre'", "'cm' is not one of mm, in", "'both' is not one of right, left",
                 "'twenty' is not a whole number", "25.34 of which unit"):  # fmt: skip
        assert told in result.output


def test_inches_spelt_out_are_inches(tmp_path: Path) -> None:
    arguments = ["new", str(tmp_path / "board.toml"), "--instrument", "uke", "--scale", "17.25 inches"]
    assert CliRunner().invoke(main, arguments).exit_code == 0
    assert read_board(tmp_path / "board.toml").board.scale.length_mm == pytest.approx(17.25 * 25.4)


@pytest.mark.parametrize(
    ("option", "value", "found"),
    [
        ("--tang", "5 mm", "0.3 to 0.8 mm"),
        ("--nut-width", "17 in", "20 to 110 mm"),
        ("--scale", "25.34", "no unit"),
        ("--instrument", "mandolim", "Did you mean 'mandolin'?"),
    ],
)
def test_options_that_make_no_board_are_refused(tmp_path: Path, option: str, value: str, found: str) -> None:
    result = CliRunner().invoke(main, ["new", str(tmp_path / "board.toml"), option, value])
    assert result.exit_code == 2 and found in result.output and not (tmp_path / "board.toml").exists()
