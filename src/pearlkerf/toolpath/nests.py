"""Rings in rings: what clears a pocket, from its walls to the places farthest from them.

the wall's ring ---.         each ring leaves less, in one part or in several where a neck splits it
  .-------------.  |         (what a ring leaves lies within a stepover of it, less than the cutter's
  | .---.  .--. |  |          radius: so it is cut whole, whatever its form)
  | '---'  '--' |<-'
  '-------------'
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.operations.tolerances import STEP_INWARD
from pearlkerf.toolpath.rings import along_walls, clearing_rings, edges_of, solid_parts, where_its_middle_may_be
from pearlkerf.toolpath.tolerances import BESIDE, RING_QUARTER, ROUNDED, WALL_MIDDLE_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed way of a cutter's middle, mm, with the wood that it cuts to its right.

    ``after`` are the rings on its other side, from
    which it is a stepover away: it waits for them.  ``within`` counts the rings about it, the wall's has none.
    """

    line: shapely.LineString
    after: tuple["Ring", ...]
    within: int


@dataclass(frozen=True, slots=True, eq=False)
class Nest:
    """A connected area in which a cutter's middle may be, with all rings that clear it, the wall's first.

    ``midst`` is the part that the innermost of them leave, or go round, of several the largest.
    """

    area: shapely.Polygon
    rings: tuple[Ring, ...]
    midst: shapely.Polygon


def nested(pocket: shapely.Polygon, radius_mm: float) -> tuple[Nest, ...]:
    """Give the areas in which a cutter's middle may be in a pocket, each with its rings from the wall inward.

    Raises Refusal where a wall is so rough that no ring runs along it.
    """
    walls = [_Part(shapely.Polygon(rings[0], rings[1:]), rings) for rings in along_walls(pocket, radius_mm)]
    inside = where_its_middle_may_be(pocket, radius_mm + WALL_MIDDLE_MM)
    deeper = clearing_rings(inside, STEP_INWARD * radius_mm)
    layers = [walls, *([_Part(part, _rounded(part, radius_mm)) for part in parts] for parts in deeper)]
    inner: list[_Nested] = []
    for number, layer in reversed(list(enumerate(layers))):
        owners = _owners(layer, inner)
        found = [
            _with_rings((part, number), [inner[each] for each in np.flatnonzero(owners == index)], radius_mm)
            for index, part in enumerate(layer)
        ]
        inner = [each for each in found if each.rings]
    return tuple(Nest(each.part.area, each.rings, each.midst.area) for each in inner)


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """A part that a ring leaves, and its own edges."""

    area: shapely.Polygon
    edges: list[Floats]


@dataclass(frozen=True, slots=True, eq=False)
class _Nested:
    """A part with all rings in it, its own first, and how many lie one in the other down to the midst."""

    part: _Part
    rings: tuple[Ring, ...]
    own: int
    deep: int
    midst: _Part


def _with_rings(layered: tuple[_Part, int], inner: list[_Nested], radius_mm: float) -> _Nested:
    """Give a part, with the number of its layer, with its own rings and those of the parts that these leave."""
    part, number = layered
    next_ones = [ring for each in inner for ring in each.rings[: each.own]]
    own = []
    for edge in part.edges:
        line = shapely.LineString(edge)
        beside = shapely.dwithin([ring.line for ring in next_ones], line, BESIDE * STEP_INWARD * radius_mm)
        after = tuple(ring for ring, near in zip(next_ones, np.atleast_1d(beside), strict=True) if near)
        own.append(Ring(line, after, number))
    deepest = max(inner, key=lambda each: (each.deep, each.midst.area.area), default=None)
    every = (*own, *(ring for each in inner for ring in each.rings))
    if deepest is None:
        return _Nested(part, every, len(own), 1, part)
    return _Nested(part, every, len(own), deepest.deep + 1, deepest.midst)


def _owners(outer: list[_Part], inner: list[_Nested]) -> NDArray[np.int64]:
    """Give in which of some parts each of others lies, or nearest to which."""
    areas = [part.area for part in outer]
    places = [shapely.point_on_surface(each.part.area) for each in inner]
    return np.array([int(np.argmin(shapely.distance(areas, place))) for place in places], dtype=np.int64)


def _rounded(part: shapely.Polygon, radius_mm: float) -> list[Floats]:
    """Give the rings of a part, rounded where it is sharp, so that the axes need not stop there.

    What they then leave at a corner, or of a part or a neck so thin that none runs in it, is cut by the ring about
    it: it lies no farther from that than a stepover and the round's radius.
    """
    by_mm = ROUNDED * radius_mm
    inner = shapely.buffer(shapely.buffer(part, -by_mm, quad_segs=RING_QUARTER), by_mm, quad_segs=RING_QUARTER)
    return [edge for piece in solid_parts(inner) for edge in edges_of(piece)]
