"""Figures far from any board's are refused with the reason, unusual ones doubted; ``unusual`` keeps what is meant."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from pearlkerf.board.fretwire import over_tang_mm
from pearlkerf.board.instruments import INSTRUMENTS
from pearlkerf.board.model import Board
from pearlkerf.board.reader import read_board
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.board.usual import FIGURES, INLAY_FIGURES, KEYS, Usual, doubts, held_against
from pearlkerf.errors import Problem
from pearlkerf.way import look, look_at

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
HARBOUR, HERON = (next(path for path in EXAMPLES if name in path.stem) for name in ("harbour", "heron"))


def whole() -> Board:
    """A board with every table, stopped slots among them, all of it usual."""
    board, bound = (read_board(path).board for path in (HARBOUR, HERON))
    assert board is not None
    assert bound is not None
    assert board.fret_slots is not None
    slots = replace(board.fret_slots, ends="stopped")
    return replace(board, fret_slots=slots, binding=bound.binding)


def with_figure(of: Usual, figure: float) -> Board:
    """Put one figure into the whole board."""
    board = whole()
    table, name = of.key.split(".")
    if of.key == "board.end_width":
        return replace(board, end_width_mm=board.nut_width_mm + figure)
    if of.key == "board.nut_width":
        return replace(board, nut_width_mm=figure, end_width_mm=figure + 12)
    if of.key == "fret_slots.fit":
        assert board.fret_slots is not None
        return replace(board, fret_slots=replace(board.fret_slots, width_mm=0.58 - figure, fit_mm=figure))
    if of.key == "board.radius":
        return replace(board, radius=replace(board.radius, nut_mm=figure))
    if of.key == "scale.length":
        return replace(board, scale=replace(board.scale, length_mm=figure))
    if of.key == "face_dots.thickness":
        assert board.face_dots is not None
        return replace(board, face_dots=replace(board.face_dots, thickest_mm=figure))
    if table == "board":
        return replace(board, **{f"{name}_mm": figure})  # type: ignore[arg-type]
    return replace(board, **{table: replace(getattr(board, table), **{f"{name}_mm": figure})})


def told(board: Board, key: str) -> tuple[list[Problem], list[Problem]]:
    found = doubts(board, "mm")
    others = {each.key for each in (*found.refused, *found.doubtful)} - {key}
    assert not others
    return list(found.refused), list(found.doubtful)


FIT, ANY = ((-0.05, 0.1), (-0.2, 0.2)), math.inf
# usual, possible, mm: common practice, no source, from the memory of two makers
OF_TWO_MAKERS = {
    "scale.length": ((300, 900), (200, 1100)),
    "board.nut_width": ((26, 60), (20, 110)),
    "board.end_width": ((0, 25), (0, 35)),  # more than at the nut
    "board.thickness": ((4, 9.5), (3, 13)),
    "board.radius": ((180, 510), (120, 1000)),
    "board.crown_allowance": ((0.1, 0.5), (0, 1)),
    "fret_slots.width": ((0.5, 0.66), (0.4, 0.8)),
    "fret_slots.depth": ((1.4, 2.6), (1.1, 3.5)),
    "fret_slots.margin": ((1, 3), (0.6, ANY)),
    "fret_slots.fit": FIT,
    "face_dots.diameter": ((3, 8), (2, 13)),
    "face_dots.thickness": ((1, 2), (0.6, 3.5)),
    "face_dots.proud": ((0.05, 0.4), (0, 0.8)),
    "face_dots.shell_left": ((0.3, 0.8), (0.2, ANY)),
    "face_dots.fit": FIT,
    "side_dots.diameter": ((1.5, 3), (1, 4)),
    "side_dots.depth": ((2, 4), (1, 6)),
    "side_dots.fit": FIT,
    "binding.thickness": ((1, 2.5), (0.4, 4)),
    "inlay.thickness": ((1, 2), (0.6, 3.5)),
    "inlay.proud": ((0.05, 0.4), (0, 0.8)),
    "inlay.shell_left": ((0.3, 0.8), (0.2, ANY)),
    "inlay.gap": ((0.03, 0.08), (0.01, 0.2)),
}


@pytest.mark.parametrize("of", FIGURES, ids=lambda of: of.key)
def test_a_figure_inside_is_taken_outside_doubted_and_far_outside_refused(of: Usual) -> None:
    for bound, beyond, further in zip(of.usual, of.possible, (-1e-4, 1e-4), strict=True):
        assert told(with_figure(of, bound), of.key) == ([], [])
        if math.isfinite(beyond) and beyond != bound:
            refused, doubtful = told(with_figure(of, (bound + beyond) / 2), of.key)
            assert (refused, [each.key for each in doubtful]) == ([], [of.key])
            assert "unusually" in doubtful[0].found
        if math.isfinite(beyond):
            refused, doubtful = told(with_figure(of, beyond + further), of.key)
            assert ([each.key for each in refused], doubtful) == ([of.key], [])
            assert "far too" in refused[0].found
            assert refused[0].allowed
            meant = replace(with_figure(of, beyond + further), unusual=(of.key,))
            assert told(meant, of.key) == ([], [])


@pytest.mark.parametrize("of", INLAY_FIGURES, ids=lambda of: of.key)
def test_a_figure_of_an_inlay_is_taken_doubted_and_refused_likewise(of: Usual) -> None:
    for bound, beyond, further in zip(of.usual, of.possible, (-1e-4, 1e-4), strict=True):
        figures = [bound, (bound + beyond) / 2, beyond + further]
        held = [held_against([replace(of, of=lambda figure: (figure,))], figure, "mm") for figure in figures]
        assert (held[0].refused, held[0].doubtful) == ((), ())
        if math.isfinite(beyond):
            assert not held[1].refused and ["unusually" in each.found for each in held[1].doubtful] == [True]
            assert not held[2].doubtful and ["far too" in each.found for each in held[2].refused] == [True]


def test_the_ranges_are_those_of_two_makers() -> None:
    """Common practice, no source: from the memory of two makers."""
    held = {of.key: (of.usual, of.possible) for of in (*FIGURES, *INLAY_FIGURES)}
    assert held == OF_TWO_MAKERS
    assert set(held) <= set(KEYS)


WRONG = {
    "a fretwire's crown for its tang": ("width = 0.58", "width = 2.8", "fret_slots.width"),
    "barbs for the tang": ("width = 0.58", "width = 0.9", "fret_slots.width"),
    "a slot of 0.5 mm depth": ("depth = 2.0 ", "depth = 0.5 ", "fret_slots.depth"),
    "a radius of 160 in": ('radius = "14 in"', 'radius = "160 in"', "board.radius"),
    "narrower at its end": ("end_width = 56.5", "end_width = 44", "board.end_width"),
    "the dot's radius": ("diameter = 6", "diameter = 1.5", "face_dots.diameter"),
    "half the scale": ("length = 632", "length = 158", "scale.length"),
    "a fit in hundredths": ("thickness = 1.5", "fit = 0.5\nthickness = 1.5", "face_dots.fit"),
}


@pytest.mark.parametrize(("right", "wrong", "key"), WRONG.values(), ids=WRONG)
def test_what_a_beginner_writes_is_refused_where_it_stands_unless_it_is_meant(right: str, wrong: str, key: str) -> None:
    text = HARBOUR.read_text(encoding="utf-8")
    assert right in text
    text = text.replace(right, wrong, 1)
    [problem] = [each for each in look(text).problems if each.key == key]
    assert problem.line is not None
    assert text.splitlines()[problem.line - 1].startswith(wrong.split(" =")[0])
    assert f'unusual = ["{key}"]' in problem.hint
    meant = look(f'unusual = ["{key}"]\n{text}')
    assert key not in {each.key for each in (*meant.read.problems, *meant.read.doubtful)}


def test_a_key_that_has_no_usual_range_is_no_key_to_name() -> None:
    text = HARBOUR.read_text(encoding="utf-8")
    [problem] = look(f'unusual = ["fret_slot.width"]\n{text}').problems
    assert problem.key == "unusual.0"
    assert problem.hint == 'did you mean "fret_slots.width"?'


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_no_example_is_doubted(path: Path) -> None:
    seen = look_at(path)
    assert (seen.problems, seen.warnings) == ((), ())


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_no_starter_is_doubted(instrument: str, unit: str) -> None:
    seen = look(starter_text(Answers(instrument, "Gannet", unit=unit)))  # type: ignore[arg-type]
    assert (seen.problems, seen.warnings) == ((), ())


def test_a_starter_in_inches_names_what_is_bought_as_it_is_sold() -> None:
    text = starter_text(Answers("steel-string guitar", "Gannet", unit="in"))
    assert 'diameter = "1/4 in"' in text
    assert 'diameter = "2 mm"' in text


def wire(lines: str, width: float = 0.58, depth: float = 2.0, wood: str = "rosewood") -> tuple[list[str], list[str]]:
    """Give the keys that are refused and doubted where this wire was measured."""
    text = HARBOUR.read_text(encoding="utf-8")
    for name in ("tang", "barbs", "tang_depth"):
        text = "\n".join(line for line in text.splitlines() if not line.startswith(f"{name} ="))
    text = text.replace("width = 0.58", f"width = {width}\n{lines}", 1).replace("depth = 2.0 ", f"depth = {depth} ", 1)
    seen = look(text.replace('wood = "rosewood"', f'wood = "{wood}"'))
    return [each.key for each in seen.problems], [each.key for each in seen.warnings]


@pytest.mark.parametrize(
    ("lines", "figures", "refused", "doubted"),
    [
        ("tang = 0.52", {}, [], []),
        ("tang = 0.6", {}, ["fret_slots.width"], []),
        ("tang = 0.56", {}, [], ["fret_slots.width"]),
        ("tang = 0.46", {}, [], ["fret_slots.width"]),
        ("tang = 0.52\nbarbs = 0.65", {}, ["fret_slots.width"], []),
        ("tang = 0.52\nbarbs = 0.66", {}, [], []),
        ("tang = 0.52\nbarbs = 0.5", {}, ["fret_slots.width", "fret_slots.barbs"], []),
        ("tang_depth = 1.6", {}, [], []),
        ("tang_depth = 1.6", {"depth": 1.5}, ["fret_slots.depth"], []),
        ("tang_depth = 1.6", {"depth": 1.8}, [], ["fret_slots.depth"]),
        ("tang_depth = 1.6", {"depth": 2.2}, [], ["fret_slots.depth"]),
        ("tang = 0.54", {"wood": "maple"}, [], []),
        ("tang = 0.54", {"wood": "ebony"}, [], ["fret_slots.width"]),
    ],
)
def test_slots_are_held_against_the_wire_and_the_wood(
    lines: str, figures: dict[str, float], refused: list[str], doubted: list[str]
) -> None:
    assert wire(lines, **figures) == (refused, doubted)  # type: ignore[arg-type]


def test_how_much_wider_than_its_tang_a_slot_is() -> None:
    """Common practice, no source: maple and walnut, rosewood, ebony."""
    assert over_tang_mm("maple") == over_tang_mm("walnut") == (0.03, 0.06)
    assert over_tang_mm("rosewood") == (0.05, 0.07)
    assert over_tang_mm("ebony") == (0.06, 0.09)
