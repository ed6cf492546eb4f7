"""Wood beside the pockets of inlays: to the edges, to slots, dots, side dots and other pockets.

A pocket's wall stands half the gap outside its drawing's line; of each inlay the tightest place is told.
"""

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
import shapely

from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, at_least, up, weigh, wood
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.inlays import thickness_mm
from pearlkerf.layout.limits import ROUNDING_MM, SHELL_AT_SLOT_MM, WALL
from pearlkerf.layout.side_dots import edge_of
from pearlkerf.outlines.shared import own_areas

Beside = tuple[float, InlayPart, str]  # the wood that stays, beside which pocket, to what


def _tightest(found: Sequence[Beside]) -> list[Beside]:
    """Give of each inlay the place where least wood stays."""
    least: dict[int, Beside] = {}
    for each in found:
        index = each[1].inlay.index
        if index not in least or each[0] < least[index][0]:
            least[index] = each
    return list(least.values())


def _weighed(found: Sequence[Beside], way: str = "") -> Iterator[Remark]:
    """Tell where too little stays; ``way`` is what to do, where it is not to move it away."""
    for left, part, what in _tightest(found):
        yield from weigh(left, WALL, _too_near(left, part, what, way))


def _too_near(left: float, part: InlayPart, what: str, way: str) -> Callable[[float], Problem]:
    def problem(limit_mm: float) -> Problem:
        return Problem(
            key=part.inlay.key(part.inlay.drawn_by),
            found=f"{wood(left)} stays between {part.pocket.name} and {what}",
            allowed=at_least(WALL),
            hint=way or f"move it {up(limit_mm - left)} mm away, or make it smaller",
        )

    return problem


