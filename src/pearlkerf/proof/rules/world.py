"""Rules 4 and 5 for what is unknown and for what lies below: nothing goes down blind, nothing goes into the bed."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run, cutter_radius_mm, per_motion
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.reading.motions import PROGRAM_STOP, Finding

Ints = NDArray[np.int64]


def world_is_kept(run: Run) -> Iterator[Finding]:
    """Prove that nothing goes down where X or Y is unknown, that every stop is left upward, and that the bed is kept.

    A motion that ends below clearance ends at a known X and Y.  After a stop (M0) people may have moved
    the axes: the first motion is Z alone, up to clearance.  No motion of any kind comes below what lies
    beside the wood (a carrier's strip lies on a board) but within a feature that goes there, as a
    carrier's holes do, by CUT_MM at most beyond it.  Heights compare within ROUNDING_MM.
    """
    motions, clearance = run.reading.motions, run.machine.motion.clearance_mm
    blind = np.isnan(motions.end[:, :2]).any(axis=1) & ~(motions.end[:, 2] >= clearance - ROUNDING_MM)
    blind[:1] = False  # the very first motion is held by rule 4
    if blind.any():
        rows = np.flatnonzero(blind)
        yield run.tell(5, Alike(rows, clearance - np.nan_to_num(motions.end[rows, 2])), _blind)
    for event in run.reading.events:
        if event.kind == "stop" and event.value == PROGRAM_STOP and 0 < event.before < len(motions.kind):
            end = motions.end[event.before]
            if not (np.isnan(end[:2]).all() and end[2] >= clearance - ROUNDING_MM):
                message = (
                    f"does not first go straight up after the stop in line {event.line}: where the axes stand nobody "
                    f"knows, so the next motion must be Z alone, to {clearance:.2f} or more"
                )
                yield run.finding(4, message, run.line(event.before))
    yield from _bed_is_kept(run)


def _bed_is_kept(run: Run) -> Iterator[Finding]:
    pieces, floor = run.pieces, -run.setup.beside_mm
    lowest = np.minimum(pieces.start[:, 2], pieces.end[:, 2]) - pieces.slack
    low = np.flatnonzero(lowest < floor - ROUNDING_MM)
    if len(low):
        low = low[~_within_features(run, low)]
    if len(low):
        deepest = np.zeros(len(run.reading.motions.kind))
        np.maximum.at(deepest, pieces.motion[low], floor - lowest[low])
        rows = np.flatnonzero(deepest)
        yield run.tell(4, Alike(rows, deepest[rows]), _below)


def _within_features(run: Run, rows: Ints) -> NDArray[np.bool_]:
    """Say which pieces lie within a feature and its depth, at feed or at rapid; a drill's point may lie below."""
    pieces, count = run.pieces, len(run.reading.motions.kind)
    motion, slack = pieces.motion[rows], pieces.slack[rows]
    radius = cutter_radius_mm(run)[motion]
    point = per_motion(run.sections, [section.cutter.point_length_mm for section in run.sections], count)[motion]
    lift = np.column_stack([np.zeros((len(rows), 2)), point - slack])
    start, end = pieces.start[rows] + lift, pieces.end[rows] + lift
    within = np.zeros(len(rows), dtype=bool)
    for shape in run.shapes:
        outside = shape.outside_mm(start[:, :2], end[:, :2], radius) + slack
        inside = np.flatnonzero(outside <= CUT_MM + ROUNDING_MM)
        deep = shape.too_deep_mm(start[inside], end[inside], radius[inside])
        within[inside[deep <= CUT_MM + ROUNDING_MM]] = True
    within[within] = run.wood.distance_mm(start[within], end[within]) == 0  # a slot's strip runs on beside the wood
    return within


def _blind(_amount: float, _index: int) -> str:
    return "goes down where nobody knows X and Y; first go there at clearance by G0 X Y"


def _below(by: float, _index: int) -> str:
    return f"comes {in_mm(by)} below what the wood stands on"
