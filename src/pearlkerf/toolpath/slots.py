"""Slots: to and fro with a cutter as wide as the slot, loops of side passes with a narrower one."""

import math

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.sections import Section, Sections, section, sections
from pearlkerf.toolpath.tolerances import ABOVE_MM, LOOP_CHORD_MM, OVERRUN_MM, ROUNDING_MM, STEEPEST_DEG, STEP_OVER


def cut_full_width(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Cut a slot to and fro with a cutter as wide as it is."""
    if slot.through:
        _cut_lanes(slot, (0.0,), _through_sections(slot, cutter, stock, pen), pen)
    else:
        _ramp_to_and_fro(slot, cutter, stock, pen)


def cut_side_passes(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Cut a slot with a narrower cutter: wall by wall, climbing, in loops that run counter-clockwise."""
    offset = (slot.width_mm - cutter.diameter_mm) / 2
    if slot.through:
        lanes = lane_offsets_mm(offset, cutter.diameter_mm)
        _cut_lanes(slot, lanes, _through_sections(slot, cutter, stock, pen), pen)
    else:
        _ramp_in_loops(slot, cutter, stock, pen)


def lane_offsets_mm(offset_mm: float, cutter_diameter_mm: float) -> tuple[float, ...]:
    """Offsets of an even number of lanes from +offset to -offset; up the first, down the last.

    >>> lane_offsets_mm(0.04, 0.5), [round(x, 3) for x in lane_offsets_mm(0.21, 0.2)]
    ((0.04, -0.04), [0.21, 0.07, -0.07, -0.21])
    """
    gaps = max(1, math.ceil(2 * offset_mm / (STEP_OVER * cutter_diameter_mm) - ROUNDING_MM))
    gaps += 1 - gaps % 2
    return tuple(offset_mm - 2 * offset_mm * lane / gaps for lane in range(gaps + 1))


def _through_sections(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> Sections:
    past = cutter.radius_mm + OVERRUN_MM
    span = (slot.start[1] - past, slot.end[1] + past)
    return sections(slot, stock, cutter.radius_mm, span, pen.figures.bite_mm)


def _cut_lanes(slot: Slot, lanes: tuple[float, ...], both: Sections, pen: Pen) -> None:
    """Cut all lanes at each depth, changing lane and depth in the air beyond the wood."""
    x = slot.start[0]
    top = float(np.max(both.fine.top_mm))
    pen.approach(x + lanes[0], float(both.fine.y_mm[0]))
    pen.descend(top + ABOVE_MM)
    upward = True
    for number in range(1, both.passes + 1):
        across = both.fine if number == both.passes else both.rough
        heights = across.heights_mm(number / both.passes)
        for lane in lanes:
            order = slice(None) if upward else slice(None, None, -1)
            _follow(pen, x + lane, across.y_mm[order], heights[order])
            upward = not upward
    pen.leave(top)


def _follow(pen: Pen, x: float, y: NDArray[np.float64], z: NDArray[np.float64]) -> None:
    for at_y, at_z in zip(y.tolist(), z.tolist(), strict=True):
        pen.feed(x, at_y, at_z)


def _ramp_to_and_fro(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Ramp down a stopped slot: each stroke sinks by half a bite, as its far end is cut twice over."""
    x, radius = slot.start[0], cutter.radius_mm
    low, high = slot.start[1] + radius, slot.end[1] - radius
    bite = min(pen.figures.bite_mm, 2 * (high - low) * math.tan(math.radians(STEEPEST_DEG)))
    both = sections(slot, stock, radius, (low, high), bite)
    strokes = 2 * both.passes
    _start_on_top(pen, x, low, both.fine)
    for stroke in range(strokes):
        along = both.rough if stroke < strokes - 2 else both.fine  # the last two reach the floor
        forward = stroke % 2 == 0
        share_along = (along.y_mm - low) / (high - low)
        progress = share_along if forward else 1 - share_along
        heights = along.top_mm + (along.floor_mm - along.top_mm) * (stroke + progress) / strokes
        order = slice(None) if forward else slice(None, None, -1)
        _follow(pen, x, along.y_mm[order], heights[order])
    floor = both.fine
    _follow(pen, x, floor.y_mm, floor.floor_mm)  # strokes are even in number: the tip stands at the start
    pen.leave(float(np.max(floor.top_mm)))


def _start_on_top(pen: Pen, x: float, y: float, along: Section) -> None:
    pen.approach(x, y)
    pen.descend(float(np.max(along.top_mm)) + ABOVE_MM)
    pen.feed(x, y, along.height_mm(y, 0.0))


def _ramp_in_loops(slot: Slot, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Ramp down a stopped slot in loops, inner loops first; each ends with a level loop on the floor."""
    x, half = slot.start[0], slot.width_mm / 2
    low, high = slot.start[1] + half, slot.end[1] - half
    outer = half - cutter.radius_mm
    along = section(slot, stock, cutter.radius_mm, (low - outer, high + outer))
    passes = along.passes(pen.figures.bite_mm)
    for offset in _loop_offsets_mm(outer, cutter.diameter_mm):
        points = _loop(along, (low, high), offset)
        share = _share_along(points)
        _start_on_top(pen, x + points[0, 0], float(points[0, 1]), along)
        for number in range(passes + 1):
            for (dx, y), part in zip(points[1:].tolist(), share[1:].tolist(), strict=True):
                pen.feed(x + dx, y, along.height_mm(y, min(1.0, (number + part) / passes)))
        pen.leave(float(np.max(along.top_mm)))


def _loop_offsets_mm(outer_mm: float, cutter_diameter_mm: float) -> tuple[float, ...]:
    """Offsets of loops, inner ones first; the two sides of the first overlap on the centre line.

    >>> _loop_offsets_mm(0.1, 0.5), _loop_offsets_mm(0.25, 0.5), [round(x, 3) for x in _loop_offsets_mm(1.0, 0.5)]
    ((0.1,), (0.2, 0.25), [0.2, 0.6, 1.0])
    """
    over = STEP_OVER * cutter_diameter_mm
    inner = min(outer_mm, over / 2)
    steps = math.ceil((outer_mm - inner) / over - ROUNDING_MM)
    return tuple(outer_mm - (outer_mm - inner) * step / max(1, steps) for step in range(steps, -1, -1))


def _loop(along: Section, straight: tuple[float, float], offset: float) -> NDArray[np.float64]:
    """Points (n, 2) of a closed loop, x about the centre line and y: up the right side, down the left."""
    low, high = straight
    inner = along.y_mm[(along.y_mm > low) & (along.y_mm < high)]
    steps = max(4, math.ceil(math.pi / (2 * math.acos(1 - min(1.0, LOOP_CHORD_MM / offset)))))
    angle = np.linspace(0.0, math.pi, steps + 1)
    far = np.column_stack([offset * np.cos(angle), high + offset * np.sin(angle)])
    near = np.column_stack([-offset * np.cos(angle), low - offset * np.sin(angle)])
    up = np.column_stack([np.full_like(inner, offset), inner])
    down = np.column_stack([np.full_like(inner, -offset), inner[::-1]])
    return np.concatenate([[[offset, low]], up, far, down, near])


def _share_along(points: NDArray[np.float64]) -> NDArray[np.float64]:
    steps = np.diff(points, axis=0)
    length: NDArray[np.float64] = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    return length / float(length[-1])
