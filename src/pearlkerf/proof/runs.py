"""A program as it runs on the machine: whose setup it cuts, with which cutters, what its header claims."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.proof.blade import Blades
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.pieces import Pieces
from pearlkerf.proof.sawn import Sawn
from pearlkerf.proof.shapes.shape import Shape
from pearlkerf.proof.spoken import Speech
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.wood import Wood
from pearlkerf.reading.motions import Finding, Reading
from pearlkerf.setups.model import Setup

Claim = tuple[str, int]  # a feature's group and number


@dataclass(frozen=True, slots=True)
class Section:
    """What one cutter does: motions ``first`` up to but without ``last``, from line ``line`` of the text."""

    cutter: Cutter
    first: int
    last: int
    line: int


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One program of one setup, ready for the rules."""

    file: str
    reading: Reading
    setup: Setup
    machine: Machine
    wood: Wood
    shapes: tuple[Shape, ...]
    sections: tuple[Section, ...]
    claims: tuple[Claim, ...]  # the features that the header names
    pieces: Pieces
    cuts: Cuts
    inside: tuple[Cuts, ...]  # of each feature: those of the cuts that stay in it
    below: NDArray[np.float64]  # (k,) mm: how far each cut goes below its feature's floor; 0 where it is nobody's
    blades: Blades  # what saws do
    sawn: Sawn  # and what of it cuts
    speech: Speech  # what it says to people
    tip_above_mm: float | None = None  # of a pointing run: how high above the wood the tip is stated to stop
    titles: tuple[str, ...] = ()  # what people call the board, or the piece of it

    @property
    def cutting(self) -> NDArray[np.bool_]:
        """Say of every motion, (n,), whether it cuts."""
        cutting = np.zeros(len(self.reading.motions.kind), dtype=bool)
        cutting[self.cuts.motion] = True
        cutting[self.sawn.motion] = True
        return cutting

    def line(self, motion: int) -> int:
        """Give the line of a motion."""
        return int(self.reading.motions.line[motion])

    def finding(self, rule: int, message: str, line: int | None = None, feature: str = "") -> Finding:
        """Hold something against this program."""
        return Finding(rule, message, self.file, line, feature=feature)

    def tell(self, rule: int, alike: Alike, phrase: Callable[[float, int], str]) -> Finding:
        """Tell many alike as one finding: the first at its line, then how many more, and the worst.

        ``phrase`` is given an amount and its index.
        """
        lines = self.reading.motions.line[np.asarray(alike.motions)]
        worth = np.asarray(alike.amounts, dtype=float)
        message = phrase(float(worth[0]), 0)
        others = len(np.unique(lines)) - 1
        if others > 0:
            worst = int(np.argmax(worth))
            message += f"; {others} more {'lines do' if others > 1 else 'line does'} the like"
            if lines[worst] != lines[0]:
                message += f", worst at line {lines[worst]}: {phrase(float(worth[worst]), worst)}"
        return self.finding(rule, message, int(lines[0]), alike.feature)


def per_motion(sections: Sequence[Section], values: Sequence[float], count: int) -> NDArray[np.float64]:
    """Spread one value for each section over (count,) motions; nan outside all sections."""
    spread = np.full(count, np.nan)
    for section, value in zip(sections, values, strict=True):
        spread[section.first : section.last] = value
    return spread


def cutter_radius_mm(run: Run) -> NDArray[np.float64]:
    """Give the radius of the cutter of every motion, (n,) mm."""
    radii = [section.cutter.radius_mm for section in run.sections]
    return per_motion(run.sections, radii, len(run.reading.motions.kind))
