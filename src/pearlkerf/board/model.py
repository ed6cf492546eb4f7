"""The model of a board: what a maker asks for, in millimetres, before anything is computed.

All lengths are float mm.  ``fit_mm`` is added to a width or diameter and may be negative.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from pearlkerf.board.inlays import Inlay, InlayBlank
from pearlkerf.files.lengths import Unit
from pearlkerf.machine.holding import Holding

Hand = Literal["right", "left"]
State = Literal["flat", "radiused"]


@dataclass(frozen=True, slots=True)
class Scale:
    """Scale length from nut to saddle, uncompensated, and the number of frets.

    Where ``treble_mm`` is given, ``length_mm`` is the bass side's, both along the centre line's direction, and the
    place ``square_at`` (of a fret, or between two) stands square to that line: all others slant.

    Places are numbered in equal parts of the octave (``division``), or in ``steps`` (ratios) or ``cents`` from the open
    string, the last of which is the period.  A number that is ``left_out`` stays one; ``names`` are of the frets that
    are there.  ``nut_forward_mm`` is how much nearer to all frets the nut stands than the scale says; X0 stays its
    place.  A zero fret lies at X0, with so much wood behind it.
    """

    length_mm: float
    frets: int
    treble_mm: float | None = None
    square_at: float = 7.0
    division: int = 12
    steps: tuple[Fraction, ...] = ()
    cents: tuple[float, ...] = ()
    left_out: tuple[int, ...] = ()
    names: tuple[str, ...] = ()
    zero_fret: bool = False
    behind_zero_mm: float = 5.0
    nut_forward_mm: float = 0.0

    @property
    def there(self) -> tuple[int, ...]:
        """Give the numbers of the frets that are there, ascending."""
        numbers = range(1, self.frets + 1)
        return tuple(number for number in numbers if number not in self.left_out) if self.left_out else tuple(numbers)

    def called(self, number: int) -> str:
        """Give what a fret is called; nothing for one without a name."""
        return dict(zip(self.there, self.names, strict=False)).get(number, "")

    @property
    def slanted(self) -> bool:
        """Say whether frets slant."""
        return self.treble_mm is not None and self.treble_mm != self.length_mm

    @property
    def lengths_mm(self) -> tuple[float, ...]:
        """Scale length, or that of the bass side and that of the treble side."""
        return (self.length_mm,) if self.treble_mm is None else (self.length_mm, self.treble_mm)

    @property
    def middle_mm(self) -> float:
        """Scale length on the centre line: the mean of both sides'."""
        return self.length_mm if self.treble_mm is None else (self.length_mm + self.treble_mm) / 2

    def in_words(self, decimals: int) -> str:
        """Say it, to so many decimals of a millimetre.

        >>> Scale(650.0, 20).in_words(2), Scale(685.8, 24, 647.7).in_words(1)
        ('650.00 mm', '685.8 mm bass, 647.7 mm treble')
        """
        bass = f"{self.length_mm:.{decimals}f} mm"
        return bass if self.treble_mm is None else f"{bass} bass, {self.treble_mm:.{decimals}f} mm treble"


@dataclass(frozen=True, slots=True)
class Strings:
    """The strings, counted from the treble side, straight from nut to bridge.

    The spreads lie between the outer ones' centres; None where the board's widths say it.
    """

    count: int = 6
    at_nut_mm: float | None = None
    at_bridge_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Partial:
    """A fret under some strings only, from the first to the last of them."""

    fret: int
    strings: tuple[int, int]


@dataclass(frozen=True, slots=True)
class WidthAt:
    """The board's width at a fret, which makers measure in place of that at its far end."""

    fret: int
    width_mm: float


# where edges bend: the distance from X0, and where the bass and the treble edge then lie, the bass side negative
Station = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Radius:
    """Radius of the finished surface at the nut end and at the bridge end; ``math.inf`` is flat."""

    nut_mm: float
    end_mm: float


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle, centred, that is not yet cut to the board's outline.

    ``trim`` says at which ends a cut is made whose far wall is the board's end, to saw along;
    ``trim_width_mm`` None is a fret slot's width.
    """

    width_mm: float
    beyond_nut_mm: float
    beyond_end_mm: float
    trim: Literal["none", "nut", "end", "both"] = "none"
    trim_depth_mm: float = 1.0
    trim_width_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Binding:
    """Strips along both edges, within the board's widths; ``put_on`` "before" or "after" slots are cut."""

    thickness_mm: float
    put_on: Literal["before", "after"]