def check_inlays_at_edges(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood to the edges and ends of the finished outline, or to the binding."""
    core = shapely.Polygon(laid.edges.core.corners)
    shapely.prepare(core)
    edge = "the edge of the board" if laid.board.binding is None else "the binding or the end of the board"
    yield from _weighed([(_inside_mm(core, part), part, edge) for part in laid.inlays])


def _inside_mm(core: shapely.Polygon, part: InlayPart) -> float:
    """Give how far a pocket's walls lie inside an outline at least; below 0 by how far they lie outside."""
    region = part.pocket.region
    if shapely.contains_properly(core, region):
        return float(shapely.distance(core.exterior, region)) - part.wall_mm
    outside = shapely.points(shapely.get_coordinates(shapely.difference(region, core)))
    return -float(np.max(shapely.distance(core, outside), initial=0.0)) - part.wall_mm


def check_inlays_at_slots(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood to the slots beside them, or meet them as their inlay says."""
    if not laid.slots or not laid.inlays:
        return
    beside: list[Beside] = []
    crossed: list[tuple[InlayPart, Slot]] = []
    for part, at, away in _near(laid.inlays, [area_of_slot(slot) for slot in laid.slots]):
        slot = laid.slots[at]
        if away > ROUNDING_MM:
            beside.append((away - part.wall_mm, part, f"the slot of {slot.name}"))
        else:
            crossed.append((part, slot))
    yield from _weighed(beside)
    yield from _across_slots(laid, crossed)


def _near(
    parts: Sequence[InlayPart], others: Sequence[shapely.Geometry], beyond_mm: float = 0.0
) -> Iterator[tuple[InlayPart, int, float]]:
    """Give each pocket with the index of each of the others that is so near that something may be told of the two.

    With them how far they lie apart, mm.  ``beyond_mm`` is how far the others reach beyond what is given of them.
    """
    regions, areas = np.array([part.pocket.region for part in parts]), np.array(others)
    room = WALL.advised_mm + max(part.wall_mm for part in parts) + beyond_mm
    first, second = shapely.STRtree(areas).query(regions, predicate="dwithin", distance=room).tolist()
    for one, other in sorted(zip(first, second, strict=True)):
        yield parts[one], other, float(shapely.distance(regions[one], areas[other]))


def area_of_slot(slot: Slot) -> shapely.Polygon:
    """Give a slot's plan from wall to wall."""
    left, right = slot.line.beside(-slot.width_mm / 2), slot.line.beside(slot.width_mm / 2)
    return shapely.Polygon([left.start, left.end, right.end, right.start])


def crossed_by(part: InlayPart, slots: Sequence[Slot]) -> tuple[Slot, ...]:
    """Give the slots that a pocket meets."""
    return tuple(slot for slot in slots if shapely.distance(part.pocket.region, area_of_slot(slot)) <= ROUNDING_MM)


def _across_slots(laid: Laid, crossed: Sequence[tuple[InlayPart, Slot]]) -> Iterator[Remark]:
    """Hold what meets slots against what its inlay says: each inlay is told once."""
    told: set[int] = set()
    for part, slot in crossed:
        inlay = part.inlay
        if inlay.index in told:
            continue
        problem = _at_slot(laid, part, slot)
        if problem is not None:
            told.add(inlay.index)
            yield Remark("refused", problem)


def _at_slot(laid: Laid, part: InlayPart, slot: Slot) -> Problem | None:
    inlay, slots = part.inlay, laid.board.fret_slots
    if inlay.slots == "refuse":
        return Problem(
            key=inlay.key(inlay.drawn_by), found=f"{part.pocket.name} meets the slot of {slot.name}",
            allowed=at_least(WALL),
            hint='move it or make it smaller, or write slots = "after" (the slot is cut once the pieces are glued in) '
            'or slots = "by hand" (it is cut now, and sawn again through the piece)')  # fmt: skip
    if inlay.slots == "after" and slots is not None and slots.state == "already cut":
        return Problem(
            key=inlay.key("slots"), found=f"{part.pocket.name} meets the slot of {slot.name}, which is there already",
            allowed='"by hand" for slots that are there', hint='write slots = "by hand"')  # fmt: skip
    if inlay.slots == "after" and not all(each.inlay.material for each in part.pieces):
        return Problem(
            key=inlay.key("slots"),
            found=f"nothing says of what the piece of {part.pocket.name} is, and {slot.name} is cut through it",
            allowed="the material of an [[inlay_blank]]",
            hint='write material = … for this inlay, or slots = "by hand"')  # fmt: skip
    thin = _thin_beside_slot_mm(part, slot)
    if thin < SHELL_AT_SLOT_MM - ROUNDING_MM:
        return Problem(
            key=inlay.key(inlay.drawn_by),
            found=f"{thin:.2f} mm of the piece of {part.pocket.name} stays beside the slot of {slot.name}",
            allowed=f"at least {SHELL_AT_SLOT_MM:.2f} mm on either side, a thinner strip chips off",
            hint=f"move it by {up(SHELL_AT_SLOT_MM - thin)} mm, or make it smaller")  # fmt: skip
    return None


def stands_mm(laid: Laid, part: InlayPart) -> float:
    """Give how far a pocket's thickest piece stands above the raw face, nothing levelled; below it under 0."""
    thickest = max(thickness_mm(laid.board, piece.inlay)[1] for piece in part.pieces)
    radiused, follows = laid.board.state == "radiused", part.pocket.floor.crown is not None
    fall = part.greatest_fall_mm if radiused and not follows else 0.0
    return thickest + part.pocket.floor_at_crown_mm + fall


def _thin_beside_slot_mm(part: InlayPart, slot: Slot) -> float:
    """Give how far the narrowest of the pieces reaches from a slot that parts them: of all together, and of each."""
    alone = (_narrowest_mm(area, slot) for area in _alone(part))
    return min(_narrowest_mm(part.pocket.region, slot), *(each for each in alone if each > 0), math.inf)


def _alone(part: InlayPart) -> list[shapely.Polygon]:
    """Give what each of several inlays has of a pocket to itself."""
    if len(part.pieces) == 1:
        return []
    own = own_areas(part.pocket.region, [each.region for each in part.as_set_in])
    return [area for areas in own for area in areas.geoms]


def _narrowest_mm(area: shapely.Polygon, slot: Slot) -> float:
    """Give how far the narrowest of what a slot leaves of an area reaches from it; nothing where it parts nothing."""
    wall = area_of_slot(slot)
    left = [each for each in shapely.get_parts(shapely.difference(area, wall)) if each.area > 0]
    reach = [float(shapely.distance(wall, shapely.points(shapely.get_coordinates(each))).max()) for each in left]
    # a slot in the outermost edge of a piece has none of it on one side
    sides = {slot.line.beyond_mm(shapely.get_coordinates(shapely.point_on_surface(each))[0]) > 0 for each in left}
    return min(reach, default=0.0) if len(sides) > 1 else 0.0


def check_inlays_at_dots(laid: Laid) -> Iterator[Remark]:
    """Pockets of inlays leave wood to those of face dots."""
    dots = laid.face_dots
    if not dots or not laid.inlays:
        return
    centres, widest = [shapely.Point(dot.centre) for dot in dots], max(dot.diameter_mm for dot in dots)
    yield from _weighed([
        (away - dots[at].diameter_mm / 2 - part.wall_mm, part, dots[at].name)
        for part, at, away in _near(laid.inlays, centres, widest / 2)
    ])  # fmt: skip


def check_inlays_at_side_dots(laid: Laid) -> Iterator[Remark]:
    """Pockets of inlays leave wood to the holes of side dots, beside them or below."""
    found: list[Beside] = []
    for dot in laid.side_dots:
        hole = _side_hole(laid, dot)
        for part in laid.inlays:
            below = laid.board.thickness_mm - part.lowest_mm - abs(dot.centre[1]) - dot.diameter_mm / 2
            if below >= WALL.advised_mm:
                continue  # wherever it lies, enough stays
            aside = float(shapely.distance(part.pocket.region, hole)) - part.wall_mm
            found.append((max(below, aside), part, dot.name))
    yield from _weighed(found)


def _side_hole(laid: Laid, dot: Hole) -> shapely.Polygon:
    """Give a side dot's hole in plan."""
    edge, along, half = edge_of(laid, dot), dot.centre[0], dot.diameter_mm / 2
    corners = [(-half, 0.0), (half, 0.0), (half, dot.floor_mm), (-half, dot.floor_mm)]
    return shapely.Polygon([edge.at(along + x, out) for x, out in corners])


def check_between_inlays(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood between each other, but for the strips of one inlay, which adjoin."""
    parts = laid.inlays
    if len(parts) < 2:
        return
    regions = np.array([part.pocket.region for part in parts])
    room = WALL.advised_mm + 2 * max(part.wall_mm for part in parts)
    first, second = shapely.STRtree(regions).query(regions, predicate="dwithin", distance=room)
    of_others: list[Beside] = []
    of_one: list[Beside] = []
    for one, other in zip(first.tolist(), second.tolist(), strict=True):
        here, there = parts[one], parts[other]
        together = here.inlay == there.inlay and here.at == there.at
        if one < other and not (together and here.inlay.strips > 1):
            apart = float(shapely.distance(regions[one], regions[other]))
            found = of_one if together else of_others
            found.append((apart - here.wall_mm - there.wall_mm, there, here.pocket.name))
    yield from _weighed(of_others)
    yield from _weighed(of_one, "make it larger, or let its parts meet")


INLAY_WALL_CHECKS = (
    check_inlays_at_edges,
    check_inlays_at_slots,
    check_inlays_at_dots,
    check_inlays_at_side_dots,
    check_between_inlays,
)
