"""How findings are put: lengths as a maker reads them, sides of the board, many alike told once."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import Finding

OPPOSITE = {
    "bass side": "treble side",
    "treble side": "bass side",
    "glue face": "playing face",
    "playing face": "glue face",
    "near edge": "far edge",
}
# within this distance of a feature's middle no side is named
MIDDLE_MM = 0.5


def in_mm(length: float) -> str:
    """Write a length: hundredths, or thousandths where it is small.

    >>> in_mm(0.3149), in_mm(0.0123)
    ('0.31 mm', '0.012 mm')
    """
    return f"{length:.2f} mm" if abs(length) >= 0.1 else f"{length:.3f} mm"


def side_of(run: Run, from_middle_mm: float) -> str:
    """Name the side of the board that a point lies on, as ", bass side"; nothing in the middle."""
    low = run.setup.low_side
    if abs(from_middle_mm) <= MIDDLE_MM:
        return ""
    return f", {low if from_middle_mm < 0 else OPPOSITE.get(low, 'far side')}"


@dataclass(frozen=True, slots=True, eq=False)
class Alike:
    """Motions (k,), in order, that one thing is held against, each with its amount (k,); in which feature."""

    motions: ArrayLike
    amounts: ArrayLike
    feature: str = ""


def tell(run: Run, rule: int, alike: Alike, phrase: Callable[[float, int], str]) -> Finding:
    """Tell many alike as one finding: the first at its line, then how many more, and the worst.

    ``phrase`` is given an amount and its index.
    """
    lines = run.reading.motions.line[np.asarray(alike.motions)]
    worth = np.asarray(alike.amounts, dtype=float)
    message = phrase(float(worth[0]), 0)
    others = len(np.unique(lines)) - 1
    if others > 0:
        worst = int(np.argmax(worth))
        message += f"; {others} more {'lines do' if others > 1 else 'line does'} the like"
        if lines[worst] != lines[0]:
            message += f", worst at line {lines[worst]}: {phrase(float(worth[worst]), worst)}"
    return run.finding(rule, message, int(lines[0]), alike.feature)
