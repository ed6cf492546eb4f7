"""Rule 5 for what holds the wood: no mill, drill, shank, nut or spindle touches a clamp, jaw or fence."""

from collections.abc import Callable, Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import ROUNDING_MM
from pearlkerf.reading.motions import RAPID, Finding
from pearlkerf.setups.model import Box

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def nothing_touches_holding(run: Run) -> Iterator[Finding]:
    """Prove that no motion, at rapid or at feed, takes a mill or drill, or what it hangs in, into a box.

    Each part counts as an upright cylinder without an underside: touching is to be nearer in plan than
    its radius while its lower end lies below the box's top.  A feed counts along its way at its lower
    end's height, an arc by its chords and their slack; a rapid with its whole box in plan, as some
    controllers do not move straight.  A motion across from a place that nobody knows counts as
    touching every box that is higher.  A saw is ``saw_clears_holding``'s.
    """
    for box in run.setup.holding:
        plan = shapely.Polygon(box.corners)
        shapely.prepare(plan)
        for section in run.sections:
            if section.cutter.kind != "saw":
                yield from _of_section(run, section, box, plan)


def _of_section(run: Run, section: Section, box: Box, plan: shapely.Polygon) -> Iterator[Finding]:
    ways, lowest, slack, motion = _ways(run, section)
    away = np.where(shapely.is_missing(ways), 0.0, shapely.distance(ways, plan)) - slack
    for part in run.machine.hanging(section.cutter):
        deep = box.top_mm - (lowest + part.above_tip_mm)
        bad = np.flatnonzero((deep > ROUNDING_MM) & (away < part.radius_mm - ROUNDING_MM))
        if len(bad):
            by = np.minimum(deep, part.radius_mm - away)[bad]
            yield run.tell(5, Alike(motion[bad], by), _runs_into(part.name, box.name))


def _ways(run: Run, section: Section) -> tuple[NDArray[np.object_], Floats, Floats, Ints]:
    """Give the plans of a section's ways, None where nobody knows; their lowest heights, slack and motions."""
    motions, pieces = run.reading.motions, run.pieces
    own = (pieces.motion >= section.first) & (pieces.motion < section.last)
    feeds = np.flatnonzero(own & (motions.kind[pieces.motion] != RAPID))
    rapids = np.arange(section.first, section.last)[motions.kind[section.first : section.last] == RAPID]
    start, end = motions.start[rapids], motions.end[rapids]
    low, high = np.minimum(start, end)[:, :2], np.maximum(start, end)[:, :2]
    unknown = np.isnan(low).any(axis=1)
    corners = np.where(unknown[:, None], 0.0, np.hstack([low, high])).T
    boxes = np.array(shapely.box(*corners), dtype=object)
    boxes[unknown] = None
    across = ~unknown | ~_stays(start, end)  # straight up from where nobody knows: as at the very start
    rapids, boxes = rapids[across], boxes[across]
    lines = shapely.linestrings(np.stack([pieces.start[feeds, :2], pieces.end[feeds, :2]], axis=1))
    lowest = np.concatenate([np.minimum(pieces.start[feeds, 2], pieces.end[feeds, 2]), np.fmin(start, end)[across, 2]])
    return (
        np.concatenate([lines, boxes]),
        np.where(np.isnan(lowest), -np.inf, lowest),
        np.concatenate([pieces.slack[feeds], np.zeros(len(rapids))]),
        np.concatenate([pieces.motion[feeds], rapids]),
    )


def _stays(start: Floats, end: Floats) -> NDArray[np.bool_]:
    """Say which motions keep their place in plan, known or not."""
    same = (start[:, :2] == end[:, :2]) | (np.isnan(start[:, :2]) & np.isnan(end[:, :2]))
    return np.asarray(same.all(axis=1))


def _runs_into(what: str, name: str) -> Callable[[float, int], str]:
    return lambda deep, _index: f"runs the {what} {in_mm(deep)} into {name}"
