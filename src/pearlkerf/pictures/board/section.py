"""The board cut across at a fret, seen from the nut, to scale: slot, dots beside it, radius, allowance, each measured.

    ____------____      raw face
.--´ finished     `--.
|  |‾‾‾‾‾‾‾‾‾‾‾‾‾‾|  |  ↕ 2.0     slot
|  |______________|  |
|                    |  ↕ 2.6     wood below it
+--------------------+  glue face
 bass             treble
"""

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.files.lengths import told_in
from pearlkerf.layout.features import Slot
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.lines import Line as Across
from pearlkerf.layout.lines import Point
from pearlkerf.layout.side_dots import edge_of
from pearlkerf.pictures.board.model import Manner, Part, Picture, dimension
from pearlkerf.pictures.drawing import Path

POINTS: Final = 41  # across the board
BESIDE_PX: Final = 116.0  # right of the wood, for the figures
LEFT_PX: Final = 16.0
ABOVE_PX: Final = 34.0
BELOW_PX: Final = 30.0
FIGURES_PX: Final = 10.0


def section_manner(laid: Laid, fret: int, wide_px: float) -> Manner:
    """Give the scale at which a section fills a page so wide."""
    width = laid.edges.finished.across(laid.line(fret)).length_mm
    return Manner(max(wide_px - BESIDE_PX - LEFT_PX, BESIDE_PX) / width)


class _Cut:
    """The plane of a section: along a fret's line, the bass side at the left."""

    def __init__(self, laid: Laid, fret: int) -> None:
        self.laid, self.fret = laid, fret
        self.line = laid.edges.finished.across(laid.line(fret))
        self.flipped = laid.edges.bass.side > 0

    def share(self, y_mm: float) -> float:
        """Give how far along its line a Y lies, as a share of it."""
        (_, low), (_, high) = self.line.start, self.line.end
        return (y_mm - low) / (high - low)

    def seen(self, point: Point, z_mm: float) -> Point:
        """Give where a place of the board is seen: across it from the centre line, and up from the glue face."""
        (x, y), (along_x, along_y) = self.line.start, self.line.along
        along = (point[0] - x) * along_x + (point[1] - y) * along_y
        across = along - self.share(0.0) * self.line.length_mm
        return (-across if self.flipped else across, self.laid.board.thickness_mm + z_mm)

    def places(self, line: Across) -> list[Point]:
        """Give points along a line in the plane."""
        (x, y), (end_x, end_y) = line.start, line.end
        return [(x + (end_x - x) * t, y + (end_y - y) * t) for t in np.linspace(0.0, 1.0, POINTS).tolist()]

    def raw_mm(self, point: Point) -> float:
        """Give the height of the raw face."""
        return 0.0 if self.laid.board.state == "flat" else -float(self.laid.surface.fall_mm(*point))

    def done_mm(self, point: Point) -> float:
        """Give the height of the finished face."""
        return -self.laid.board.crown_allowance_mm - float(self.laid.surface.fall_mm(*point))


def draw_section(laid: Laid, fret: int, manner: Manner) -> Picture:
    """Draw a board cut across at a fret that is there."""
    cut = _Cut(laid, fret)
    half = max(abs(cut.seen(end, 0.0)[0]) for end in (cut.line.start, cut.line.end))
    parts = [*_wood(cut), *_slot(cut), *_side_dots(cut), *_figures(cut, manner, half)]
    thick, letter = laid.board.thickness_mm, manner.letter_mm
    parts += [_side(manner, (-half + letter, -manner.mm(22.0)), "bass"),
              _side(manner, (half - letter, -manner.mm(22.0)), "treble")]  # fmt: skip
    low = (-half - manner.mm(LEFT_PX), -manner.mm(BELOW_PX))
    high = (half + manner.mm(BESIDE_PX), thick + manner.mm(ABOVE_PX))
    called = laid.board.scale.called(fret) or str(fret)
    return Picture("section", f"cut across at fret {called}, seen from the nut", low, high, tuple(parts),
                   manner.px_a_mm)  # fmt: skip


