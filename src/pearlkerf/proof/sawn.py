"""The cuts of saws: the pieces of motion whose blade may meet wood, and whose slot each is in."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.blade import Blades, Floats, Ints, in_wood_mm
from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.shapes.shape import Shape
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.proof.wood import Wood


@dataclass(frozen=True, slots=True, eq=False)
class Sawn:
    """Pieces of saws that feed through wood, (k,) each, in the order of execution.

    ``span`` (k, 2) is between which y each may meet wood; ``fresh`` is True where the blade comes from
    the air; ``nearest`` is the slot (an index into the setup's features) that it leaves least,
    ``outside`` by how much, mm; ``owner`` that slot where this is within CUT_MM, else NOBODYS.
    """

    blades: Blades
    span: Floats
    fresh: NDArray[np.bool_]
    owner: Ints
    nearest: Ints
    outside: Floats

    @property
    def motion(self) -> Ints:
        """The motion that each piece belongs to."""
        return self.blades.motion

    def of(self, feature: int) -> Ints:
        """Give the indexes of the pieces that stay in a feature."""
        return np.flatnonzero(self.owner == feature)


def find_sawn(blades: Blades, wood: Wood, shapes: Sequence[Shape]) -> Sawn:
    """Find what saws cut.  What passes beside the wood, in the air, is no cut."""
    span = in_wood_mm(blades, wood)
    rows = np.flatnonzero(~np.isnan(span[:, 0]) & ~blades.rapid)
    some, span = blades.some(rows), span[rows]
    fresh = np.ones(len(rows), dtype=bool)
    if len(rows):
        goes_on = np.diff(rows) == 1
        goes_on &= (some.start[1:] == some.end[:-1]).all(axis=1)
        fresh[1:] = ~goes_on | np.isnan(in_wood_mm(some.standing(some.start), wood)[1:, 0])
    nearest, outside = _nearest(some, span, shapes)
    owner = np.where(outside <= CUT_MM + ROUNDING_MM, nearest, NOBODYS)
    return Sawn(some, span, fresh, owner, nearest, outside)


def _nearest(blades: Blades, span: Floats, shapes: Sequence[Shape]) -> tuple[Ints, Floats]:
    nearest, least = np.zeros(len(blades.motion), dtype=np.int64), np.full(len(blades.motion), np.inf)
    for number, shape in enumerate(shapes if len(least) else ()):
        if shape.for_saws is not None:
            outside = shape.for_saws.outside_mm(blades, span)
            better = outside < least
            nearest[better], least[better] = number, outside[better]
    return nearest, least
