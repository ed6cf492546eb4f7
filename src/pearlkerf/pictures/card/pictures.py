"""The job card's pictures as flat drawings, in mm on the page: how a board lies, and a dot in its pocket."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.card.rows import finished_top_mm, raw_top_mm
from pearlkerf.pictures.drawing import Arc, Circle, Drawing, Line, Path, Point, Text, Thing
from pearlkerf.pictures.held import Held, held
from pearlkerf.pictures.labels import is_scrap, labels
from pearlkerf.setups.model import Setup

WIDE_MM: Final = 180.0
SIDE_ROOM_MM: Final = 24.0  # left and right of the board, for the names of its ends
LEAST_TALL_MM: Final = 14.0  # a strip thinner than this on the page is drawn taller than it is
LETTER_MM: Final = 2.5
SMALL_MM: Final = 1.9
NUMBERS_APART_MM: Final = 3.8  # nearer than this, a number is left out
LEAST_DOT_MM: Final = 0.8  # radius on the page
ARROW_MM: Final = 14.0
BELOW_MM: Final = -6.0
ABOVE_MM: Final = 6.0  # seen beyond the board's far side
SECTION_SCALE: Final = 8.0
SECTION_BESIDE_MM: Final = 2.5  # wood shown beside a pocket in the section
OTHER_SIDE: Final = {
    "glue face": "playing face",
    "playing face": "glue face",
    "bass side": "treble side",
    "treble side": "bass side",
    "near edge": "far edge",
}


def setup_drawing(setup: Setup) -> Drawing:
    """Draw how the board lies on the machine, seen from above with the operator below."""
    outline = setup.placement.to_machine(setup.stock.outline)
    frame = _Frame(outline)
    things: list[Thing] = [*_board(frame, setup), *_boxes(frame, setup), *_axes(frame)]
    low, high = setup.low_side, OTHER_SIDE.get(setup.low_side, "")
    things += _names(frame, setup.ends, (high, low))
    things.append(Text("notes", (WIDE_MM / 2, BELOW_MM), f"the operator stands here{frame.note}", LETTER_MM, "middle"))
    return Drawing(f"{setup.name} setup", tuple(things))


def player_drawing(setup: Setup, layout: Layout) -> Drawing:
    """Draw the side dots as the player sees them: looking down at the bass edge, the playing face away from him.

    ``setup`` is that of the edge.
    """
    turn = 1.0 if layout.board.hand == "right" else -1.0
    frame = _Frame(setup.stock.outline * turn)
    ends = ("nut", "bridge") if turn > 0 else ("bridge", "nut")
    things: list[Thing] = [
        Path("outline", tuple(frame.at(*(corner * turn).tolist()) for corner in setup.stock.outline)),
        *_names(frame, ends, ("playing face", "glue face")),
        Text("notes", (WIDE_MM / 2, BELOW_MM), f"the player looks from here{frame.note}", LETTER_MM, "middle"),
    ]
    for dot in layout.side_dots:
        things.append(Circle("side-dots", frame.at(dot.centre[0] * turn, dot.centre[1] * turn), _seen_mm(frame, dot)))
    for number, along in _means(layout.side_dots):
        things.append(Text("numbers", (frame.at(along * turn, 0.0)[0], 0.8), str(number), SMALL_MM, "middle"))
    return Drawing("Side dots as the player sees them", tuple(things))


def section_drawing(layout: Layout) -> Drawing:
    """Draw the first face dot in its pocket, cut across the board, true to scale."""
    dots, hole = layout.board.face_dots, layout.face_dots[0]
    assert dots is not None
    x, y = hole.centre
    half = hole.diameter_mm / 2
    reach = half + SECTION_BESIDE_MM
    places = sorted({*np.linspace(-reach, reach, 41).tolist(), -half, half})
    raw = [(_at(across), _at(raw_top_mm(layout, x, y + across))) for across in places]
    done = [(_at(across), _at(finished_top_mm(layout, x, y + across))) for across in places]
    floor = _at(hole.floor_mm)
    shell = floor + _at(dots.thinnest_mm)
    left, right, rim = _at(-half), _at(half), _at(dots.diameter_mm / 2)
    foot = floor - 6.0
    wall = [point for point in raw if point[0] <= left] + [(left, floor), (right, floor)]
    wall += [point for point in raw if point[0] >= right]
    things: list[Thing] = [
        Path("outline", tuple(wall), "open"),
        Path("face-dots", ((-rim, floor), (rim, floor), (rim, shell), (-rim, shell))),
        Path("fold", tuple(done), "open"),
        Text("notes", (0.0, (floor + shell) / 2 - LETTER_MM / 2), "dot", LETTER_MM, "middle"),
        Text("notes", (_at(reach) + 3, raw[-1][1] + 0.6), "raw face, as you see it now", LETTER_MM),
        Text("notes", (_at(reach) + 3, done[-1][1] - LETTER_MM - 0.4), "finished face, levelled later", LETTER_MM),
        Text("notes", (_at(reach) + 3, floor - LETTER_MM / 2), "floor of the pocket", LETTER_MM),
        Text("notes", (0.0, foot), f"{hole.name}, cut across the board, {SECTION_SCALE:.0f} : 1", LETTER_MM, "middle"),
    ]
    return Drawing("A dot in its pocket", tuple(things))


def _at(millimetres: float) -> float:
    return SECTION_SCALE * millimetres


class _Frame:
    """From the machine's mm to the page's: true along the board, taller across where it would be too thin."""

    def __init__(self, outline: NDArray[np.float64]) -> None:
        low, high = outline.min(axis=0), outline.max(axis=0)
        self.low = (float(low[0]), float(low[1]))
        self.scale = (WIDE_MM - 2 * SIDE_ROOM_MM) / float(high[0] - low[0])
        self.taller = max(1, math.ceil(LEAST_TALL_MM / (float(high[1] - low[1]) * self.scale)))
        self.top = float(high[1] - low[1]) * self.scale * self.taller
        self.note = f", the board drawn {self.taller} times as tall as it is" if self.taller > 1 else ""

    def at(self, x: float, y: float) -> Point:
        return SIDE_ROOM_MM + (x - self.low[0]) * self.scale, (y - self.low[1]) * self.scale * self.taller

    def of(self, x: float, y: float) -> Point:
        """Undo ``at``."""
        return self.low[0] + (x - SIDE_ROOM_MM) / self.scale, self.low[1] + y / (self.scale * self.taller)


def _board(frame: _Frame, setup: Setup) -> list[Thing]:
    place = setup.placement.to_machine
    things: list[Thing] = [
        Path("outline", tuple(frame.at(*corner) for corner in place(setup.stock.outline).tolist())),
    ]
    slots = [feature for feature in setup.features if isinstance(feature, Slot)]
    holes = [feature for feature in setup.features if isinstance(feature, Hole)]
    last = math.inf if is_scrap(setup) else -math.inf
    for slot in slots:
        start, end = (frame.at(*place(point).tolist()) for point in (slot.start, slot.end))
        things.append(Line("face-dot-centres", start, end))
        if slot.group == "trims":
            things.append(_trim_name(slot, (end[0], frame.top + 0.8)))
        elif end[0] - last >= NUMBERS_APART_MM:
            things.append(Text("numbers", (end[0], frame.top + 0.8), str(slot.number), SMALL_MM, "middle"))
            last = end[0]
    for hole in holes:
        things.append(Circle("outline", frame.at(*place(hole.centre).tolist()), _seen_mm(frame, hole)))
    if is_scrap(setup):
        marked = [(text, frame.at(*point)) for text, point in labels(setup)]
        return things + [Text("numbers", (x, y + 0.8), text, SMALL_MM, "middle") for text, (x, y) in marked]
    if not slots:
        for number, along in _means(tuple(holes)):
            x, _ = frame.at(*place((along, 0.0)).tolist())
            things.append(Text("numbers", (x, frame.top + 0.8), str(number), SMALL_MM, "middle"))
    return things


def _boxes(frame: _Frame, setup: Setup) -> list[Thing]:
    """What holds the wood, as far as there is room for it, by name."""
    rim = (0.0, BELOW_MM + LETTER_MM + 1.0), (WIDE_MM, frame.top + ABOVE_MM)
    things: list[Thing] = []
    for box in held(setup, [frame.of(*corner) for corner in rim]):
        things.append(Path("blank", tuple(frame.at(*corner) for corner in box.corners)))
        things.append(_box_name(frame, box))
    return things


def _box_name(frame: _Frame, box: Held) -> Text:
    """A box's name: under it beside the board's ends, along its rim beyond the numbers, else in its middle."""
    (left, low), (right, high), (x, y) = frame.at(*box.low), frame.at(*box.high), frame.at(*box.middle)
    if x < SIDE_ROOM_MM:
        return Text("notes", (left, low - SMALL_MM - 0.6), box.name, SMALL_MM)
    if x > WIDE_MM - SIDE_ROOM_MM:
        return Text("notes", (right, low - SMALL_MM - 0.6), box.name, SMALL_MM, "end")
    return Text(
        "notes", (x, high - SMALL_MM - 0.4 if y > frame.top else y - SMALL_MM / 2), box.name, SMALL_MM, "middle"
    )


def _trim_name(trim: Slot, above: Point) -> Text:
    """The word beside a trim, on the waste's side, clear of the arrow of Y."""
    x, y = above
    if trim.number == 1:
        return Text("numbers", (x - 0.8, y), "trim", SMALL_MM, "end")
    return Text("numbers", (x + 0.8, y), "trim", SMALL_MM)


