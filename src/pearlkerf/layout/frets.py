"""Where frets lie along the scale, and the lines that they run along.

       bass scale L_b
-------+------.               a fret joins the points at the same share s of either scale, on the outer
nut   /       |   square_at   strings, which run straight from nut to bridge, and goes straight on to the
-----+--------+------         edges; on the centre line it lies at s (L_b + L_t) / 2 from the nut's line
  treble scale L_t
"""

from dataclasses import replace
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board, Scale
from pearlkerf.layout.limits import EDGE_TO_STRING_MM
from pearlkerf.layout.lines import Line

CENTS_OF_AN_OCTAVE: Final = 1200.0


def fret_distances_mm(scale_length_mm: float, fret_count: int) -> NDArray[np.float64]:
    """Distance of every fret from the nut, in twelve-tone equal temperament.

        x_n = L (1 - 2**(-n/12))

    Fret n leaves L * 2**(-n/12) of the string sounding, so it lies that much short of the full
    scale length.  Source: the ideal string, f proportional to 1/L, as in D. C. Giancoli, Physics:
    Principles with Applications, 7th ed., chapter 12, problem 43.  A real string sounds sharp when
    it is pressed down; the saddle's compensation for that is no part of these distances.

    Returns (fret_count,) float, mm; fret 1 first.

    >>> fret_distances_mm(650.0, 12).round(3)[[0, 6, 11]].tolist()
    [36.482, 216.177, 325.0]
    """
    n = np.arange(1, fret_count + 1)
    return np.asarray(scale_length_mm * (1.0 - 2.0 ** (-n / 12.0)), dtype=np.float64)


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


def formula_mm(board: Board) -> NDArray[np.float64]:
    """Give by the scale how far every fret that is there lies from X0 on the centre line, (frets,) float, mm."""
    scale = board.scale
    there = shares(scale)[np.array(scale.there, dtype=int)]
    return np.asarray(scale.middle_mm * there - scale.nut_forward_mm, dtype=np.float64)


def spreads_mm(board: Board) -> tuple[float, float]:
    """Give the distance between the outer strings' centres at the nut and at the bridge.

    Where the file does not say it, they lie EDGE_TO_STRING_MM inside the edges, carried on to the bridge.
    """
    strings, nut = board.strings, board.nut_width_mm
    bridge = nut + (board.end_width_mm - nut) * board.scale.middle_mm / board.length_mm
    at_nut = strings.at_nut_mm if strings is not None else None
    at_bridge = strings.at_bridge_mm if strings is not None else None
    return (
        nut - 2 * EDGE_TO_STRING_MM if at_nut is None else at_nut,
        bridge - 2 * EDGE_TO_STRING_MM if at_bridge is None else at_bridge,
    )


def line_at(board: Board, share: float, x_mm: float) -> Line:
    """Give the line of a share of the scale that crosses the centre line at an X, from outer string to outer string.

    From the place that stands square, so far apart do the two scales bring a share: (s - s_square) (L_bass - L_treble).
    """
    if not board.scale.slanted:
        return Line((x_mm, -board.nut_width_mm / 2), (x_mm, board.nut_width_mm / 2))
    scale, (nut, bridge) = board.scale, spreads_mm(board)
    treble_mm = scale.length_mm if scale.treble_mm is None else scale.treble_mm
    ahead = (share - share_at(scale, scale.square_at)) * (scale.length_mm - treble_mm) / 2
    low_ahead = ahead if board.hand == "right" else -ahead
    half = (nut + (bridge - nut) * share) / 2
    return Line((x_mm + low_ahead, -half), (x_mm - low_ahead, half))


def fret_lines(board: Board, places_mm: NDArray[np.float64]) -> tuple[Line, ...]:
    """Give the lines of the nut and of every fret, from outer string to outer string, through places on the centre."""
    at, places = shares(board.scale), (0.0, *places_mm.tolist())
    return tuple(
        line_at(board, float(at[number]), x) for number, x in zip((0, *board.scale.there), places, strict=True)
    )
