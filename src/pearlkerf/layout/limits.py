"""Every limit and tolerance of the layout, in mm (common practice, no source, unless said)."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Limit:
    """How much must stay (refused below it), and how much is advised (warned below it)."""

    least_mm: float
    advised_mm: float


# wood between two cuts, or between a cut and an edge: thinner walls chip or split
WALL: Final = Limit(0.5, 1.0)
# wood left under pockets, holes and slots
FLOOR: Final = Limit(1.5, 2.5)
# wood beyond the last slot's wall
BOARD_END: Final = Limit(0.0, 2.0)
# what stays of a board between two bindings (no board is narrower)
CORE_WIDTH: Final = Limit(5.0, 5.0)
# how far a slot that was sawn by hand may lie from the formula's place: refused beyond the first (another scale, or
# another slot, was measured), told beyond the second, about what a rule is read to twice over
MEASURED_OFF: Final = Limit(1.0, 0.25)
# shell left after levelling: the board says what is refused; below this the wood shows through
SHELL: Final = Limit(0.0, 0.8)
# a stopped slot shorter than this many widths is no slot
SHORTEST_SLOT_WIDTHS: Final = 4.0
# shell that stands prouder than this is tedious to level, and its dust is harmful
PROUDEST_MM: Final = 0.5
# a level floor that differs less than this from the one asked for is not worth a word
LEVEL_FLOOR_MM: Final = 0.05
# no diameter, width, depth or spacing smaller than this is offered as a way to mend something
SMALLEST_OFFER_MM: Final = 0.5
# limits compare with this much forgiveness, because decimal fractions are not binary ones
ROUNDING_MM: Final = 1e-6
# directions in which a compound surface is looked at over a dot's rim; along it the fall bends by at
# most r * slope + r**2 / R, so that one between two of them differs by less than an eighth of that
# times (2 pi / 3600)**2: below 1e-6 mm for dots up to 6 mm in radius and slopes up to 0.3
RIM_DIRECTIONS: Final = 3600
# points of a radiused edge's outline; its chords stay inside the wood, by less than 0.001 mm
EDGE_POINTS: Final = 65
# the outer strings run so far inside the edges, where nobody says where they run
EDGE_TO_STRING_MM: Final = 3.0
# no fret of an instrument slants more than this (common practice, no source: makers stay below 20 degrees)
STEEPEST_FRET_DEG: Final = 35.0
# two runs of an edge whose angles differ less go straight on, rad: 0.0001 mm over a board
STRAIGHT_RAD: Final = 1e-7
# points of a hollowed end's arc; its chords stay in the wood, by 0.01 mm at a radius of 60 mm
END_POINTS: Final = 65
# along the outline of an inlay the fall of the face is looked at this often; on a cylinder its corners alone would do
FALL_STEP_MM: Final = 1.0
# inlays that share a pocket may lie so far apart: each chords the line that they share in its own way, within 0.001 mm
JOINED_MM: Final = 0.005
# shell beside a slot that is cut through it: thinner, it chips off (common practice, no source)
SHELL_AT_SLOT_MM: Final = 1.0
