"""Where frets lie along the scale."""

import numpy as np
from numpy.typing import NDArray


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
