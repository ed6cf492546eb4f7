"""Numbers and comments: rounded once, and no person's text ever becomes code."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.program.comments import comment_lines
from pearlkerf.program.numbers import Numbers
from pearlkerf.setups.plain import harmless

MM, INCH = Numbers("mm", 3), Numbers("in", 4)


@given(st.floats(-1000, 1000), st.sampled_from([MM, INCH, Numbers("mm", 4), Numbers("in", 5)]))
def test_number_is_within_half_a_step_and_has_a_point(length: float, numbers: Numbers) -> None:
    text = numbers.length(numbers.steps(length))
    assert re.fullmatch(r"-?\d+\.\d+", text)
    assert not re.fullmatch(r"-0\.0+", text)
    assert abs(float(text) * numbers.mm_per_unit - length) <= numbers.step_mm / 2 + 1e-9


@given(st.floats(-50, 50))
def test_heights_round_up(height: float) -> None:
    up = INCH.steps_up(height) * INCH.step_mm
    assert height - 1e-8 <= up <= height + INCH.step_mm


@given(st.floats(0.01, 5000))
def test_feed_rounds_down_but_never_to_nothing(feed: float) -> None:
    written = float(INCH.feed(feed)) * 25.4
    assert written > 0
    assert written <= max(feed + 1e-6, 0.001 * 25.4)


@given(st.text())
def test_any_text_becomes_letters_figures_and_plain_signs(text: str) -> None:
    plain = harmless(text)
    assert re.fullmatch(r"[A-Za-z0-9 .,\-+=/]*", plain)
    assert not plain.lower().replace(" ", "").startswith("msg,")


@given(st.text(min_size=1), st.integers(40, 120))
def test_comment_lines_fit_and_none_but_the_first_can_be_a_claim(text: str, room: int) -> None:
    lines = list(comment_lines("board, " + text, room))
    assert all(len(line) <= room and re.fullmatch(r"\([^()]*\)", line) for line in lines)
    assert not any(line.startswith("(setup=") for line in lines)


@pytest.mark.parametrize("text", ["x) G0 Z-50 (", "%\nG0 Z-50", "MSG, go", " m s g , msg, go", "a;b#1=[2]"])
def test_code_in_a_title_is_only_words(text: str) -> None:
    assert not set(harmless(text)) & set("()%\n;#[]")
    assert not harmless(text).lower().startswith("msg")
