"""The model of inlays: what of a drawing, a shape or a text goes where on the face, and how it is to fit."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

# by so much a piece that is held by a skin of its own material is thinner, once that is sanded off its back
SKIN_MM: Final = 0.15


@dataclass(frozen=True, slots=True)
class UsedPlace:
    """A place of a blank that is gone: which blank of its entry, from 1, and the box (x0, y0, x1, y1) on it, mm."""

    blank: int
    box_mm: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """Where a piece is cut: the blank of its entry, from 1, and where the middle of its unturned box lies on it."""

    piece: str
    blank: int
    at_mm: tuple[float, float]
    turn_deg: float


@dataclass(frozen=True, slots=True)
class InlayBlank:
    """What pieces of a material are cut from: its thickness, from the thinnest to the thickest, and the blanks of it.

    ``hold`` is how it is held while pieces are cut from it by the machine; a "skin" of SKIN_MM is then sanded off.
    Without ``length_mm`` and ``width_mm`` there are none to cut from.  ``tape_mm`` is what lies between it and its
    backing board; ``figure`` says how pieces may be turned on it.  Places count from a blank's lower left corner.
    """

    material: str
    thinnest_mm: float
    thickest_mm: float
    hold: Literal["tape", "skin", "tabs"] = "tape"
    length_mm: float | None = None
    width_mm: float | None = None
    count: int = 1
    tape_mm: float = 0.2
    figure: Literal["any", "lengthwise", "one way"] = "any"
    used: tuple[UsedPlace, ...] = ()
    place: tuple[PiecePlace, ...] = ()

    @property
    def alike(self) -> tuple[object, ...]:
        """What blanks of one material must have alike, as they lie in one setup."""
        return self.thinnest_mm, self.thickest_mm, self.hold, self.tape_mm, self.figure

    def piece_mm(self, pieces: Literal["cut", "by hand"]) -> tuple[float, float]:
        """Give how thick pieces of it are, thinnest and thickest.

        >>> InlayBlank("bone", 1.5, 1.6, "skin").piece_mm("cut")
        (1.35, 1.45)
        """
        off = SKIN_MM if self.hold == "skin" and pieces == "cut" else 0.0
        return round(self.thinnest_mm - off, 6), round(self.thickest_mm - off, 6)


@dataclass(frozen=True, slots=True)
class Inlay:
    """One table of inlays; ``index`` is which of the file's it is, from 0.

    What is drawn is an ``outline`` (a file beside the board file, of it some ``parts``), a ``shape``, or a ``text`` in
    a ``font`` (a file; the shipped typeface where it is ""); where: ``frets``, ``on_frets``, or ``along_mm`` from the
    nut end, ``across_mm`` toward the treble side.  ``thickness_mm`` (thinnest, thickest) counts where no ``material``
    says it.  ``beside_frets_mm`` and ``beside_edges_mm`` are of a block that fills its fret space.
    """

    index: int
    name: str = ""
    outline: str = ""
    shape: str = ""
    text: str = ""
    font: str = ""
    parts: tuple[str, ...] = ()
    frets: tuple[int, ...] = ()
    on_frets: tuple[int, ...] = ()
    along_mm: float | None = None
    across_mm: float = 0.0
    length_mm: float | None = None
    width_mm: float | None = None
    mirror: bool = False
    turn_deg: float = 0.0
    material: str = ""
    thickness_mm: tuple[float, float] | None = None
    proud_mm: float = 0.2
    shell_left_mm: float = 0.5
    floor: Literal["level", "follow"] = "level"
    strips: int = 1
    gap_mm: float = 0.05
    pieces: Literal["cut", "by hand"] = "cut"
    detail_mm: float = 0.3
    pocket_cutter: int | None = None
    piece_cutter: int | None = None
    corners: Literal["rounded", "by hand"] = "rounded"
    corner_limit_mm: float = 1.5
    slots: Literal["refuse", "after", "by hand"] = "refuse"
    set_in: str = ""
    beside_frets_mm: float = 2.0
    beside_edges_mm: float = 3.5

    @property
    def called(self) -> str:
        """What people call it: its name, or its drawing's, its shape's or its text's."""
        drawn = self.outline.rpartition("/")[2].rpartition(".")[0]
        return self.name or drawn or self.shape or self.text

    @property
    def file(self) -> str:
        """The file beside the board file that it is drawn by; nothing for one that needs none."""
        return self.outline or (self.font if self.text else "")

    @property
    def drawn_by(self) -> str:
        """The key that says what is drawn."""
        return "outline" if self.outline else "shape" if self.shape else "text"

    @property
    def thickness_key(self) -> str:
        """The key of a board file at which its thickness is told: its own, or the material that says it."""
        return self.key("thickness" if self.thickness_mm else "material")

    def thickness_of(self, blanks: Sequence[InlayBlank]) -> tuple[float, float]:
        """Give how thick its pieces are, thinnest and thickest: as it says, or as a blank of its material does."""
        if self.thickness_mm is not None:
            return self.thickness_mm
        return next(each for each in blanks if each.material == self.material).piece_mm(self.pieces)

    @property
    def fills(self) -> bool:
        """Whether it is a block that fills its fret space."""
        return self.shape == "block" and self.length_mm is None and self.width_mm is None

    def key(self, name: str) -> str:
        """Give the key of a board file in which one of its values stands.

        >>> Inlay(2, shape="oval").key("gap")
        'inlay.2.gap'
        """
        return f"inlay.{self.index}.{name}"


def drawn_beside(inlay: Inlay, inlays: Sequence[Inlay]) -> Inlay | None:
    """Give the inlay beside which one lies as both are drawn; None where it says a place of its own.

    That is the one that it is set in, where both are of one outline: its place, size and turn are those of both.
    """
    if inlay.frets or inlay.on_frets or inlay.along_mm is not None or not inlay.outline:
        return None
    found = [each for each in inlays if each.called == inlay.set_in and each.index != inlay.index]
    return next((each for each in found if each.outline == inlay.outline), None)
