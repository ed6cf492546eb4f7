"""From a drawing's own box to the board: sized, then mirrored, then turned about the centre of its box, then placed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pearlkerf.outlines.drawing import Figure, refused
from pearlkerf.outlines.region import NO_WIDTH, box_of
from pearlkerf.outlines.segments import Affine, Point


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a drawing is to lie: sizes of its box in mm (None: as it comes), mirrored about its upright axis, turned."""

    length_mm: float | None = None
    width_mm: float | None = None
    mirror: bool = False
    turn_deg: float = 0.0


def placed(figures: Sequence[Figure], wanted: Wanted, at: Point, has_size: bool, file: str) -> Affine:
    """Give the map that lays figures on the board, the centre of their box at a point.

    One size scales the drawing, both stretch it, none takes its own, which it must have.  The box that
    is placed is that before turning.
    """
    x, y, right, high = box_of(figures)
    long, wide = right - x, high - y
    if not long > 0 or not wide > 0:
        raise refused(file, figures[0].place, *NO_WIDTH)
    along = None if wanted.length_mm is None else wanted.length_mm / long
    across = None if wanted.width_mm is None else wanted.width_mm / wide
    if along is None and across is None:
        if not has_size:
            raise refused(
                file,
                "",
                "the drawing has no size of its own: its lengths have no unit",
                "say length or width in the board file, or save the drawing in mm or inches",
            )
        along = across = 1.0
    along, across = along or across or 1.0, across or along or 1.0
    c, s = math.cos(math.radians(wanted.turn_deg)), math.sin(math.radians(wanted.turn_deg))
    sized = Affine(a=-along if wanted.mirror else along, d=across)
    centred = Affine(e=-(x + right) / 2, f=-(y + high) / 2)
    return Affine(e=at[0], f=at[1]) @ Affine(c, s, -s, c) @ sized @ centred
