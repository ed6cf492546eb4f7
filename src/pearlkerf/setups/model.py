"""Clampings: what lies on the machine, where and how, and which features are cut in it.

Everything is in mm: features and stock in the axes of the board, X from the nut end, Z 0 on top, Z
negative in the wood; what holds the wood in those of the machine.
"""

import math
from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Feature
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.holding import SetupKind
from pearlkerf.setups.blank_rows import BlankRow
from pearlkerf.setups.fit_claims import FittedFor
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.lying import Lying, Strip
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps

Purpose = Literal["cut", "point"]
# every side of what is clamped, and the one across from it
OPPOSITE: Final = {
    "bass side": "treble side",
    "treble side": "bass side",
    "glue face": "playing face",
    "playing face": "glue face",
    "near edge": "far edge",
    "near side": "far side",
}


@dataclass(frozen=True, slots=True)
class Placement:
    """How the board lies on the machine: turned about the zero point, then shifted."""

    angle_deg: float = 0.0
    x_mm: float = 0.0
    y_mm: float = 0.0

    def to_machine(self, points: ArrayLike) -> NDArray[np.float64]:
        """Turn and shift (..., 2) points of the board into machine axes."""
        x, y = np.moveaxis(np.asarray(points, dtype=float), -1, 0)
        c, s = math.cos(math.radians(self.angle_deg)), math.sin(math.radians(self.angle_deg))
        return np.stack([c * x - s * y + self.x_mm, s * x + c * y + self.y_mm], axis=-1)

    def to_board(self, points: ArrayLike) -> NDArray[np.float64]:
        """Undo ``to_machine``."""
        shifted = np.asarray(points, dtype=float) - (self.x_mm, self.y_mm)
        x, y = np.moveaxis(shifted, -1, 0)
        c, s = math.cos(math.radians(self.angle_deg)), math.sin(math.radians(self.angle_deg))
        return np.stack([c * x + s * y, -s * x + c * y], axis=-1)


@dataclass(frozen=True, slots=True)
class Box:
    """A clamp, jaw or fence where it stands on the machine: everything below ``top_mm`` over its corners.

    ``key`` is where its description stands: "holding.0" in the board file, "" in the profile.
    """

    name: str
    corners: tuple[Point, ...]  # mm, machine axes, counter-clockwise
    top_mm: float
    key: str = ""


@dataclass(frozen=True, slots=True)
class Position:
    """Which of several positions along X a setup is, counted from 1, and of how many."""

    number: int
    count: int


@dataclass(frozen=True, slots=True)
class Setup:
    """One clamping: its stock, the features that it demands (board axes), and how the board lies."""

    kind: SetupKind
    wood: str
    stock: Stock
    features: tuple[Feature, ...]
    lying: Lying  # what people are told of it, but for what stands here
    position: Position | None = None  # None where all is cut in one
    purpose: Purpose = "cut"
    scrap: Scrap | None = None  # the scrap that is cut in place of a board
    fits: tuple[FittedFor, ...] = ()  # of the pockets of inlays in it, or of those of its pieces
    row: BlankRow | None = None  # of blanks, from which pieces of inlays are cut
    steps: Steps | None = None  # of a fit coupon: the sizes that it tries
    tries: str = ""  # of a fit coupon that tries a part of what it can: which, as its programs claim it
    up: str = "playing face up"
    low_side: str = "bass side"  # what lies toward the operator, at low Y
    ends: tuple[str, str] = ("nut", "bridge")  # what lies at low X and at high X
    placement: Placement = field(default_factory=Placement)
    raised_mm: float = 0.0  # how much higher the highest place stands than the stock's least thickness
    cut_before: tuple[Feature, ...] = ()  # what other runs cut: known, but no cut is made easier by it
    zero: str = ""  # setups with the same word here keep one zero, which the tip must reach; "": the operator's
    holding: tuple[Box, ...] = ()  # what holds the wood; nothing that moves may touch it

    @property
    def name(self) -> str:
        """What people and programs call it: "face", "face-2" for the second of several positions, or of rows.

        The face with pieces glued in is "glued".
        """
        called = self.kind if self.lying.glued is None else "glued"
        return called if self.number == 1 and self.position is None else f"{called}-{self.number}"

    @property
    def number(self) -> int:
        """Which of several positions along X it is, or of several rows of blanks, 1 where there is but one."""
        if self.row is not None:
            return self.row.number
        return 1 if self.position is None else self.position.number

    @property
    def is_trial(self) -> bool:
        """Whether it is cut in place of a board, to try something: on scrap, or from a blank for a coupon."""
        return self.scrap is not None or bool(self.tries)

    @property
    def high_side(self) -> str:
        """What lies away from the operator, at high Y."""
        return OPPOSITE[self.low_side]

    @property
    def standing_mm(self) -> float:
        """Height of Z 0 above what the board stands on."""
        return self.stock.thickness_mm + self.raised_mm

    @property
    def beside_mm(self) -> float:
        """Height of Z 0 above what lies beside the wood: by a carrier's strip, the board on which that lies."""
        return self.lying.rests.thickness_mm if isinstance(self.lying.rests, Strip) else self.standing_mm


@dataclass(frozen=True, slots=True)
class Clampings:
    """A layout and the setups in which it is cut, in the order to run, with what the maker should be told of them."""

    layout: Layout
    setups: tuple[Setup, ...]
    warnings: tuple[Problem, ...] = ()
    fits: tuple[Fitted, ...] = ()  # of the parts of inlays, once they are fitted for a machine
