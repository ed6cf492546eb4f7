"""Pieces packed on blanks as boxes, the same way every time, in as few blanks as any of the library's ways needs.

    +----------------------+      places that are used, and pieces that have their place, are taken first;
    | used | [a] [b  ]     |      what is left of a blank is cut into rectangles, and the rest is packed
    |......| [c    ][d]    |      into those, each piece turned as it takes the smallest box
    +----------------------+

Boxes are packed by rectpack (Jukka Jylänki, "A thousand ways to pack the bin", 2010, tells its ways).
"""

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.setups.blanks import TURNS, Laid, PieceBlank, Rectangle, ToLay, free_rooms, snuggest_deg

if TYPE_CHECKING:
    import shapely

# boxes are packed in whole micrometres
STEPS_A_MM: Final = 1000
# more blanks than this are not offered
MOST_OFFERED: Final = 999
# the library's ways that are tried: how a room is chosen, how boxes are sorted, how a blank is filled
ROOMS: Final = ("BFF", "BBF")
SORTS: Final = ("SORT_AREA", "SORT_LSIDE", "SORT_SSIDE", "SORT_PERI")
FILLS: Final = ("MaxRectsBssf", "MaxRectsBaf", "MaxRectsBl", "MaxRectsBlsf", "SkylineBlWm", "GuillotineBssfSas")


class Turned(NamedTuple):
    """A piece, how far it is turned, degrees, and the boxes that it takes so, and a quarter turn on."""

    piece: ToLay
    turn_deg: float
    box: Rectangle
    on_end: Rectangle


@dataclass(frozen=True, slots=True)
class Nest:
    """What is to be laid: pieces of one material on its blanks, ``room_mm`` around each, those that are ``kept``."""

    material: str
    pieces: tuple[ToLay, ...]
    blanks: tuple[PieceBlank, ...]
    room_mm: float  # around a piece: its channel, and half a wall
    edge_mm: float  # along a blank's edge: half a wall
    kept: tuple[Laid, ...] = ()

    @property
    def wall_mm(self) -> float:
        """Between two channels."""
        return 2 * self.edge_mm

    def box(self, piece: ToLay, turn_deg: float) -> Rectangle:
        """Give the room that a piece takes turned, its middle at X0 Y0."""
        return piece.box(turn_deg).grown(self.room_mm)

    def taken(self, laid: Laid) -> Rectangle:
        """Give the room that a piece takes where it lies."""
        piece = next(each for each in self.pieces if each.name == laid.piece)
        return self.box(piece, laid.turn_deg).moved(laid.at)

    def inside(self, blank: PieceBlank) -> Rectangle:
        """Give where on a blank rooms may lie."""
        return blank.whole.grown(-self.edge_mm)

    @property
    def to_pack(self) -> tuple[ToLay, ...]:
        """Give the pieces that have no place."""
        kept = {each.piece for each in self.kept}
        return tuple(each for each in self.pieces if each.name not in kept)


def nest(asked: Nest) -> tuple[Laid, ...]:
    """Give every piece its place, in the pieces' order; those that are kept lie where they are.

    Raises Refusal where a piece is larger than any blank, where the blanks do not hold all, or where a piece is
    kept in a place that is no place for it; with what would do.
    """
    problems = [*too_large(asked), *misplaced(asked)]
    if problems:
        raise Refusal(problems)
    packed = pack(asked)
    if len(packed) < len(asked.to_pack):
        raise Refusal([too_few(asked, len(packed))])
    places = {each.piece: each for each in (*asked.kept, *packed)}
    return tuple(places[piece.name] for piece in asked.pieces)


def pack(asked: Nest) -> tuple[Laid, ...]:
    """Give places for as many of the pieces as the blanks hold, in the fewest blanks that any way finds."""
    return min(_packings(asked), key=lambda laid: worth(asked, laid)) if asked.to_pack else ()


def _packings(asked: Nest) -> Iterator[tuple[Laid, ...]]:
    """Pack by every way, one after another."""
    pieces = _snug(asked)
    rooms = [
        (blank, room)
        for blank in asked.blanks
        for room in free_rooms(
            asked.inside(blank),
            [*blank.used, *(asked.taken(each) for each in asked.kept if each.blank == blank.identity)],
        )
    ]
    for fill in FILLS:
        for sort in SORTS:
            for by_room in ROOMS:
                yield _packed(asked, pieces, rooms, (by_room, fill, sort))


def worth(asked: Nest, laid: Sequence[Laid]) -> tuple[int, int, float]:
    """Give what makes a packing worse: pieces left over, blanks begun, and how far the last of these is used."""
    begun = Counter(each.blank for each in (*laid, *asked.kept))
    last = max(begun, default=(0, 0))
    far = max((asked.taken(each).high_x for each in laid if each.blank == last), default=0.0)
    return -len(laid), len(begun), round(far, 6)


