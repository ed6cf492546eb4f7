"""Wood between a dot's hole and the slots that bound its fret space: face dots and side dots alike.

slot n-1                      slot n
  | |         .---.            | |
  | |<--wall-( dot )--wall---->| |      the nearer wall counts
  | |         '---'            | |
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pearlkerf.board.model import FaceDots, SideDots
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Laid, Remark, at_least, at_most, named, one_of, weigh, wood
from pearlkerf.layout.features import Hole
from pearlkerf.layout.frets import space_mm
from pearlkerf.layout.limits import ROUNDING_MM, WALL
from pearlkerf.layout.outline import edge_angle_rad


@dataclass(frozen=True, slots=True)
class Wall:
    """The wood beside a hole: what counts, and what there is along the board, from which a hint is worked out."""

    wood_mm: float
    along_mm: float
    hole: Hole


def walls_to_slots_mm(laid: Laid, hole: Hole, x_mm: float) -> float:
    """Give the least wood between a hole's wall and the walls of the slots beside it.

    Fret 0 is the nut end, which has no slot; without slots the fret lines count.
    """
    before, after = space_mm(laid.frets_mm, hole.number)
    if hole.number > 1:
        before += laid.half_slot_mm
    return min(x_mm - before, after - laid.half_slot_mm - x_mm) - hole.diameter_mm / 2


def check_walls(laid: Laid, dots: FaceDots | SideDots, walls: Sequence[Wall]) -> Iterator[Remark]:
    """Give one remark for all dots of a table, at the tightest."""
    tightest = min(walls, key=lambda wall: wall.wood_mm)
    worst, left = tightest.hole, tightest.wood_mm
    table = "face_dots" if isinstance(dots, FaceDots) else "side_dots"

    def tight(limit_mm: float) -> Problem:
        short = [wall for wall in walls if wall.wood_mm < limit_mm - ROUNDING_MM]
        missing = limit_mm - min(wall.along_mm for wall in short)
        bad = [wall.hole for wall in short]
        before, after = space_mm(laid.frets_mm, worst.number)
        beside = f"frets {worst.number - 1} and {worst.number}" if worst.number > 1 else "the nut and fret 1"
        return Problem(
            key=f"{table}.{'spacing' if _spread(dots, bad) else 'diameter'}",
            found=f"{worst.name}, {worst.diameter_mm:.2f} mm wide, lies between {beside}, which are "
            f"{after - before:.2f} mm apart: {wood(left)} stays beside it",
            allowed=at_least(WALL),
            hint=one_of(
                *(_nearer_pair(laid, dots, bad, limit_mm, missing) if _spread(dots, bad) else ()),
                at_most(dots.diameter_mm - 2 * missing, "a diameter"),
                f"leave {named(hole.number for hole in bad)} out of {table}.frets",
            ),
        )

    yield from weigh(left, WALL, tight)


def _spread(dots: FaceDots | SideDots, bad: Sequence[Hole]) -> bool:
    """Only doubles are too near, and a smaller spacing along the edge would help them."""
    return isinstance(dots, SideDots) and all(hole.number in dots.double for hole in bad)


def _nearer_pair(
    laid: Laid, dots: FaceDots | SideDots, bad: Sequence[Hole], limit_mm: float, missing_mm: float
) -> Iterator[str]:
    """Offer a smaller spacing where the two then still leave wood between them, and one dot where one fits."""
    if not isinstance(dots, SideDots):
        return
    diameter = dots.diameter_mm + dots.fit_mm
    spacing = dots.pair_spacing_mm - 2 * missing_mm
    if spacing >= diameter + limit_mm:
        yield at_most(spacing, "a spacing")
    if all(room_mm(laid, dots, hole) - diameter / 2 >= limit_mm for hole in bad):
        yield f"leave {named(hole.number for hole in bad)} out of side_dots.double"


def room_mm(laid: Laid, dots: SideDots, hole: Hole) -> float:
    """Give the way from the middle of a side dot's fret space to the nearer slot's wall, all down the hole."""
    before, after = space_mm(laid.frets_mm, hole.number)
    skew = dots.depth_mm * abs(math.sin(edge_angle_rad(laid.board)))
    return (after - before) / 2 - laid.half_slot_mm - skew
