"""How the wood of a setup lies, as data: where zero is and on what it is taken, what it rests on, what to mind.

A change of setups (positions, marks, parts) changes these fields; ``words.py`` alone makes sentences of
them.  What is up, which end is left and which side is toward the operator are fields of the setup.
"""

import math
from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.layout.lines import Point

End = Literal["nut end", "bridge end"]
# how a measured mark is said to the command line
OPTION: Final = "--at"
FAR_END: Final = "far end"


@dataclass(frozen=True, slots=True)
class Datum:
    """A place of the wood that X0 and Y0 are taken on, and where it is, mm in the axes of the board.

    ``slot`` names the slot in whose middle, or in whose opening in the edge, it is.
    """

    on: Literal[
        "nut end",
        "nut line",
        "zero fret",
        "run corner",
        "nut corner",
        "slot",
        "slot in the edge",
        "corner of the scrap",
        "first hole",
        "end of the strip",
        "corner of the first blank",
    ]
    at: Point = (0.0, 0.0)
    slot: str = ""

    @property
    def at_nut(self) -> bool:
        """Say whether it is the zero of the whole face: at the nut end, on the nut's line or the zero fret's."""
        return self.on in ("nut end", "nut line", "zero fret")


NUT_END: Final = Datum("nut end")
# where the nut's line crosses the centre line, which is not where a square end lies
NUT_LINE: Final = Datum("nut line")
ZERO_FRET: Final = Datum("zero fret")
NUT_CORNER: Final = Datum("nut corner")
RUN_CORNER: Final = Datum("run corner")
SCRAP_CORNER: Final = Datum("corner of the scrap")
FIRST_HOLE: Final = Datum("first hole")
STRIP_END: Final = Datum("end of the strip")
BLANK_CORNER: Final = Datum("corner of the first blank")


# ---- what wood it is, and in what state


@dataclass(frozen=True, slots=True)
class InBlank:
    """The board is still in its blank: the blank's width, and how far X0 lies right of its left end."""

    width_mm: float
    beyond_nut_mm: float
    middle_mm: float = 0.0  # where its own middle lies, in Y


@dataclass(frozen=True, slots=True)
class Outlined:
    """What is cut to its outline: the board, or its core that a binding is put on later."""

    what: Literal["board", "core"]


@dataclass(frozen=True, slots=True)
class Top:
    """The top's state: radiused already, or flat, to be touched off at so many places."""

    state: Literal["flat", "radiused"]


# ---- what it rests on, how it is packed and held


@dataclass(frozen=True, slots=True)
class OnGlueFace:
    """The glue face lies flat on the bed, or on the carrier."""

    on: Literal["bed", "carrier"] = "bed"


@dataclass(frozen=True, slots=True)
class Packing:
    """What levels an edge: packed up at the narrow end by so much, else it leans by this angle."""

    up_mm: float
    narrow: End
    wide: End
    lean_deg: float


@dataclass(frozen=True, slots=True)
class OnOtherEdge:
    """The board stands on the edge across from the one that is up; ``packing`` is None where both ends are as wide."""

    tall_mm: float
    packing: Packing | None
    edge: Literal["bass", "treble"] = "treble"


@dataclass(frozen=True, slots=True)
class HeldScrap:
    """Scrap is held at its ends only, where slots run out over its long edges, else wherever nothing is cut."""

    at_ends: bool


@dataclass(frozen=True, slots=True)
class OnWaste:
    """A drilling strip so thick is fixed on a waste board; its stop at the nut end stands out so far later."""

    thickness_mm: float
    waste_mm: float
    stop_mm: float


# ---- what to do first, and what to mind


@dataclass(frozen=True, slots=True)
class OutlineFirst:
    """The board is cut to its outline before."""


@dataclass(frozen=True, slots=True)
class BindingFirst:
    """The binding is glued on and scraped flush before."""


@dataclass(frozen=True, slots=True)
class IntoBinding:
    """Side dots go into a binding so thick, and count from its outer edge."""

    thickness_mm: float


@dataclass(frozen=True, slots=True)
class BindingIsOn:
    """A binding so thick is on both edges."""

    thickness_mm: float


@dataclass(frozen=True, slots=True)
class BindingToCome:
    """A binding so thick is put on later: widths with it and of the core inside it, at the nut and the bridge end."""

    thickness_mm: float
    widths_mm: tuple[float, float]
    core_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class BelowRaw:
    """Shell lies up to so far below the raw face."""

    deepest_mm: float


