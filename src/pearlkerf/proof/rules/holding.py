"""Rule 5 for what holds the wood: no mill, drill, shank, nut or spindle touches a clamp, jaw or fence."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.machine.model import SpindlePart
from pearlkerf.proof.counting import pages
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
    boxes = run.setup.holding
    mills = [section for section in run.sections if section.cutter.kind != "saw"] if boxes else []
    found = [_of_section(run, section, boxes) for section in mills]
    for index in range(len(boxes)):
        for of_boxes in found:
            yield from of_boxes.get(index, ())


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """What one cutter does in plan: straight ways (k, 2), or the boxes of rapids, nan where nobody knows them."""

    start: Floats  # (k, 2) mm
    end: Floats  # (k, 2) mm
    is_box: NDArray[np.bool_]
    lowest: Floats  # mm
    slack: Floats  # mm
    motion: Ints

    def drawn(self, rows: slice) -> NDArray[np.object_]:
        """Give the plans of some of them, None where nobody knows them."""
        start, end, is_box = self.start[rows], self.end[rows], self.is_box[rows]
        known = ~np.isnan(start + end).any(axis=1)
        box, line = known & is_box, known & ~is_box
        drawn = np.full(len(start), None, dtype=object)
        drawn[box] = shapely.box(*np.minimum(start[box], end[box]).T, *np.maximum(start[box], end[box]).T)
        drawn[line] = shapely.linestrings(np.stack([start[line], end[line]], axis=1))
        return drawn


@dataclass(frozen=True, slots=True, eq=False)
class Hits:
    """Ways (k,) that take some part of what hangs in the spindle into a box, and by how much."""

    box: Ints
    way: Ints
    by_mm: Floats


def _of_section(run: Run, section: Section, boxes: Sequence[Box]) -> dict[int, list[Finding]]:
    """Give what is found of a section at each box."""
    ways = _ways(run, section)
    parts = run.machine.hanging(section.cutter)
    found: dict[int, list[Finding]] = {}
    paged = [_hits(ways, page, parts, boxes) for page in pages(len(ways.motion))]
    for number, part in enumerate(parts):
        hits = [each[number] for each in paged]
        box, way, by = (np.concatenate([getattr(each, name) for each in hits]) if hits else np.zeros(0, dtype=int)
                        for name in Hits.__slots__)  # fmt: skip
        order = np.lexsort((way, box))
        for own in np.split(order, np.flatnonzero(np.diff(box[order])) + 1) if len(order) else ():
            index, alike = int(box[own[0]]), Alike(ways.motion[way[own]], by[own])
            found.setdefault(index, []).append(run.tell(5, alike, _runs_into(part.name, boxes[index].name)))
    return found


def _hits(ways: Ways, page: slice, parts: Sequence[SpindlePart], boxes: Sequence[Box]) -> list[Hits]:
    """Give what some ways do to boxes, for each part; a box is held against what comes near it and low enough."""
    drawn, lowest, slack = ways.drawn(page), ways.lowest[page], ways.slack[page]
    plans, tree = shapely.polygons([box.corners for box in boxes]), shapely.STRtree(drawn)
    unknown, tops = shapely.is_missing(drawn), np.array([box.top_mm for box in boxes])
    anywhere, hits = np.flatnonzero(unknown), []
    for part in parts:
        low = np.flatnonzero(tops - (lowest.min() + part.above_tip_mm) > ROUNDING_MM)
        near = tree.query(_round_about(plans[low], part.radius_mm + float(slack.max()) + ROUNDING_MM))
        box = np.concatenate([low[near[0]], np.repeat(low, len(anywhere))])
        row = np.concatenate([near[1], np.tile(anywhere, len(low))])
        away = np.where(unknown[row], 0.0, shapely.distance(drawn[row], plans[box])) - slack[row]
        deep = tops[box] - (lowest[row] + part.above_tip_mm)
        bad = (deep > ROUNDING_MM) & (away < part.radius_mm - ROUNDING_MM)
        hits.append(Hits(box[bad], row[bad] + page.start, np.minimum(deep, part.radius_mm - away)[bad]))
    return hits


def _round_about(plans: NDArray[np.object_], reach: float) -> NDArray[np.object_]:
    """Give what holds everything that comes nearer than ``reach``: box by box, as ways of no length have no distance
    that a tree would know."""
    west, south, east, north = shapely.bounds(plans).T
    return np.asarray(shapely.box(west - reach, south - reach, east + reach, north + reach))


def _ways(run: Run, section: Section) -> Ways:
    """Give a section's ways, feeds first."""
    motions, pieces = run.reading.motions, run.pieces
    own = (pieces.motion >= section.first) & (pieces.motion < section.last)
    feeds = np.flatnonzero(own & (motions.kind[pieces.motion] != RAPID))
    rapids = np.arange(section.first, section.last)[motions.kind[section.first : section.last] == RAPID]
    start, end = motions.start[rapids], motions.end[rapids]
    # straight up from where nobody knows, as at the very start, is no way
    across = ~np.isnan(start + end)[:, :2].any(axis=1) | ~_stays(start, end)
    rapids, start, end = rapids[across], start[across], end[across]
    lowest = [np.minimum(pieces.start[feeds, 2], pieces.end[feeds, 2]), np.fmin(start, end)[:, 2]]
    return Ways(
        np.concatenate([pieces.start[feeds, :2], start[:, :2]]),
        np.concatenate([pieces.end[feeds, :2], end[:, :2]]),
        np.repeat([False, True], [len(feeds), len(rapids)]),
        np.nan_to_num(np.concatenate(lowest), nan=-np.inf, posinf=np.inf, neginf=-np.inf),
        np.concatenate([pieces.slack[feeds], np.zeros(len(rapids))]),
        np.concatenate([pieces.motion[feeds], rapids]),
    )


def _stays(start: Floats, end: Floats) -> NDArray[np.bool_]:
    """Say which motions keep their place in plan, known or not."""
    same = (start[:, :2] == end[:, :2]) | (np.isnan(start[:, :2]) & np.isnan(end[:, :2]))
    return np.asarray(same.all(axis=1))


def _runs_into(what: str, name: str) -> Callable[[float, int], str]:
    return lambda deep, _index: f"runs the {what} {in_mm(deep)} into {name}"
