"""The one way to draw a setup: how wood lies on the machine, seen from above; and side dots as the player sees them.

        1 2 3 4 5         Y
      +-+-+-+-+-+---+     ^
      | | | | | |   |   0 +-> X     zero lies where it is touched off
  nut | | |o| |o|   |  bridge
      | | |3| |5|   |
      +-+-+-+-+-+---+
       the operator stands here

Card and page show the same drawing, as mm on the page.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from numpy.typing import ArrayLike

from pearlkerf.layout.features import Feature
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.lines import Point
from pearlkerf.pictures.around import (
    NOTHING_AROUND,
    Around,
    draw_room,
    draw_run_outs,
    draw_there,
    draw_zero_slot,
)
from pearlkerf.pictures.drawing import Anchor, Circle, Drawing, Line, Path, Text, Thing, cross, points_of
from pearlkerf.pictures.features import sketch
from pearlkerf.pictures.held import Held, held
from pearlkerf.pictures.labels import labels
from pearlkerf.pictures.rows import draw_blanks, draw_pieces
from pearlkerf.pictures.view import SIDE_ROOM_MM, WIDE_MM, View, view_of
from pearlkerf.setups.model import Placement, Setup

LETTER_MM: Final = 2.5
SMALL_MM: Final = 1.9
NUMBERS_APART_MM: Final = 3.8  # nearer than this, a number is left out
ACROSS_MM: Final = 6.0  # dots that stand farther apart have room for their number between them
OVER_MM: Final = 0.8  # from what is numbered to its number
OVER_EDGE_MM: Final = 2.0  # from the far side to the numbers of what runs out over it
BELOW_MM: Final = -6.0
ABOVE_MM: Final = 6.0  # seen beyond the board's far side
ZERO_MM: Final = 1.6  # radius of the mark
ZERO_ARM_MM: Final = 2.6
ARROWS_MM: Final = (14.0, 4.6)  # of X, of Y


def draw_setup(setup: Setup, around: Around = NOTHING_AROUND) -> Drawing:
    """Draw how wood lies on the machine, seen from above with the operator below, and what is known around it."""
    view = view_of(setup.stock.outline, setup.placement)
    end = "its left end" if setup.scrap else setup.ends[0]
    boxes = _boxes(view, setup)
    things: list[Thing] = [
        *(_box(view, box) for box in boxes if not box.over),
        _wood(view, setup.stock.outline),
        *(replace(thing, layer="cut-before") for each in setup.cut_before for thing in sketch(each, view)),
        *draw_there(around, view),
        *draw_blanks(setup, view),
        *(thing for each in setup.features for thing in sketch(each, view)),
        *draw_pieces(setup, view),
        *draw_run_outs(around, setup, view),
        *_numbers(view, setup),
        *draw_room(around, setup, view),
        *(_box(view, box) for box in boxes if box.over),
        *(_box_name(view, box) for box in boxes),
        *_zero(view),
        *draw_zero_slot(setup, view),
        *_names(view, setup.ends, (setup.high_side, setup.low_side)),
        _below(f"the operator stands here{view.note}"),
    ]
    return Drawing(
        f"{setup.name} setup, from above: {setup.up}",
        tuple(things),
        f"{setup.name} setup from above: {setup.up}, {end} at the left, {setup.low_side} toward the operator",
    )


def draw_players_view(outline: ArrayLike, dots: Sequence[Feature]) -> Drawing:
    """Draw side dots as the player looks down on them, the bass edge up and the playing face away.

    ``outline`` is the edge's, (n, 2) float, mm, in the edge setup's axes, its glue face at Y 0: a right-handed
    board is seen as the machine sees it, a left-handed one turned half round.
    """
    right = view_of(outline, Placement()).of_board((0.0, 0.0))[1] <= 0.0
    view = view_of(outline, Placement() if right else Placement(180.0))
    ends, hand = (("nut", "bridge"), "right") if right else (("bridge", "nut"), "left")
    things: list[Thing] = [
        _wood(view, outline),
        *(thing for dot in dots for thing in sketch(dot, view)),
        *_dot_numbers(view, dots),
        *_names(view, ends, ("playing face", "glue face")),
        _below(f"the player looks from here{view.note}"),
    ]
    return Drawing(
        "what the player sees, looking down on the neck",
        tuple(things),
        f"Side dots as a {hand}-handed player sees them, {ends[0]} at the left",
    )


def _wood(view: View, outline: ArrayLike) -> Path:
    places = view.placement.to_machine(outline).tolist()
    return Path("wood", tuple(view.of_machine((x, y)) for x, y in places))


def _below(words: str) -> Text:
    return Text("notes", (WIDE_MM / 2, BELOW_MM), words, LETTER_MM, "middle")


def _numbers(view: View, setup: Setup) -> Iterator[Text]:
    """Number frets over the far side, dots beside themselves, or over the far side too where they are alone.

    On scrap every part is labelled where it lies.
    """
    if setup.scrap:
        drawn: dict[str, Point] = {}
        for label, point in labels(setup):
            x, y = view.of_machine(point)
            if math.dist(drawn.get(label, (-math.inf, 0.0)), (x, y)) >= NUMBERS_APART_MM:
                drawn[label] = (x, y)
                yield Text("numbers", (x, y + OVER_MM), label, SMALL_MM, "middle")
        return
    lines = [each for each in setup.features if each.kind == "slot"]
    yield from _line_numbers(view, lines)
    yield from _pocket_numbers(view, [each for each in setup.features if each.kind == "pocket"])
    dots = [each for each in setup.features if each.kind == "hole"]
    yield from _dot_numbers(view, dots) if lines else _over_numbers(view, dots)


def _line_numbers(view: View, lines: Iterable[Feature]) -> Iterator[Text]:
    """Number frets at their far ends, where there is room; other lines are named, on the side of the nearer end."""
    last = -NUMBERS_APART_MM
    for each in lines:
        x, _ = max((view.of_board(end) for end in each.ends), key=lambda end: end[1])
        if not GROUPS[each.group].holds_wire:
            anchor: Anchor = "end" if x < WIDE_MM / 2 else "start"
            beside = -OVER_MM if anchor == "end" else OVER_MM
            yield Text("numbers", (x + beside, view.top_mm + OVER_EDGE_MM), GROUPS[each.group].one, SMALL_MM, anchor)
        elif x - last >= NUMBERS_APART_MM:
            last = x
            yield Text("numbers", (x, view.top_mm + OVER_EDGE_MM), str(each.number), SMALL_MM, "middle")


def _over_numbers(view: View, dots: Sequence[Feature]) -> Iterator[Text]:
    """Number dots over the far side, once for each number, in their middle along the board."""
    for number, alike in _by_number(dots):
        along = [view.of_board(dot.anchor)[0] for dot in alike]
        at = sum(along) / len(along), view.top_mm + OVER_MM
        yield Text("numbers", at, str(number), SMALL_MM, "middle")


def _dot_numbers(view: View, dots: Sequence[Feature]) -> Iterator[Text]:
    """Number dots in the wood, once for each number: under them, or between two that stand across the board."""
    for number, alike in _by_number(dots):
        along, across = zip(*points_of(thing for dot in alike for thing in sketch(dot, view)), strict=True)
        low, high = min(across), max(across)
        y = (low + high - SMALL_MM) / 2 if high - low > ACROSS_MM else low - OVER_MM - SMALL_MM
        yield Text("dot-numbers", ((min(along) + max(along)) / 2, y), str(number), SMALL_MM, "middle")


def _pocket_numbers(view: View, pockets: Sequence[Feature]) -> Iterator[Text]:
    """Number the pockets of inlays beneath themselves, as many as have room."""
    last = -NUMBERS_APART_MM
    for pocket in pockets:
        along, across = zip(*points_of(sketch(pocket, view)), strict=True)
        x = (min(along) + max(along)) / 2
        if x - last >= NUMBERS_APART_MM:
            last = x
            at = x, min(across) - OVER_MM - SMALL_MM
            yield Text("dot-numbers", at, str(pocket.number), SMALL_MM, "middle")


def _by_number(dots: Sequence[Feature]) -> Iterator[tuple[int, list[Feature]]]:
    for number in dict.fromkeys(dot.number for dot in dots):
        yield number, [dot for dot in dots if dot.number == number]


def _boxes(view: View, setup: Setup) -> tuple[Held, ...]:
    """What holds the wood, as far as there is room for it."""
    rim = (0.0, BELOW_MM + LETTER_MM + 1.0), (WIDE_MM, view.top_mm + ABOVE_MM)
    return held(setup, [view.to_machine(corner) for corner in rim])


def _box(view: View, box: Held) -> Path:
    return Path("held", tuple(view.of_machine(corner) for corner in box.corners))


def _box_name(view: View, box: Held) -> Text:
    """A box's name: under it beside the board's ends, along its rim beyond the numbers, else in its middle."""
    (left, low), (right, high), (x, y) = (view.of_machine(point) for point in (box.low, box.high, box.middle))
    if x < SIDE_ROOM_MM:
        return Text("held-names", (left, low - SMALL_MM - 0.6), box.name, SMALL_MM)
    if x > WIDE_MM - SIDE_ROOM_MM:
        return Text("held-names", (right, low - SMALL_MM - 0.6), box.name, SMALL_MM, "end")
    over = high - SMALL_MM - 0.4 if y > view.top_mm else y - SMALL_MM / 2
    return Text("held-names", (x, over), box.name, SMALL_MM, "middle")


def _names(view: View, ends: tuple[str, str], sides: tuple[str, str]) -> Iterator[Text]:
    """The names of the ends (left, right) and of the sides (far, near), beside the board."""
    right, top = WIDE_MM - SIDE_ROOM_MM + 2, view.top_mm - LETTER_MM
    yield Text("names", (SIDE_ROOM_MM - 8, top), ends[0], LETTER_MM, "end")
    yield Text("names", (right, top / 2), ends[1], LETTER_MM)
    yield Text("names", (right, top), sides[0], LETTER_MM)
    yield Text("names", (right, 0.0), sides[1], LETTER_MM)


def _zero(view: View) -> Iterator[Thing]:
    """Zero, and which way X and Y grow."""
    x, y = view.of_machine((0.0, 0.0))
    yield Circle("zero", (x, y), ZERO_MM)
    yield from cross("zero", (x, y), ZERO_ARM_MM)
    for (right, up), reach, name in zip(((1.0, 0.0), (0.0, 1.0)), ARROWS_MM, "XY", strict=True):
        tip = (x + reach * right, y + reach * up)
        back: Point = (tip[0] - 2.2 * right, tip[1] - 2.2 * up)
        side = (0.9 * up, 0.9 * right)
        yield Line("zero", (x, y), tip)
        yield Path("zero", ((back[0] - side[0], back[1] - side[1]), tip, (back[0] + side[0], back[1] + side[1])))
        yield Text("zero", (tip[0] + 1.0 + side[0], tip[1] + 0.8 * right), name, LETTER_MM)
    yield Text("zero", (x - 2.2, y - 0.5 - LETTER_MM), "0", LETTER_MM, "end")
