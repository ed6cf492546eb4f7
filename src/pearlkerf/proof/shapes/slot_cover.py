"""What mills leave of a slot: whether what they sweep covers its strip, down to its floor."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.cover import Discs, Ends, Gap, Lozenges, strip_gap
from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.shapes.leaning_floor import floor_of
from pearlkerf.proof.shapes.slot_floor import UNDER_CUTTER, SlotFloor
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
# a disc reaches UNDER_CUTTER of its radius along a line that lies no more than this part of it off its centre
STILL_REACHES = math.sqrt(1 - UNDER_CUTTER**2)


def left_of_slot(line: SlotLine, parts: Sequence[Cuts]) -> str:
    """Say what mills leave of a slot; nothing where it is complete.

    Its strip, less CUT_MM at either wall and at a stopped slot's ends, is swept along the whole wood.
    Toward the walls it is swept by cutters that stand, at most, CUT_MM above where a flat cutter, let down
    on their own line beside that place, touches the floor: the one of radius r that stands y from the
    crown line touches it at max(abs(y) - r, 0).  On the centre line it is swept down to the least of that
    which a cutter over it has anywhere, plus CUT_MM: to the floor itself, where the slot stands square to
    the board.  A slot wider than its cutter, cut in lanes, is held to the former on the centre line too,
    and so is a stopped slot within a width of its ends, where no cutter gets lower.  A slot within
    SLOT_CUTTER_MATCH_MM of its cutter is as wide as it.
    """
    radii = np.unique(np.concatenate([part.radius for part in parts]))
    if not len(radii):
        return f"{line.feature.name} is not cut"
    floor = floor_of(line)
    width = float(line.width_mm(radii).min())
    lanes = bool((np.abs(2 * radii - width) > ROUNDING_MM).any())
    useful = [part.where(_may_reach(part, line, floor)) for part in parts]
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


def _too_high_at(cuts: Cuts, line: SlotLine, floor: SlotFloor, along: float) -> float:
    """Give how far the lips stay above the floor within their reach at a place of a slot; inf where none pass."""
    start, end = line.local(cuts.start[:, :2])[:, 1], line.local(cuts.end[:, :2])[:, 1]
    radius, way = cuts.radius, end - start
    share = np.clip((along - start) / np.where(way == 0, 1.0, way), 0.0, 1.0)
    height = cuts.start[:, 2] + (cuts.end - cuts.start)[:, 2] * share + cuts.point
    height[way == 0] = cuts.lips[way == 0]
    passing = np.abs(start + way * share - along) <= radius
    return float((height - floor.touched_mm(along, radius))[passing].min(initial=math.inf))


@dataclass(frozen=True, slots=True)
class Wanted:
    """How a slot's cover is sought: its width, whether it is cut in lanes, the thinnest strip."""

    width: float
    lanes: bool
    thinnest: float


def _may_reach(cuts: Cuts, line: SlotLine, floor: SlotFloor) -> Flags:
    """Say which cuts come down to the floor anywhere near to where they run."""
    across, along = np.stack([line.local(part[:, :2]) for part in (cuts.start, cuts.end)]).T
    lines = (float(across.min(initial=0.0)), float(across.max(initial=0.0)))
    low, high = floor.anywhere(cuts.lips - CUT_MM - ROUNDING_MM, cuts.radius, lines)
    useful: Flags = (along.max(axis=1) >= low) & (along.min(axis=1) <= high)
    return useful


def slot_gap(line: SlotLine, floor: SlotFloor, swept: Swept, wanted: Wanted) -> Gap | None:
    """Give a place of a slot that nothing swept covers, or None."""
    half, flat = wanted.width / 2 - CUT_MM, swept.flat
    local, far = line.local(swept.centre), line.local(swept.far)
    height, far_height = (each - CUT_MM - ROUNDING_MM for each in (swept.height, swept.far_height))
    length, ends = far[:, 1] - local[:, 1], slot_ends(line, wanted.width, half)
    by_walls, on_centre = floor.reached(height, local, flat)
    far_by_walls, far_on_centre = floor.reached(far_height, far, flat)
    gap = strip_gap(half, ends, Lozenges(Discs(local, flat, by_walls), length, far_by_walls), wanted.thinnest)
    if gap is None and not wanted.lanes:
        ends = ends if line.feature.through else centre_ends(line, wanted.width)
        # what is drawn out is on its floor within a part of its radius: it counts where it reaches so far
        reaches = (length == 0) | (np.abs(local[:, 0]) + CUT_MM <= STILL_REACHES * flat)
        lozenges = Lozenges(Discs(local, flat, on_centre), length, far_on_centre).some(reaches)
        gap = strip_gap(min(half, CUT_MM), ends, lozenges, wanted.thinnest)
    return gap


def swept_with_draws(cuts: Cuts, line: SlotLine, floor: SlotFloor) -> Swept:
    """Give few discs on cuts; a straight cut along the slot, on its ``floor``, is one disc, drawn out."""
    if not (len(cuts.radius) and floor.is_concave):
        return swept_roughly(cuts)
    drawn, is_drawn = drawn_out(cuts, line, floor)
    return drawn if is_drawn.all() else joined([drawn, swept_roughly(cuts.some(~is_drawn))])


def drawn_out(cuts: Cuts, line: SlotLine, floor: SlotFloor) -> tuple[Swept, Flags]:
    """Give the cuts that run straight along a slot on its floor, drawn out, and which these are.

    On the floor: deep enough, at either end, for some place under the cutter, as it is where a floor falls
    to either side; then it is so all the way, for a crowned floor rises over its chord, and so does the
    highest place within a distance.  What a cut leaves its line by is taken off its radius.
    """
    ends = np.stack([cuts.start, cuts.end])
    local = np.stack([line.local(each[:, :2]) for each in ends])
    height = ends[:, :, 2] + cuts.point
    off, length = np.abs(local[1] - local[0]).T
    deep = floor.is_reached(height[0], local[0], cuts.flat) & floor.is_reached(height[1], local[1], cuts.flat)
    drawn = deep & (off <= STRAIGHT_MM) & (length > ROUGH_SPACING * cuts.radius) & (cuts.flat > 4 * off)
    number = np.arange(int(drawn.sum()))
    low = np.where(local[0, drawn, 1] <= local[1, drawn, 1], 0, 1)
    ends, height = ends[:, drawn, :2], height[:, drawn]
    flat = (cuts.flat - cuts.slack)[drawn] - off[drawn]
    return Swept(ends[low, number], flat, height[low, number], ends[1 - low, number], height[1 - low, number]), drawn


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
    return Ends(*line.strip_ends(half), 0.0)