@dataclass(frozen=True, slots=True)
class NutLine:
    """The nut's line, where it runs aslant, or beside the nut end: so far right of that it crosses the centre line.

    The angle is seen from above, counter-clockwise from straight across; ``what`` lies on it.
    """

    what: Literal["nut", "zero fret"]

    from_end_mm: float
    angle_deg: float


@dataclass(frozen=True, slots=True)
class TrimIsEnd:
    """A trim's wall is the end of the board."""

    name: str


@dataclass(frozen=True, slots=True)
class CornerNotch:
    """A notch beside slot 1 marks the zero corner."""


@dataclass(frozen=True, slots=True)
class Dowels:
    """The bed's two dowels: in which holes of the carrier, or of its strip, they stand now, and stood at first.

    ``moved_mm`` is how far the wood has been moved to the left since then.
    """

    holes: tuple[int, int]
    first: tuple[int, int]
    moved_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A carrier's strip while its holes are drilled: how many, how far apart, for what dowels, and the bed's board."""

    holes: int
    pitch_mm: float
    dowel_mm: float
    thickness_mm: float
    into_bed_mm: float
    board_mm: float  # the thickness of the board below it


# ---- what a setup became on the way


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the board's centre line, and where it was measured, mm from zero.

    ``name`` is "far end", or names a slot, "fret 12".  ``position`` is that of the face in which it was
    measured: the first is zeroed at the nut end, a later one on its own slot.
    """

    name: str
    measured: Point
    position: int = 1

    @property
    def distance_mm(self) -> float:
        """Measured distance from zero, along the board."""
        return math.hypot(*self.measured)

    @property
    def named(self) -> str:
        """The mark in words, with its article."""
        return "the far end" if self.name == FAR_END else f"the slot of {self.name}"

    @property
    def written(self) -> str:
        """The mark as the command line takes it.

        >>> Mark("far end", (448.0, 0.35)).written, Mark("fret 12", (316.2, -0.2)).written
        ('448 mm,0.35 mm', 'fret 12=316.2 mm,-0.2 mm')
        >>> Mark("far end", (132.0, 0.1), 2).written, Mark("fret 20", (91.5, 0.0), 2).written
        ('face-2=132 mm,0.1 mm', 'face-2 fret 20=91.5 mm,0 mm')
        """
        x, y = (f"{each:.5f}".rstrip("0").rstrip(".") for each in self.measured)
        place = f"{'0' if x == '-0' else x} mm,{'0' if y == '-0' else y} mm"
        names = [f"face-{self.position}"] * (self.position > 1) + [self.name] * (self.name != FAR_END)
        return "=".join([*([" ".join(names)] if names else []), place])


@dataclass(frozen=True, slots=True)
class AsMeasured:
    """The board lies as marks say that were measured on it: each mark, and how far right of zero it is on it, mm."""

    angle_deg: float
    marks: tuple[tuple[Mark, float], ...]


@dataclass(frozen=True, slots=True)
class PartOfJob:
    """Only a part is cut: these groups and cuts (all where it is empty), and only from ``start`` on ("" for all)."""

    only: tuple[str, ...]
    start: str


@dataclass(frozen=True, slots=True)
class GluedIn:
    """The second visit to the machine: pieces of inlays are in, and the slots that cross them are cut through them.

    ``materials`` are theirs; they stand up to ``stands_mm`` above the ``wood``; ``pockets`` has for the number of
    every pocket what was let in.  ``slot`` is one that the first visit has cut, and ``at`` the middle of it on the
    board: zero is looked at there; "" where it has cut none.
    """

    materials: tuple[str, ...]
    stands_mm: float
    wood: str
    pockets: tuple[tuple[int, str], ...]
    slot: str = ""
    at: Point = (0.0, 0.0)


Rests = OnGlueFace | OnOtherEdge | HeldScrap | Strip | OnWaste | None


@dataclass(frozen=True, slots=True)
class Lying:
    """How the wood of one setup lies, rests and is to be minded."""

    zero: Datum
    wood: tuple[InBlank | Outlined | Top, ...] = ()
    rests: Rests = None
    first: tuple[OutlineFirst | BindingFirst | IntoBinding, ...] = ()
    to_mind: tuple[BindingIsOn | BindingToCome | BelowRaw | NutLine | TrimIsEnd | CornerNotch, ...] = ()
    dowels: Dowels | None = None
    measured: AsMeasured | None = None
    marks_later: tuple[Mark, ...] = ()  # measured in later positions, each from the zero of its own
    part: PartOfJob | None = None
    glued: GluedIn | None = None
