"""Channels round pieces: level by level, down along the waste, round it, then round the piece, without a rise.

 _____________________
|  .---------------.  |     the first round, along the waste: the full width of the cutter
|  | .-----------. |  |     the second, along what counts: a shaving, climbing
|  | |   piece   | |  |
|  | '-----------' |  |     both turn the same way, what counts to their right, and end where the
|  '---------------'--|- <- last web is cut through
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.channels import Channel
from pearlkerf.layout.surfaces import Floor, Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.tolerances import STEP_INWARD
from pearlkerf.toolpath.courses import Course, begun_near
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.pockets import Levels, clear, cut_course, drawing_of
from pearlkerf.toolpath.rings import along_walls, clearing_rings, edges_of
from pearlkerf.toolpath.rooms import Room
from pearlkerf.toolpath.strokes import Drawing, Loop, Point
from pearlkerf.toolpath.tolerances import ALONG_WALL_MM, LONGER_CHORD_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Rounds:
    """The rings of one part of a channel, in their order: along waste first, along what counts last, others between."""

    room: Room
    rings: tuple[Floats, ...]


def cut_channel(channel: Channel, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Cut a channel: all of it down to its floor, or to its tabs and then the sections between them, from the top."""
    down = replace(channel, floor=Floor(channel.frees_at_mm))
    levels = Levels.of(down, stock, cutter.radius_mm, pen.figures)
    for rounds in rounds_of(channel, cutter.radius_mm):
        cut_course(_course(rounds, drawing_of(levels, pen)), levels, pen)
    for section in channel.between:
        clear(replace(channel, region=section, between=()), cutter, stock, pen)


def rounds_of(channel: Channel, radius_mm: float) -> tuple[Rounds, ...]:
    """Give the rings of a channel, part by part of where its cutter's middle may be, each begun where it is to end.

    Raises Refusal where a wall is so rough that no ring runs along it.
    """
    assert channel.counts is not None
    edge = channel.counts.exterior
    shapely.prepare(edge)
    end = _end(channel)
    found = []
    for part in along_walls(channel.region, radius_mm):
        counts = [_runs_along(ring, edge, radius_mm) for ring in part]
        # edges of a part turn with the wood to their right: along the waste that is the wrong way about
        waste = [ring[::-1] for ring, along in zip(part, counts, strict=True) if not along]
        kept = [ring for ring, along in zip(part, counts, strict=True) if along]
        rings = tuple(begun_near(ring, end, 0.0) for ring in (*waste, *_between(part, radius_mm), *kept))
        # strokes pass a ring's points a little way off, on either side, LONGER_CHORD_MM at most
        room = shapely.buffer(shapely.Polygon(part[0], part[1:]), LONGER_CHORD_MM, join_style="mitre")
        found.append(Rounds(Room(room), rings))
    return tuple(found)


def _between(part: list[Floats], radius_mm: float) -> list[Floats]:
    """Give the rings that cut what those along the walls leave between them, the innermost first.

    They leave something in a bay of the piece, or a narrow place of a hole in it, a little wider than two cutters.
    """
    layers = list(clearing_rings(shapely.Polygon(part[0], part[1:]), STEP_INWARD * radius_mm))
    return [edge for layer in reversed(layers) for inner in layer for edge in edges_of(inner)]


def _runs_along(ring: Floats, edge: shapely.LinearRing, radius_mm: float) -> bool:
    """Say whether a ring runs along the wall that counts."""
    lines = shapely.shortest_line(edge, shapely.points(ring))
    return float(shapely.length(lines).max()) <= radius_mm + ALONG_WALL_MM


def _end(channel: Channel) -> Point:
    """Give the place at which a channel is cut through last: beside its neck, else at its low left."""
    if channel.last is not None:
        return channel.last
    assert channel.counts is not None
    x, y = min(shapely.get_coordinates(channel.counts).tolist())
    return x, y


def _course(rounds: Rounds, drawing: Drawing) -> Course:
    """Give the course of a cutter: down along the first ring, round it, and round the others."""
    points = [[(float(x), float(y)) for x, y in ring] for ring in rounds.rings]
    loops = [Loop(ring[0], drawing.ring(ring, 0)) for ring in points]
    strokes = list(loops[0].strokes)
    for before, after in pairwise(loops):
        strokes += [*rounds.room.way(before.start, after.start), *after.strokes]
    return Course(loops[0], tuple(strokes), rounds.room)
