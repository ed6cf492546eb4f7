"""Starter files: whatever is answered, either a file that reads and lays out or a refusal that says why."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.board.instruments import INSTRUMENTS
from pearlkerf.board.reader import read_board
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.errors import Refusal
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.model import Layout


def laid_out(folder: Path, answers: Answers) -> Layout:
    path = folder / "board.toml"
    path.write_text(starter_text(answers), encoding="utf-8", newline="\n")
    read = read_board(path)
    assert read.problems == ()
    assert read.board is not None
    return lay_out(read.board)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_usual_boards_lay_out_without_a_warning(tmp_path: Path, instrument: str, hand: Any, unit: Any) -> None:
    layout = laid_out(tmp_path, Answers(instrument, "Gannet", hand=hand, unit=unit))
    assert layout.warnings == ()
    assert layout.board.hand == hand
    usual = INSTRUMENTS[instrument]
    assert layout.board.scale.frets == usual.frets
    assert [slot.number for slot in layout.slots] == list(usual.there(usual.frets))
    assert layout.edges.finished.width_mm(0.0) == pytest.approx(usual.nut_width, abs=0.02)
    assert layout.edges.finished.width_mm(layout.board.scale.length_mm / 2) == pytest.approx(usual.width_at_12, abs=0.3)
    assert layout.side_dots


@pytest.mark.parametrize("instrument", INSTRUMENTS)
@pytest.mark.parametrize("dots", ["face and side", "side", "none"])
def test_dots_are_as_answered(tmp_path: Path, instrument: str, dots: Any) -> None:
    layout = laid_out(tmp_path, Answers(instrument, "Gannet", dots=dots))
    assert bool(layout.face_dots) == (dots == "face and side")
    assert bool(layout.side_dots) == (dots != "none")


def test_a_usual_classical_board_has_dots_in_its_edge_only(tmp_path: Path) -> None:
    layout = laid_out(tmp_path, Answers("classical guitar", "Gannet"))
    assert (bool(layout.face_dots), bool(layout.side_dots)) == (False, True)


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_the_blank_can_be_taken_in(tmp_path: Path, instrument: str) -> None:
    text = starter_text(Answers(instrument, "Gannet"))
    path = tmp_path / "board.toml"
    path.write_text(re.sub(r"(?m)^# (\[blank]|width =|beyond)", r"\1", text), encoding="utf-8")
    board = read_board(path).board
    assert board is not None
    assert board.blank is not None
    assert lay_out(board).warnings == ()


def test_answers_are_kept(tmp_path: Path) -> None:
    board = laid_out(tmp_path, Answers("bass", "Gannet", "30 1/2 in", 20, wood="wenge")).board
    assert board.scale.length_mm == 774.7  # 30.5 x 25.4, exact
    assert (board.scale.frets, board.wood, board.title) == (20, "wenge", "Gannet")


def test_inches_are_written_as_inches() -> None:
    data = tomllib.loads(starter_text(Answers("bass", "Gannet", unit="in")))
    assert (data["unit"], data["board"]["nut_width"], data["fret_slots"]["width"]) == ("in", 1.654, 0.023)


def test_a_dot_without_room_is_left_out(tmp_path: Path) -> None:
    layout = laid_out(tmp_path, Answers("mandolin", "Gannet", "8 in", 20))
    assert {hole.number for hole in layout.face_dots} < {5, 7, 10, 12, 15}
    assert layout.warnings == ()


@given(
    instrument=st.sampled_from(sorted(INSTRUMENTS)),
    scale_mm=st.integers(min_value=200, max_value=1100),
    frets=st.integers(min_value=-1, max_value=61),
    hand=st.sampled_from(["right", "left"]),
    unit=st.sampled_from(["mm", "in"]),
)
def test_any_scale_and_frets_lay_out_or_are_refused(
    tmp_path_factory: pytest.TempPathFactory, instrument: str, scale_mm: int, frets: int, hand: Any, unit: Any
) -> None:
    answers = Answers(instrument, "Gannet", f"{scale_mm} mm", frets, hand=hand, unit=unit)
    try:
        layout = laid_out(tmp_path_factory.mktemp("starter"), answers)
    except Refusal as refusal:
        assert [problem.key for problem in refusal.problems] == ["frets"]
        assert not 1 <= frets <= int(refusal.problems[0].allowed.split(" to ")[1])
        return
    assert layout.board.scale.frets == frets


@given(title=st.text(max_size=200), wood=st.text(max_size=100))
def test_any_text_is_held_as_it_is(title: str, wood: str) -> None:
    data = tomllib.loads(starter_text(Answers("bass", title, wood=wood)))
    assert (data["title"], data["board"]["wood"]) == (title, wood)


@pytest.mark.parametrize("text", ["x\udcff", "\ud800"])
def test_text_that_no_file_can_hold_is_shown_as_a_question_mark(text: str) -> None:
    assert "?" in tomllib.loads(starter_text(Answers("bass", text)))["title"]


@pytest.mark.parametrize(
    ("key", "changed"),
    [
        ("instrument", {"instrument": "lyre"}),
        ("scale", {"scale": "30"}),
        ("scale", {"scale": "25,5 in"}),
        ("scale", {"scale": "3 in"}),
        ("scale", {"scale": "90 in"}),
        ("frets", {"frets": 0}),
        ("frets", {"frets": 37}),
        ("title", {"title": "x" * 201}),
        ("wood", {"wood": "x" * 101}),
    ],
)
def test_answers_that_make_no_board_are_refused(key: str, changed: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as caught:
        starter_text(Answers(**{"instrument": "bass", "title": "Gannet", **changed}))
    (problem,) = caught.value.problems
    assert problem.key == key
    assert problem.allowed


def test_the_same_answers_give_the_same_text() -> None:
    answers = Answers("electric guitar", "Gannet", hand="left")
    assert starter_text(answers) == starter_text(answers)
