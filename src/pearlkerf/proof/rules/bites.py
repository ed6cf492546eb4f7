"""Rule 8: no bite is deeper than the cutter may take, none deeper than it reaches, no forbidden plunge."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.heights import meet
from pearlkerf.proof.runs import Run, per_motion
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import DEEPER_BITE_MM, LEAST_STEP_MM, PLUNGE_DEG, ROUNDING_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def bites_are_bearable(run: Run, earlier: Sequence[Run]) -> Iterator[Finding]:
    """Prove that each cut takes no more depth than its cutter may, in the wood as it stands by then.

    The wood is a map of heights over each feature, lowered cut by cut in the order of execution,
    also by programs run ``earlier``; its points lie MAP_PITCH of the smallest radius apart, or as far
    as the feature's ``grid`` says, so strips thinner than that do not count. A bite is what a cut
    lowers a point by; what the cutter itself has removed within LAG of its radius of way
    counts as not yet removed, and going down more steeply than RAMP_DEG makes no way: no plunge
    hides in a chain of short moves. A bite may exceed the cutter's by DEEPER_BITE_MM. No point is
    cut further below the raw top than the cutter's reach, by the same. A cutter that does not
    plunge goes down into wood no more steeply than PLUNGE_DEG. Where passes to and fro or a helix
    are so regular that a bound tells as much, no map is made. A saw of which the profile does not
    say kerf, flange and lowest_teeth cannot be followed: it is refused.
    """
    every = _limits(run)
    bite, reach, steep = every.bite, every.reach, every.steep
    rows_of = [run.cuts.of(feature) for feature in range(len(run.shapes))]
    deep = [
        feature
        for feature, rows in enumerate(rows_of)
        if len(rows) and not _is_bearable(run, feature, every.some(rows))
    ]
    met = meet(run, earlier, deep)
    for feature in deep:
        rows, name = rows_of[feature], run.shapes[feature].feature.name
        for depths, limit, wording in (
            (met.bite, bite, f"takes {{}} of wood at once in {name} (at most {{}} with this cutter); take more passes"),
            (met.depth, reach, f"cuts {{}} deep in {name} (this cutter reaches {{}})"),
        ):
            depth = depths[rows]
            bad = depth > limit[rows] + DEEPER_BITE_MM + ROUNDING_MM
            yield from _told(run, Alike(rows[bad], depth[bad], name), limit, wording)
        down = steep[rows] & (met.bite[rows] > DEEPER_BITE_MM)
        wording = f"goes down {{}} into {name}, although its cutter does not plunge; ramp or bore instead"
        yield from _told(run, Alike(rows[down], met.bite[rows][down], name), bite, wording)
    yield from _unknown_saws(run)


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """Of cuts, (k,) each: the greatest bite and the reach, mm, and whether it is a plunge that is forbidden."""

    bite: Floats
    reach: Floats
    steep: NDArray[np.bool_]

    def some(self, rows: Ints) -> "Limits":
        """Give those of some cuts."""
        return Limits(self.bite[rows], self.reach[rows], self.steep[rows])


def _limits(run: Run) -> Limits:
    count = len(run.reading.motions.kind)
    figures = [cutting_figures(run.machine, section.cutter, run.setup.wood) for section in run.sections]
    bite = per_motion(run.sections, [each.bite_mm for each in figures], count)[run.cuts.motion]
    reach = per_motion(run.sections, [section.cutter.reach_mm for section in run.sections], count)[run.cuts.motion]
    plunges = [section.cutter.plunges and section.cutter.kind != "saw" for section in run.sections]
    forbidden = per_motion(run.sections, [float(not each) for each in plunges], count)[run.cuts.motion] > 0
    delta = run.cuts.end - run.cuts.start
    drop = -delta[:, 2] - LEAST_STEP_MM[run.machine.dialect.unit]
    steep = drop > np.linalg.norm(delta[:, :2], axis=1) * math.tan(math.radians(PLUNGE_DEG)) + ROUNDING_MM
    return Limits(bite, reach, forbidden & steep)


def _is_bearable(run: Run, feature: int, limits: Limits) -> bool:
    """Say whether bounds tell that no cut in a feature can be too deep, whatever was cut before."""
    cuts = run.inside[feature]
    deepest = run.setup.stock.highest_mm - np.minimum(cuts.start[:, 2], cuts.end[:, 2])
    if limits.steep.any() or (deepest > limits.reach + DEEPER_BITE_MM).any():
        return False
    if (deepest <= limits.bite + DEEPER_BITE_MM).all():
        return True
    return run.shapes[feature].greatest_bite_mm(cuts) <= float(limits.bite.min()) + DEEPER_BITE_MM


def _told(run: Run, alike: Alike, limit: Floats, wording: str) -> Iterator[Finding]:
    """Tell of cuts (the ``motions`` of ``alike`` are their rows) that go beyond their limit (all cuts', mm)."""
    rows = np.asarray(alike.motions)

    def phrase(deep: float, index: int) -> str:
        return wording.format(in_mm(deep), in_mm(float(limit[rows[index]])))

    if len(rows):
        yield run.tell(8, replace(alike, motions=run.cuts.motion[rows]), phrase)


def _unknown_saws(run: Run) -> Iterator[Finding]:
    for section in run.sections:
        motion = run.cuts.motion
        cuts = motion[(motion >= section.first) & (motion < section.last)]
        if section.cutter.kind == "saw" and len(cuts):
            message = f"cuts with cutter {section.cutter.number}, a saw, which this proof cannot follow"
            yield run.finding(8, message, run.line(int(cuts[0])))
