"""Rules 4 and 5 for what is unknown and for what lies below: nothing goes down blind, nothing goes into the bed."""

from collections.abc import Iterator

import numpy as np

from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.reading.motions import PROGRAM_STOP, Finding


def world_is_kept(run: Run) -> Iterator[Finding]:
    """Prove that nothing goes down where X or Y is unknown, that every stop is left upward, and that the bed is kept.

    A motion that ends below clearance ends at a known X and Y.  After a stop (M0) people may have moved
    the axes: the first motion is Z alone, up to clearance.  No motion of any kind comes below what the
    wood stands on, but cuts in features that go there, as a carrier's holes do, by CUT_MM at most
    beyond them.  Heights compare within ROUNDING_MM.
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
    pieces, floor = run.pieces, -run.setup.standing_mm
    lowest = np.minimum(pieces.start[:, 2], pieces.end[:, 2]) - pieces.slack
    low = np.zeros(len(run.reading.motions.kind), dtype=bool)
    low[pieces.motion[lowest < floor - ROUNDING_MM]] = True
    deep = run.cuts.owner != NOBODYS
    deep &= run.below <= CUT_MM + ROUNDING_MM
    low[run.cuts.motion[deep]] = False
    rows = np.flatnonzero(low)
    if len(rows):
        ends = np.fmin(run.reading.motions.start[rows, 2], run.reading.motions.end[rows, 2])
        yield run.tell(4, Alike(rows, floor - np.nan_to_num(ends)), _below)


def _blind(_amount: float, _index: int) -> str:
    return "goes down where nobody knows X and Y; first go there at clearance by G0 X Y"


def _below(by: float, _index: int) -> str:
    return f"comes {in_mm(by)} below what the wood stands on"
