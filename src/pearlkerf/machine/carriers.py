"""A carrier's dowel holes: how many are drilled in one go, and what a profile may ask for."""

import math
from collections.abc import Iterator
from typing import Final

from pearlkerf.errors import Problem
from pearlkerf.machine.tables import CarrierTable

# what drilling a row of holes needs beyond the outermost holes' walls: the approach from one side, and rounding
ROOM_MM: Final = 4.0
# wood that stays between two dowel holes (common practice, no source)
BETWEEN_MM: Final = 2.0
# two dowels hold the carrier while it is drilled, and a third hole is new: fewer, and no further hole could follow
FEWEST_AT_ONCE: Final = 3
ROUNDING_MM: Final = 1e-6


def holes_at_once(pitch_mm: float, dowel_mm: float, travel_mm: float) -> int:
    """Give how many holes of a row, ``pitch_mm`` apart, can be drilled without moving the carrier.

    >>> holes_at_once(50.0, 6.0, 300.0)
    6
    """
    return max(0, math.floor((travel_mm - dowel_mm - ROOM_MM) / pitch_mm + ROUNDING_MM) + 1)


def dowels_apart(pitch_mm: float, dowel_mm: float, travel_mm: float) -> int:
    """Give how many pitches the bed's two dowels stand apart: half of what is drilled at once.

    Far apart they hold the carrier straight; the other half is what each further position can drill.

    >>> dowels_apart(50.0, 6.0, 300.0)
    2
    """
    return max(1, (holes_at_once(pitch_mm, dowel_mm, travel_mm) - 1) // 2)


def longest_pitch_mm(dowel_mm: float, travel_mm: float) -> float:
    """Give the longest pitch with which two dowels and a new hole lie within the travel."""
    return (travel_mm - dowel_mm - ROOM_MM) / (FEWEST_AT_ONCE - 1)


def check_carrier(carrier: CarrierTable, travel_mm: float) -> Iterator[Problem]:
    """Give what is wrong with a profile's carrier on a travel in X."""
    least, most = carrier.dowel + BETWEEN_MM, longest_pitch_mm(carrier.dowel, travel_mm)
    allowed = f"{least:g} to {most:g} mm on {travel_mm:g} mm of travel"
    if carrier.pitch < least - ROUNDING_MM:
        found = (
            f"holes {carrier.pitch:g} mm apart leave less than {BETWEEN_MM:g} mm between dowels of {carrier.dowel:g}"
        )
        yield Problem(found, allowed, "use a longer pitch, or thinner dowels", "carrier.pitch")
    elif holes_at_once(carrier.pitch, carrier.dowel, travel_mm) < FEWEST_AT_ONCE:
        found = f"a pitch of {carrier.pitch:g} mm is too long: two dowels and a new hole must lie within the travel"
        yield Problem(found, allowed, f"use at most {math.floor(most)} mm, 25 or 50 mm are usual", "carrier.pitch")
