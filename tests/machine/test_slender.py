"""What a slender mill bears: the figures of a handbook's beam, and a table of cutters worked out beside it."""

import math

import pytest

from pearlkerf.machine.slender import Slender

# diameter, free length, bite, chip (mm); mean force (N), bending (um), stress (MPa): worked out by hand from the same
# formulas (beam with one fixed end, F L^3 / 3 E I, in any handbook), on forces from memory
BORNE = [
    (0.58, 4.5, 0.197, 0.0048, 0.28, 6.2, 202),
    (0.58, 4.5, 0.197, 0.0080, 0.30, 6.6, 219),
    (0.58, 3.5, 0.250, 0.0100, 0.39, 4.1, 224),
    (0.58, 12.0, 0.197, 0.0048, 0.28, 118, 547),
    (0.58, 4.5, 0.600, 1500 / 24000 / 2, 1.33, 29.5, 996),
    (1.0, 5.0, 0.350, 0.0080, 0.53, 1.8, 83),
    (3.0, 12.0, 1.500, 0.0250, 3.03, 1.8, 44),
]


@pytest.mark.parametrize(("diameter", "length", "bite", "chip", "force", "bend", "stress"), BORNE)
def test_force_bending_and_stress(
    diameter: float, length: float, bite: float, chip: float, force: float, bend: float, stress: float
) -> None:
    load = Slender(diameter, length, 2).load(bite, chip)
    assert load.force_n == pytest.approx(force, abs=0.006)  # the table's last digits
    assert 1000 * load.bend_mm == pytest.approx(bend, abs=0.06, rel=0.005)
    assert load.stress_mpa == pytest.approx(stress, abs=0.6)


@pytest.mark.parametrize(("diameter", "length", "bite", "chip", "force", "bend", "stress"), BORNE)
def test_the_deepest_pass_bears_just_what_it_may(
    diameter: float, length: float, bite: float, chip: float, force: float, bend: float, stress: float
) -> None:
    mill = Slender(diameter, length, 2)
    assert mill.load(mill.most_by_bend_mm(chip), chip).bend_mm == pytest.approx(0.010)
    deepest = mill.most_by_stress_mm(chip)
    if math.isfinite(deepest):
        assert mill.load(deepest, chip).stress_mpa == pytest.approx(250)
    else:  # the arm shortens as the pass grows: a stubby mill is not stressed so far at any depth
        assert mill.load(length, chip).stress_mpa < 250


def test_by_bending_alone_a_thin_mill_would_break() -> None:
    """0.58 mm at a reach of 3.5 mm and 0.010 mm a tooth: 0.61 mm a pass by bending, 514 MPa (worked out by hand)."""
    mill = Slender(0.58, 3.5, 2)
    assert mill.most_by_bend_mm(0.010) == pytest.approx(0.61, abs=0.005)
    assert mill.load(0.61, 0.010).stress_mpa == pytest.approx(514, rel=0.01)
