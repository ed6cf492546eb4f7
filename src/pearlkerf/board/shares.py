"""Which share of its scale a fret leaves behind: equal parts of the octave, ratios, cents."""

from dataclasses import replace
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Scale

CENTS_OF_AN_OCTAVE: Final = 1200.0


def shares(scale: Scale) -> NDArray[np.float64]:
    """Give the share of the scale at which every place lies, from the nut on, those left out too.

    A place whose frequency is r times the open string's lies at 1 - 1/r: 1 - 2**(-n/d) in equal parts of the octave.
    Ratios are worked out exactly, cents as 2**(c/1200); both go on from period to period.

    Returns (places,) float, from 0 to the number of the last fret.

    >>> just = Scale(650.0, 3, steps=(Fraction(3, 2), Fraction(2)))
    >>> shares(just).round(6).tolist(), shares(Scale(650.0, 24)).tolist()[12::12]
    ([0.0, 0.333333, 0.5, 0.666667], [0.5, 0.75])
    """
    count = scale.frets + 1
    if scale.steps:
        return np.array([float(1 - 1 / _ratio(scale, place)) for place in range(count)])
    if scale.cents:
        cents = np.array([_cents(scale, place) for place in range(count)])
        return np.asarray(1.0 - 2.0 ** (-cents / CENTS_OF_AN_OCTAVE))
    return np.asarray(1.0 - 2.0 ** (-np.arange(count) / float(scale.division)))


def _ratio(scale: Scale, place: int) -> Fraction:
    periods, step = divmod(place, len(scale.steps))
    within = scale.steps[step - 1] if step else Fraction(1)
    return Fraction(scale.steps[-1] ** periods * within)


def _cents(scale: Scale, place: int) -> float:
    periods, step = divmod(place, len(scale.cents))
    return periods * scale.cents[-1] + (scale.cents[step - 1] if step else 0.0)


def share_at(scale: Scale, place: float) -> float:
    """Give the share of the scale at which a place lies, a fret or between two; there in the proportion of cents.

    >>> share_at(Scale(650.0, 24), 12.0), round(share_at(Scale(650.0, 24), 7.5), 6)
    (0.5, 0.35158)
    """
    whole, part = int(place), place - int(place)
    if not scale.steps and not scale.cents:
        return float(1.0 - 2.0 ** (-place / float(scale.division)))
    low, high = shares(replace(scale, frets=whole + 1))[-2:].tolist()
    return float(1.0 - (1.0 - low) ** (1.0 - part) * (1.0 - high) ** part)
