"""Rule 7: every demanded feature is cut to its full extent and depth."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import Discs, Gap, Lozenges, disc_gap, strip_gap
from pearlkerf.proof.floors import FloorLine, centre_ends, slot_ends
from pearlkerf.proof.rules.sawing import sawn_left
from pearlkerf.proof.runs import Claim, Run
from pearlkerf.proof.shapes import HoleShape, SlotShape
from pearlkerf.proof.sweep import UNDER_CUTTER, Swept, lips_mm, swept_closely, swept_roughly
from pearlkerf.proof.telling import in_mm, side_of
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM, THINNEST_STRIP_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
# a cover is first tried with few discs and strips down to this thickness (mm), which is mostly enough
ROUGH_THEN_CLOSE = ((swept_roughly, 0.004), (swept_closely, THINNEST_STRIP_MM))

# a disc reaches UNDER_CUTTER of its radius along a line that lies no more than this part of it off its centre
STILL_REACHES = math.sqrt(1 - UNDER_CUTTER**2)


def features_are_complete(runs: Sequence[Run], answerable: Sequence[int]) -> Iterator[Finding]:
    """Prove that features (``answerable``, indexes) are cut in full by a setup's programs together.

    A hole: every point of its disc, less CUT_MM at the wall, is swept at or below its shallowest
    floor plus CUT_MM, and, as its floor is flat, at or below the lowest that it is cut to anywhere
    plus CUT_MM.  A slot: its strip, less CUT_MM at either wall and at a stopped slot's ends,
    is swept along the whole wood; on the centre line down to the floor plus CUT_MM, toward the walls
    to the floor that a cutter of radius r can reach there, the one at max(abs(y) - r, 0), plus
    CUT_MM.  A slot wider than its cutter, cut in lanes, is held to the latter on the centre line too,
    and so is a stopped slot within a width of its ends, where no cutter gets lower.
    A slot within SLOT_CUTTER_MATCH_MM of its cutter is as wide as the cutter.  A slot in which a saw
    cuts is held by ``sawn_left``, whatever else is cut there.  What is left uncut never passes: discs
    on the path stand for its sweep (scallops of SCALLOP_MM, arcs chorded within ARC_SAGITTA_MM), and
    between lines of the cover convexity holds.  Nothing is excused.
    """
    run = runs[0]
    for feature in answerable:
        shape = run.shapes[feature]
        if isinstance(shape, HoleShape):
            left = hole_left(runs, feature, shape)
        elif any(len(run.sawn.of(feature)) for run in runs):
            left = sawn_left(runs, feature, shape)
        else:
            left = slot_left(runs, feature, shape)
        if left:
            yield Finding(7, left, runs[-1].file, feature=shape.feature.name)


def claimed(run: Run) -> tuple[list[int], list[Finding]]:
    """Give the features (indexes) that a program's header names, and a finding for what the board has not."""
    by_claim: dict[Claim, list[int]] = {}
    for number, shape in enumerate(run.shapes):
        by_claim.setdefault((shape.feature.group, shape.feature.number), []).append(number)
    missing = [claim for claim in run.claims if claim not in by_claim]
    findings = [
        run.finding(7, f"the header says that it cuts {group} {number}, but the {run.setup.name} setup has no such cut")
        for group, number in missing
    ]
    return [number for claim in run.claims for number in by_claim.get(claim, [])], findings


def hole_left(runs: Sequence[Run], feature: int, shape: HoleShape) -> str:
    """Say what is left of a hole; nothing where it is complete."""
    hole = shape.feature
    lips = [lips_mm(run.cuts, run.cuts.of(feature)) for run in runs]
    lowest = min((float(each.min()) for each in lips if len(each)), default=math.inf)
    if lowest == math.inf:
        return f"{hole.name} is not cut"
    if lowest > hole.shallowest_mm + CUT_MM + ROUNDING_MM:
        return f"{hole.name} is {in_mm(lowest - hole.shallowest_mm)} too shallow"
    too_deep = lowest < hole.deepest_mm - CUT_MM - ROUNDING_MM  # which rule 6 tells
    floor = hole.shallowest_mm if too_deep else lowest
    gap = _hole_gap(runs, feature, lips, floor)
    if gap is None:
        return ""
    whole = floor < hole.shallowest_mm and _hole_gap(runs, feature, lips, hole.shallowest_mm) is None
    x, y = shape.centre + gap.across * np.array([math.cos(gap.along), math.sin(gap.along)])
    if whole:
        return f"{hole.name} has no flat floor: at X {x:.2f} Y {y:.2f} it is higher than Z {lowest:.3f}, its lowest"
    return f"{hole.name} is not cut to its full size and depth at X {x:.2f} Y {y:.2f}"


def _hole_gap(runs: Sequence[Run], feature: int, lips: Sequence[Floats], floor_mm: float) -> Gap | None:
    """Give a place of a hole that is not cut down to a floor by cuts with these ``lips``; None where all of it is."""
    shape, level = runs[0].shapes[feature], floor_mm + CUT_MM + ROUNDING_MM
    assert isinstance(shape, HoleShape)
    gap: Gap | None = None
    for sweep, thinnest in ROUGH_THEN_CLOSE:
        swept = sweep(runs, feature, [each <= level for each in lips])
        low = swept.height <= level
        discs = Discs.whole(shape.local(swept.centre[low]), swept.flat[low])
        gap = disc_gap(shape.feature.diameter_mm / 2 - CUT_MM, discs, thinnest)
        if gap is None:
            return None
    return gap


