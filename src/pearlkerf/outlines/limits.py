"""What a drawing may be at most, how closely its curves are followed, and how closely a fit settles."""

from typing import Final

# chords stay so near to a curve, mm: a fifth of what an outline may be off, so that nothing later notices
CHORD_MM: Final = 0.001
# two ends of a line count as one point within this, mm: what drawing programs leave open by rounding
CLOSED_MM: Final = 0.01
# a drawing's file, bytes; with what follows this keeps a hostile file within two seconds and 200 MB
MOST_BYTES: Final = 4 * 1024 * 1024
MOST_DEPTH: Final = 64
MOST_ELEMENTS: Final = 80_000
MOST_ENTITIES: Final = 30_000
MOST_FIGURES: Final = 20_000
MOST_SEGMENTS: Final = 80_000
MOST_POINTS: Final = 400_000
# numbers in one attribute
MOST_NUMBERS: Final = 400_000
MOST_TRANSFORMS: Final = 1_000
# rules of style times elements, each step of a selector counted as deep as elements may lie
MOST_MATCHES: Final = 2_000_000
# lines that end in one place, and places where lines cross
MOST_MEETING: Final = 64
MOST_CROSSINGS: Final = 5_000
# no board is so long, mm; what is farther away is a slip of the unit, or no number
FARTHEST_MM: Final = 10_000.0
# and no number of a drawing, in its own unit, is so large: beyond it binary fractions lose the hundredth
LARGEST: Final = 1e9
# an outline that is smaller than this in any direction is a line or a point, mm
SMALLEST_MM: Final = 0.01
# places that are told of what is found in many
MOST_TOLD: Final = 10

# a line is settled when neither cutter would move it farther, mm
SETTLED_MM: Final = 0.002
# what buffers leave by their chords, mm: a line is straightened by as much after each
CHORDS_MM: Final = 0.0002
# chords of a quarter circle in a buffer: 0.0003 of the radius is between them and the circle at most
QUARTER: Final = 32
# less than this is no part, mm2: what straightening leaves between two lines
NOTHING_MM2: Final = 1e-6
# a drawing that has not settled by then never does
MOST_ROUNDS: Final = 60
# and how many rounds may go by without leaving less than ever before: then it never settles (a disc that is hardly
# wider than its cutter only gains corners)
MOST_IN_VAIN: Final = 12
# two drawings that share a line are each chorded in their own way: what lies between them within this is nobody's, mm
HAIRLINE_MM: Final = 0.005
# what another drawing leaves of one in a part that is nowhere wider breaks when it is taken off its blank, mm (common
# practice, no source)
NARROWEST_PIECE_MM: Final = 0.3
# no tip of a piece beside others is sharper than this radius, mm: twice what a cut may lie inside its line
TIP_MM: Final = 0.01
# what is nowhere wider is no piece, mm: a tip that a neck of its own parts from it
CRUMB_MM: Final = 0.1
