"""What mills leave of a slot: whether what they sweep covers its strip, down to its floor."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.proof.cover import Discs, Ends, Gap, Lozenges, strip_gap
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.slot_floor import FloorLine
from pearlkerf.proof.shapes.slot_line import SlotLine
from pearlkerf.proof.sweep import (
    ROUGH_SPACING,
    ROUGHLY_MM,
    Swept,
    joined,
    swept_closely,
    swept_roughly,
    swept_together,
)
from pearlkerf.proof.telling import in_mm
from pearlkerf.proof.tolerances import CUT_MM, ROUNDING_MM, THINNEST_STRIP_MM

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# a cut that leaves its line by no more than this is straight (mm)
STRAIGHT_MM = 0.002
# a cut drawn out is on the floor where it is deep enough within this part of its cutter's radius
UNDER_CUTTER = 0.9
# a disc reaches UNDER_CUTTER of its radius along a line that lies no more than this part of it off its centre
STILL_REACHES = math.sqrt(1 - UNDER_CUTTER**2)


def left_of_slot(line: SlotLine, parts: Sequence[Cuts]) -> str:
    """Say what mills leave of a slot; nothing where it is complete.

    Its strip, less CUT_MM at either wall and at a stopped slot's ends, is swept along the whole wood; on
    the centre line down to the floor plus CUT_MM, toward the walls to the floor that a cutter of radius r
    can reach there, the one at max(abs(y) - r, 0), plus CUT_MM.  A slot wider than its cutter, cut in
    lanes, is held to the latter on the centre line too, and so is a stopped slot within a width of its
    ends, where no cutter gets lower.  A slot within SLOT_CUTTER_MATCH_MM of its cutter is as wide as it.
    """
    radii = np.unique(np.concatenate([part.radius for part in parts]))
    if not len(radii):
        return f"{line.feature.name} is not cut"
    floor = FloorLine.of(line)
    width = float(line.width_mm(radii).min())
    lanes = bool((np.abs(2 * radii - width) > ROUNDING_MM).any())
    useful = [part.some(_may_reach(part, line, floor)) for part in parts]
    roughly = partial(swept_with_draws, line=line, floor=floor)
    gap: Gap | None = None
    for sweep, thinnest in ((roughly, ROUGHLY_MM), (swept_closely, THINNEST_STRIP_MM)):
        gap = slot_gap(line, floor, swept_together(useful, sweep), Wanted(width, lanes, thinnest))
        if gap is None:
            return ""
    assert gap is not None
    x, y = line.origin + line.along * gap.along
    where = f"{line.feature.name}{line.side(y)}"
    short = min(_too_high_at(part, line, floor, gap.along) for part in parts)
    if CUT_MM < short < math.inf:
        return f"{where} is {in_mm(short)} too shallow at X {x:.2f} Y {y:.2f}"
    return f"{where} is not cut to its full width, length and depth at X {x:.2f} Y {y:.2f}"


def _too_high_at(cuts: Cuts, line: SlotLine, floor: FloorLine, along: float) -> float:
    """Give how far the lips stay above the floor within their reach at a place of a slot; inf where none pass."""
    start, end = line.local(cuts.start[:, :2])[:, 1], line.local(cuts.end[:, :2])[:, 1]
    radius, way = cuts.radius, end - start
    share = np.clip((along - start) / np.where(way == 0, 1.0, way), 0.0, 1.0)
    height = cuts.start[:, 2] + (cuts.end - cuts.start)[:, 2] * share + cuts.point
    height[way == 0] = cuts.lips[way == 0]
    passing = np.abs(start + way * share - along) <= radius
    reachable = np.maximum(floor.at(along - radius), floor.at(along + radius))
    return float((height - reachable)[passing].min(initial=math.inf))


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a slot's cover is sought: its width, whether it is cut in lanes, the thinnest strip."""

    width: float
    lanes: bool
    thinnest: float


def _may_reach(cuts: Cuts, line: SlotLine, floor: FloorLine) -> Flags:
    """Say which cuts come down to the floor anywhere near to where they run."""
    low, high = floor.reach(cuts.lips - CUT_MM - ROUNDING_MM)
    start, end = line.local(cuts.start[:, :2])[:, 1], line.local(cuts.end[:, :2])[:, 1]
    around = 2 * cuts.radius
    useful: Flags = (np.maximum(start, end) >= low - around) & (np.minimum(start, end) <= high + around)
    return useful


