"""What a part of an inlay became for the cutters of a machine: its pockets, its piece, and what the drawing gave."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.lines import Point
from pearlkerf.machine.model import Cutter

if TYPE_CHECKING:
    import shapely

    from pearlkerf.outlines.fit import Given, Lost


@dataclass(frozen=True, slots=True)
class Chiselled:
    """A corner of a pocket that is left to a chisel: its tip, and how much wood stands before it, mm."""

    tip: Point
    length_mm: float


@dataclass(frozen=True, slots=True)
class Pair:
    """The cutters that a part is fitted for: of its pocket, and of its piece; None where a hand cuts that."""

    pocket: Cutter
    piece: Cutter | None

    @property
    def numbers(self) -> tuple[int, ...]:
        """Give their numbers, the pocket's first."""
        return (self.pocket.number,) if self.piece is None else (self.pocket.number, self.piece.number)


@dataclass(frozen=True, slots=True)
class Fitted:
    """One part, in the axes of the board, mm.

    ``pockets`` are what the machine cuts, several where the cutters part what is drawn; ``piece`` is what is let in.
    ``given`` are the places where the drawing gave most, ``lost`` what of it vanished, ``corners`` what is chiselled.
    """

    part: InlayPart
    pair: Pair
    pockets: tuple[Pocket, ...]
    piece: "shapely.MultiPolygon"
    given: "tuple[Given, ...]"
    lost: "tuple[Lost, ...]"
    corners: tuple[Chiselled, ...]

    @property
    def worst_mm(self) -> float:
        """Give by how much the drawing gave where it gave most."""
        return max((each.by_mm for each in self.given), default=0.0)