def slot_left(runs: Sequence[Run], feature: int, shape: SlotShape) -> str:
    """Say what is left of a slot; nothing where it is complete."""
    rows = [run.cuts.of(feature) for run in runs]
    radii = np.unique(np.concatenate([run.cuts.radius[each] for run, each in zip(runs, rows, strict=True)]))
    if not len(radii):
        return f"{shape.feature.name} is not cut"
    floor = FloorLine.of(shape)
    width = float(shape.width_mm(radii).min())
    lanes = bool((np.abs(2 * radii - width) > ROUNDING_MM).any())
    useful = [_may_reach(run, each, shape, floor) for run, each in zip(runs, rows, strict=True)]
    gap: Gap | None = None
    for sweep, thinnest in ROUGH_THEN_CLOSE:
        swept = sweep(runs, feature, useful, floor)
        gap = _slot_gap(shape, floor, swept, Wanted(width, lanes, thinnest))
        if gap is None:
            return ""
    assert gap is not None
    x, y = shape.origin + shape.along * gap.along
    where = f"{shape.feature.name}{side_of(runs[0], y - shape.anchor[1])}"
    short = min(_too_high_at(run, each, shape, floor, gap.along) for run, each in zip(runs, rows, strict=True))
    if CUT_MM < short < math.inf:
        return f"{where} is {in_mm(short)} too shallow at X {x:.2f} Y {y:.2f}"
    return f"{where} is not cut to its full width, length and depth at X {x:.2f} Y {y:.2f}"


def _too_high_at(run: Run, rows: Ints, shape: SlotShape, floor: FloorLine, along: float) -> float:
    """Give how far the lips stay above the floor within their reach at a place of a slot; inf where none pass."""
    start, end = (shape.local(part[rows, :2])[:, 1] for part in (run.cuts.start, run.cuts.end))
    radius, way = run.cuts.radius[rows], end - start
    share = np.clip((along - start) / np.where(way == 0, 1.0, way), 0.0, 1.0)
    height = run.cuts.start[rows, 2] + (run.cuts.end - run.cuts.start)[rows, 2] * share + run.cuts.point[rows]
    height[way == 0] = lips_mm(run.cuts, rows[way == 0])
    passing = np.abs(start + way * share - along) <= radius
    reachable = np.maximum(floor.at(along - radius), floor.at(along + radius))
    return float((height - reachable)[passing].min(initial=math.inf))


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a slot's cover is sought: its width, whether it is cut in lanes, the thinnest strip."""

    width: float
    lanes: bool
    thinnest: float


def _may_reach(run: Run, rows: Ints, shape: SlotShape, floor: FloorLine) -> NDArray[np.bool_]:
    """Say which cuts come down to the floor anywhere near to where they run."""
    low, high = floor.reach(lips_mm(run.cuts, rows) - CUT_MM - ROUNDING_MM)
    start, end = shape.local(run.cuts.start[rows, :2])[:, 1], shape.local(run.cuts.end[rows, :2])[:, 1]
    around = 2 * run.cuts.radius[rows]
    useful: NDArray[np.bool_] = (np.maximum(start, end) >= low - around) & (np.minimum(start, end) <= high + around)
    return useful


def _slot_gap(shape: SlotShape, floor: FloorLine, swept: Swept, wanted: Wanted) -> Gap | None:
    half = wanted.width / 2 - CUT_MM
    local, flat = shape.local(swept.centre), swept.flat
    near, far = (floor.reach(height - CUT_MM - ROUNDING_MM) for height in (swept.height, swept.far_height))
    ends = slot_ends(shape, wanted.width, half)
    at_walls = [_within(shape, flat, good) for good in (near, far)]
    lozenges = Lozenges(Discs(local, flat, at_walls[0]), swept.length, at_walls[1])
    gap = strip_gap(half, ends, lozenges, wanted.thinnest)
    if gap is None and not wanted.lanes:
        ends = ends if shape.feature.through else centre_ends(shape, wanted.width)
        # what is drawn out is on its floor within a part of its radius: it counts where it reaches so far
        reaches = (swept.length == 0) | (np.abs(local[:, 0]) + CUT_MM <= STILL_REACHES * flat)
        lozenges = Lozenges(Discs(local, flat, near), swept.length, far).some(reaches)
        gap = strip_gap(min(half, CUT_MM), ends, lozenges, wanted.thinnest)
    return gap


def _within(shape: SlotShape, flat: Floats, good: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Give how far discs are good by the walls, where a tip of radius ``flat`` gets no lower than it does."""
    low, high = good[0] - flat, good[1] + flat
    if not shape.feature.through:  # what the last place of a tip, a radius short of the end, reaches is all there is
        low = np.where(low <= flat, -math.inf, low)
        high = np.where(high >= shape.length - flat, math.inf, high)
    return low, high
