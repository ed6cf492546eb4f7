"""Wood between a dot's hole and the slots that bound its fret space: face dots and side dots alike.

slot n-1                      slot n
  | |         .---.            | |
  | |<--wall-( dot )--wall---->| |      the nearer wall counts
  | |         '---'            | |
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pearlkerf.board.model import FaceDots, SideDots
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.checks import Remark, at_least, at_most, named, one_of, weigh, wood
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.limits import ROUNDING_MM, WALL
from pearlkerf.layout.lines import Point


@dataclass(frozen=True, slots=True)
class Wall:
    """The wood beside a hole: what counts, and what there is along the board, from which a hint is worked out."""

    wood_mm: float
    along_mm: float
    hole: Hole


def walls_to_slots_mm(laid: Laid, hole: Hole, place: Point) -> float:
    """Give the least wood between the wall of a hole, centred at a place in plan, and those of the slots beside it."""
    before, after = laid.walls(hole.number)
    return min(before.beyond_mm(place), -after.beyond_mm(place)) - hole.diameter_mm / 2


def check_walls(
    laid: Laid,
    dots: FaceDots | SideDots,
    walls: Sequence[Wall],
    nearer_pair: Callable[[Sequence[Wall], float], tuple[str, ...] | None] = lambda _short, _limit_mm: None,
) -> Iterator[Remark]:
    """Give one remark for all dots of a table, at the tightest.

    ``nearer_pair`` is told the walls that are too thin and the limit; it gives what can be done about the
    spacing of doubles, None where it is not the spacing that is wrong.
    """
    tightest = min(walls, key=lambda wall: wall.wood_mm)
    worst, left = tightest.hole, tightest.wood_mm
    table = GROUPS[worst.group].table

    def tight(limit_mm: float) -> Problem:
        short = [wall for wall in walls if wall.wood_mm < limit_mm - ROUNDING_MM]
        missing = limit_mm - min(wall.along_mm for wall in short)
        before, after = laid.space(worst.number)
        pair = nearer_pair(short, limit_mm)
        other = laid.before(worst.number)
        beside = f"frets {other} and {worst.number}" if other else f"the nut and fret {worst.number}"
        return Problem(
            key=f"{table}.{'diameter' if pair is None else 'spacing'}",
            found=f"{worst.name}, {as_written(worst.diameter_mm)} wide, lies between {beside}, which are "
            f"{before.beyond_mm(after.middle):.2f} mm apart: {wood(left)} stays beside it",
            allowed=at_least(WALL),
            hint=one_of(
                *(pair or ()),
                at_most(dots.diameter_mm - 2 * missing, "a diameter"),
                f"leave {named(wall.hole.number for wall in short)} out of {table}.frets",
            ),
        )

    yield from weigh(left, WALL, tight)
