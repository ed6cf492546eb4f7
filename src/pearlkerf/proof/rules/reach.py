"""Rule 8 for what hangs above the cutter: no shank, nut or spindle comes down on the wood."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.model import SpindlePart
from pearlkerf.proof.counting import counted
from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import DEEPER_BITE_MM, REACH_STEP_MM, ROUNDING_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def only_cutters_meet_wood(run: Run) -> Iterator[Finding]:
    """Prove that nothing wider than a mill or drill, and above it, comes lower than the raw top, cut or not.

        |   nut   |     The crown stands higher than the edge where the tip is deep: what is wide
        |_________|     meets it although no cut is deeper than the cutter reaches.
    ___....--|--...
             |  fret

    Each part counts as an upright cylinder without an underside, over the highest wood within its
    radius, along ways of REACH_STEP_MM at their lower end; it may be lower by DEEPER_BITE_MM, as a
    cut may be deeper than the reach.  Ways at rapid count too.  Motions whose place nobody knows are
    for rule 4 to hold: they lift.  A saw's flange is ``sawing_is_right``'s.
    """
    for section in run.sections:
        if section.cutter.kind != "saw":
            for part in run.machine.hanging(section.cutter):
                if part.radius_mm > section.cutter.radius_mm + ROUNDING_MM:
                    yield from _comes_down(run, section, part)


def _comes_down(run: Run, section: Section, part: SpindlePart) -> Iterator[Finding]:
    start, end, slack, motion = _low_ways(run, section, part)
    reach = part.radius_mm + slack
    deep = run.wood.highest_top_mm(start, end, reach) - np.minimum(start[:, 2], end[:, 2]) - part.above_tip_mm
    rows = np.flatnonzero(deep > DEEPER_BITE_MM + ROUNDING_MM)
    rows = rows[run.wood.distance_mm(start[rows], end[rows]) < reach[rows]]
    if len(rows):
        yield run.tell(8, Alike(motion[rows], deep[rows]), _runs_into(part.name))


def _low_ways(run: Run, section: Section, part: SpindlePart) -> tuple[Floats, Floats, Floats, Ints]:
    """Give a section's straight ways on which a part is low, by the wood, in steps: ends (k, 3), slack, motions."""
    pieces = run.pieces
    highest = run.setup.stock.highest_mm
    own = (pieces.motion >= section.first) & (pieces.motion < section.last)
    low = np.flatnonzero(own & (np.minimum(pieces.start[:, 2], pieces.end[:, 2]) < highest - part.above_tip_mm))
    away = run.wood.distance_mm(pieces.start[low], pieces.end[low]) >= part.radius_mm + pieces.slack[low]
    low = low[~away]  # a way that is nowhere by the wood is in none of its steps
    way = pieces.end[low] - pieces.start[low]
    steps = np.maximum(np.ceil(np.linalg.norm(way[:, :2], axis=1) / REACH_STEP_MM), 1).astype(np.int64)
    piece, number = counted(steps)
    stride = (way / steps[:, None])[piece]
    start = pieces.start[low][piece] + stride * number[:, None]
    return start, start + stride, pieces.slack[low][piece], pieces.motion[low][piece]


def _runs_into(what: str) -> Callable[[float, int], str]:
    return lambda deep, _index: f"brings the {what} {in_mm(deep)} down into the wood"
