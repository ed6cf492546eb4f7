"""The board from above, as it lies before its maker: nut at the left, the bass edge of a right-handed one near.

    +--+--+--+--+--------------------+
36  |  |  | o|  |                    |  46
    +--+--+--+--+--------------------+
     1  2  3  4
    |<------------- 295 ------------>|
"""

from collections.abc import Iterator
from typing import Final

from pearlkerf.files.lengths import told_in
from pearlkerf.layout.features import Feature
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.lines import Point
from pearlkerf.pictures.board.model import Manner, Part, Picture, box_of, dimension
from pearlkerf.pictures.board.shapes import shape
from pearlkerf.pictures.drawing import Line, Path, Text, cross, plain

ROOM_PX: Final = 92.0  # left and right, for the widths
ABOVE_PX: Final = 10.0
BELOW_PX: Final = 52.0  # for the frets' numbers and the length
NUMBER_APART_PX: Final = 20.0  # nearer than this a number is left out
NUMBERS_PX: Final = 6.0  # from the wood to a number
LENGTH_PX: Final = 34.0
WIDTH_PX: Final = 12.0


def plan_manner(laid: Laid, wide_px: float) -> Manner:
    """Give the scale at which a board from above fills a page so wide."""
    (low_x, _), (high_x, _) = laid.edges.wood.box_mm
    left, right = min(low_x, laid.edges.finished.box_mm[0][0]), max(high_x, laid.edges.finished.box_mm[1][0])
    return Manner(max(wide_px - 2 * ROOM_PX, ROOM_PX) / (right - left))


def draw_plan(laid: Laid, manner: Manner) -> Picture:
    """Draw a board from above, whole, with all that is cut in its face."""
    parts = [*_wood(laid), *_lines(laid), *_cuts(laid, manner), *_numbers(laid, manner), *_figures(laid, manner)]
    corners = [(float(x), float(y)) for sides in (laid.edges.wood, laid.edges.finished) for x, y in sides.corners]
    (left, low), (right, high) = box_of(corners)
    room, above, below = (manner.mm(px) for px in (ROOM_PX, ABOVE_PX, BELOW_PX))
    words = (
        f"{plain(laid.board.title)} from above, nut at the left: {len(laid.board.scale.there)} frets, "
        f"{len(laid.face_dots)} face dots"
    )
    return Picture("plan", words, (left - room, low - below), (right + room, high + above), tuple(parts),
                   manner.px_a_mm)  # fmt: skip


def _wood(laid: Laid) -> Iterator[Part]:
    if laid.board.blank is not None:
        yield Part("blank", (Path("blank", _corners(laid.edges.wood.corners)),), "blank")
    yield Part("wood", (Path("outline", _corners(laid.edges.finished.corners)),), "board")
    if laid.board.binding is not None:
        yield Part("binding", (Path("binding", _corners(laid.edges.core.corners)),), "binding")


def _corners(corners: object) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in corners)  # type: ignore[attr-defined]


def _lines(laid: Laid) -> Iterator[Part]:
    far = laid.edges.finished.far_mm
    yield Part("centre-line", (Line("centre-line", (0.0, 0.0), (far, 0.0)),))
    yield Part("fret-lines", tuple(Line("frets", line.start, line.end) for line in laid.lines), "scale")


def _cuts(laid: Laid, manner: Manner) -> Iterator[Part]:
    """Give every cut of the face, and slots that are there already."""
    to_cut = laid.cut_in("face")
    there = () if laid.to_cut else laid.slots
    for slot in there:
        yield _cut(slot, "slots-there", manner)
    for feature in to_cut:
        yield _cut(feature, "slots" if feature.kind == "slot" else "pockets", manner)
    for dot in laid.face_dots:
        yield Part("centres", cross("face-dot-centres", dot.centre, dot.diameter_mm / 6), "face_dots", dot.name)


def _cut(feature: Feature, layer: str, manner: Manner) -> Part:
    return Part(layer, shape(feature, "slots", manner), GROUPS[feature.group].table, feature.name)


def _numbers(laid: Laid, manner: Manner) -> Iterator[Part]:
    """Give the frets' numbers along the near edge, as many as have room."""
    scale, last = laid.board.scale, -NUMBER_APART_PX
    low = _near_mm(laid) - manner.mm(NUMBERS_PX) - manner.letter_mm
    for number, line in zip(laid.numbers, laid.lines, strict=True):
        x_px = line.start[0] * manner.px_a_mm
        if not number or x_px - last < NUMBER_APART_PX:
            continue
        last = x_px
        text = Text(
            "numbers", (line.start[0], low), plain(scale.called(number)) or str(number), manner.letter_mm, "middle"
        )
        yield Part("numbers", (text,), "scale", f"fret {number}")


def _near_mm(laid: Laid) -> float:
    return min(laid.edges.wood.box_mm[0][1], laid.edges.finished.box_mm[0][1])


def _figures(laid: Laid, manner: Manner) -> Iterator[Part]:
    """Give the length, and the widths at both ends."""
    board, ends = laid.board, laid.edges.finished.ends
    unit = board.unit
    low = _near_mm(laid) - manner.mm(LENGTH_PX)
    yield dimension((0.0, low), (board.length_mm, low), told_in(board.length_mm, unit, 1), manner, "board.length", -1.0)
    left = min(ends.nut.start[0], ends.nut.end[0], laid.edges.wood.box_mm[0][0]) - manner.mm(WIDTH_PX)
    right = max(ends.far.start[0], ends.far.end[0], laid.edges.wood.box_mm[1][0]) + manner.mm(WIDTH_PX)
    nut, far = laid.edges.finished.end_widths_mm
    at_nut, at_end = ends.nut, ends.far
    yield dimension((left, at_nut.start[1]), (left, at_nut.end[1]), told_in(nut, unit, 1), manner, "board.nut_width")
    yield dimension((right, at_end.start[1]), (right, at_end.end[1]), told_in(far, unit, 1), manner, "board.end_width",
                    -1.0)  # fmt: skip
