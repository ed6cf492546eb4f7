"""The cuts of saws: the pieces of motion whose blade may meet wood, and whose slot each is in."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.blade import ROWS_AT_ONCE, Blades, Floats, Ints, bulge_mm, in_wood_mm, places_mm, wood_span_mm
from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.shapes import Shape, SlotShape
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.proof.wood import Wood

# a slot that turns farther from the machine's Y than this (cosine) no blade across it can cut
UPRIGHT = 0.5


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
        if isinstance(shape, SlotShape):
            outside = outside_mm(blades, span, shape)
            better = outside < least
            nearest[better], least[better] = number, outside[better]
    return nearest, least


def outside_mm(blades: Blades, span: Floats, shape: SlotShape) -> Floats:
    """Give how far (k,) what the blade cuts in plan leaves a slot, mm; negative inside.

    In plan it lies in the box between the piece's x and its ``span``; a slot is convex, so the box
    stays inside when its corners do.
    """
    width = shape.width_mm(blades.half)
    corners = [
        shape.outside_mm(corner, corner, np.zeros(len(corner))) + (shape.feature.width_mm - width) / 2
        for x in blades.x_mm()
        for corner in (np.column_stack([x, span[:, 0]]), np.column_stack([x, span[:, 1]]))
    ]
    farthest: Floats = np.maximum.reduce(corners)
    return farthest


def floor_mm(shape: SlotShape, low_x: Floats, high_x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Give a slot's lowest and highest floor (k, m) at places (k, m) between two x (k,)."""
    heights = []
    for x in (low_x, (low_x + high_x) / 2, high_x):
        board = shape.placement.to_board(np.stack(np.broadcast_arrays(x[:, None], y), axis=-1))
        heights.append(shape.feature.floor.z_mm(board[..., 0], board[..., 1]))
    return np.minimum.reduce(heights), np.maximum.reduce(heights)


def sawn_too_deep_mm(blades: Blades, span: Floats, shape: SlotShape) -> Floats:
    """Give how far (k,) each blade goes below a slot's floor anywhere in its ``span``, mm."""
    y = places_mm(span)
    floor = floor_mm(shape, *blades.x_mm(), y)[1]
    deep = np.max(floor - blades.lower_side_mm(y, blades.slack), axis=1)
    return np.asarray(deep + bulge_mm(blades, shape.feature.floor.crown))


def uncovered_mm(blades: Blades, shape: SlotShape, wood: Wood) -> tuple[Floats, Floats]:
    """Give places (m + 1,) along machine Y across the wood of a slot, and how far (m,) it is left too high between.

    Between two neighbouring places the best single piece counts, where it is farther from the lowest
    floor; inf where none passes over the slot's whole width, less CUT_MM at either wall.
    """
    half = float(shape.width_mm(blades.half).min()) / 2
    origin, along = shape.origin, shape.along
    x = np.array([origin[0], origin[0] + along[0] * shape.length])
    span = wood_span_mm(wood, np.array([x.min() - half]), np.array([x.max() + half]))
    if not shape.feature.through:
        span = np.sort(np.array([[origin[1], origin[1] + along[1] * shape.length]]), axis=1)
    y = places_mm(span)
    if abs(along[1]) < UPRIGHT:
        return y[0], np.full(y.shape[1] - 1, np.inf)
    centre = origin[0] + (y - origin[1]) * along[0] / along[1]
    floor = floor_mm(shape, centre.min(axis=1) - half, centre.max(axis=1) + half, y)[0]
    wanted = (half - CUT_MM) / abs(along[1]) - ROUNDING_MM
    left = np.full(y.shape[1] - 1, np.inf)
    for first in range(0, len(blades.motion), ROWS_AT_ONCE):
        some = blades.some(np.arange(first, min(first + ROWS_AT_ONCE, len(blades.motion))))
        low_x, high_x = (edge[:, None] for edge in some.always_x_mm())
        covers = (low_x <= centre - wanted) & (high_x >= centre + wanted)
        high = np.where(covers, some.lower_side_mm(y, -some.slack) - floor, np.inf)
        left = np.minimum(left, np.min(np.maximum(high[:, 1:], high[:, :-1]), axis=0))
    return y[0], left
