"""What is drawn in and round a setup's wood beside its own cuts: slots that are there, room for clamps, run-outs.

     clamp                     clamps may stand over an edge where nothing comes down
    +-----+   |   |   |
+---|-----|---|---|---|---+
|   +-----+   |   |   |   |    a slot that runs out is drawn beyond the edge
|             |   |   |   |
+-------------|---|---|---+
              |   |   |
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.features import Feature
from pearlkerf.pictures.drawing import Line, Path, Text, Thing
from pearlkerf.pictures.features import sketch
from pearlkerf.pictures.view import View
from pearlkerf.setups.model import Setup
from pearlkerf.setups.run_outs import GRIP_MM, Room

RUN_OUT_MM: Final = 1.4  # how far a slot that runs out is drawn beyond the edge, on the page
CLAMP_MM: Final = 3.0  # how far a clamp's room is drawn beyond the edge
BEYOND_MM: Final = 6.0  # and beyond its left end; beyond its right one stand the names of the sides
NAME_MM: Final = 1.9


@dataclass(frozen=True, slots=True)
class Around:
    """What is known round a setup: where clamps have room, whether cuts run out, slots that are there already."""

    room: Room | None = None
    runs_out: bool = False
    there: tuple[Feature, ...] = ()


NOTHING_AROUND: Final = Around()


def draw_there(around: Around, view: View) -> Iterator[Thing]:
    """Draw what was sawn before this job, grey."""
    for each in around.there:
        for thing in sketch(each, view):
            if isinstance(thing, Line):
                yield Line("cut-before", thing.start, thing.end)


def draw_run_outs(around: Around, setup: Setup, view: View) -> Iterator[Line]:
    """Draw every through slot on beyond its ends, along its own line."""
    for each in setup.features if around.runs_out else ():
        if each.through:
            start, end = (view.of_board(place) for place in each.ends)
            far = math.dist(start, end)
            way = ((end[0] - start[0]) / far * RUN_OUT_MM, (end[1] - start[1]) / far * RUN_OUT_MM)
            yield Line("run-outs", (start[0] - way[0], start[1] - way[1]), start)
            yield Line("run-outs", end, (end[0] + way[0], end[1] + way[1]))


def draw_room(around: Around, setup: Setup, view: View) -> Iterator[Thing]:
    """Draw where clamps may stand over the long edges, as far as the picture goes."""
    corners = setup.placement.to_machine(setup.stock.outline)
    (left, low), (right, high) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    for begins, ends in around.room.stretches_mm if around.room else ():
        first, last = max(begins, left - BEYOND_MM / view.scale), min(ends, right)
        if first >= last:
            continue
        x0, x1 = view.of_machine((first, low))[0], view.of_machine((last, low))[0]
        inner = (view.of_machine((first, low + GRIP_MM))[1], view.of_machine((first, high - GRIP_MM))[1])
        for rim, edge in zip((-CLAMP_MM, view.top_mm + CLAMP_MM), inner, strict=True):
            yield Path("room", ((x0, rim), (x1, rim), (x1, edge), (x0, edge)))
        yield Text("room", ((x0 + x1) / 2, -CLAMP_MM + 0.55), "clamp", NAME_MM, "middle")


def draw_zero_slot(setup: Setup, view: View) -> Iterator[Thing]:
    """Draw the slot that X is zeroed in, and name it over the far side; nothing where zero is no slot."""
    slot = setup.lying.zero.slot
    if not slot:
        return
    for each in setup.cut_before:
        if each.name == slot:
            yield from (Line("zero", thing.start, thing.end) for thing in sketch(each, view) if isinstance(thing, Line))
    x, _ = view.of_machine((0.0, 0.0))
    yield Text("zero", (x, view.top_mm + CLAMP_MM + 1.2), f"zero in {slot}", NAME_MM + 0.3, "middle")
