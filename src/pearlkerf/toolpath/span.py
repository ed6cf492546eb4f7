"""The box that a setup's motion needs, held against the machine's travel."""

import math
from collections.abc import Iterator

from pearlkerf.errors import Problem
from pearlkerf.toolpath.moves import Arc, Drill, Move, Toolpath, TraverseHeight, TraversePlane
from pearlkerf.toolpath.tolerances import ROUNDING_MM

# what in the board makes a setup long (X), wide (Y) or deep (Z)
KEYS = {"face": ("board.length", "board.end_width", "fret_slots.depth"),
        "edge": ("board.length", "board.thickness", "side_dots.depth")}  # fmt: skip


def beyond_travel(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each axis whose travel is shorter than the span of a setup's motion."""
    travel = toolpath.machine.travel
    keys = KEYS.get(toolpath.setup.name, KEYS["face"])
    for axis, key, needed, has in zip("xyz", keys, span_mm(toolpath), (travel.x_mm, travel.y_mm, travel.z_mm),
                                      strict=True):  # fmt: skip
        if needed > has + ROUNDING_MM:
            yield Problem(
                key=key,
                found=f"the {toolpath.setup.name} setup needs {needed:.1f} mm of travel in {axis.upper()}",
                allowed=f"at most {has:.1f} mm, travel.{axis} of {toolpath.machine.name}",
                hint=f"use a machine with at least {math.ceil(needed)} mm in {axis.upper()}",
            )


def span_mm(toolpath: Toolpath) -> tuple[float, float, float]:
    """Give the span of all motion of a setup in X, Y and Z, mm; arcs count with their whole circle."""
    clearance = toolpath.machine.motion.clearance_mm
    boxes = [_box(move, clearance) for path in toolpath.paths for cut in path.cuts for move in cut.moves]
    lows, highs = zip(*boxes, strict=True) if boxes else ((), ())

    def extent(axis: int) -> float:
        low = [box[axis] for box in lows if not math.isnan(box[axis])]
        high = [box[axis] for box in highs if not math.isnan(box[axis])]
        return max(high) - min(low) if low else 0.0

    return extent(0), extent(1), extent(2)


def _box(move: Move, clearance_mm: float) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    if isinstance(move, TraverseHeight):
        return (math.nan, math.nan, move.z_mm), (math.nan, math.nan, move.z_mm)
    if isinstance(move, TraversePlane):
        point = (move.x_mm, move.y_mm, clearance_mm)
        return point, point
    if isinstance(move, Drill):
        return (move.x_mm, move.y_mm, move.bottom_mm), (move.x_mm, move.y_mm, move.above_mm)
    if isinstance(move, Arc):
        radius = math.hypot(move.x_mm - move.centre_x_mm, move.y_mm - move.centre_y_mm)
        return ((move.centre_x_mm - radius, move.centre_y_mm - radius, move.z_mm),
                (move.centre_x_mm + radius, move.centre_y_mm + radius, move.z_mm))  # fmt: skip
    point = (move.x_mm, move.y_mm, move.z_mm)
    return point, point
