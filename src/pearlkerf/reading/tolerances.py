"""Every tolerance of the reader, with its unit and reason."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

MM_PER_INCH: Final = 25.4
# places, distances and angles are the same within this: binary fractions of decimal figures
ROUNDING_MM: Final = 1e-9
ROUNDING_DEG: Final = 1e-9
# NISTIR 6556, section 3.3.2.1: a value that must be whole passes within this much of one
WHOLE: Final = 0.0001
# section 3.5.3.2: "if the distance from the current point to the center differs from the distance from
# the end point to the center by more than 0.0002 inch (0.002 millimeter), it is an error"
RADIUS_TOLERANCE_MM: Final = 0.002
RADIUS_TOLERANCE_INCH_MM: Final = 0.0002 * MM_PER_INCH
# ends nearer than this and yet not the same are a full turn for one controller and none for another
LEAST_CHORD_MM: Final = 1e-6
# a second reader adds up the same decimal figures in another order
PLACE_MM: Final = 1e-6
# it takes the mean of an arc's two radii, which the standard lets differ as above; by millimetres in the program's unit
ARC_MM: Final[Mapping[float, float]] = MappingProxyType({1.0: 0.003, MM_PER_INCH: 0.006})
