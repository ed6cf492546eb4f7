"""Channels round pieces: discs along their own moves leave the piece, and clear the channel; waste first."""

import math

import numpy as np
import pytest
import shapely

from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.setups.piece_cuts import PieceCut, channel_mm, cuts_of, thinnest_at
from pearlkerf.toolpath.channels import cut_channel, rounds_of
from pearlkerf.toolpath.moves import Arc, Feed, Step, TraverseHeight, follow
from pearlkerf.toolpath.pen import Pen
from setups.stars import star
from setups.test_piece_cuts import DUMBBELL, rounded

CUTTER = Cutter(3, "end mill", 0.8, 2, 4.0)
STOCK = Stock(np.array([[-50.0, -50.0], [50.0, -50.0], [50.0, 50.0], [-50.0, 50.0]]), 8.0)
DEPTH_MM, RADIUS_MM = 1.9, 0.4
# a bay a little wider than two cutters: what both ways along its walls leave between them is cut as well
BAY = shapely.box(0, 0, 8, 6) - shapely.box(3, 2, 4.7, 7)
PIECES = {
    "block": shapely.box(0, 0, 8, 5),
    "bay": rounded(BAY),
    "star": rounded(star(5, 6.0)),
    "dumbbell": rounded(DUMBBELL),
}
RING = shapely.Point(0, 0).buffer(8, quad_segs=64) - shapely.Point(0, 0).buffer(5, quad_segs=64)


def machine(arcs: bool) -> Machine:
    motion = Motion((2000.0, 2000.0, 800.0), (9e3, 9e3, 9e3), (200.0, 200.0, 100.0), 8.0)
    return Machine("m", "m", Travel(680, 220, 75), Spindle(6000, 24000), motion, Dialect(arcs=arcs), (CUTTER,))


def traced(piece: shapely.Polygon, arcs: bool = True) -> list[tuple[object, list[Step]]]:
    """Give every cut that frees a piece, with its moves."""
    on = machine(arcs)
    found = []
    for channel in cuts_of("wave", 1, piece, PieceCut(3, 0.8, DEPTH_MM)):
        pen = Pen(cutting_figures(on, CUTTER, "mother-of-pearl"), on)
        cut_channel(channel, CUTTER, STOCK, pen)
        found.append((channel, list(follow(pen.moves))))
    return found


def places(step: Step) -> np.ndarray:
    """Give places along a move, close to each other."""
    if isinstance(step.move, Arc):
        first, turn = step.move.turn_rad(*step.start[:2])
        angle = first + turn * np.linspace(0, 1, 90)
        x, y = step.move.centre
        return np.column_stack([x + step.move.radius_mm * np.cos(angle), y + step.move.radius_mm * np.sin(angle)])
    return np.array([step.start[:2], step.end[:2]])


def swept(steps: list[Step]) -> shapely.Geometry:
    return shapely.union_all([shapely.LineString(places(step)).buffer(RADIUS_MM, quad_segs=64) for step in steps])


def on_floor(steps: list[Step]) -> list[Step]:
    return [step for step in steps if max(step.start[2], step.end[2]) <= -DEPTH_MM + 1e-9]


@pytest.mark.parametrize("arcs", [True, False])
@pytest.mark.parametrize("name", list(PIECES))
def test_what_is_swept_on_the_floor_is_the_channel(name: str, arcs: bool) -> None:
    [(channel, steps)] = traced(PIECES[name], arcs)
    area = swept(on_floor(steps))
    assert area.difference(channel.region.buffer(0.0002)).is_empty
    assert channel.region.buffer(-0.0095).difference(area).area < 1e-6


def test_round_a_ring_the_core_stays_and_the_hole_s_wall_is_kept() -> None:
    (hole, inner), (outside, outer) = traced(RING)
    for channel, steps in ((hole, inner), (outside, outer)):
        area = swept(on_floor(steps))
        assert area.difference(channel.region.buffer(0.0002)).is_empty
        assert channel.region.buffer(-0.0095).difference(area).area < 1e-6
    known = inner[1:]  # nobody knows where the first move begins
    assert shapely.Point(0, 0).buffer(3).intersection(swept(known)).is_empty


def test_no_level_takes_more_than_the_bite_and_nothing_rises_between_levels() -> None:
    [(_, steps)] = traced(PIECES["star"])
    bite = cutting_figures(machine(True), CUTTER, "mother-of-pearl").bite_mm
    levels = sorted({round(step.end[2], 6) for step in steps if step.start[2] == step.end[2] and step.end[2] < 0})
    assert all(high - low <= bite + 1e-9 for low, high in zip([*levels], [*levels[1:], 0.0], strict=True))
    assert sum(isinstance(step.move, TraverseHeight) for step in steps) == 2  # down once, up once
    feeds = [step for step in steps if isinstance(step.move, Feed | Arc)]
    assert all(step.end[2] <= step.start[2] for step in feeds[:-1])


def test_the_piece_lies_to_the_right_waste_is_cut_first_and_the_neck_last() -> None:
    piece = PIECES["dumbbell"]
    [channel] = cuts_of("wave", 1, piece, PieceCut(3, 0.8, DEPTH_MM))
    [rounds] = rounds_of(channel, RADIUS_MM)
    waste, kept = rounds.rings
    away = [shapely.length(shapely.shortest_line(piece, shapely.points(ring))) for ring in (waste, kept)]
    assert away[0].mean() == pytest.approx(channel_mm(0.8) - RADIUS_MM, abs=0.01)
    assert away[1] == pytest.approx(np.full(len(kept), RADIUS_MM), abs=0.006)
    assert not shapely.LinearRing(waste).is_ccw and not shapely.LinearRing(kept).is_ccw  # clockwise round it: climb
    neck = thinnest_at(piece)
    assert neck is not None and math.dist(kept[-1], neck) == pytest.approx(RADIUS_MM, abs=0.01)


def test_the_way_down_is_along_the_waste() -> None:
    [(_, steps)] = traced(PIECES["block"])
    ramps = [
        step for step in steps if isinstance(step.move, Feed | Arc) and step.end[2] < step.start[2] and step.end[2] < 0
    ]
    away = [shapely.distance(shapely.LineString(places(step)), PIECES["block"]) for step in ramps]
    assert min(away) > RADIUS_MM + 0.09
