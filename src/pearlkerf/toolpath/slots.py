"""Slots: to and fro with a cutter as wide as the slot, loops of side passes with a narrower one.

All is reckoned in the slot's own axes, along its line and across it, whichever way that lies on the board.
"""

import math

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.layers import Profile, Stroke, laps_of_valley, strokes_of_valley, turned_nearer, way_of
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.sections import Sections, Tips, section, sections
from pearlkerf.toolpath.tolerances import (
    ABOVE_MM,
    LEAST_OVERRUN_MM,
    LOOP_CHORD_MM,
    OVERRUN_MM,
    STEP_OVER,
    WHOLE_ROUNDING,
)
from pearlkerf.toolpath.ways_down import by_plunge, by_ramp, ramped_mm

Floats = NDArray[np.float64]


def cut_full_width(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Cut a slot to and fro with a cutter as wide as it is."""
    tips = Tips.of(slot, stock, cutter.radius_mm)
    low, high = tips.axes.ends_mm
    span = run_out_mm(tips, (0.0,)) if slot.through else (low + tips.radius_mm, high - tips.radius_mm)
    before, top = _on_top(tips, span), float(np.max(tips.heights_mm(np.array(span))[0]))
    strokes = _strokes(tips, span, pen.figures.bite_mm, cutter)
    if slot.through:
        strokes = turned_nearer(strokes, span, run_out_mm(tips, (0.0,), LEAST_OVERRUN_MM), whole=1)
    _approach(tips, pen, 0.0, float(strokes[0].along[0]))
    pen.descend(top + ABOVE_MM)
    for stroke in strokes:
        down = () if slot.through else (by_plunge if cutter.plunges else by_ramp)(before, stroke, tips.radius_mm)
        for way in (*down, stroke):
            _follow(tips, pen, 0.0, way.along, way.z)
        before = stroke
    pen.leave(top)


def cut_side_passes(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Cut a slot with a narrower cutter: wall by wall, climbing, in loops that run counter-clockwise."""
    tips = Tips.of(slot, stock, cutter.radius_mm)
    if slot.through:
        _cut_lanes(tips, lane_offsets_mm(tips.outer_mm, cutter.diameter_mm), pen)
    else:
        _ramp_in_loops(tips, pen)


def lane_offsets_mm(offset_mm: float, cutter_diameter_mm: float) -> tuple[float, ...]:
    """Offsets of an even number of lanes from +offset to -offset; up the first, down the last.

    >>> lane_offsets_mm(0.04, 0.5), [round(x, 3) for x in lane_offsets_mm(0.21, 0.2)]
    ((0.04, -0.04), [0.21, 0.07, -0.07, -0.21])
    """
    gaps = max(1, math.ceil(2 * offset_mm / (STEP_OVER * cutter_diameter_mm) - WHOLE_ROUNDING))
    gaps += 1 - gaps % 2
    return tuple(offset_mm - 2 * offset_mm * lane / gaps for lane in range(gaps + 1))


def _cut_lanes(tips: Tips, lanes: tuple[float, ...], pen: Pen) -> None:
    """Cut all lanes at each depth, changing lane and depth in the air beyond the wood, or lane where it turns in it."""
    span, bite = run_out_mm(tips, lanes), pen.figures.bite_mm
    ways = _all_across(tips, lanes, sections(tips, span, bite))
    if len(lanes) == 2 and tips.lanes_mm == (0.0,):
        laps = laps_of_valley(Profile.of(section(tips, span)), bite)
        if laps and way_of(laps) < way_of([stroke for _, stroke in ways]):
            ways = [(lanes[0] if stroke.along[0] < stroke.along[-1] else lanes[1], stroke) for stroke in laps]
    nearer = run_out_mm(tips, lanes, LEAST_OVERRUN_MM)
    strokes = turned_nearer([stroke for _, stroke in ways], span, nearer, whole=len(lanes) // 2 + 1)
    top = max(float(np.max(tips.heights_mm(np.array(span), lane)[0])) for lane in lanes)
    _approach(tips, pen, lanes[0], float(strokes[0].along[0]))
    pen.descend(top + ABOVE_MM)
    for (lane, _), stroke in zip(ways, strokes, strict=True):
        _follow(tips, pen, lane, stroke.along, stroke.z)
    pen.leave(top)


def _all_across(tips: Tips, lanes: tuple[float, ...], both: Sections) -> list[tuple[float, Stroke]]:
    """Give strokes all across, each with its lane, that divide what lies between top and floor evenly.

    The first one goes along ascending, every second one back.
    """
    ways: list[tuple[float, Stroke]] = []
    for number in range(1, both.passes + 1):
        part = both.fine if number == both.passes else both.rough
        for lane in lanes:
            order = slice(None, None, -1 if len(ways) % 2 else 1)
            z = _share(tips.heights_mm(part.along_mm, lane), number / both.passes)
            ways.append((lane, Stroke.straightened(part.along_mm[order], z[order])))
    return ways


def run_out_mm(tips: Tips, lanes: tuple[float, ...], overrun_mm: float = OVERRUN_MM) -> tuple[float, float]:
    """Give where along a through slot its lanes begin and end: the whole cutter past the slot's ends, and off the wood.

    Where the slot leaves the wood aslant, one of its walls goes on in it for longer than its centre line.
    Where its floor comes out of the top, they end as soon as no part of the cutter stands over wood above it.
    """
    low, high = tips.axes.ends_mm
    aslant = abs(tips.axes.right[1] / tips.axes.along[1]) * tips.slot.width_mm / 2 if tips.axes.along[1] else 0.0
    over = tips.radius_mm + aslant
    out_low, out_high = (tips.slot.comes_out_of_top(end, tips.stock) for end in tips.slot.ends)
    if out_low and out_high:
        return low - over, high + over
    near = shapely.Polygon(tips.stock.outline).buffer(tips.radius_mm + LEAST_OVERRUN_MM, join_style="mitre")
    found = [low - tips.radius_mm - overrun_mm, high + tips.radius_mm + overrun_mm]
    for lane in (lanes[0], lanes[-1]):
        way = shapely.linestrings(*tips.axes.at([low - near.length, high + near.length], lane))
        for part in shapely.get_parts(shapely.intersection(way, near)):
            along = shapely.get_coordinates(part) @ tips.axes.along
            if along.min() <= high and along.max() >= low:
                found += along.tolist()
    return low - over if out_low else min(found), high + over if out_high else max(found)


def _approach(tips: Tips, pen: Pen, across: float, along: float) -> None:
    """Come to a place in a slot; to one along X, which begins at high X, from there."""
    x, y = tips.axes.at(along, across)
    pen.approach(float(x), float(y), (1.0, -1.0) if tips.slot.runs_along_x else tips.slot.approach)


def _share(heights: Floats, share: ArrayLike) -> Floats:
    """Give tip heights (n,) after ``share`` of the way from top to floor (0 to 1)."""
    top, floor = heights
    return np.asarray(top + (floor - top) * share)


def _follow(tips: Tips, pen: Pen, across: ArrayLike, along: Floats, z: Floats) -> None:
    x, y = tips.axes.at(along, across)
    for place in zip(x.tolist(), y.tolist(), z.tolist(), strict=True):
        pen.feed(*place)


def _strokes(tips: Tips, span: tuple[float, float], bite_mm: float, cutter: Cutter) -> list[Stroke]:
    """Give the strokes of a cutter as wide as the slot: all across in even bites, or fewer under a crowned floor."""
    ramps = not (tips.slot.through or cutter.plunges)
    even_mm = min(bite_mm, ramped_mm(span, tips.radius_mm)) if ramps else bite_mm
    across = [stroke for _, stroke in _all_across(tips, (0.0,), sections(tips, span, even_mm))]
    if ramps:
        return across
    valley = strokes_of_valley(Profile.of(section(tips, span)), bite_mm, tips.radius_mm)
    return valley if valley and way_of(valley) < way_of(across) else across


def _on_top(tips: Tips, span: tuple[float, float]) -> Stroke:
    """Give the way over the uncut top."""
    along = section(tips, span).along_mm
    return Stroke(along, tips.heights_mm(along)[0])


def _start_on_top(tips: Tips, pen: Pen, start: tuple[float, float, float], top: float) -> None:
    """Come down in the air to where a path begins: across, along and the top's height there."""
    across, along, z = start
    _approach(tips, pen, across, along)
    pen.descend(top + ABOVE_MM)
    _follow(tips, pen, across, np.array([along]), np.array([z]))


def _ramp_in_loops(tips: Tips, pen: Pen) -> None:
    """Ramp down a stopped slot in loops, inner loops first; each ends with a level loop on the floor."""
    half = tips.slot.width_mm / 2
    low, high = tips.axes.ends_mm[0] + half, tips.axes.ends_mm[1] - half
    along = section(tips, (low - tips.outer_mm, high + tips.outer_mm))
    passes = along.passes(pen.figures.bite_mm)
    top = float(np.max(along.ends_mm()[0]))
    for offset in _loop_offsets_mm(tips.outer_mm, 2 * tips.radius_mm):
        points = _loop(along.along_mm, (low, high), offset)
        heights = along.between_mm(points[:, 1], points[:, 0])
        share = _share_along(points)[1:]
        _start_on_top(tips, pen, (float(points[0, 0]), float(points[0, 1]), float(heights[0, 0])), top)
        for number in range(passes + 1):
            z = _share(heights[:, 1:], np.minimum(1.0, (number + share) / passes))
            _follow(tips, pen, points[1:, 0], points[1:, 1], z)
        pen.leave(top)


def _loop_offsets_mm(outer_mm: float, cutter_diameter_mm: float) -> tuple[float, ...]:
    """Offsets of loops, inner ones first; the two sides of the first overlap on the centre line.

    >>> _loop_offsets_mm(0.1, 0.5), _loop_offsets_mm(0.25, 0.5), [round(x, 3) for x in _loop_offsets_mm(1.0, 0.5)]
    ((0.1,), (0.2, 0.25), [0.2, 0.6, 1.0])
    """
    over = STEP_OVER * cutter_diameter_mm
    inner = min(outer_mm, over / 2)
    steps = math.ceil((outer_mm - inner) / over - WHOLE_ROUNDING)
    return tuple(outer_mm - (outer_mm - inner) * step / max(1, steps) for step in range(steps, -1, -1))


def _loop(along: Floats, straight: tuple[float, float], offset: float) -> Floats:
    """Points (n, 2) of a closed loop, across and along: up the right side, down the left."""
    low, high = straight
    inner = along[(along > low) & (along < high)]
    steps = max(4, math.ceil(math.pi / (2 * math.acos(1 - min(1.0, LOOP_CHORD_MM / offset)))))
    angle = np.linspace(0.0, math.pi, steps + 1)
    far = np.column_stack([offset * np.cos(angle), high + offset * np.sin(angle)])
    near = np.column_stack([-offset * np.cos(angle), low - offset * np.sin(angle)])
    up = np.column_stack([np.full_like(inner, offset), inner])
    down = np.column_stack([np.full_like(inner, -offset), inner[::-1]])
    return np.concatenate([[[offset, low]], up, far, down, near])


def _share_along(points: Floats) -> Floats:
    steps = np.diff(points, axis=0)
    length: Floats = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    return length / float(length[-1])
