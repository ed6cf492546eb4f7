"""Fret positions against textbooks, a handbook, a library of tunings, measured strings and exact identities."""

import math
import tomllib
from pathlib import Path

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytuning.scales import create_edo_scale

from makers import a_board
from pearlkerf.board.model import Scale
from pearlkerf.layout.frets import fret_distances_mm
from pearlkerf.layout.lay_out import ground_of

OUTSIDE = tomllib.loads((Path(__file__).parents[1] / "reference" / "frets.toml").read_text("utf-8"))
ROUNDING_MM = 1e-9  # of double precision over a metre, with room to spare

scales = st.floats(100.0, 2000.0)
counts = st.integers(1, 36)


@pytest.mark.parametrize("problem", OUTSIDE["textbook"], ids=lambda problem: f"string of {problem['string']} cm")
def test_textbook_frets(problem):
    found = fret_distances_mm(10 * problem["string"], 24) / 10
    for fret, expected in zip(problem["frets"], problem["from_nut"], strict=True):
        assert found[fret - 1] == pytest.approx(expected, abs=problem["within"])


@pytest.mark.parametrize("problem", OUTSIDE["spacing"], ids=lambda problem: f"spaces {problem['spaces']}")
def test_textbook_spacings(problem):
    ground = ground_of(a_board(scale=Scale(1000 * problem["string"], 24), length_mm=1000.0))
    for number, expected in zip(problem["spaces"], problem["metres"], strict=True):
        before, after = ground.space(number)
        assert before.beyond_mm(after.middle) / 1000 == pytest.approx(expected, abs=problem["within"])


def test_handbook_frequencies():
    """A string of 650 mm that sounds C4 open; how far the printed rounding moves a fret is allowed."""
    hertz, rounding = OUTSIDE["frequencies"]["hertz"], OUTSIDE["frequencies"]["rounding"]
    found = fret_distances_mm(650.0, 5)
    for n in range(1, 6):
        expected = 650.0 * (1 - hertz[0] / hertz[n])
        allowed = 650.0 * (hertz[0] / hertz[n]) * (rounding / hertz[0] + rounding / hertz[n])
        assert found[n - 1] == pytest.approx(expected, abs=allowed)


def test_published_ratios():
    ratios = OUTSIDE["ratios"]
    left = 1.0 - fret_distances_mm(1.0, 12)
    for n, ratio in zip(ratios["semitones"], ratios["ratio"], strict=True):
        assert 1 / left[n - 1] == pytest.approx(ratio, abs=ratios["rounding"] * 1.001)


@pytest.mark.parametrize("scale_mm", [330.2, 352.425, 632.0, 647.7, 650.0, 863.6])
def test_library_of_tunings(scale_mm):
    """PyTuning's equal division of the octave, exact symbols, evaluated to 15 digits."""
    octave = create_edo_scale(12)
    found = fret_distances_mm(scale_mm, 24)
    for n in range(1, 25):
        ratio = float(octave[n % 12] * 2 ** (n // 12) if n % 12 else 2 ** (n // 12))
        assert found[n - 1] == pytest.approx(scale_mm * (1 - 1 / ratio), abs=ROUNDING_MM)


def test_forty_digits():
    """mpmath, by repeated division by the semitone instead of powers."""
    with mpmath.workdps(40):
        semitone, left = mpmath.root(2, 12), mpmath.mpf(650)
        for n, found in enumerate(fret_distances_mm(650.0, 36), 1):
            left /= semitone
            assert abs(mpmath.mpf(float(found)) - (650 - left)) < ROUNDING_MM, n


@given(scales)
def test_octaves_are_exact(scale_mm):
    frets = fret_distances_mm(scale_mm, 24)
    assert frets[11] == pytest.approx(scale_mm / 2, abs=ROUNDING_MM)
    assert frets[23] == pytest.approx(scale_mm * 3 / 4, abs=ROUNDING_MM)


@given(scales, counts)
def test_an_octave_higher_is_half_as_far_from_the_middle(scale_mm, count):
    frets = fret_distances_mm(scale_mm, count + 12)
    assert frets[12:] == pytest.approx(scale_mm / 2 + frets[:-12] / 2, abs=ROUNDING_MM)


@given(scales, st.integers(2, 36))
def test_spaces_shrink_by_a_semitone(scale_mm, count):
    spaces = np.diff(fret_distances_mm(scale_mm, count), prepend=0.0)
    assert spaces[:-1] / spaces[1:] == pytest.approx(2 ** (1 / 12), rel=1e-9)


def test_the_wrong_row_of_measured_strings_is_found():
    measured = np.array(OUTSIDE["measured"]["centimetres"])
    ideal = measured[0] - fret_distances_mm(measured[0], 20)
    off = np.abs(measured[1:] - ideal)
    assert int(np.argmax(off)) + 1 == OUTSIDE["measured"]["wrong_row"]
    assert sorted(off)[-2] < OUTSIDE["measured"]["others_within"]


def test_a_dot_lies_halfway_between_its_frets():
    frets, middle_mm = fret_distances_mm(650.0, 12), ground_of(a_board(scale=Scale(650.0, 12))).middle_mm
    assert middle_mm(1) == pytest.approx(frets[0] / 2)
    assert middle_mm(5) == pytest.approx((frets[3] + frets[4]) / 2)
    assert math.isclose(middle_mm(12), 650 * (1 - (2 ** (-11 / 12) + 0.5) / 2))
