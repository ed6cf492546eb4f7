"""What a job card says, row by row: the card's builder fills these, and the page setter only sets them."""

from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.layout.features import Identity
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.around import NOTHING_AROUND, Around
from pearlkerf.pictures.drawing import Drawing
from pearlkerf.pictures.inlay_words import InlayTold
from pearlkerf.setups.dry_run import DryRun
from pearlkerf.setups.model import Setup
from pearlkerf.setups.run_outs import Room
from pearlkerf.setups.topics import Topic

# how cutters are changed: a program for each, at a stop of the program, or by the machine
Changes = Literal["file", "stop", "automatic"]


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
    """One clamping: its name, what is told of it by topic, its stock in words; the setup itself for the picture.

    ``told`` is in sentences: how the wood lies, where zero is, how far cuts run out of it, and where clamps may
    stand.
    """

    name: str
    told: tuple[tuple[Topic, str], ...]
    stock: str
    setup: Setup
    around: Around = NOTHING_AROUND
    dry_run: DryRun | None = None

    def about(self, *topics: Topic) -> tuple[str, ...]:
        """Give the sentences about some topics, in their order."""
        return tuple(words for topic, words in self.told if topic in topics)


@dataclass(frozen=True, slots=True)
class Beside:
    """What a setup's motion says of it: how far cuts run out, in sentences, where clamps have room, its dry run."""

    run_out: tuple[str, ...] = ()
    room: Room | None = None
    dry_run: DryRun | None = None


NOTHING_BESIDE: Final = Beside()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, with a box to tick: a word for it, what is done, and what more is to be known.

    ``number`` and ``time`` are those of the program that is run in it; 0 where none is.
    """

    lead: str
    do: str
    more: tuple[str, ...] = ()
    number: int = 0
    time: str = ""


@dataclass(frozen=True, slots=True)
class NeedRow:
    """One thing to have at hand: how many or how much, what, and which of its kind."""

    amount: str
    what: str
    detail: str


@dataclass(frozen=True, slots=True)
class WireRow:
    """One fret: how far it lies from X0, the board's width there, the length of wire to cut with its overhangs."""

    fret: int
    from_nut_mm: float
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
    """One thing to measure before the board is taken off: what, between which places, and what it should be.

    ``of`` is the feature that it measures.
    """

    what: str
    how: str
    figure: str
    of: Identity


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
    changes: Changes = "file"
    inlays: tuple[InlayTold, ...] = ()
    assembled: Drawing | None = None  # the board with its pieces in
