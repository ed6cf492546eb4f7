"""From figures to a region: what a drawing encloses, by its own fill rule, as polygons in mm.

        +1 winding            a face belongs to the region where the winding number of its
.------------.                loops is not zero (nonzero), or where it is odd (evenodd)
|   .----.   |
|   | 0  |   |   <- an inner loop drawn the other way round: a hole
|   '----'   |
'------------'
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.outlines import chords
from pearlkerf.outlines.drawing import Drawing, Figure, Loop, mapped, refused
from pearlkerf.outlines.fill import TooManyCrossings, fill
from pearlkerf.outlines.limits import CHORD_MM, FARTHEST_MM, MOST_POINTS, SMALLEST_MM
from pearlkerf.outlines.segments import Affine, Arc, Point

Floats = NDArray[np.float64]
NO_WIDTH: Final = ("what it encloses has no width", "draw closed lines that enclose something")


@dataclass(frozen=True, slots=True)
class Region:
    """An area of the plan, mm: outer rings and holes, valid, its curves chorded within CHORD_MM.

    ``loops`` are the very lines and arcs of its rings where nothing had to be joined or cut, else
    empty: a circle of the drawing stays one.  ``crossings`` are places where the drawing's lines cross
    themselves.
    """

    area: shapely.MultiPolygon
    loops: tuple[Loop, ...] = ()
    crossings: tuple[Point, ...] = ()

    @property
    def parts(self) -> tuple[shapely.Polygon, ...]:
        """Its connected parts, from low X to high X."""
        return tuple(sorted(self.area.geoms, key=lambda part: part.bounds))


def chosen(drawing: Drawing, parts: Sequence[str]) -> tuple[Figure, ...]:
    """Give the figures that are asked for by name, all where none is named.

    Raises Refusal where a name is not the drawing's, where nothing is left, and where what is asked
    for holds something that no outline can be made of.
    """
    known = dict.fromkeys([*drawing.parts, *(name for odd in drawing.oddities for name in odd.parts)])
    for name in parts:
        if name not in known:
            raise refused(
                drawing.file,
                f'parts "{name}"',
                "the drawing has no part of this name",
                "leave parts out for all that is closed",
                ", ".join(list(known)[:20]) or "none",
            )
    wanted = set(parts)
    for odd in drawing.oddities:
        if not wanted or wanted & set(odd.parts):
            raise refused(drawing.file, odd.place, odd.found, odd.hint, "closed lines")
    figures = tuple(each for each in drawing.figures if not wanted or wanted & set(each.parts))
    if not figures:
        raise refused(drawing.file, "", "nothing closed is drawn in it", "draw closed lines, or name other parts")
    return figures


def box_of(figures: Sequence[Figure]) -> tuple[float, float, float, float]:
    """Give the box of figures: low x, low y, high x, high y."""
    ends = np.array([end for figure in figures for loop in figure.loops for piece in loop for end in piece.extremes()])
    (x, y), (right, high) = ends.min(axis=0).tolist(), ends.max(axis=0).tolist()
    return x, y, right, high


def region_of(figures: Sequence[Figure], by: Affine, file: str) -> Region:
    """Give the region of figures as a map moves them, mm.

    Raises Refusal where a point lies too far away or nowhere, or there are too many of them, or the
    whole is smaller than SMALLEST_MM.
    """
    areas, loops, crossings, count = [], list[Loop](), list[Point](), 0
    for figure in figures:
        placed = mapped(figure.loops, by)
        _check_near(placed, file, figure.place)
        count += chords.count(placed, CHORD_MM)
        if count > MOST_POINTS:
            found = f"its curves need more than {MOST_POINTS} points"
            raise refused(file, figure.place, found, "simplify the drawing")
        rings = [points for points in chords.flat_loops(placed, CHORD_MM) if len(points) > 2]
        if not rings:
            continue
        try:
            area, crossed = fill(rings, figure.rule)
        except TooManyCrossings as fault:
            raise refused(file, figure.place, str(fault), "simplify the drawing") from None
        crossings += crossed
        areas.append(area)
        loops += placed
    if not areas:
        raise refused(file, figures[0].place, *NO_WIDTH)
    whole = areas[0] if len(areas) == 1 else shapely.union_all(areas)
    joined = len(areas) > 1 and len(shapely.get_parts(whole)) != sum(len(shapely.get_parts(each)) for each in areas)
    solid = shapely.MultiPolygon(
        [part for part in shapely.get_parts(whole) if part.geom_type == "Polygon" and part.area > 0]
    )
    if solid.is_empty or min(solid.bounds[2] - solid.bounds[0], solid.bounds[3] - solid.bounds[1]) < SMALLEST_MM:
        raise refused(file, figures[0].place, *NO_WIDTH)
    edges = sum(1 + len(part.interiors) for part in solid.geoms)
    kept = tuple(loops) if not crossings and not joined and edges == len(loops) else ()
    return Region(solid, kept, tuple(crossings))


def _check_near(loops: Sequence[Loop], file: str, place: str) -> None:
    for loop in loops:
        for piece in loop:
            # an arc's directions and angles are no places; its ends are
            points = (piece.start, piece.end) if isinstance(piece, Arc) else piece.defined_by
            if not all(abs(x) <= FARTHEST_MM and abs(y) <= FARTHEST_MM for x, y in points):
                found, hint = "a point lies farther away than any board", "draw it again near the middle"
                raise refused(file, place, found, hint, f"numbers within {FARTHEST_MM:g} mm")
