"""The makers' moves: where the cutter's tip goes, in the setup's axes, mm."""

from dataclasses import dataclass

from pearlkerf.layout.model import Setup
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter, Machine


@dataclass(frozen=True, slots=True)
class TraversePlane:
    """A rapid in X and Y at clearance."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class TraverseHeight:
    """A rapid in Z alone."""

    z_mm: float


@dataclass(frozen=True, slots=True)
class Feed:
    """A straight cut to a point."""

    x_mm: float
    y_mm: float
    z_mm: float
    feed_mm_min: float


@dataclass(frozen=True, slots=True)
class Arc:
    """A counter-clockwise arc or helix in XY about a centre, of less than a full turn."""

    x_mm: float
    y_mm: float
    z_mm: float
    centre_x_mm: float
    centre_y_mm: float
    feed_mm_min: float


@dataclass(frozen=True, slots=True)
class Drill:
    """A hole drilled where the cutter stands: down in pecks from ``above_mm``, a dwell at the floor, out."""

    x_mm: float
    y_mm: float
    above_mm: float
    top_mm: float
    bottom_mm: float
    peck_mm: float
    dwell_s: float
    feed_mm_min: float


Move = TraversePlane | TraverseHeight | Feed | Arc | Drill


@dataclass(frozen=True, slots=True)
class Cut:
    """The moves of one feature, with the name that the program gives it in a comment."""

    name: str
    group: str
    number: int
    deepest_mm: float
    moves: tuple[Move, ...]
    stop: str = ""  # what people are told where the program stops after it; "": it does not


@dataclass(frozen=True, slots=True)
class CutterPath:
    """All cuts of one cutter in a setup, in order."""

    cutter: Cutter
    figures: CuttingFigures
    cuts: tuple[Cut, ...]
    notes: tuple[str, ...] = ()  # what people must know before it runs
    tip_above_mm: float = 0.0  # of a pointing run: how high above the wood the tip stops

    @property
    def deepest_mm(self) -> float:
        """Deepest place of the tip below zero."""
        return -min(cut.deepest_mm for cut in self.cuts)

    @property
    def numbers_by_group(self) -> dict[str, list[int]]:
        """The numbers of what is cut, ascending, by group in the order of cutting."""
        groups = dict.fromkeys(cut.group for cut in self.cuts)
        return {group: sorted({cut.number for cut in self.cuts if cut.group == group}) for group in groups}


@dataclass(frozen=True, slots=True)
class Toolpath:
    """The paths of one setup, in the order to run."""

    setup: Setup
    machine: Machine
    paths: tuple[CutterPath, ...]
