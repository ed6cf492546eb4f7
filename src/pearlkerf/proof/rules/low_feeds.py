"""Rule 5 for ways through the air: below clearance nothing goes but in a feature, by the wood."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.blade import Blades, in_wood_mm
from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.runs import Run, cutter_radius_mm
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import AIR_ASIDE_MM, ROUNDING_MM, RUN_OUT_MM
from pearlkerf.reading.motions import RAPID, Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def low_feeds_stay_by_their_cuts(run: Run) -> Iterator[Finding]:
    """Prove that below clearance a feed, and what goes straight down or up, stays in a feature's plan, by the wood.

    What is cut is for other rules to hold, and so is a rapid in X or Y.  In the air stand, where nothing
    is cut, clamps that no file names: all of the cutter stays in the plan of a feature, by AIR_ASIDE_MM, and
    beside the wood it goes no farther than RUN_OUT_MM beyond where it is clear of it.  A blade stays in
    the strip of a slot; fed along, it has its lowest point over the wood, or so near that one larger by
    RUN_OUT_MM all round would still meet wood; going down or up, not farther off than its radius and
    RUN_OUT_MM.
    """
    yield from _mills(run)
    if len(run.blades.motion):
        yield from _blades(run)


def _mills(run: Run) -> Iterator[Finding]:
    pieces, cuts, radius = run.pieces, run.cuts, cutter_radius_mm(run)
    low = _low_ways(run, pieces.start, pieces.end, pieces.motion)
    if len(run.blades.motion):
        low &= ~np.isin(pieces.motion, run.blades.motion)
    in_air = low.copy()
    whole = np.maximum(pieces.start[cuts.piece, 2], pieces.end[cuts.piece, 2])
    in_air[cuts.piece[whole <= np.maximum(cuts.start[:, 2], cuts.end[:, 2])]] = False
    air = np.flatnonzero(in_air)
    lowest = np.minimum(pieces.start[air, 2], pieces.end[air, 2])
    yield from _told(run, pieces.motion[air], _outside_mm(run, air, radius), lowest)
    run_out = np.array([shape.runs_out for shape in run.shapes] + [False])  # the last for what is nobody's
    if run_out.any():
        in_air[cuts.piece[run_out[cuts.owner]]] = True
    rows = np.flatnonzero(in_air & low)
    places, which = _places(pieces.start[rows], pieces.end[rows])
    motion = pieces.motion[rows[which]]
    off = run.wood.off_mm(places[:, :2]) - radius[motion] - RUN_OUT_MM
    far = np.flatnonzero(off > ROUNDING_MM)
    if len(far):
        yield run.tell(5, Alike(motion[far], off[far] + RUN_OUT_MM), _runs_out)


def _outside_mm(run: Run, rows: Ints, radius: Floats) -> Floats:
    """Give a bound of how far each piece leaves the feature that it leaves least, (k,) mm; exact where that matters.

    Mostly a piece stays by the place where the next cut begins, or the last one ended; else the feature
    of the next cut is tried first.
    """
    pieces, cuts, outside = run.pieces, run.cuts, np.full(len(rows), np.inf)

    def leaves(feature: int, some: Ints) -> Floats:
        start, end = pieces.start[rows[some], :2], pieces.end[rows[some], :2]
        far = run.shapes[feature].outside_mm(start, end, radius[pieces.motion[rows[some]]])
        return np.asarray(far + pieces.slack[rows[some]])

    following = np.searchsorted(cuts.piece, rows)
    for cut, places in ((following, cuts.start), (following - 1, cuts.end)):
        known = np.flatnonzero((cut >= 0) & (cut < len(cuts.piece)))
        by, piece = cut[known], rows[known]
        off = [np.abs(each[piece, :2] - places[by, :2]).sum(axis=1) for each in (pieces.start, pieces.end)]
        alike = (cuts.owner[by] != NOBODYS) & (cuts.radius[by] == radius[pieces.motion[piece]])
        near = np.where(alike, cuts.outside[by] + np.maximum(*off) + pieces.slack[piece], np.inf)
        outside[known] = np.minimum(outside[known], near)
    stray = np.flatnonzero(outside > AIR_ASIDE_MM + ROUNDING_MM)
    owner = np.append(cuts.owner, NOBODYS)[following[stray]]
    for feature in np.unique(owner[owner != NOBODYS]).tolist():
        some = stray[owner == feature]
        outside[some] = leaves(feature, some)
    stray = np.flatnonzero(outside > AIR_ASIDE_MM + ROUNDING_MM)
    for feature in range(len(run.shapes)) if len(stray) else ():
        outside[stray] = np.minimum(outside[stray], leaves(feature, stray))
    return outside


def _blades(run: Run) -> Iterator[Finding]:
    blades = run.blades
    low = blades.some(_low_ways(run, blades.start, blades.end, blades.motion))
    air = low.some(~np.isin(low.motion, run.sawn.motion))
    yield from _told(run, air.motion, _blades_outside_mm(run, air), np.minimum(air.start[:, 2], air.end[:, 2]))
    places, which = _places(low.start, low.end)
    off = run.wood.off_mm(places[:, :2])
    along = _moves_along(low.start, low.end)[which]
    far = ~along & (off > low.radius[which] + RUN_OUT_MM)
    beside = np.flatnonzero(along & (off > 0))
    standing = low.some(which[beside]).standing(places[beside])
    far[beside] = np.isnan(in_wood_mm(standing, run.wood, RUN_OUT_MM)[:, 0])
    if far.any():
        rows = np.flatnonzero(far)
        yield run.tell(5, Alike(low.motion[which[rows]], off[rows]), lambda *_: (
            "takes a blade, low, past where it is clear of the wood, where clamps may stand; stay up there"
        ))  # fmt: skip


def _blades_outside_mm(run: Run, air: Blades) -> Floats:
    """Give a bound of how far each piece leaves the strip of the slot that it leaves least, (k,) mm.

    Mostly it stays at the X of what is sawn next, or was sawn last.
    """
    sawn, outside = run.sawn, np.full(len(air.motion), np.inf)
    following = np.searchsorted(sawn.motion, air.motion)
    for cut in (following, following - 1):
        known = np.flatnonzero((cut >= 0) & (cut < len(sawn.motion)))
        by = cut[known]
        aside = [np.abs(each[known, 0] - sawn.blades.start[by, 0]) for each in (air.start, air.end)]
        near = np.where(sawn.owner[by] != NOBODYS, sawn.outside[by] + np.maximum(*aside) + air.slack[known], np.inf)
        outside[known] = np.minimum(outside[known], near)
    stray = np.flatnonzero(outside > AIR_ASIDE_MM + ROUNDING_MM)
    some = air.some(stray)
    span = np.sort(np.column_stack([some.start[:, 1], some.end[:, 1]]), axis=1)
    for shape in run.shapes if len(stray) else ():
        if shape.for_saws is not None:
            outside[stray] = np.minimum(outside[stray], shape.for_saws.outside_mm(some, span) + some.slack)
    return outside


def _low_ways(run: Run, start: Floats, end: Floats, motion: Ints) -> NDArray[np.bool_]:
    """Say which pieces are feeds below clearance, or go straight down or up there."""
    low = np.minimum(start[:, 2], end[:, 2]) < run.machine.motion.clearance_mm - ROUNDING_MM
    return np.asarray(low & ((run.reading.motions.kind[motion] != RAPID) | ~_moves_along(start, end)))


def _moves_along(start: Floats, end: Floats) -> NDArray[np.bool_]:
    return np.asarray((start[:, 0] != end[:, 0]) | (start[:, 1] != end[:, 1]))


def _places(start: Floats, end: Floats) -> tuple[Floats, Ints]:
    """Give the places (m, 3) at which (k, 3) pieces end, and begin where the one before ends elsewhere, and whose."""
    begun = np.ones(len(start), dtype=bool)
    begun[1:] = (start[1:, 0] != end[:-1, 0]) | (start[1:, 1] != end[:-1, 1]) | (start[1:, 2] != end[:-1, 2])
    return np.concatenate([end, start[begun]]), np.concatenate([np.arange(len(start)), np.flatnonzero(begun)])


def _told(run: Run, motion: Ints, outside: Floats, heights: Floats) -> Iterator[Finding]:
    bad = np.flatnonzero(outside > AIR_ASIDE_MM + ROUNDING_MM)
    if len(bad):
        clearance = run.machine.motion.clearance_mm
        yield run.tell(5, Alike(motion[bad], outside[bad]), _sideways(heights[bad], clearance))


def _sideways(heights: Floats, clearance: float) -> Callable[[float, int], str]:
    return lambda _, index: (
        f"goes through the air at Z {heights[index]:.2f}, below the clearance of {clearance:.2f}, where nothing is to "
        "be cut; stay up there"
    )


def _runs_out(off: float, _index: int) -> str:
    return f"goes, low, {in_mm(off)} beyond where the cutter is clear of the wood; stay up there"
