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

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Crown


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
    """One fret as the bench wants it: distance from the nut, width there, slot depths.

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
    off_mm: float | None = None  # how far beyond the formula's place it was measured; None where it was not


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything that is computed from a board: positions and depths.

    ``slots`` holds the slots that exist when the board is done, also those already cut.  ``surface``
    is the finished surface.
    """

    board: Board
    surface: Crown
    outline: NDArray[np.float64]  # (4, 2) float, mm: finished outline, counter-clockwise
    frets_mm: NDArray[np.float64]  # (frets,) float, mm from the nut
    slots: tuple[Slot, ...]
    face_dots: tuple[Hole, ...]
    side_dots: tuple[Hole, ...]  # in the edge setup's axes
    fret_rows: tuple[FretRow, ...]
    face_dot_rows: tuple[DotRow, ...]
    side_dot_rows: tuple[DotRow, ...]
    warnings: tuple[Problem, ...]
    trims: tuple[Slot, ...] = ()  # cuts whose walls are the board's ends

    @property
    def to_cut(self) -> tuple[Slot, ...]:
        """The fret slots that are to be cut; none where they were sawn by hand."""
        slots = self.board.fret_slots
        return self.slots if slots and slots.state == "to cut" else ()
