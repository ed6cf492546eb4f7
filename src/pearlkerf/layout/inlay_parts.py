"""What is known of each pocket of an inlay: whose it is, where its drawing lies, what is let into it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from pearlkerf.board.inlays import Inlay
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.lines import Point

if TYPE_CHECKING:
    import shapely


@dataclass(frozen=True, slots=True)
class Falls:
    """The least and the greatest fall of the finished face over what is drawn, mm."""

    least_mm: float
    greatest_mm: float

    @property
    def between_mm(self) -> float:
        """Give by how much the face falls under it."""
        return self.greatest_mm - self.least_mm


@dataclass(frozen=True, slots=True)
class Piece:
    """What is let into a pocket: the inlay that it is of, what of it is drawn there, and the falls over that.

    ``name`` is what it is called where it is set in another's pocket: its own inlay, place and part.
    """

    inlay: Inlay
    name: str
    region: "shapely.Polygon"
    falls: Falls


@dataclass(frozen=True, slots=True)
class InlayPart:
    """One pocket, of a part of an inlay, of a strip of one, or of inlays that share it.

    ``inlay`` is whose cutters and gap it has; ``at`` is where the middle of its drawing lies, ``drawn`` the pocket's
    region about that middle: the very same at every place, so that what is worked out for one serves for all.
    """

    pocket: Pocket
    inlay: Inlay
    at: Point
    drawn: "shapely.Polygon"
    pieces: tuple[Piece, ...]

    @property
    def as_set_in(self) -> tuple[Piece, ...]:
        """Give its pieces, its own inlay's first, then those of what is set in that, in the order of the file."""
        return tuple(sorted(self.pieces, key=lambda each: (each.inlay.index != self.inlay.index, each.inlay.index)))

    @property
    def wall_mm(self) -> float:
        """Give how far its walls stand outside its drawing's line."""
        return self.inlay.gap_mm / 2

    @property
    def greatest_fall_mm(self) -> float:
        """Give how far the finished face falls over it at most."""
        return max(piece.falls.greatest_mm for piece in self.pieces)

    @property
    def lowest_mm(self) -> float:
        """Give how far below the blank's top on the crown line its floor lies where it is lowest."""
        follows = self.pocket.floor.crown is not None
        return -self.pocket.floor_at_crown_mm + (self.greatest_fall_mm if follows else 0.0)
