"""How features are drawn: one drawer for each kind, by its own line or outline, and nowhere else.

A feature is drawn in two ways: at full size, every wall where it will be cut, and as a sketch, where a
board is as small as a page and a slot no wider than a pen's line.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import shapely

from pearlkerf.layout.channels import Channel
from pearlkerf.layout.features import Feature, Hole, Pocket, Slot
from pearlkerf.layout.lines import Point
from pearlkerf.pictures.drawing import Arc, Circle, Layer, Line, Path, Thing
from pearlkerf.pictures.view import View

# outlines are straightened within these: at full size by less than a pen's line, and on a page as well, of pockets and
# of pieces
FINE_MM: Final = 0.005
SKETCHED_MM: Final = 0.03
SEEN_MM: Final = 0.02
LEAST_CORNERS: Final = 4  # of a closed line, the first of them twice
LEAST_DOT_MM: Final = 0.7  # radius of a hole on the page: doubles in the edge stay apart


@dataclass(frozen=True, slots=True)
class Drawer:
    """How one kind is drawn: its walls at full size in a layer, and its sketch in the view of a setup."""

    outline: Callable[[Any, Layer], tuple[Thing, ...]]
    sketch: Callable[[Any, View], tuple[Thing, ...]]


def outline(feature: Feature, layer: Layer) -> tuple[Thing, ...]:
    """Draw a feature's walls at full size, in its own mm."""
    return DRAWERS[type(feature)].outline(feature, layer)


def sketch(feature: Feature, view: View) -> tuple[Thing, ...]:
    """Draw a feature small, as it lies in the view of its setup."""
    return DRAWERS[type(feature)].sketch(feature, view)


def _slot_outline(slot: Slot, layer: Layer) -> tuple[Thing, ...]:
    """Its two walls and its ends: square for a through slot, round for a stopped one."""
    (ax, ay), r = slot.line.along, slot.width_mm / 2
    left = (-ay * r, ax * r)  # from the centre line to the wall at its left
    if slot.through:
        (start, end), right = slot.ends, (-left[0], -left[1])
        return (Path(layer, (_add(start, right), _add(end, right), _add(end, left), _add(start, left))),)
    first, last = _add(slot.start, (ax * r, ay * r)), _add(slot.end, (-ax * r, -ay * r))
    turn = math.degrees(math.atan2(ay, ax))
    back = (-left[0], -left[1])
    return (
        Line(layer, _add(first, back), _add(last, back)),
        Line(layer, _add(last, left), _add(first, left)),
        Arc(layer, last, r, turn - 90, turn + 90),
        Arc(layer, first, r, turn + 90, turn + 270),
    )


def _slot_sketch(slot: Slot, view: View) -> tuple[Thing, ...]:
    start, end = (view.of_board(each) for each in slot.ends)
    return (Line("cut-slots", start, end),)


def _hole_outline(hole: Hole, layer: Layer) -> tuple[Thing, ...]:
    return (Circle(layer, hole.centre, hole.diameter_mm / 2),)


def _hole_sketch(hole: Hole, view: View) -> tuple[Thing, ...]:
    radius = max(LEAST_DOT_MM, hole.diameter_mm / 2 * view.scale)
    return (Circle("cut-holes", view.of_board(hole.centre), radius),)


def _pocket_outline(pocket: Pocket, layer: Layer) -> tuple[Thing, ...]:
    """Its wall, and that of each island."""
    return tuple(Path(layer, ring) for ring in rings_of(pocket, FINE_MM))


def _pocket_sketch(pocket: Pocket, view: View) -> tuple[Thing, ...]:
    rings = rings_of(pocket, SKETCHED_MM / view.scale)
    return tuple(Path("cut-holes", tuple(view.of_board(place) for place in ring)) for ring in rings)


def rings_of(pocket: Pocket, within_mm: float) -> list[tuple[Point, ...]]:
    """Give the rings of a pocket, their lines straightened within a length; the first corner once."""
    return [straightened(ring, within_mm) for ring in (pocket.region.exterior, *pocket.region.interiors)]


def straightened(ring: shapely.LinearRing, within_mm: float) -> tuple[Point, ...]:
    """Give a ring's corners, its lines straightened within a length; the first corner once.

    What is so small that nothing would be left of it keeps the corners that a ring must have (which the library
    looks to where it minds the topology, at ten times the time).
    """
    plain = ring.simplify(within_mm, preserve_topology=False)
    if len(plain.coords) < LEAST_CORNERS:
        plain = ring.simplify(within_mm)
    return tuple((float(x), float(y)) for x, y in plain.coords[:-1])


def _add(point: Point, way: Point) -> Point:
    return point[0] + way[0], point[1] + way[1]


DRAWERS: Final[Mapping[type[Feature], Drawer]] = MappingProxyType(
    {
        Slot: Drawer(_slot_outline, _slot_sketch),
        Hole: Drawer(_hole_outline, _hole_sketch),
        Pocket: Drawer(_pocket_outline, _pocket_sketch),
        Channel: Drawer(_pocket_outline, _pocket_sketch),
    }
)
