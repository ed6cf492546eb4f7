"""A drawing as it was read: closed figures, each with its name, its parts' names and its fill rule."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.errors import Problem, Refusal
from pearlkerf.outlines.limits import CLOSED_MM, LARGEST
from pearlkerf.outlines.segments import Affine, Line, Segment

# the share of a drawing's numbers in which a full circle's ends differ
ROUNDING: Final = 1e-12

FillRule = Literal["nonzero", "evenodd"]
Loop = tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """What one element of a drawing encloses: its loops, closed, and how they fill.

    ``parts`` are the names by which it can be asked for: its id and those of its groups, or its layer;
    ``place`` says where it stands in the file, for people.
    """

    loops: tuple[Loop, ...]
    rule: FillRule
    parts: tuple[str, ...]
    place: str


@dataclass(frozen=True, slots=True)
class Oddity:
    """What no outline can be made of: refused where one of its ``parts`` is asked for."""

    parts: tuple[str, ...]
    place: str
    found: str
    hint: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """All figures of a drawing, y up, in mm where it ``has_size``; where not, only their proportions count."""

    file: str
    figures: tuple[Figure, ...]
    has_size: bool
    oddities: tuple[Oddity, ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """Every name that a figure can be asked for by, in the order of the drawing."""
        return tuple(dict.fromkeys(name for figure in self.figures for name in figure.parts))


def refused(file: str, place: str, found: str, hint: str, allowed: str = "") -> Refusal:
    """Give the refusal of a drawing, to be raised: in which file, at which place, why."""
    where = f"{file}: {place}: " if place else f"{file}: "
    return Refusal([Problem(key="outline", found=where + found, allowed=allowed, hint=hint)])


def closed_loop(segments: Iterable[Segment], unit_mm: float, closes: bool) -> Loop | None:
    """Give a line as a loop, closed by a straight piece over CLOSED_MM at most; None where it is open.

    ``unit_mm`` is the length of the drawing's unit; ``closes`` says that the file closes it.  Pieces
    of no length are left out.
    """
    loop = tuple(each for each in segments if not (isinstance(each, Line) and each.start == each.end))
    if not loop:
        return ()
    gap = math.dist(loop[0].start, loop[-1].end)
    if not closes and gap * unit_mm > CLOSED_MM:
        return None
    largest = max(abs(number) for point in loop[0].defined_by for number in point)
    return loop if gap <= ROUNDING * largest else (*loop, Line(loop[-1].end, loop[0].start))


def mapped(loops: Iterable[Loop], by: Affine) -> tuple[Loop, ...]:
    """Give loops as a map moves them."""
    return tuple(tuple(segment.mapped(by) for segment in loop) for loop in loops)


def check_finite(loops: Iterable[Loop], file: str, place: str) -> None:
    """Refuse what lies nowhere, or is drawn with numbers too large to be exact."""
    for loop in loops:
        for piece in loop:
            for x, y in piece.defined_by:
                if not (abs(x) <= LARGEST and abs(y) <= LARGEST):
                    found = f"a point lies at {x:g}, {y:g}"
                    hint = "draw it again near the middle of the page"
                    raise refused(file, place, found, hint, f"numbers up to {LARGEST:g}")
