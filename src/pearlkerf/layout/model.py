"""Where things go on the finished board: the demand that the makers cut and the proof checks.

Everything is in the axes of a setup, in mm: X from the nut end, Z 0 on top, Z negative in the wood.

    face setup                                edge setup (right-handed board)
      Y ^  treble                               Y ^  playing face
        |________________                         |_______________
    0 ->|- - - - - - - - | -> X                   |   o    o    o | -> X
        |________________|                      0 +---------------+
           bass                                      glue face
"""

from dataclasses import dataclass

from pearlkerf.errors import Problem
from pearlkerf.layout.ground import Laid


@dataclass(frozen=True, slots=True)
class DotRow:
    """One dot as the bench wants it; lengths None where they do not apply.

    ``below_raw_mm`` is how far the thinnest shell's top lies below the raw face over its centre
    (negative: above it), before the face is radiused and levelled down to it.
    """

    fret: int
    name: str
    x_mm: float
    y_mm: float
    along_mm: float | None
    height_mm: float | None
    depth_mm: float
    wood_left_mm: float
    below_raw_mm: float | None = None


@dataclass(frozen=True, slots=True)
class FretRow:
    """One fret as the bench wants it: distance from the nut on the centre line, width there, slot depths.

    A slanted one's width is its own length from edge to edge; ``bass_mm`` and ``treble_mm`` are then how far along
    each edge it lies, from that edge's nut corner.
    ``depth_mm`` (on the centre line) and ``edge_depth_mm`` (where the floor is lowest within the finished
    outline) count from the blank's top at the crown line; None where the board has no slots.
    """

    fret: int
    x_mm: float
    from_last_mm: float
    width_mm: float
    depth_mm: float | None
    wood_left_mm: float | None
    edge_depth_mm: float | None = None
    called: str = ""  # what the maker calls it; nothing where it goes by its number
    bass_mm: float | None = None
    treble_mm: float | None = None
    off_mm: float | None = None  # how far beyond the formula's place it was measured; None where it was not


@dataclass(frozen=True, slots=True)
class InlayRow:
    """One pocket of an inlay as the bench wants it: the middle of its box, the box, and how deep it is.

    ``depth_mm`` is below the blank's top on the crown line; ``floor`` says whether it is level, or falls from there
    with the face.  All of it is as drawn: what the cutters make of that is told with a machine.
    """

    number: int
    name: str
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    depth_mm: float
    wood_left_mm: float
    floor: str


@dataclass(frozen=True, slots=True)
class Layout(Laid):
    """Everything that is computed from a board: what is laid out on it, and the bench's rows."""

    fret_rows: tuple[FretRow, ...]
    face_dot_rows: tuple[DotRow, ...]
    side_dot_rows: tuple[DotRow, ...]
    inlay_rows: tuple[InlayRow, ...]
    warnings: tuple[Problem, ...]
