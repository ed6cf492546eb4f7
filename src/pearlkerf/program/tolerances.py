"""Every tolerance and distance of the programs, with its unit and reason."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

MM_PER_INCH: Final = 25.4
# whole numbers of steps, pecks and milliseconds forgive binary fractions by so much of one
WHOLE_ROUNDING: Final = 1e-6
# chords where a controller has no arcs stay this near to the arc: a hole is then 0.003 mm narrower between their ends
ARC_CHORD_MM: Final = 0.0015
# chords and the rounding of their ends, half a step along X and Y, leave the arc by so much together: 0.005 mm across
CHORD_AND_ROUNDING_MM: Final = 0.0024
LEAST_CHORD_MM: Final = 0.0005
# for a controller that carries out few blocks chords may be longer, and leave the arc by so much
LONGEST_CHORD_MM: Final = 0.004
# no block is fed slower than this part of what is asked for: slower, a cutter rubs and scorches
LEAST_FEED: Final = 0.3
# NISTIR 6556 section 3.5.3.2 allows 0.002 mm (0.0002 in) between an arc's two radii: keep to three quarters, in mm
RADIUS_MISMATCH_MM: Final[Mapping[str, float]] = MappingProxyType({"mm": 0.0015, "in": 0.00015 * MM_PER_INCH})
# a peck ends its rapid return this far above the last bottom
BACK_OFF_MM: Final = 0.2
