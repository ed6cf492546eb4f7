"""Rule 8: no bite is deeper than the cutter may take, none deeper than it reaches, no forbidden plunge."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

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
    also by programs run ``earlier``; its points lie MAP_PITCH of the smallest radius apart (across
    a slot at most twice that, from twice WALL_STRIP_MM inside its walls, along it SLOT_PITCH), so
    strips thinner than that do not count. A bite is
    what a cut lowers a point by; what the cutter itself has removed within LAG of its radius of way
    counts as not yet removed, and going down more steeply than RAMP_DEG makes no way: no plunge
    hides in a chain of short moves. A bite may exceed the cutter's by DEEPER_BITE_MM. No point is
    cut further below the raw top than the cutter's reach, by the same. A cutter that does not
    plunge goes down into wood no more steeply than PLUNGE_DEG. Where passes to and fro or a helix
    are so regular that a bound tells as much, no map is made. A saw of which the profile does not
    say kerf, flange and lowest_teeth cannot be followed: it is refused.
    """
    bite, reach, steep = _limits(run)
    of_features = [run.cuts.of(feature) for feature in range(len(run.shapes))]
    deep = [
        feature
        for feature, rows in enumerate(of_features)
        if len(rows) and not _is_bearable(run, feature, rows, (bite, reach, steep))
    ]
    met = meet(run, earlier, deep)
    for feature in deep:
        rows, name = of_features[feature], run.shapes[feature].feature.name
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


def _limits(run: Run) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Give each cut's greatest bite and reach, mm, and whether it is a plunge that its cutter may not make."""
    count = len(run.reading.motions.kind)
    figures = [cutting_figures(run.machine, section.cutter, run.setup.wood) for section in run.sections]
    bite = per_motion(run.sections, [each.bite_mm for each in figures], count)[run.cuts.motion]
    reach = per_motion(run.sections, [section.cutter.reach_mm for section in run.sections], count)[run.cuts.motion]
    plunges = [section.cutter.plunges and section.cutter.kind != "saw" for section in run.sections]
    forbidden = per_motion(run.sections, [float(not each) for each in plunges], count)[run.cuts.motion] > 0
    delta = run.cuts.end - run.cuts.start
    drop = -delta[:, 2] - LEAST_STEP_MM[run.machine.dialect.unit]
    steep = drop > np.linalg.norm(delta[:, :2], axis=1) * math.tan(math.radians(PLUNGE_DEG)) + ROUNDING_MM
    return bite, reach, forbidden & steep


def _is_bearable(run: Run, feature: int, rows: Ints, limits: tuple[Floats, Floats, NDArray[np.bool_]]) -> bool:
    """Say whether bounds tell that no cut in a feature can be too deep, whatever was cut before."""
    bite, reach, steep = (limit[rows] for limit in limits)
    deepest = -np.minimum(run.cuts.start[rows, 2], run.cuts.end[rows, 2])
    if steep.any() or (deepest > reach + DEEPER_BITE_MM).any():
        return False
    if (deepest <= bite + DEEPER_BITE_MM).all():
        return True
    return run.shapes[feature].greatest_bite_mm(run.inside[feature]) <= float(bite.min()) + DEEPER_BITE_MM


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
