"""What a part of an inlay became for the cutters of a machine: its pockets, its piece, and what the drawing gave."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pearlkerf.board.inlays import Inlay
from pearlkerf.layout.features import Identity, Pocket
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
    """The cutters that a part is fitted for: of its pocket, and of its piece; None where a hand cuts that.

    ``guests`` are those of the pieces of the inlays that are set in it, by their index.
    """

    pocket: Cutter
    piece: Cutter | None
    guests: tuple[tuple[int, Cutter | None], ...] = ()

    @property
    def numbers(self) -> tuple[int, ...]:
        """Give their numbers, the pocket's first."""
        pieces = (self.piece, *(cutter for _, cutter in self.guests))
        return (self.pocket.number, *(each.number for each in pieces if each is not None))

    def piece_of(self, inlay: Inlay) -> Cutter | None:
        """Give the cutter of an inlay's pieces; None where a hand cuts them."""
        return dict(self.guests).get(inlay.index, self.piece)


@dataclass(frozen=True, slots=True)
class LetIn:
    """One piece as it lies in its pocket, ``place``, board axes, mm; ``cutter`` is None where a hand cuts it.

    ``of`` is what it and others that it was parted from are called together.
    """

    inlay: Inlay
    name: str
    of: str
    place: Identity
    cutter: Cutter | None
    area: "shapely.Polygon"


@dataclass(frozen=True, slots=True)
class Fitted:
    """One part, in the axes of the board, mm.

    ``pockets`` are what the machine cuts, several where the cutters part what is drawn; ``pieces`` are what is let in,
    those of one pocket together, its own inlay's first.  ``given_by`` has for each inlay the places where its drawing
    gave most; ``lost`` is what of it vanished, ``corners`` what is chiselled.
    """

    part: InlayPart
    pair: Pair
    pockets: tuple[Pocket, ...]
    pieces: tuple[LetIn, ...]
    given_by: "tuple[tuple[Inlay, tuple[Given, ...]], ...]"
    lost: "tuple[Lost, ...]"
    corners: tuple[Chiselled, ...]

    @property
    def given(self) -> "tuple[Given, ...]":
        """Give the places where any of its drawings gave most, the worst first."""
        every = [each for _, given in self.given_by for each in given]
        return tuple(sorted(every, key=lambda each: (-each.by_mm, each.place)))

    @property
    def worst_mm(self) -> float:
        """Give by how much the drawing gave where it gave most."""
        return max((each.by_mm for each in self.given), default=0.0)