@dataclass(frozen=True, slots=True)
class FretSlots:
    """Slots square to the centre line; depth is below the finished surface.

    ``tang_mm``, ``barbs_mm`` and ``tang_depth_mm`` are the fretwire's, as measured; None where it was not.

    ``measured_mm`` are the places from the nut end of slots that were sawn by hand, one for each fret;
    empty where the formula's count.  ``margin_mm`` is from the binding where there is one, else from the edge.
    """

    width_mm: float
    depth_mm: float
    floor: Literal["follow", "level"] = "follow"
    ends: Literal["through", "stopped"] = "through"
    margin_mm: float = 1.5
    state: Literal["to cut", "already cut"] = "to cut"
    fit_mm: float = 0.0
    measured_mm: tuple[float, ...] = ()
    tang_mm: float | None = None
    barbs_mm: float | None = None
    tang_depth_mm: float | None = None


@dataclass(frozen=True, slots=True)
class FaceDots:
    """Round pockets in the playing face; ``double`` is the part of ``frets`` that has two, ``triple`` that has three.

    They lie ``across_mm`` from the centre line toward the treble side, or ``between`` the two outer strings of a side.
    ``material`` names the blanks of which the machine can cut them; "" where they are bought.
    """

    frets: tuple[int, ...]
    diameter_mm: float
    thinnest_mm: float
    thickest_mm: float
    double: tuple[int, ...] = ()
    proud_mm: float = 0.2
    fit_mm: float = 0.0
    shell_left_mm: float = 0.5
    spacing_mm: float | None = None
    across_mm: float = 0.0
    between: Literal["", "bass", "treble"] = ""
    triple: tuple[int, ...] = ()
    material: str = ""

    @property
    def off_centre(self) -> bool:
        """Say whether they lie beside the centre line."""
        return bool(self.across_mm or self.between)


@dataclass(frozen=True, slots=True)
class SideDots:
    """Holes in the bass edge, the treble edge or both; ``height_mm`` is above the glue face, None is "auto"."""

    frets: tuple[int, ...]
    diameter_mm: float
    depth_mm: float
    double: tuple[int, ...] = ()
    height_mm: float | None = None
    spacing_mm: float | None = None
    margin_mm: float = 0.8
    fit_mm: float = 0.0
    edges: Literal["bass", "treble", "both"] = "bass"

    @property
    def pair_spacing_mm(self) -> float:
        """Distance between the centres of a double."""
        return 2.5 * self.diameter_mm if self.spacing_mm is None else self.spacing_mm


@dataclass(frozen=True, slots=True)
class Board:
    """A fingerboard as its maker describes it.

    Its length and widths are worked out where the file says them otherwise: at a fret, or by ``widths``, from the first
    of which to the last the edges run straight in between.  ``end`` is how the far end lies: square, with the last
    fret, or hollowed by an arc of ``end_arc_mm``, the length then being that of the corners.
    ``nut`` is how the nut end lies where frets slant: with fret 0, or square, ``before_nut_mm`` beyond its line;
    ``unusual`` names the keys whose figures are meant as they stand.
    ``unit`` is what its maker measures in, and is told of it in: measured otherwise it is the same board.
    """

    title: str
    scale: Scale
    length_mm: float
    nut_width_mm: float
    end_width_mm: float
    thickness_mm: float
    radius: Radius = Radius(float("inf"), float("inf"))
    state: State = "flat"
    crown_allowance_mm: float = 0.2
    wood: str = ""
    hand: Hand = "right"
    blank: Blank | None = None
    binding: Binding | None = None
    fret_slots: FretSlots | None = None
    face_dots: FaceDots | None = None
    side_dots: SideDots | None = None
    holding: tuple[Holding, ...] = ()
    unusual: tuple[str, ...] = ()
    strings: Strings | None = None
    nut: Literal["slanted", "square"] = "slanted"
    before_nut_mm: float = 10.0
    width_at: WidthAt | None = None
    widths: tuple[Station, ...] = ()
    end: Literal["square", "slanted"] = "square"
    end_arc_mm: float | None = None
    partial: tuple[Partial, ...] = ()
    inlays: tuple[Inlay, ...] = ()
    inlay_blanks: tuple[InlayBlank, ...] = ()
    unit: Unit = field(default="mm", compare=False)
