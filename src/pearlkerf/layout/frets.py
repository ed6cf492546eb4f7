"""Where frets lie along the scale, and the lines that they run along.

       bass scale L_b
-------+------.               a fret joins the points at the same share s of either scale, on the outer
nut   /       |   square_at   strings, which run straight from nut to bridge, and goes straight on to the
-----+--------+------         edges; on the centre line it lies at s (L_b + L_t) / 2 from the nut's line
  treble scale L_t
"""

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.board.shares import share_at, shares
from pearlkerf.layout.limits import EDGE_TO_STRING_MM
from pearlkerf.layout.lines import Line


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


def fret_line(board: Board, number: int, x_mm: float) -> Line:
    """Give a fret's line from outer string to outer string through a place on the centre line."""
    share = float(shares(board.scale)[number])
    line, (nut, bridge) = line_at(board, share, x_mm), spreads_mm(board)
    half = (nut + (bridge - nut) * share) / 2
    return Line((line.x_mm(-half), -half), (line.x_mm(half), half))


def fret_lines(board: Board, places_mm: NDArray[np.float64]) -> tuple[Line, ...]:
    """Give the lines of the nut and of every fret, from outer string to outer string, through places on the centre."""
    at, places = shares(board.scale), (0.0, *places_mm.tolist())
    return tuple(
        line_at(board, float(at[number]), x) for number, x in zip((0, *board.scale.there), places, strict=True)
    )
