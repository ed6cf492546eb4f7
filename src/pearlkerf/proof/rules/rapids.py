"""Rule 5: no rapid goes through wood."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import spread_points
from pearlkerf.proof.cover import Discs, close_spacing_mm, disc_gap
from pearlkerf.proof.runs import Run, cutter_radius_mm
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import OPENING_MARGIN_MM, ROUNDING_MM, SAME_PLACE_MM
from pearlkerf.reading.motions import LINE, RAPID, Finding

Floats = NDArray[np.float64]


def rapids_stay_clear(run: Run, earlier: Sequence[Run]) -> Iterator[Finding]:
    """Prove that no rapid can meet wood.

    A rapid in X or Y lies at or above clearance with its whole box, as some controllers do not move
    straight.  A rapid in Z alone may go below the wood's raw top only beside the wood, or where the
    disc of the cutter's radius and OPENING_MARGIN_MM is open already down to its lowest point, by
    cuts before it in this program or in those ``earlier`` of the setup; or where the same
    section has fed straight down in the same place (within SAME_PLACE_MM) at least as deep, beyond which
    a controller's own return may not reach.  Heights compare within ROUNDING_MM.
    """
    motions, clearance = run.reading.motions, run.machine.motion.clearance_mm
    rapid = motions.kind == RAPID
    start, end = motions.start, motions.end
    lowest = np.fmin(start[:, 2], end[:, 2])
    sideways = ~((start[:, :2] == end[:, :2]) | (np.isnan(start[:, :2]) & np.isnan(end[:, :2]))).all(axis=1)
    known = ~np.isnan(start[:, 2]) & ~np.isnan(end[:, 2])
    flat = np.flatnonzero(rapid & sideways & ~(known & (lowest >= clearance - ROUNDING_MM)))
    if len(flat):
        yield run.tell(5, Alike(flat, clearance - np.nan_to_num(lowest[flat])), _sideways(clearance))
    radius = cutter_radius_mm(run)
    rapid[run.blades.motion] = False  # a saw's own rule follows its blade
    low = lowest < run.setup.stock.highest_mm - ROUNDING_MM
    upright = np.flatnonzero(rapid & ~sideways & ~np.isnan(end).any(axis=1) & low)
    around = radius[upright] + OPENING_MARGIN_MM
    top = run.wood.highest_top_mm(end[upright], end[upright], around)
    below = upright[lowest[upright] < top - ROUNDING_MM]
    around = radius[below] + OPENING_MARGIN_MM
    below = below[run.wood.distance_mm(end[below], end[below]) < around - ROUNDING_MM]
    bad = [motion for motion in below.tolist() if not _is_open(run, earlier, motion, float(lowest[motion]), radius)]
    if bad:
        yield run.tell(5, Alike(bad, -lowest[bad]), _upright)


def _sideways(clearance: float) -> Callable[[float, int], str]:
    return lambda below, _: (
        f"moves sideways at rapid at Z {clearance - below:.2f}, below the clearance of {clearance:.2f}; "
        "lift first, or feed (G1)"
    )


def _upright(depth: float, _index: int) -> str:
    return (
        f"moves at rapid at Z {-depth:.2f}, below the wood's top, where the opening is not 0.5 mm wider than the "
        "cutter; feed there (G1)"
    )


def _is_open(run: Run, earlier: Sequence[Run], motion: int, lowest: float, radius: Floats) -> bool:
    place, own = run.reading.motions.end[motion, :2], float(radius[motion])
    if _is_own_hole(run, motion, lowest):
        return True
    parts = []
    for each in (*earlier, run):
        cuts = each.cuts
        upright = (cuts.start[:, :2] == cuts.end[:, :2]).all(axis=1)  # it stood at its lower end, too
        ends = np.sort(np.stack([cuts.start[:, 2], cuts.end[:, 2]]), axis=0)
        deep = np.where(upright, ends[0], ends[1]) + cuts.point <= lowest + ROUNDING_MM
        near = np.linalg.norm((cuts.start + cuts.end)[:, :2] / 2 - place, axis=1) <= (
            np.linalg.norm((cuts.end - cuts.start)[:, :2], axis=1) / 2 + cuts.radius + own + OPENING_MARGIN_MM
        )
        before = cuts.motion < motion if each is run else np.ones(len(cuts.motion), dtype=bool)
        rows = np.flatnonzero(deep & near & before & (cuts.flat > 0))
        index, share = spread_points(cuts.start[rows], cuts.end[rows], close_spacing_mm(cuts.radius[rows]))
        start, end = cuts.start[rows][index, :2], cuts.end[rows][index, :2]
        parts.append((start + (end - start) * share[:, None] - place, (cuts.flat[rows] - cuts.slack[rows])[index]))
    centre, radii = np.concatenate([part[0] for part in parts]), np.concatenate([part[1] for part in parts])
    return disc_gap(own + OPENING_MARGIN_MM, Discs.whole(centre, radii)) is None


def _is_own_hole(run: Run, motion: int, lowest: float) -> bool:
    """Say whether this cutter has been fed straight down here before, at least as deep, through wood or none."""
    motions = run.reading.motions
    begun = max((section.first for section in run.sections if section.first <= motion), default=motion)
    place, before = motions.end[motion, :2], slice(begun, motion)
    here = (np.abs(motions.start[before, :2] - place) <= SAME_PLACE_MM).all(axis=1)
    here &= (np.abs(motions.end[before, :2] - place) <= SAME_PLACE_MM).all(axis=1)
    here &= motions.kind[before] == LINE
    return bool((motions.end[before, 2][here] <= lowest + ROUNDING_MM).any())