def _names(frame: _Frame, ends: tuple[str, str], sides: tuple[str, str]) -> list[Thing]:
    """The names of the ends (left, right) and of the sides (far, near), beside the board."""
    right, middle = WIDE_MM - SIDE_ROOM_MM + 2, frame.top / 2 - LETTER_MM / 2
    return [
        Text("notes", (SIDE_ROOM_MM - 8, frame.top - LETTER_MM), ends[0], LETTER_MM, "end"),
        Text("notes", (right, middle), ends[1], LETTER_MM),
        Text("notes", (right, frame.top - LETTER_MM), sides[0], LETTER_MM),
        Text("notes", (right, 0.0), sides[1], LETTER_MM),
    ]


def _seen_mm(frame: _Frame, hole: Hole) -> float:
    return max(LEAST_DOT_MM, hole.diameter_mm / 2 * frame.scale)


def _means(holes: tuple[Hole, ...]) -> list[tuple[int, float]]:
    """Each fret number with the mean place of its dots."""
    numbers = dict.fromkeys(hole.number for hole in holes)
    places = {number: [hole.centre[0] for hole in holes if hole.number == number] for number in numbers}
    return [(number, sum(along) / len(along)) for number, along in places.items()]


def _axes(frame: _Frame) -> list[Thing]:
    """Zero, and which way X and Y grow."""
    x, y = frame.at(0.0, 0.0)
    things: list[Thing] = [Circle("outline", (x, y), 1.6), Arc("outline", (x, y), 0.8, 0.0, 90.0)]
    for along, name in (((1.0, 0.0), "X"), ((0.0, 1.0), "Y")):
        reach = ARROW_MM if name == "X" else ARROW_MM * 0.75
        tip = (x + reach * along[0], y + reach * along[1])
        back = (tip[0] - 2.2 * along[0], tip[1] - 2.2 * along[1])
        side = (0.9 * along[1], 0.9 * along[0])
        things += [
            Line("outline", (x, y), tip),
            Path("outline", ((back[0] - side[0], back[1] - side[1]), tip, (back[0] + side[0], back[1] + side[1]))),
            Text("notes", (tip[0] + 1.0 + side[0], tip[1] + 0.8 * along[0]), name, LETTER_MM),
        ]
    things.append(Text("notes", (x - 2.2, y - 0.5 - LETTER_MM), "0", LETTER_MM, "end"))
    return things
