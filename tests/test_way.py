"""The way from text to a saved job, as every front door goes it: values out, progress told, nothing printed."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.saving import InTheWay
from pearlkerf.jobs import making
from pearlkerf.jobs.pieces import Wish
from pearlkerf.machine.reader import read_machine, read_profile_bytes
from pearlkerf.proof.identity import Assumed
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.asked import asked_mark
from pearlkerf.setups.selection import Choice

BOARD = Path(__file__).parents[1] / "examples" / "harbour-steel-string.toml"
TEXT = BOARD.read_bytes()
PROFILE = "benchtop-arcs"


def changed(*changes: tuple[str, str]) -> str:
    text = TEXT.decode()
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def test_a_right_board_has_its_layout_and_nothing_wrong() -> None:
    look = way.look(TEXT, file="harbour.toml")
    assert look.read.board == way.look(TEXT.decode(), file="harbour.toml").board
    assert look.problems == ()
    assert look.board is not None
    assert look.layout is not None
    assert look.layout.board == look.board
    assert [setup.name for setup in look.clamped().setups] == ["face", "edge"]


def test_what_is_wrong_is_told_with_key_and_place_beside_as_much_layout_as_there_is() -> None:
    look = way.look(changed(("proud = 0.2", "proud = 0.2\nheigth = 3")), file="harbour.toml")
    (problem,) = look.problems
    assert (problem.key, problem.file) == ("face_dots.heigth", "harbour.toml")
    assert problem.line is not None
    assert look.layout is not None
    with pytest.raises(Refusal) as refused:
        look.right()
    assert refused.value.problems == look.problems


@pytest.mark.parametrize("text", ["", "unit = ", 'unit = "mm"\n', "\udcff", b"\xff"])
def test_text_that_is_no_board_has_problems_and_no_layout(text: str | bytes) -> None:
    look = way.look(text)
    assert look.problems
    assert (look.board, look.layout) == (None, None)
    with pytest.raises(Refusal):
        look.right()


def test_what_the_layout_refuses_and_what_the_file_does_are_told_at_once() -> None:
    look = way.look(changed(("length = 448", "length = 300"), ("[side_dots]", "[side_dots]\nsize = 1")))
    assert {problem.key for problem in look.problems} >= {"side_dots.size", "scale.frets"}
    lines = [problem.line for problem in look.problems]
    assert lines == sorted(lines)


def test_warnings_have_their_places() -> None:
    look = way.look(changed(("diameter = 6", "diameter = 12")), file="harbour.toml")
    assert look.problems == ()
    assert {(warning.file, warning.key) for warning in look.warnings} == {("harbour.toml", "face_dots.diameter")}
    assert all(warning.line for warning in look.warnings)


def test_a_board_finds_what_lies_beside_it() -> None:
    assert way.look(TEXT, lambda name: name.encode()).read.beside("wave.svg") == b"wave.svg"


def test_the_whole_way_gives_the_files_that_cut_gives(tmp_path: Path) -> None:
    told: list[str] = []
    look = way.look_at(BOARD)
    job = way.plan(look, read_machine(PROFILE))
    made = way.make(job, look.read.text, read_profile_bytes(PROFILE))
    saved = way.save(made, tmp_path / "ours", tell=told.append)
    assert saved.verdict.proved
    assert (saved.stale, saved.sizes) == ((), ())
    assert told == ["reading back and proving", "drawing the pages"]
    command = ["cut", str(BOARD), "-m", PROFILE, "-o", str(tmp_path / "theirs")]
    assert CliRunner().invoke(main, command).exit_code == 0
    ours, theirs = (
        {path.name: path.read_bytes() for path in (tmp_path / name).iterdir()} for name in ("ours", "theirs")
    )
    assert ours == theirs
    assert set(saved.files) == set(ours) - {"job.json"}


def test_what_was_asked_for_stands_in_the_record() -> None:
    look = way.look(TEXT)
    measured = way.as_measured(look, [asked_mark("448,0.4", look.unit)])
    order = way.Order(Choice("fret 11"), pointing=True, point_height_mm=2.0)
    asked = way.plan(measured, read_machine(PROFILE), order).asked
    assert list(asked) == ["from", "at", "turned_deg", "point_height_mm"]
    assert (asked["from"], asked["at"], asked["point_height_mm"]) == ("fret 11", ["448 mm,0.4 mm"], 2.0)
    assert way.plan(look, read_machine(PROFILE)).asked == {}


def test_a_piece_on_scrap_is_saved_with_its_sizes_as_read_back(tmp_path: Path) -> None:
    look = way.look(TEXT)
    job = way.plan_on_scrap(look, read_machine(PROFILE), Wish("fits"))
    saved = way.save(way.make(job, TEXT, read_profile_bytes(PROFILE)), tmp_path / "job")
    assert saved.sizes
    assert all(each.holds for each in saved.sizes)
    assert "coupon-card.pdf" in saved.files
    assert json.loads((tmp_path / "job" / "job.json").read_bytes())["piece"] == "coupon"


def test_what_is_not_proved_is_not_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    look = way.look(TEXT)
    write = making.make_programs
    monkeypatch.setattr(making, "make_programs", lambda *given: write(*given)[:1])
    made = way.make(way.plan(look, read_machine(PROFILE)), TEXT, b"")
    with pytest.raises(way.NotProved) as failed:
        way.save(made, tmp_path / "job")
    assert failed.value.verdict.findings
    assert list(tmp_path.iterdir()) == []


def test_files_of_somebody_else_are_in_the_way(tmp_path: Path) -> None:
    look = way.look(TEXT)
    made = way.make(way.plan(look, read_machine(PROFILE)), TEXT, b"")
    (tmp_path / made.programs[0].file).write_text("mine", encoding="utf-8")
    with pytest.raises(InTheWay):
        way.save(made, tmp_path)
    assert way.save(made, tmp_path, force=True).verdict.proved


def test_what_a_machine_refuses_stands_in_the_board_or_in_the_profile_or_nowhere() -> None:
    look, machine = way.look(TEXT, file="harbour.toml"), read_machine(PROFILE)
    keys = ("fret_slots.width", "holding", "cutter.0.reach", "carrier", "--at")
    placed = look.placed([Problem("wrong", key=key) for key in keys], machine)
    assert [each.file for each in placed] == ["harbour.toml", "benchtop-arcs.toml", "benchtop-arcs.toml", "", ""]
    assert placed[0].line == 1 + [line.partition(" #")[0].strip() for line in TEXT.decode().splitlines()].index(
        "width = 0.58"
    )


def test_any_programs_are_held_against_a_board() -> None:
    look = way.look(TEXT)
    machine = read_machine(PROFILE)
    programs = making.make_programs(way.plan(look, machine), "")
    texts = [ProgramText(program.file, program.text) for program in programs]
    held = way.prove(look, machine, texts, Assumed())
    assert held.verdict.proved
    assert way.draw_held(held).startswith(b"<!DOCTYPE html>")
    deeper = [ProgramText(text.file, text.text.replace(b"Z-1.", b"Z-2.")) for text in texts]
    assert not way.prove(look, machine, deeper, Assumed()).verdict.proved