def _snug(asked: Nest) -> list[Turned]:
    """Give the pieces that have no place, each in the turn in which it takes the smallest box."""
    turned = ((piece, snuggest_deg(piece, asked.blanks[0].figure)) for piece in asked.to_pack)
    return [Turned(piece, turn, asked.box(piece, turn), asked.box(piece, turn + 90.0)) for piece, turn in turned]


def _packed(
    asked: Nest, pieces: Sequence[Turned], rooms: Sequence[tuple[PieceBlank, Rectangle]], way: tuple[str, str, str]
) -> tuple[Laid, ...]:
    """Pack by one of the library's ways, blank by blank for each figure."""
    import rectpack

    by_room, fill, sort = way
    packer: Any = rectpack.newPacker(
        bin_algo=getattr(rectpack.PackingBin, by_room), pack_algo=getattr(rectpack, fill),
        sort_algo=getattr(rectpack, sort), rotation=TURNS[asked.blanks[0].figure] is None,
    )  # fmt: skip
    for index, (_, room) in enumerate(rooms):
        packer.add_bin(*(math.floor(side * STEPS_A_MM + ROUNDING_MM) for side in room.size_mm), bid=index)
    for index, each in enumerate(pieces):
        packer.add_rect(*_steps(each.box), rid=index)
    packer.pack()
    found = []
    for opened, x, y, width, height, index in packer.rect_list():
        (blank, room), (piece, turn, box, on_end) = rooms[packer[opened].bid], pieces[index]
        if (width, height) != _steps(box):
            turn, box = turn + 90.0, on_end
        at = (room.low_x + x / STEPS_A_MM - box.low_x, room.low_y + y / STEPS_A_MM - box.low_y)
        found.append(Laid(piece.name, blank.identity, (round(at[0], 6), round(at[1], 6)), turn))
    return tuple(found)


def _steps(box: Rectangle) -> tuple[int, int]:
    """Give a box's sides in whole steps, none shorter than it is."""
    along, across = (math.ceil(side * STEPS_A_MM - ROUNDING_MM) for side in box.size_mm)
    return along, across


def too_large(asked: Nest) -> Iterator[Problem]:
    """Refuse pieces that no blank holds, told with the blank that would."""
    kept = {each.piece for each in asked.kept}
    for piece in asked.pieces:
        if piece.name not in kept and not any(_holds(asked, blank, piece) for blank in asked.blanks):
            blank = max(asked.blanks, key=lambda each: each.length_mm * each.width_mm)
            box = asked.box(piece, snuggest_deg(piece, blank.figure)).grown(asked.edge_mm)
            along, across = (math.ceil(side * 10 - ROUNDING_MM) / 10 for side in box.size_mm)
            whole = any(_holds(asked, replace(each, used=()), piece) for each in asked.blanks)
            yield Problem(
                key=f"inlay_blank.{blank.entry}.{'count' if whole else 'length'}",
                found=f"{piece.name} finds no place on what is left of the blanks of {asked.material}"
                if whole else f"{piece.name} is larger than any blank of {asked.material}, the cut around it "
                f"and its wall counted",
                allowed=f"a blank of at least {along:.1f} mm by {across:.1f} mm with nothing of it used",
                hint="list one more blank, or look whether all of what used says is gone"
                if whole else "list a larger blank, or name a thinner piece_cutter, or divide the inlay into strips, "
                "or make it smaller",
            )  # fmt: skip


def _holds(asked: Nest, blank: PieceBlank, piece: ToLay) -> bool:
    """Say whether a blank, what is used of it left out, has room for a piece by itself."""
    one = replace(asked, pieces=(piece,), blanks=(blank,), kept=())
    rooms = [(blank, room) for room in free_rooms(asked.inside(blank), blank.used)]
    return bool(_packed(one, _snug(one), rooms, (ROOMS[0], FILLS[0], SORTS[0])))


def misplaced(asked: Nest) -> Iterator[Problem]:
    """Refuse pieces that are kept where they cannot lie: off their blank, on what is used, on another's cut."""
    for place, wrong in at_odds(asked):
        entry, number = place.blank
        yield Problem(
            key=f"inlay_blank.{entry}.place",
            found=f"{place.piece} on blank {number}: {wrong}",
            allowed=f"{asked.wall_mm:.2f} mm of wall between cuts, and to edges and used places",
            hint="move it, or take it out of place: it is packed then",
        )


