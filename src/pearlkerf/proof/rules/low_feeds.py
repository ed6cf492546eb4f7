"""Rule 5 for feeds through the air: below clearance nothing moves sideways but in a feature, and by the wood."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.blade import Blades, in_wood_mm
from pearlkerf.proof.runs import Run, cutter_radius_mm
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM, RUN_OUT_MM
from pearlkerf.reading.motions import RAPID, Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def low_feeds_stay_by_their_cuts(run: Run) -> Iterator[Finding]:
    """Prove that a feed in X or Y below clearance stays where it cuts: in a feature's plan, and by the wood.

    What it cuts is for other rules to hold.  In the air it is held like a rapid, as clamps that no file
    names may stand there: all of the cutter stays in the plan of a feature, by CUT_MM, and beside the
    wood it goes no farther than RUN_OUT_MM beyond where it is clear of it.  A blade stays in the strip
    of a slot, and so near that one larger by RUN_OUT_MM all round would still meet wood.
    """
    yield from _mills(run)
    yield from _blades(run)


def _mills(run: Run) -> Iterator[Finding]:
    pieces, cuts, radius = run.pieces, run.cuts, cutter_radius_mm(run)
    rows = _low_ways(run, pieces.start, pieces.end, pieces.motion)
    if len(run.blades.motion):
        rows = rows[~np.isin(pieces.motion[rows], run.blades.motion)]
    in_air = np.ones(len(pieces.motion), dtype=bool)
    whole = np.maximum(pieces.start[cuts.piece, 2], pieces.end[cuts.piece, 2])
    in_air[cuts.piece[whole <= np.maximum(cuts.start[:, 2], cuts.end[:, 2])]] = False
    air = rows[in_air[rows]]
    start, end, slack = pieces.start[air, :2], pieces.end[air, :2], pieces.slack[air]
    outside = np.full(len(air), np.inf)
    for shape in run.shapes if len(air) else ():
        outside = np.minimum(outside, shape.outside_mm(start, end, radius[pieces.motion[air]]) + slack)
    yield from _told(run, pieces.motion[air], outside, np.minimum(pieces.start[air, 2], pieces.end[air, 2]))
    begun = np.ones(len(rows), dtype=bool)  # where the piece before ends elsewhere, or is none of these
    begun[1:] = (np.diff(rows) > 1) | (pieces.start[rows[1:]] != pieces.end[rows[:-1]]).any(axis=1)
    ends = np.concatenate([pieces.end[rows], pieces.start[rows[begun]]])
    motion = np.concatenate([pieces.motion[rows], pieces.motion[rows[begun]]])
    off = run.wood.off_mm(ends[:, :2]) - radius[motion] - RUN_OUT_MM
    far = np.flatnonzero(off > ROUNDING_MM)
    if len(far):
        yield run.tell(5, Alike(motion[far], off[far] + RUN_OUT_MM), _runs_out)


def _blades(run: Run) -> Iterator[Finding]:
    blades = run.blades
    feeds = _low_ways(run, blades.start, blades.end, blades.motion)
    air = blades.some(feeds[~np.isin(blades.motion[feeds], run.sawn.motion)])
    span = np.sort(np.column_stack([air.start[:, 1], air.end[:, 1]]), axis=1)
    outside = np.full(len(air.motion), np.inf)
    for shape in run.shapes if len(air.motion) else ():
        if shape.for_saws is not None:
            outside = np.minimum(outside, shape.for_saws.outside_mm(air, span) + air.slack)
    yield from _told(run, air.motion, outside, np.minimum(air.start[:, 2], air.end[:, 2]))
    some = blades.some(feeds)
    far = np.flatnonzero(_is_far(run, some, some.start) | _is_far(run, some, some.end))
    if len(far):
        yield run.tell(5, Alike(some.motion[far], np.abs(some.end[far, 1])), lambda *_: (
            "feeds a blade past where it is clear of the wood, low, where clamps may stand; lift first"
        ))  # fmt: skip


def _is_far(run: Run, blades: Blades, places: Floats) -> NDArray[np.bool_]:
    """Say which blades, standing at (k, 3) places, would not meet wood were they RUN_OUT_MM larger all round."""
    return np.isnan(in_wood_mm(blades.standing(places), run.wood, RUN_OUT_MM)[:, 0])


def _low_ways(run: Run, start: Floats, end: Floats, motion: Ints) -> Ints:
    """Give which pieces are feeds that move in X or Y below clearance."""
    sideways = (start[:, :2] != end[:, :2]).any(axis=1)
    low = np.minimum(start[:, 2], end[:, 2]) < run.machine.motion.clearance_mm - ROUNDING_MM
    return np.flatnonzero(sideways & low & (run.reading.motions.kind[motion] != RAPID))


def _told(run: Run, motion: Ints, outside: Floats, heights: Floats) -> Iterator[Finding]:
    bad = np.flatnonzero(outside > CUT_MM + ROUNDING_MM)
    if len(bad):
        yield run.tell(5, Alike(motion[bad], outside[bad]), _sideways(heights[bad], run.machine.motion.clearance_mm))


def _sideways(heights: Floats, clearance: float) -> Callable[[float, int], str]:
    return lambda _, index: (
        f"feeds sideways through the air at Z {heights[index]:.2f}, below the clearance of {clearance:.2f}, where "
        "nothing is to be cut; lift first"
    )


def _runs_out(off: float, _index: int) -> str:
    return f"feeds sideways, low, {in_mm(off)} beyond where the cutter is clear of the wood; lift first"
