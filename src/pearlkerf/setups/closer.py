"""A closer packing of pieces, looked for by their true outlines for a while; it only proposes, and the file decides.

spyrrow packs outlines on a strip as short as it can and stops by the clock, so that it does not give the
same twice.  A blank is a strip of its own width: what comes to lie beyond its length goes to the next one.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.setups.blanks import TURNS, Laid, PieceBlank, Rectangle, ToLay, free_rooms
from pearlkerf.setups.nesting import Nest, misplaced, worth

# turns that are tried where a piece may be turned as it likes, degrees
TURN_DEG: Final = 5
# rooms are told to the packer by few corners, which lie this far outside them, mm
CORNERS_MM: Final = 0.02
# a strip is filled with so much of its area at first: no outlines pack closer
FILLED: Final = 0.95
# so often a blank is looked at: first with what may go on it, then with what more of the smallest may
MOST_LOOKS: Final = 3
# one look takes whole seconds
LEAST_SECONDS: Final = 1


def closer(asked: Nest, seconds: int, than: Sequence[Laid]) -> tuple[Laid, ...] | None:
    """Give places for all pieces that take fewer blanks, or less of the last one, than others; None if none is found.

    Looks for about so many seconds, at least one for each blank.  What is kept stays where it is.
    """
    begun = {each.blank for each in than}
    each_s = max(LEAST_SECONDS, seconds // max(1, len(begun)))
    left, laid = sorted(asked.to_pack, key=lambda piece: (-piece.area.area, piece.name)), []
    for blank in asked.blanks:
        if not left:
            break
        found = _on_blank(asked, blank, left, each_s)
        gone = {each.piece for each in found}
        left = [piece for piece in left if piece.name not in gone]
        laid += found
    if left or worth(asked, laid) >= worth(asked, [each for each in than if each not in asked.kept]):
        return None
    whole = replace(asked, kept=(*asked.kept, *laid))
    return None if any(misplaced(whole)) else whole.kept


def _on_blank(asked: Nest, blank: PieceBlank, left: Sequence[ToLay], seconds: int) -> list[Laid]:
    """Give the pieces that find a place in the largest room that is left of a blank."""
    kept = [asked.taken(each) for each in asked.kept if each.blank == blank.identity]
    room = next(iter(free_rooms(asked.inside(blank), [*blank.used, *kept])), None)
    if room is None:
        return []
    first = _up_to(asked, left, FILLED * math.prod(room.size_mm))
    looks = min(MOST_LOOKS, seconds // LEAST_SECONDS)
    found = _on_strip(asked, (blank, room), first, seconds // looks)
    for _ in range(1, looks):
        names = {each.piece for each in found}
        there = [piece for piece in left if piece.name in names]
        # the smallest of the others are the likeliest to find a gap between what has come to lie on it
        others = [piece for piece in reversed(left) if piece.name not in names]
        more = _up_to(asked, others, (1 - FILLED) * math.prod(room.size_mm)) or others[:1]
        if not more:
            break
        again = _on_strip(asked, (blank, room), [*there, *more], seconds // looks)
        found = max(found, again, key=lambda laid: _covered(asked, laid))
    return found


def _covered(asked: Nest, laid: Sequence[Laid]) -> float:
    """Give how much of a blank is taken by what lies on it, mm2."""
    names = {each.piece for each in laid}
    return float(sum(_room_of(asked, piece).area for piece in asked.pieces if piece.name in names))


def _up_to(asked: Nest, pieces: Sequence[ToLay], area_mm2: float) -> list[ToLay]:
    """Give those of some pieces, in their order, whose rooms together take no more than an area."""
    chosen: list[ToLay] = []
    for piece in pieces:
        size = _room_of(asked, piece).area
        if size <= area_mm2:
            chosen.append(piece)
            area_mm2 -= size
    return chosen


def _room_of(asked: Nest, piece: ToLay) -> Any:
    """Give the room around a piece, its middle at X0 Y0, by few corners."""
    import shapely
    from shapely import affinity

    alone = affinity.translate(shapely.Polygon(piece.area.exterior), *(-each for each in piece.middle))
    return shapely.simplify(shapely.buffer(alone, asked.room_mm + CORNERS_MM), CORNERS_MM)


def _on_strip(asked: Nest, at: tuple[PieceBlank, Rectangle], chosen: Sequence[ToLay], seconds: int) -> list[Laid]:
    import shapely
    import spyrrow

    (blank, room), turns = at, TURNS[at[0].figure]
    allowed = [float(each) for each in range(0, 360, TURN_DEG)] if turns is None else list(turns)
    rooms = {piece.name: _room_of(asked, piece) for piece in chosen}
    long, tall = room.size_mm
    items = [
        spyrrow.Item(name, [(x, y) for x, y in shapely.get_coordinates(area.exterior).tolist()], 1, allowed)
        for name, area in rooms.items()
        if min(area.bounds[2] - area.bounds[0], area.bounds[3] - area.bounds[1]) < min(long, tall)
    ]
    if not items:
        return []
    config = spyrrow.StripPackingConfig(total_computation_time=seconds, num_workers=1, seed=1)
    solution = spyrrow.StripPackingInstance(blank.figure, tall, items).solve(config)
    found = []
    for item in solution.placed_items:
        place = Laid(item.id, blank.identity, (0.0, 0.0), round(item.rotation, 6) % 360)
        box = asked.box(next(each for each in chosen if each.name == item.id), place.turn_deg)
        x, y = (round(each, 3) for each in item.translation)
        if box.moved((x, y)).high_x <= long + ROUNDING_MM:
            found.append(replace(place, at=(round(room.low_x + x, 3), round(room.low_y + y, 3))))
    return found
