"""The makers' moves: where the cutter's tip goes, in the setup's axes, mm.

``follow`` walks over moves and keeps the tip's place: whoever asks what moves reach asks its steps.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.setups.dry_run import DryRun
from pearlkerf.setups.model import Placement, Setup
from pearlkerf.toolpath.strokes import turn_about

Place = tuple[float, float, float]
NOWHERE: Final[Place] = (math.nan, math.nan, math.nan)


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
    """An arc or helix in XY about a centre, of less than a full turn; counter-clockwise but where it says otherwise."""

    x_mm: float
    y_mm: float
    z_mm: float
    centre_x_mm: float
    centre_y_mm: float
    feed_mm_min: float
    clockwise: bool = False

    @property
    def centre(self) -> tuple[float, float]:
        """Give its centre, mm."""
        return self.centre_x_mm, self.centre_y_mm

    @property
    def radius_mm(self) -> float:
        """Give how far it ends from its centre."""
        return math.hypot(self.x_mm - self.centre_x_mm, self.y_mm - self.centre_y_mm)

    def turn_rad(self, start_x_mm: float, start_y_mm: float) -> tuple[float, float]:
        """Give the angle of its start, seen from its centre, and how far it turns from there, negative if clockwise."""
        return turn_about(self.centre, (start_x_mm, start_y_mm), (self.x_mm, self.y_mm), self.clockwise)

    def beyond_chord_mm(self, start_x_mm: float, start_y_mm: float) -> float:
        """Give how far it swings beyond its chord; an arc of more than half a turn by its whole radius."""
        half = min(abs(self.turn_rad(start_x_mm, start_y_mm)[1]) / 2, math.pi / 2)
        return self.radius_mm * (1 - math.cos(half))

    def farthest(self, start_x_mm: float, start_y_mm: float) -> list[tuple[float, float]]:
        """Give the places on it where it turns back in X or in Y."""
        first, turn = self.turn_rad(start_x_mm, start_y_mm)
        sign = math.copysign(1.0, turn)
        around = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
        return [
            (self.centre_x_mm + self.radius_mm * x, self.centre_y_mm + self.radius_mm * y)
            for quarter, (x, y) in enumerate(around)
            if sign * (quarter * math.pi / 2 - first) % (2 * math.pi) <= abs(turn)
        ]


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


class Step(NamedTuple):
    """A move between where the tip stands before it and after it, mm; nan where nobody knows."""

    start: Place
    move: Move
    end: Place

    @property
    def lowest_mm(self) -> float:
        """Give the height of the floor that it drills, or at which it ends; where it begins, another step ended."""
        return self.move.bottom_mm if isinstance(self.move, Drill) else self.end[2]


def follow(moves: Iterable[Move]) -> Iterator[Step]:
    """Walk over moves, from where nobody knows, and keep the tip's place."""
    at = NOWHERE
    for move in moves:
        start, at = at, _end(move, at)
        yield Step(start, move, at)


def _end(move: Move, start: Place) -> Place:
    if isinstance(move, TraversePlane):
        return (move.x_mm, move.y_mm, start[2])
    if isinstance(move, TraverseHeight):
        return (start[0], start[1], move.z_mm)
    return (move.x_mm, move.y_mm, move.above_mm if isinstance(move, Drill) else move.z_mm)


def reach_mm(moves: Iterable[Move]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give the lowest and the highest X, Y and Z (3,) that moves reach, mm; arcs where they swing farthest.

    Raises ValueError where there are no moves.
    """
    places: list[Place] = []
    for step in follow(moves):
        places += (step.end, (*step.end[:2], step.lowest_mm))
        if isinstance(step.move, Arc):
            places += [(*place, step.end[2]) for place in step.move.farthest(*step.start[:2])]
    every = np.array(places)
    return np.nanmin(every, axis=0), np.nanmax(every, axis=0)


def lay_moves(moves: Iterable[Move], placement: Placement) -> tuple[Move, ...]:
    """Give moves of the board as moves of the machine; Z is not turned.

    Feeds stay as they are: those of the cutting figures are such that X and Y bear them either way.
    """
    if placement == Placement():
        return tuple(moves)
    return tuple(_laid(move, placement) for move in moves)


def _laid(move: Move, placement: Placement) -> Move:
    if isinstance(move, TraverseHeight):
        return move
    x, y = placement.to_machine((move.x_mm, move.y_mm)).tolist()
    if isinstance(move, Arc):
        centre_x, centre_y = placement.to_machine((move.centre_x_mm, move.centre_y_mm)).tolist()
        return replace(move, x_mm=x, y_mm=y, centre_x_mm=centre_x, centre_y_mm=centre_y)
    return replace(move, x_mm=x, y_mm=y)


@dataclass(frozen=True, slots=True)
class Cut:
    """The moves of one feature, with the name that the program gives it in a comment."""

    name: str
    group: str
    number: int
    moves: tuple[Move, ...]
    stop: str = ""  # what people are told where the program stops after it; "": it does not
    deepest_mm: float = field(init=False)

    def __post_init__(self) -> None:
        """Find the deepest place once: it is asked for again and again."""
        object.__setattr__(self, "deepest_mm", float(reach_mm(self.moves)[0][2]))


@dataclass(frozen=True, slots=True)
class CutterPath:
    """All cuts of one cutter in a setup, in order."""

    cutter: Cutter
    figures: CuttingFigures
    cuts: tuple[Cut, ...]
    notes: tuple[str, ...] = ()  # what people must know before it runs
    tip_above_mm: float | None = None  # of a pointing run: how high above the wood the tip stops; None: it cuts

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
    """The paths of one setup, in the order to run; ``dry_run`` tells of the setup's pointing run, where it has one."""

    setup: Setup
    machine: Machine
    paths: tuple[CutterPath, ...]
    dry_run: DryRun | None = None