def at_odds(asked: Nest) -> Iterator[tuple[Laid, str]]:
    """Give the pieces that are kept where they cannot lie, each with what is wrong; of two that meet the later one."""
    import shapely

    blanks, pieces = {each.identity: each for each in asked.blanks}, {each.name: each for each in asked.pieces}
    before: list[tuple[Laid, shapely.Polygon]] = []
    for place in asked.kept:
        blank, piece = blanks[place.blank], pieces[place.piece]
        taken = cut_around(asked, piece.laid(place))
        wrong = _off(asked, blank, taken) or _turned(blank, place) or _meets(asked, taken, place, before)
        before.append((place, taken))
        if wrong:
            yield place, wrong


def cut_around(asked: Nest, area: "shapely.Polygon") -> "shapely.Polygon":
    """Give all that is cut of a blank for a piece as it lies: itself, and the channel around it."""
    import shapely

    around: shapely.Polygon = shapely.buffer(area, asked.room_mm - asked.edge_mm)
    return around


def _off(asked: Nest, blank: PieceBlank, taken: Any) -> str:
    import shapely

    inside = shapely.box(*blank.whole.grown(-asked.wall_mm + ROUNDING_MM))
    if not shapely.contains(inside, taken):
        return f"its cut comes too near the edge of the blank, {blank.length_mm:.1f} mm by {blank.width_mm:.1f} mm"
    if any(shapely.dwithin(taken, shapely.box(*used), asked.edge_mm - ROUNDING_MM) for used in blank.used):
        return "its cut meets a place that is used"
    return ""


def _turned(blank: PieceBlank, place: Laid) -> str:
    turns = TURNS[blank.figure]
    if turns is None or place.turn_deg % 360 in turns:
        return ""
    return f'it is turned by {place.turn_deg:g} degrees, and the figure of the blank is "{blank.figure}"'


def _meets(asked: Nest, taken: Any, place: Laid, before: Sequence[tuple[Laid, Any]]) -> str:
    import shapely

    for other, room in before:
        if other.blank == place.blank and shapely.dwithin(taken, room, asked.wall_mm - ROUNDING_MM):
            return f"its cut comes too near that of {other.piece}"
    return ""


def too_few(asked: Nest, packed: int) -> Problem:
    """Tell that the blanks do not hold all, and how many more of which would."""
    left = len(asked.to_pack) - packed
    one = max(asked.blanks, key=lambda each: each.length_mm * each.width_mm)
    there = sum(each.entry == one.entry for each in asked.blanks)
    boxes = (asked.box(piece, snuggest_deg(piece, one.figure)) for piece in asked.to_pack)
    rooms = math.prod(asked.inside(one).size_mm)
    least = max(1, math.ceil(sum(math.prod(box.size_mm) for box in boxes) / rooms) - len(asked.blanks))
    # as many to a blank as have found a place
    guess = math.ceil(left * len(asked.blanks) / packed) if packed else least
    count = _least(lambda more: _would_do(asked, one, there, more), (least, guess, max(least, MOST_OFFERED - there)))
    do = "larger blanks" if count is None else f"count = {there + count} of {one.length_mm:g} mm by {one.width_mm:g} mm"
    return Problem(
        key=f"inlay_blank.{one.entry}.count",
        found=f"{left} of {len(asked.pieces)} pieces find no place on the {len(asked.blanks)} "
        f"blank{'s' * (len(asked.blanks) != 1)} of {asked.material}",
        allowed=f"{do} would do",
        hint=f"list more blanks, or let the tool look for a closer packing, or cut a part with --only; "
        f"{asked.wall_mm:.2f} mm of wall stay between cuts",
    )


def _least(would_do: Callable[[int], bool], looked: tuple[int, int, int]) -> int | None:
    """Give the least count that would do, looked for from a guess on, as if more of them did whatever fewer do.

    ``looked`` is the least that may do, the guess, and the most that is offered.  None where that would not do either.

    >>> [_least(lambda count: count >= least, (14, 31, 995)) for least in (14, 20, 31, 32, 800)]
    [14, 20, 31, 32, 800]
    >>> _least(lambda count: False, (1, 2, 9)) is None
    True
    """
    low, guess, most = looked
    high, step = min(max(low, guess), most), 1
    while not would_do(high):
        if high == most:
            return None
        low, high, step = high + 1, min(most, high + step), 2 * step
    step = 1
    while low < high:
        tried = max(low, high - step)
        if would_do(tried):
            high, step = tried, 2 * step
        else:
            low, step = tried + 1, 1
    return high


def _would_do(asked: Nest, one: PieceBlank, there: int, more: int) -> bool:
    """Say whether so many more blanks like one, whole ones, hold all."""
    new = tuple(replace(one, number=there + number, used=()) for number in range(1, more + 1))
    grown = replace(asked, blanks=(*asked.blanks, *new))
    return any(len(laid) == len(grown.to_pack) for laid in _packings(grown))
