"""What a job card says, row by row: the card's builder fills these, and the page setter only sets them."""

from dataclasses import dataclass

from pearlkerf.layout.model import Layout
from pearlkerf.setups.model import Setup


@dataclass(frozen=True, slots=True)
class ProgramRow:
    """One program to run: its file, its setup, and the figures that the operator sets or checks.

    ``time`` is a range in words ("4 to 6 min"); ``cuts`` is what it cuts ("frets 1-19").
    Feeds are mm/min; ``deepest_mm`` is the deepest cut below Z 0, a positive figure.  ``notes`` are
    sentences that people must know before it runs.  A pointing run has ``stops``, the places that it
    shows in order, its tip ``tip_above_mm`` over the wood, and no figures of cutting.
    """

    file: str
    setup: str
    cutter_number: int
    cutter_kind: str
    cutter_diameter_mm: float
    speed_rpm: float
    feed_mm_min: float
    plunge_feed_mm_min: float
    deepest_mm: float
    bite_mm: float
    time: str
    cuts: str
    notes: tuple[str, ...] = ()
    tip_above_mm: float | None = None
    stops: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SetupRow:
    """One clamping: its name, how the board lies, and its stock in words; the setup itself for the picture.

    ``lying`` says in sentences how the wood lies, how far cuts run out of it, and where clamps may stand.
    """

    name: str
    lying: tuple[str, ...]
    stock: str
    setup: Setup


@dataclass(frozen=True, slots=True)
class NeedRow:
    """One thing to have at hand: how many or how much, what, and which of its kind."""

    amount: str
    what: str
    detail: str


@dataclass(frozen=True, slots=True)
class WireRow:
    """One fret's wire: the board's width there and the length to cut, overhang at both ends included."""

    fret: int
    width_mm: float
    cut_mm: float


@dataclass(frozen=True, slots=True)
class SunkRow:
    """One face dot in its pocket: depth from the raw face, and how far dot and finished face lie below it.

    ``below_mm`` counts for the thinnest dot, ``below_thickest_mm`` for the thickest.
    """

    name: str
    depth_mm: float
    below_mm: float
    below_thickest_mm: float
    finished_below_mm: float


@dataclass(frozen=True, slots=True)
class MeasureRow:
    """One thing to measure after cutting: what, between which places, and what the figure should be."""

    what: str
    how: str
    figure: str


@dataclass(frozen=True, slots=True)
class CardRows:
    """The lists of a card that follow from the layout alone."""

    needs: tuple[NeedRow, ...]
    wire: tuple[WireRow, ...]
    sunk: tuple[SunkRow, ...]
    measures: tuple[MeasureRow, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A whole job card."""

    title: str
    machine: str
    layout: Layout
    setups: tuple[SetupRow, ...]
    programs: tuple[ProgramRow, ...]
    rows: CardRows
