"""Cutter, shank and collet nut, held against the wood and what holds it, before anything is written."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from pearlkerf.errors import Problem
from pearlkerf.machine.holding import CLEAR_OF_HOLDING_MM
from pearlkerf.machine.model import Machine
from pearlkerf.setups.model import Box
from pearlkerf.setups.run_outs import Strokes
from pearlkerf.toolpath.moves import Arc, CutterPath, Toolpath, TraversePlane, follow
from pearlkerf.toolpath.tolerances import ROUNDING_MM


def in_the_way_of(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each box that a mill or drill, its shank or its nut would touch, with by how much.

    All stay CLEAR_OF_HOLDING_MM away, beside a box or above it, as boxes are measured by hand; traverses
    stay above every box, as nobody knows where they come from.
    """
    clearance = toolpath.machine.motion.clearance_mm
    boxes, machine = toolpath.setup.holding, toolpath.machine
    mills = [path for path in toolpath.paths if path.cutter.kind != "saw"] if boxes else []
    worst_of = [_worst_of(boxes, path, machine) for path in mills]
    for index, box in enumerate(boxes):
        if box.top_mm + CLEAR_OF_HOLDING_MM > clearance + ROUNDING_MM:
            yield _too_high(box, machine)
            continue
        worst = max((found[index] for found in worst_of), key=lambda found: found.by_mm, default=_NOTHING)
        if worst.by_mm > ROUNDING_MM:
            yield _touches(box, worst)


def nut_meets_wood(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each cutter whose shank or nut would come down on the wood, by how much.

    The highest wood counts, which is at the crown line, where Z is 0.
    """
    for path in toolpath.paths:
        cutter = path.cutter
        if cutter.kind == "saw" or toolpath.setup.purpose == "point":
            continue
        over = path.deepest_mm - cutter.sticks_out_mm
        if over > ROUNDING_MM:
            sticks = "sticks out" if cutter.stick_out_mm is not None else "is not said to stick out more than"
            yield Problem(
                key="cutter.stick_out",
                found=f"cutter {cutter.number} {sticks} {cutter.sticks_out_mm:.2f} mm and goes "
                f"{path.deepest_mm:.2f} mm deep: its collet nut would come down {over:.2f} mm below the highest wood",
                allowed=f"at least {path.deepest_mm:.2f} mm",
                hint=f"let it stick out more, and say stick_out = {path.deepest_mm:.2f} or more in the profile",
            )


@dataclass(frozen=True, slots=True)
class Found:
    """The worst that was found at a box: by how much, what touches, in which cut of which cutter."""

    by_mm: float
    what: str = ""
    cut: str = ""
    cutter: int = 0


_NOTHING = Found(0.0)


def _worst_of(boxes: Sequence[Box], path: CutterPath, machine: Machine) -> list[Found]:
    """Give the worst that a path does to each box; a box is held against what comes near it and low enough."""
    (strokes, cuts), worst = strokes_of(path), [_NOTHING] * len(boxes)
    if not cuts:
        return worst
    lines = np.asarray(shapely.linestrings(np.stack([strokes.start[:, :2], strokes.end[:, :2]], axis=1)))
    plans, tree = shapely.polygons([box.corners for box in boxes]), shapely.STRtree(lines)
    tops = np.array([box.top_mm for box in boxes]) + CLEAR_OF_HOLDING_MM
    for part in machine.hanging(path.cutter):
        low = np.flatnonzero(tops > float(strokes.lowest.min()) + part.above_tip_mm)
        reach = part.radius_mm + CLEAR_OF_HOLDING_MM
        west, south, east, north = shapely.bounds(plans[low]).T
        far = reach + float(strokes.wider.max()) + ROUNDING_MM
        pairs = tree.query(shapely.box(west - far, south - far, east + far, north + far))
        box, row = low[pairs[0]], pairs[1]
        beside = reach - (shapely.distance(lines[row], plans[box]) - strokes.wider[row])
        over = tops[box] - (strokes.lowest[row] + part.above_tip_mm)
        by = np.minimum(beside, over)
        first = np.lexsort((row, -by, box))  # of each box its worst, the earliest of several
        for index in first[np.unique(box[first], return_index=True)[1]]:
            if by[index] > worst[box[index]].by_mm:
                found = Found(float(by[index]), part.name, cuts[row[index]], path.cutter.number)
                worst[box[index]] = found
    return worst


def strokes_of(path: CutterPath) -> tuple[Strokes, tuple[str, ...]]:
    """Give all that a path does below its traverses, from where it is known to be, and the cut that each is of."""
    found = [
        (step, cut.name)
        for cut in path.cuts
        for step in follow(cut.moves)
        if not isinstance(step.move, TraversePlane) and not math.isnan(step.start[0])
    ]
    steps = [step for step, _ in found]
    start, end = (np.array([step[side] for step in steps]).reshape(-1, 3) for side in (0, 2))
    wider = np.array(
        [step.move.beyond_chord_mm(*step.start[:2]) if isinstance(step.move, Arc) else 0.0 for step in steps]
    )
    lowest = np.fmin(start[:, 2], [step.lowest_mm for step in steps])
    return Strokes(path.cutter, start, end, lowest, wider), tuple(name for _, name in found)


def _too_high(box: Box, machine: Machine) -> Problem:
    needed, runs = box.top_mm + CLEAR_OF_HOLDING_MM, machine.motion.clearance_mm
    return Problem(
        key=box.key or "holding",
        found=f"{box.name} stands {box.top_mm:.1f} mm above the wood, traverses run {runs:.1f} mm above it",
        allowed=f"at most {runs - CLEAR_OF_HOLDING_MM:.1f} mm",
        hint=f"use a lower clamp, or say motion.clearance = {needed:.1f} or more in the profile",
    )


def _touches(box: Box, found: Found) -> Problem:
    what = f"{'its' if found.what == 'shank' else 'the'} {found.what} of cutter {found.cutter}"
    hangs = "" if found.what == "cutter" else ", or let the cutter stick out more (stick_out in the profile)"
    return Problem(
        key=box.key or "holding",
        found=f"{what} would come {found.by_mm:.1f} mm too near to {box.name} in {found.cut}",
        allowed=f"{CLEAR_OF_HOLDING_MM:.1f} mm of air, beside it or above it",
        hint=f"move it {found.by_mm:.1f} mm farther away, or lower it{hangs}",
    )