def slot_gap(line: SlotLine, floor: FloorLine, swept: Swept, wanted: Wanted) -> Gap | None:
    """Give a place of a slot that nothing swept covers, or None."""
    half = wanted.width / 2 - CUT_MM
    local, flat = line.local(swept.centre), swept.flat
    near, far = (floor.reach(height - CUT_MM - ROUNDING_MM) for height in (swept.height, swept.far_height))
    ends = slot_ends(line, wanted.width, half)
    at_walls = [_within(line, flat, good) for good in (near, far)]
    lozenges = Lozenges(Discs(local, flat, at_walls[0]), swept.length, at_walls[1])
    gap = strip_gap(half, ends, lozenges, wanted.thinnest)
    if gap is None and not wanted.lanes:
        ends = ends if line.feature.through else centre_ends(line, wanted.width)
        # what is drawn out is on its floor within a part of its radius: it counts where it reaches so far
        reaches = (swept.length == 0) | (np.abs(local[:, 0]) + CUT_MM <= STILL_REACHES * flat)
        lozenges = Lozenges(Discs(local, flat, near), swept.length, far).some(reaches)
        gap = strip_gap(min(half, CUT_MM), ends, lozenges, wanted.thinnest)
    return gap


def _within(line: SlotLine, flat: Floats, good: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Give how far discs are good by the walls, where a tip of radius ``flat`` gets no lower than it does."""
    low, high = good[0] - flat, good[1] + flat
    if not line.feature.through:  # what the last place of a tip, a radius short of the end, reaches is all there is
        low = np.where(low <= flat, -math.inf, low)
        high = np.where(high >= line.length - flat, math.inf, high)
    return low, high


def swept_with_draws(cuts: Cuts, line: SlotLine, floor: FloorLine) -> Swept:
    """Give few discs on cuts; a straight cut along the slot, on its ``floor``, is one disc, drawn out."""
    if not (len(cuts.radius) and floor.is_concave):
        return swept_roughly(cuts)
    drawn, is_drawn = drawn_out(cuts, line, floor)
    return drawn if is_drawn.all() else joined([drawn, swept_roughly(cuts.some(~is_drawn))])


def drawn_out(cuts: Cuts, line: SlotLine, floor: FloorLine) -> tuple[Swept, Flags]:
    """Give the cuts that run straight along a slot on its floor, drawn out, and which these are.

    On the floor: deep enough, at either end, for some place under the cutter, as it is where a floor falls
    to either side; then it is so all the way, for a crowned floor rises over its chord, and so does the
    highest place within a distance.  What a cut leaves its line by is taken off its radius.
    """
    ends = np.stack([cuts.start, cuts.end])
    local = np.stack([line.local(each[:, :2]) for each in ends])
    height = ends[:, :, 2] + cuts.point
    off, length = np.abs(local[1] - local[0]).T
    highest = floor.highest_near(local[:, :, 1], UNDER_CUTTER * cuts.flat)
    deep = (height <= highest + CUT_MM).all(axis=0)
    drawn = deep & (off <= STRAIGHT_MM) & (length > ROUGH_SPACING * cuts.radius) & (cuts.flat > 4 * off)
    number = np.arange(int(drawn.sum()))
    low = np.where(local[0, drawn, 1] <= local[1, drawn, 1], 0, 1)
    centre, height = ends[low, np.flatnonzero(drawn), :2], height[:, drawn]
    flat = (cuts.flat - cuts.slack)[drawn] - off[drawn]
    return Swept(centre, flat, height[low, number], length[drawn], height[1 - low, number]), drawn


def centre_ends(line: SlotLine, width: float) -> Ends:
    """Give how far along its centre line a stopped slot's floor is wanted.

    Under a crown the tip, a radius short of the slot's end, touches the floor a radius further in
    still: there, within the last ``width``, the centre line cannot be had.
    """
    return Ends(width, line.length - width, 0.0)


def slot_ends(line: SlotLine, width: float, half: float) -> Ends:
    """Give how far a slot's strip of ``half`` width is wanted: all of the wood, or its round ends less their margin."""
    if not line.feature.through:
        inset = width / 2 - half
        return Ends(inset, line.length - inset, half)
    way = line.origin + line.along * np.array([[-width], [line.length + width]])
    sides = shapely.linestrings(np.stack([way - line.across * half, way + line.across * half]))
    met = shapely.get_coordinates(shapely.intersection(sides, line.wood.plan))
    along = (met - line.origin) @ line.along
    return Ends(min(0.0, float(along.min(initial=0.0))), max(line.length, float(along.max(initial=0.0))), 0.0)
