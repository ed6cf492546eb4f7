"""The edge that has the side dots, as the player sees it, looking down on the neck: playing face away, glue face near.

playing face
+-.--.--.--.---------------------+
|    o     o    o                |
+--------------------------------+     a left-handed player sees the nut at the right
glue face
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.layout.edge import Edge
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.lines import Point
from pearlkerf.layout.outline import edge_thickness_mm
from pearlkerf.layout.side_dots import dotted_edges
from pearlkerf.pictures.board.model import Manner, Part, Picture
from pearlkerf.pictures.board.plan import ROOM_PX
from pearlkerf.pictures.drawing import Circle, Path, Text, plain

POINTS: Final = 33  # along an edge that curves
ROOM_MM: Final = 1.0
NUMBERS_PX: Final = 6.0


def draw_edge(laid: Laid, manner: Manner) -> Picture:
    """Draw the bass edge, or the treble edge where it alone has dots, at the scale of the plan."""
    view = _View(laid)
    parts = [*_wood(laid, view), *_openings(laid, view), *_dots(laid, view, manner)]
    thick = laid.board.thickness_mm
    room, foot = manner.mm(ROOM_PX), manner.mm(NUMBERS_PX * 2) + manner.letter_mm
    words = f"{view.name} edge as the player sees it: {len(view.dots)} side dots"
    return Picture("edge", words, (view.low - room, -foot), (view.high + room, thick + ROOM_MM), tuple(parts),
                   manner.px_a_mm)  # fmt: skip


class _View:
    """How an edge is seen: mm along it from the left, and up from the glue face."""

    def __init__(self, laid: Laid) -> None:
        dots = laid.board.side_dots
        with_dots = dotted_edges(laid, dots) if dots is not None else ()
        group, self.edge = with_dots[0] if with_dots else ("side dots", laid.edges.bass)
        self.name = "treble" if self.edge is laid.edges.treble else "bass"
        self.dots = tuple(dot for dot in laid.side_dots if dot.group == group)
        self._turned = laid.board.hand == "left"
        self._long = self.edge.length_mm
        (left, _), (right, _) = laid.edges.wood.box_mm
        near = self.edge.nut_corner[0]
        self.low, self.high = left - near, max(right - near, self._long)

    def at(self, along_mm: float, up_mm: float) -> Point:
        """Give where a place of the edge is seen."""
        return (self.low + self.high - along_mm if self._turned else along_mm, up_mm)


def _tops(laid: Laid, edge: Edge, taken_mm: float | None) -> list[tuple[float, float]]:
    """Give places along an edge with its height there: raw, or finished where something is ``taken``."""
    (near, _), (far, _) = edge.ends
    places = np.linspace(near, far, POINTS).tolist()
    if taken_mm is None and laid.board.state == "flat":
        return [(edge.along_mm(x), laid.board.thickness_mm) for x in (near, far)]
    return [(edge.along_mm(x), edge_thickness_mm(laid, edge, x, taken_mm or 0.0)) for x in places]


def _wood(laid: Laid, view: _View) -> Iterator[Part]:
    edge = view.edge
    raw = [view.at(along, up) for along, up in _tops(laid, edge, None)]
    glue = (view.at(edge.along_mm(edge.ends[1][0]), 0.0), view.at(edge.along_mm(edge.ends[0][0]), 0.0))
    yield Part("wood", (Path("wood", (*raw, *glue)),), "board")
    done = [view.at(along, up) for along, up in _tops(laid, edge, laid.board.crown_allowance_mm)]
    yield Part("finished-face", (Path("fold", tuple(done), "open"),), "board", figure="board.crown_allowance")


def _openings(laid: Laid, view: _View) -> Iterator[Part]:
    """Give the slots that run out at this edge, as their openings in it."""
    layer = "slots" if laid.to_cut else "slots-there"
    for slot in laid.slots:
        along = view.edge.along_mm(view.edge.crossing(slot.line)[0])
        if slot.through and 0.0 <= along <= view.edge.length_mm:  # of an edge that bends one run is seen
            yield Part(layer, (_opening(laid, view, slot),), "fret_slots", slot.name)


def _opening(laid: Laid, view: _View, slot: Slot) -> Path:
    edge = view.edge
    x, y = edge.crossing(slot.line)
    along, half = edge.along_mm(x), slot.width_mm / 2
    floor = laid.board.thickness_mm + float(slot.floor.z_mm(x, y))
    top = max(floor, _tops_at(laid, edge, x))
    return Path("slots", tuple(view.at(*corner) for corner in (
        (along - half, top), (along - half, floor), (along + half, floor), (along + half, top))))  # fmt: skip


def _tops_at(laid: Laid, edge: Edge, x_mm: float) -> float:
    if laid.board.state == "flat":
        return laid.board.thickness_mm
    return edge_thickness_mm(laid, edge, x_mm, 0.0)


def _dots(laid: Laid, view: _View, manner: Manner) -> Iterator[Part]:
    for dot in view.dots:
        yield Part("pockets", (_hole(view, dot),), "side_dots", dot.name)
    low = -manner.mm(NUMBERS_PX) - manner.letter_mm
    for number in sorted({dot.number for dot in view.dots}):
        places = [dot.centre[0] for dot in view.dots if dot.number == number]
        x, _ = view.at(sum(places) / len(places), 0.0)
        told = plain(laid.board.scale.called(number)) or str(number)
        yield Part("numbers", (Text("numbers", (x, low), told, manner.letter_mm, "middle"),), "side_dots")


def _hole(view: _View, dot: Hole) -> Circle:
    return Circle("side-dots", view.at(dot.centre[0], abs(dot.centre[1])), dot.diameter_mm / 2)
