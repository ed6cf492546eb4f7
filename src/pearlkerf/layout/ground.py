"""What features are laid out on: a board with its edges, its surface and its frets; and with all of them laid out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.layout.edges import Edges
from pearlkerf.layout.features import Feature, Hole, Pocket, Slot
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.lines import Line
from pearlkerf.layout.surfaces import Crown


@dataclass(frozen=True, slots=True)
class Ground:
    """What features are laid out on.

    ``lines`` run across the board from edge to edge: the nut's, and then every fret's that is there; ``numbers`` are
    theirs, 0 of the nut's.
    """

    board: Board
    edges: Edges
    surface: Crown  # the finished one
    frets_mm: NDArray[np.float64]  # (frets,) float, mm from the nut
    lines: tuple[Line, ...]

    @property
    def origin(self) -> str:
        """Say what lies at X0, from which distances count."""
        scale = self.board.scale
        return "zero fret" if scale.zero_fret else "nut's line, on the centre line" if scale.slanted else "nut end"

    @property
    def numbers(self) -> tuple[int, ...]:
        """Give the lines' numbers, ascending."""
        return 0, *self.board.scale.there

    @property
    def slotted(self) -> tuple[int, ...]:
        """Give the numbers of the lines that a slot may lie on: every fret's, and 0 where there is a zero fret."""
        return self.numbers if self.board.scale.zero_fret else self.board.scale.there

    def line(self, number: int) -> Line:
        """Give the line of a fret by its number, 0 of the nut."""
        return self.lines[self.numbers.index(number)]

    def before(self, number: int) -> int:
        """Give the number of the fret before, 0 of the nut."""
        return self.numbers[self.numbers.index(number) - 1]

    def space(self, number: int) -> tuple[Line, Line]:
        """Give the two lines that bound the space of this number: of its fret, and of the one before, or the nut."""
        return self.line(self.before(number)), self.line(number)

    def middle_mm(self, number: int, y_mm: float = 0.0) -> float:
        """Give the X of the middle of a fret space, at a distance from the centre line."""
        before, after = self.space(number)
        return (before.x_mm(y_mm) + after.x_mm(y_mm)) / 2


@dataclass(frozen=True, slots=True)
class Laid(Ground):
    """A board with everything laid out on it: what the checks look at.

    ``slots`` are those that exist when the board is done, also those already cut.
    """

    slots: tuple[Slot, ...]
    face_dots: tuple[Hole, ...]
    side_dots: tuple[Hole, ...]  # in their edge setups' axes
    trims: tuple[Slot, ...]  # cuts whose walls are the board's ends
    inlays: tuple[InlayPart, ...]  # every pocket of an inlay, from the nut end on

    @property
    def bass_dots(self) -> tuple[Hole, ...]:
        """Give the side dots of the bass edge."""
        return tuple(dot for dot in self.side_dots if GROUPS[dot.group].setup == "edge")

    @property
    def pockets(self) -> tuple[Pocket, ...]:
        """Give the pockets of all inlays, as they are drawn."""
        return tuple(part.pocket for part in self.inlays)

    @property
    def half_slot_mm(self) -> float:
        """Half of a slot's width; 0 on a board without slots, whose frets are lines."""
        return self.slots[0].width_mm / 2 if self.slots else 0.0

    @property
    def to_cut(self) -> tuple[Slot, ...]:
        """The slots that are cut here; none where they were sawn by hand."""
        slots = self.board.fret_slots
        return self.slots if slots and slots.state == "to cut" else ()

    def cut_in(self, setup: str) -> tuple[Feature, ...]:
        """Give all that is cut in one of the board's setups, "face", "edge" or "treble", group by group."""
        cut: tuple[Feature, ...] = (*self.face_dots, *self.pockets, *self.to_cut, *self.trims, *self.side_dots)
        return tuple(feature for feature in cut if GROUPS[feature.group].setup == setup)

    def walls(self, number: int) -> tuple[Line, Line]:
        """Give the slots' walls that bound a fret space; the nut end has no slot, frets without slots are lines."""
        before, after = self.space(number)
        slotted = self.before(number) in self.slotted
        return before.beside(self.half_slot_mm) if slotted else before, after.beside(-self.half_slot_mm)
