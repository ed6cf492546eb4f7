"""What is asked for in words: taken in the board file's unit, or refused with the option and what is right."""

import pytest

from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import Unit
from pearlkerf.setups.asked import asked_length_mm, asked_mark, asked_scrap, asked_steps
from pearlkerf.setups.lying import Mark
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps


@pytest.mark.parametrize(
    ("text", "unit", "length_mm"),
    [("2", "mm", 2.0), ("2", "in", 50.8), (" .5 ", "in", 12.7), ("-3", "mm", -3.0), ("2 thou", "mm", 0.0508),
     ("25-1/2 in", "mm", 647.7)],
)  # fmt: skip
def test_a_length_is_in_the_boards_unit_or_says_its_own(text: str, unit: Unit, length_mm: float) -> None:
    assert asked_length_mm(text, "--step", unit) == length_mm


@pytest.mark.parametrize("text", ["", "x", "1,5", "1e3", "2 ells", "1/2", "nan"])
def test_what_is_no_length_is_refused_with_its_option(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        asked_length_mm(text, "--step", "mm")
    (problem,) = refused.value.problems
    assert problem.key == "--step"
    assert problem.found


@pytest.mark.parametrize(
    ("text", "unit", "mark"),
    [
        ("448,0.35", "mm", Mark("far end", (448.0, 0.35))),
        ("17 5/8 in, 12 thou", "mm", Mark("far end", (447.675, 0.3048))),
        ("Fret  12=12.45,-0.01", "in", Mark("fret 12", (316.23, -0.254))),
        ("face-2=132.0,0.1", "mm", Mark("far end", (132.0, 0.1), 2)),
        ("Face-3 fret 20=91.5,0", "mm", Mark("fret 20", (91.5, 0.0), 3)),
    ],
)
def test_a_mark_is_a_place_and_where_it_was_measured(text: str, unit: Unit, mark: Mark) -> None:
    assert asked_mark(text, unit) == mark


@pytest.mark.parametrize(("text", "found"), [
    ("448", 'is not a mark and its place; write "448.0,0.35" for the far end'), ("1,2,3", "is not a mark"),
    ("=1,2", "is not a mark"), ("1,x", '"x" is not a length'),
])  # fmt: skip
def test_what_is_no_mark_is_refused(text: str, found: str) -> None:
    with pytest.raises(Refusal) as refused:
        asked_mark(text, "mm")
    assert str(refused.value).startswith("--at")
    assert found in str(refused.value)


def test_scrap_is_three_sides() -> None:
    assert asked_scrap("200x40x6", "mm") == Scrap(200.0, 40.0, 6.0)
    assert asked_scrap("8X2 × 6.0004 mm", "in") == Scrap(203.2, 50.8, 6.0)  # programs keep 0.001 mm


@pytest.mark.parametrize(("text", "told"), [
    ("200x40", '--scrap: "200x40" is not LENGTHxWIDTHxTHICKNESS, such as 200x40x6 or "8 in x 2 in x 6 mm"'),
    ("200x0x6", "--scrap: the width is 0 mm (more than 0)"), ("200x40x-6", "--scrap: the thickness is -6 mm"),
    ("200x40xy", '--scrap, thickness: "y" is not a length'),
])  # fmt: skip
def test_what_is_no_scrap_is_refused(text: str, told: str) -> None:
    with pytest.raises(Refusal) as refused:
        asked_scrap(text, "mm")
    assert str(refused.value).startswith(told)


def test_steps_that_are_not_said_are_the_usual_ones() -> None:
    assert asked_steps((None, None, None), "mm") is None
    assert asked_steps(("-0.1", None, None), "mm") == Steps(first_mm=-0.1)
    assert asked_steps((None, "4 thou", "0.001"), "in") == Steps(last_mm=0.1016, by_mm=0.0254)
