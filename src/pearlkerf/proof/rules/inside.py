"""Rule 6: nothing is cut outside a demanded feature, or deeper than it."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# a cut that lies so far from every feature belongs to none of them
FAR_MM = 5.0


def cuts_stay_inside(run: Run) -> Iterator[Finding]:
    """Prove that no cut leaves its feature by more than CUT_MM, a pocket by more than POCKET_WALL_MM, or goes below
    its floor by more than CUT_MM.

    How far a straight cut leaves a feature anywhere on its way, and goes below its floor, each says of
    itself (shapes/), never too little; arcs are followed along chords, at most ARC_SAGITTA_MM stricter.
    A cutter's whole disc counts as flat at its tip, whatever its shape; a drill's point is excused.
    A through slot may run on beyond the wood.  Under a crown the floor counts where it is highest
    under the disc; a conical crown and the rise between compared points are bounded on the strict
    side, for a 0.6 mm cutter and cones that widen by up to a third by less than 0.001 mm.
    """
    yield from _outside(run)
    yield from _too_deep(run)


def worst_outside_mm(run: Run) -> float:
    """Give how far the farthest cut leaves its feature, mm; 0 where none does."""
    return max(0.0, float(run.cuts.outside.max(initial=0.0)))


def _outside(run: Run) -> Iterator[Finding]:
    cuts = run.cuts
    stray = np.flatnonzero(cuts.owner == NOBODYS)
    if len(stray) and not run.shapes:
        alike = Alike(cuts.motion[stray], -cuts.end[stray, 2])
        yield run.tell(6, alike, lambda *_: "cuts wood, but nothing is to be cut here")
        return
    for feature in np.unique(cuts.nearest[stray]):
        rows = stray[cuts.nearest[stray] == feature]
        far = cuts.outside[rows] > FAR_MM
        name = run.shapes[feature].feature.name
        for some, wording in (
            (rows[~far], "cuts {amount} outside {name} (at {place})"),
            (rows[far], "cuts wood where nothing is to be cut, at {place}, {amount} from {name}"),
        ):
            if len(some):
                phrase = _placed(run, int(feature), _farther_ends(run, some, int(feature)), wording)
                yield run.tell(6, Alike(cuts.motion[some], cuts.outside[some], name), phrase)


def _farther_ends(run: Run, rows: Ints, feature: int) -> Floats:
    """Give the end of each cut (k, 3) that lies farther outside a feature."""
    cuts, shape = run.cuts, run.shapes[feature]
    start, end, radius = cuts.start[rows], cuts.end[rows], cuts.radius[rows]
    first = shape.outside_mm(start[:, :2], start[:, :2], radius)
    last = shape.outside_mm(end[:, :2], end[:, :2], radius)
    return np.where((first > last)[:, None], start, end)


def _too_deep(run: Run) -> Iterator[Finding]:
    cuts = run.cuts
    suspects = np.unique(cuts.owner[(cuts.owner != NOBODYS) & (run.below > CUT_MM + ROUNDING_MM)])
    for feature in suspects.tolist():
        shape, rows = run.shapes[feature], cuts.of(feature)
        deep = run.below[rows]
        bad = deep > CUT_MM + ROUNDING_MM
        some = rows[bad]
        low = np.where((cuts.start[some, 2] < cuts.end[some, 2])[:, None], cuts.start[some], cuts.end[some])
        phrase = _placed(run, feature, low, "cuts {amount} too deep in {name} (at {place})")
        yield run.tell(6, Alike(cuts.motion[some], deep[bad], shape.feature.name), phrase)


def _placed(run: Run, feature: int, places: Floats, wording: str) -> Callable[[float, int], str]:
    """Give a phrase that names the amount, the feature, where it helps the side, and the place."""
    shape = run.shapes[feature]

    def phrase(amount: float, index: int) -> str:
        x, y, z = places[index]
        place = f"X {x:.2f} Y {y:.2f} Z {z:.3f}"
        return wording.format(amount=in_mm(amount), name=f"{shape.feature.name}{shape.side(y)}", place=place)

    return phrase


def deepest_below_mm(run: Run) -> float:
    """Give how far the deepest cut goes below its feature's floor, mm; 0 where none does."""
    return max(0.0, float(run.below.max(initial=0.0)))
