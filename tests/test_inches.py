"""Sentences of millimetres said in inches: the same lengths, and nothing else of them."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.errors import Problem
from pearlkerf.files.inches import in_both, in_unit, length_in, problem_in
from pearlkerf.files.lengths import figure_in
from pearlkerf.machine.model import Dialect
from pearlkerf.proof.inches import told_in_mm

# one inch is 25.4 mm exactly (International Yard and Pound Agreement, 1959)
INCH_MM = 25.4
SAID = [
    ("0.58 mm a pass", "0.0228 in a pass"),
    ("6.350 mm wanted", "0.250 in wanted"),
    ("3 to 4.5 mm", "0.12 to 0.177 in"),
    ("feed 1500, plunge 458 mm/min, deepest 2.10 mm", "feed 59.1, plunge 18 in/min, deepest 0.0827 in"),
    ("zero at X 12.70 Y -25.4, in fret 12", "zero at X 0.500 Y -1.000, in fret 12"),
    ("stands at X -300.0 to -290.0, Y 5.0 to 9.0, up to 20.0 mm above Z0",
     "stands at X -11.811 to -11.417, Y 0.197 to 0.354, up to 0.787 in above Z0"),
    ("what bends it by 10 um, 180 m/min", "what bends it by 0.4 thou, 591 ft/min"),
    ("frets 3 and 4 are 30.25 mm apart", "frets 3 and 4 are 1.1909 in apart"),
]  # fmt: skip
KEPT = [
    "fret 12, bass side first", "X0 at the nut end", "position 2 of 3 along X", "18000 rpm", "line 12: G1 X1.5",
    'nut_width: "46 mm": 46 mm (1.811 in) is too large', "write decimals = 4", "(rule 7)", "250 MPa",
]  # fmt: skip


@pytest.mark.parametrize(("words", "inches"), SAID)
def test_the_figures_of_a_sentence_are_said_in_inches(words: str, inches: str) -> None:
    assert in_unit(words, "in") == inches
    assert in_unit(words, "mm") == words


@pytest.mark.parametrize("words", KEPT)
def test_what_is_no_length_of_ours_stays(words: str) -> None:
    assert in_unit(words, "in") == words


@given(st.integers(1, 4_000_000), st.integers(0, 3))
def test_a_limit_is_rounded_to_the_side_on_which_it_holds(thousandths: int, decimals: int) -> None:
    limit_mm = round(thousandths / 1000, decimals)
    written = f"{limit_mm:.{decimals}f} mm"
    most, least = (
        float(re.findall(r"[\d.]+", in_unit(f"{word} {written}", "in"))[0]) for word in ("at most", "at least")
    )
    assert most * INCH_MM <= limit_mm + 1e-6 and least * INCH_MM >= limit_mm - 1e-6  # a nanometre: floats
    assert (least - most) * INCH_MM <= (0.254 if decimals == 0 else 0.0254 if decimals == 1 else 0.00254) + 1e-6


@given(st.integers(-4_000_000, 4_000_000), st.integers(1, 3))
def test_the_proof_reads_back_what_was_said(thousandths: int, decimals: int) -> None:
    figure_mm = round(thousandths / 1000, decimals) + 0.0  # no zero has a sign
    said = f"lies {figure_mm:.{decimals}f} mm off, at X {figure_mm:.{decimals}f}"
    back = told_in_mm(in_unit(said, "in"), Dialect("in"))
    meant, read = (re.findall(r"-?\d+\.\d+", words) for words in (said, back))
    assert re.sub(r"[\d.]+", "", back) == re.sub(r"[\d.]+", "", said)
    for figure, again in zip(meant, read, strict=True):
        # half the last digit that is said of an inch: 0.013 mm for tenths of a mm, 0.0013 for the finer
        assert abs(float(figure) - float(again)) <= (0.0128 if decimals == 1 else 0.00128)


def test_a_file_of_millimetres_is_told_both() -> None:
    assert (
        in_both('"9 mm": at most 8 mm, use 1500 mm/min')
        == '"9 mm": at most 8 mm (0.31 in), use 1500 mm/min (59.1 in/min)'
    )


def test_a_problem_is_told_in_a_unit_with_its_place() -> None:
    problem = Problem("a dot of 6.35 mm", "at most 5.23 mm", "use 5 mm", "face_dots.diameter", "a.toml", 3, 1)
    assert str(problem_in(problem, "in")) == (
        "a.toml:3:1: face_dots.diameter: a dot of 0.250 in (at most 0.2059 in)\n  hint: use 0.20 in"
    )
    assert problem_in(problem, "mm") is problem


def test_a_cutter_keeps_the_size_that_its_box_says() -> None:
    """1/8 in, 3/64 in and 23 thou, exactly 3.175, 1.190625 and 0.5842 mm."""
    assert [length_in(size, "in") for size in (3.175, 1.190625, 0.5842)] == ["0.125 in", "0.04688 in", "0.023 in"]
    assert [figure_in(3.175, unit, 3) for unit in ("mm", "in")] == ["3.175", "0.1250"]