def _side(manner: Manner, at: Point, told: str) -> Part:
    return Part("numbers", (manner.text(at, told, "start" if told == "bass" else "end"),))


def _wood(cut: _Cut) -> Iterator[Part]:
    places = cut.places(cut.line)
    bottom = -cut.laid.board.thickness_mm
    raw = tuple(cut.seen(point, cut.raw_mm(point)) for point in places)
    glue = (cut.seen(places[-1], bottom), cut.seen(places[0], bottom))
    yield Part("wood", (Path("wood", (*raw, *glue)),), "board")
    if cut.laid.board.binding is not None:
        core = cut.laid.edges.core.across(cut.laid.line(cut.fret))
        for end in (core.start, core.end):
            yield Part("binding", (Path("binding", (cut.seen(end, cut.raw_mm(end)), cut.seen(end, bottom)), "open"),),
                       "binding")  # fmt: skip
    done = tuple(cut.seen(point, cut.done_mm(point)) for point in places)
    yield Part("finished-face", (Path("fold", done, "open"),), "board", figure="board.crown_allowance")


def _slot_here(cut: _Cut) -> Slot | None:
    return next((slot for slot in cut.laid.slots if slot.number == cut.fret), None)


def _slot(cut: _Cut) -> Iterator[Part]:
    """Give the slot's side: from its floor to the raw face above it."""
    slot = _slot_here(cut)
    if slot is None:
        return
    inside = [point for point in cut.places(slot.line) if 0.0 <= cut.share(point[1]) <= 1.0]
    top = [cut.seen(point, cut.raw_mm(point)) for point in inside]
    floor = [cut.seen(point, float(slot.floor.z_mm(*point))) for point in inside]
    layer = "slots" if cut.laid.to_cut else "slots-there"
    yield Part(layer, (Path("slots", (*top, *floor[::-1])),), "fret_slots", slot.name)


def _side_dots(cut: _Cut) -> Iterator[Part]:
    """Give the side dots of the space before this fret, as deep as they go."""
    laid = cut.laid
    for dot in laid.side_dots:
        if dot.number != cut.fret:
            continue
        edge = edge_of(laid, dot)
        height, half = abs(dot.centre[1]) - laid.board.thickness_mm, dot.diameter_mm / 2
        out = edge.crossing(cut.line)
        deep = (out[0], out[1] - math.copysign(-dot.floor_mm, out[1]))
        corners = (cut.seen(out, height - half), cut.seen(deep, height - half), cut.seen(deep, height + half),
                   cut.seen(out, height + half))  # fmt: skip
        yield Part("pockets", (Path("side-dots", corners),), "side_dots", dot.name)


def _figures(cut: _Cut, manner: Manner, half: float) -> Iterator[Part]:
    """Give what is measured: thickness, the slot's depth, the wood below it, the radius."""
    board, slot = cut.laid.board, _slot_here(cut)
    unit, thick, x = board.unit, board.thickness_mm, half + manner.mm(FIGURES_PX)
    if slot is None:
        yield dimension((x, 0.0), (x, thick), f"{told_in(thick, unit, 1)} thick", manner, "board.thickness", -1.0)
    else:
        middle = (slot.line.x_mm(), 0.0)
        floor, done = thick + float(slot.floor.z_mm(*middle)), thick + cut.done_mm(middle)
        yield dimension(
            (x, floor), (x, done), f"slot {told_in(done - floor, unit, 1)}", manner, "fret_slots.depth", -1.0
        )
        yield dimension((x, 0.0), (x, floor), f"left {told_in(floor, unit, 1)}", manner, "board.thickness", -1.0)
    radius = float(cut.laid.surface.radius_mm(cut.line.x_mm()))
    told = "flat" if math.isinf(radius) else f"radius {told_in(radius, unit, 1)}"
    left = told_in(board.crown_allowance_mm, unit)
    at = (0.0, thick + manner.mm(12.0))
    yield Part("dimension", (manner.text(at, f"{told} · {left} comes off"),), figure="board.radius")
