"""Arcs by centre and by radius, NISTIR 6556 section 3.5.3."""

import math
from typing import Final, NamedTuple

MM_PER_INCH: Final = 25.4
# section 3.5.3.2: "if the distance from the current point to the center differs from the distance from
# the end point to the center by more than 0.0002 inch (0.002 millimeter), it is an error"
RADIUS_TOLERANCE_MM: Final = 0.002
RADIUS_TOLERANCE_INCH_MM: Final = 0.0002 * MM_PER_INCH
# binary fractions, so that a difference of just the tolerance passes
ROUNDING_MM: Final = 1e-9


class Turn(NamedTuple):
    """An arc in its plane: centre (mm) and signed sweep (rad, positive counter-clockwise)."""

    centre: tuple[float, float]
    sweep: float


def turn_about(
    start: tuple[float, float], end: tuple[float, float], centre: tuple[float, float], clockwise: bool
) -> Turn:
    """Give the arc about a centre; equal ends are a full turn (section 3.5.3.2)."""
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = (first - last if clockwise else last - first) % (2 * math.pi)
    if sweep <= 0.0 or start == end:
        sweep = 2 * math.pi
    return Turn(centre, -sweep if clockwise else sweep)


def radius_mismatch_mm(start: tuple[float, float], end: tuple[float, float], centre: tuple[float, float]) -> float:
    """Give how much farther one end lies from the centre than the other."""
    return abs(math.dist(start, centre) - math.dist(end, centre))


def centre_of_radius(
    start: tuple[float, float], end: tuple[float, float], radius: float, clockwise: bool
) -> tuple[float, float] | None:
    """Give the centre of an arc by radius (negative: more than a half turn); None where no arc fits.

    The centre lies on the chord's bisector at h = sqrt(R**2 - (c/2)**2), to the left of the way from
    start to end for a counter-clockwise arc of at most a half turn (section 3.5.3.1).
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dx, dy)
    if chord == 0.0 or chord / 2 > abs(radius) + ROUNDING_MM:
        return None
    height = math.sqrt(max(radius * radius - chord * chord / 4, 0.0))
    left = height if (radius > 0) != clockwise else -height
    return (start[0] + dx / 2 - left * dy / chord, start[1] + dy / 2 + left * dx / chord)
