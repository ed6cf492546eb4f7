"""The perspective of a photograph taken out: from the four corners of what is flat in it to that thing's own sides.

 photograph          blank
  4---3             4-----3        a point (u, v) of the photograph lies at (x, y) = (X/W, Y/W) of the blank,
 /     \\     ─>     |     |        (X, Y, W) = H (u, v, 1): a projective map, which four pairs of corners
1-------2           1-----2        decide (Hartley and Zisserman, "Multiple View Geometry", section 4.1)
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.bench.wrong import CannotBe

Point = tuple[float, float]
CORNERS: Final = 4
# of the photograph's area: a smaller triangle of corners shows no blank, only where somebody's hand slipped
LEAST_SHARE: Final = 1e-4
NO_BLANK: Final = (
    "These are no four corners of a blank as it lies: low left, low right, high right, high left, none within the "
    "three others."
)


def perspective(corners: Sequence[Point], photograph_px: Point, blank_mm: Point) -> NDArray[np.float64]:
    """Give the map (3, 3) from a photograph to the blank in it, both from their high left corner, y down.

    ``corners`` are the blank's in the photograph, in pixels: low left, low right, high right, high left, as it lies.
    ``blank_mm`` is its length and width.  Raises CannotBe where they bound nothing that a camera can see so.
    """
    if len(corners) != CORNERS or not _seen(np.array(corners), photograph_px):
        raise CannotBe(NO_BLANK, 422)
    length, width = blank_mm
    sides = ((0.0, width), (length, width), (length, 0.0), (0.0, 0.0))
    rows, values = [], []
    for (u, v), (x, y) in zip(corners, sides, strict=True):
        rows += [[u, v, 1.0, 0.0, 0.0, 0.0, -u * x, -v * x], [0.0, 0.0, 0.0, u, v, 1.0, -u * y, -v * y]]
        values += [x, y]
    found = np.linalg.solve(np.array(rows), np.array(values))
    return np.append(found, 1.0).reshape(3, 3)


def _seen(corners: NDArray[np.float64], photograph_px: Point) -> bool:
    """Say whether corners go round counter-clockwise to the eye, each of them outside the three others' triangle.

    With y down the eye's counter-clockwise is the other way round.
    """
    to_next = np.roll(corners, -1, axis=0) - corners
    onward = np.roll(to_next, -1, axis=0)
    turns = to_next[:, 1] * onward[:, 0] - to_next[:, 0] * onward[:, 1]
    return bool((turns / 2 > LEAST_SHARE * photograph_px[0] * photograph_px[1]).all())


def css_matrix(of: NDArray[np.float64]) -> list[float]:
    """Give a map of a plane as a page lays an image by it: matrix3d's sixteen, column by column, z left as it is.

    (CSS Transforms Module Level 2, section 13.1: what is at (x, y, 0, 1) is divided by its fourth coordinate.)
    """
    whole = np.eye(4)
    flat = [0, 1, 3]
    whole[np.ix_(flat, flat)] = of
    return [float(each) for each in whole.T.ravel()]
