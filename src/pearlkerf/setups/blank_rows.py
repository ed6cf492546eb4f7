"""Blanks in a row on one backing board, and the pieces that are cut from them, in the axes of their setup.

 _________     _________     ______
|  a   b  |   |   c  d  |   |  e   |     X0 Y0 at the low left corner of the first blank, ``apart_mm``
|_________|   |_________|   |______|     between them, every blank's low edge on Y 0
0             1             2
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from pearlkerf.layout.features import Identity
from pearlkerf.layout.lines import Point

if TYPE_CHECKING:
    import shapely

Hold = Literal["tape", "skin", "tabs"]


@dataclass(frozen=True, slots=True)
class RowBlank:
    """One blank: its number in the row, from 1, where its low left corner lies along X, and its size, mm.

    ``of`` is the entry of the file that it is of, from 0, and its number there, from 1.
    """

    number: int
    of: tuple[int, int]
    x_mm: float
    length_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True)
class InPocket:
    """A hole or pocket that a piece is for: where the piece lies in it, with what gap, and its corners for a chisel."""

    place: Identity
    drawn: "shapely.Polygon"
    gap_mm: float
    chiselled: tuple[tuple[Point, float], ...] = ()  # tip, and how far round it


@dataclass(frozen=True, slots=True)
class RowPiece:
    """One piece: its number and name, where it lies, and the hole or pocket that it is for.

    ``at`` is where the middle of its unturned box lies on its ``blank`` (a number in the row); ``area`` is where all
    of it lies in the setup, ``drawn`` in its pocket; the gap is left on each side between it and that.
    """

    number: int
    name: str
    blank: int
    at: Point
    turn_deg: float
    area: "shapely.Polygon"
    drawn: "shapely.Polygon"
    place: Identity
    gap_mm: float
    on_setup: Point  # where that middle lies in the setup's axes
    spare: bool = False
    chiselled: tuple[tuple[Point, float], ...] = ()  # corners of its pocket that are: tip, and how far round it
    also: tuple[InPocket, ...] = ()  # of a coupon: the other pockets in which it is tried

    @property
    def in_turn(self) -> "Iterator[RowPiece]":
        """Give it as it lies in each of its pockets."""
        yield self
        for at in self.also:
            yield replace(self, place=at.place, drawn=at.drawn, gap_mm=at.gap_mm, chiselled=at.chiselled, also=())

    @property
    def claimed(self) -> str:
        """Give its place as the head of a program claims it: number, blank, X, Y and turn."""
        return f"{self.number}/{self.blank}/{self.at[0]:.3f}/{self.at[1]:.3f}/{self.turn_deg:.1f}"


@dataclass(frozen=True, slots=True)
class BlankRow:
    """Blanks of one material, how they are held, and the pieces on them.

    ``number`` is which of several rows of a job it is; ``spares`` how many more of each piece there are.  ``beside``
    are places, mm, that were left alone on the file's blanks of this material, as if they had been cut before.
    """

    number: int
    material: str
    thinnest_mm: float
    thickest_mm: float
    hold: Hold
    tape_mm: float
    apart_mm: float
    figure: str
    blanks: tuple[RowBlank, ...]
    pieces: tuple[RowPiece, ...]
    spares: int = 0
    beside: tuple[tuple[tuple[int, int], tuple[float, float, float, float]], ...] = ()

    @property
    def claimed(self) -> str:
        """Give it as the head of a program claims it: the distance of its blanks, and the spares."""
        return f"{self.apart_mm:.3f}/{self.spares}"
