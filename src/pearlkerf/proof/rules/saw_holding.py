"""Rule 5 for a saw: neither its blade nor what turns beside it touches what holds the wood."""

from collections.abc import Callable, Iterator

import numpy as np
import shapely

from pearlkerf.proof.blade import span_mm
from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import ROUNDING_MM
from pearlkerf.reading.motions import Finding


def saw_clears_holding(run: Run) -> Iterator[Finding]:
    """Prove that no motion of a saw, at rapid or at feed, takes its blade or its arbor into a box.

    The blade counts exactly where its kerf passes over the box; what turns beside it counts at every x, as nobody
    says how far the arbor goes on.
    """
    blades = run.blades
    for box in run.setup.holding if len(blades.motion) else ():
        plan = shapely.Polygon(box.corners)
        low, high = (float(plan.bounds[side]) for side in (1, 3))
        blade = box.top_mm - blades.lowest_mm(span_mm(plan, *blades.x_mm()))
        beside = box.top_mm - blades.flange_above_mm(low, high) + blades.slack
        for deep, what in ((blade, "blade"), (beside, "flange or arbor")):
            bad = np.flatnonzero(deep > ROUNDING_MM)
            if len(bad):
                yield run.tell(5, Alike(blades.motion[bad], deep[bad]), _touches(what, box.name))


def _touches(what: str, name: str) -> Callable[[float, int], str]:
    return lambda deep, _index: f"runs the saw's {what} {in_mm(deep)} into {name}"
