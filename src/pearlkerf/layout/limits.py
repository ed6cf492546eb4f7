"""Every limit of the cross-checks, in mm (common practice, no source)."""

from typing import Final

# wood between two cuts, or a cut and an edge: thinner walls chip or split
THINNEST_WALL_MM: Final = 0.5
DOUBTFUL_WALL_MM: Final = 1.0
# wood left under pockets, holes and slots
THINNEST_FLOOR_MM: Final = 1.5
DOUBTFUL_FLOOR_MM: Final = 2.5
# shell left after levelling: below this it shows the wood through
DOUBTFUL_SHELL_MM: Final = 0.8
# wood beyond the last slot
DOUBTFUL_END_MM: Final = 2.0
# limits compare with this much forgiveness for binary fractions
ROUNDING_MM: Final = 1e-6
