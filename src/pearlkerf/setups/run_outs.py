"""How far cuts run out of the wood past its long edges, and where clamps have room: from where the tips go.

         X  |--|  |--|  |--|      no clamp where a cut runs out, nor where what hangs above it comes down
     _______|__|__|__|__|__|__
    |       :  :  :  :  :  :  |   clamps reach over an edge by GRIP_MM at most
    |_______:__:__:__:__:__:__|
     clamp  |__|  |__|  |__|

The makers ask with their moves, the page with the motion that was read back; both are strokes here.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.holding import CLEAR_OF_HOLDING_MM
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]

# how far clamps reach over an edge at most, and at an end at least; how much room along X the narrowest wants;
# and how high the lowest stands (common practice, no source)
GRIP_MM: Final = 10.0
LEAST_GRIP_MM: Final = 3.0
NARROWEST_CLAMP_MM: Final = 10.0
LOWEST_CLAMP_MM: Final = 1.0
# a slot that ends this near to the wood's edge runs out of it
AT_EDGE_MM: Final = 0.01
ROUNDING_MM: Final = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Strokes:
    """What one cutter's tip does but for its traverses: straight strokes in machine axes, mm.

    An arc counts as its chord, ``wider`` by what it swings beyond that.
    """

    cutter: Cutter
    start: Floats  # (n, 3)
    end: Floats  # (n, 3)
    lowest: Floats  # (n,)
    wider: Floats  # (n,)


@dataclass(frozen=True, slots=True)
class RunOut:
    """How far cuts run out past the long edges, mm: at low Y and at high Y; 0 past an edge where nothing does.

    ``to_y_mm`` is what they reach on either side, ``deepest_mm`` the lowest Z of a tip out there, and
    ``x_mm`` the first and the last X; all with the cutter's own width.
    """

    past_mm: tuple[float, float]
    to_y_mm: tuple[float, float]
    deepest_mm: float
    x_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Room:
    """Where along X clamps up to ``height_mm`` above the wood may stand: (low, high) each, mm, inf beyond an end."""

    height_mm: float
    stretches_mm: tuple[tuple[float, float], ...]


def leaves_wood(setup: Setup) -> bool:
    """Say whether slots of a setup run out over the edges of its wood."""
    edge = shapely.Polygon(setup.stock.outline).exterior
    ends = [end for feature in setup.features if feature.through for end in feature.ends]
    return bool(ends) and bool(np.any(shapely.distance(shapely.points(ends), edge) <= AT_EDGE_MM))


def run_out_of(setup: Setup, strokes: Sequence[Strokes]) -> RunOut | None:
    """Give how far the cuts of a setup run out past its long edges; None where none does."""
    out = np.concatenate([_outside(setup, each) for each in strokes], axis=1)
    if not out.size:
        return None
    x, y, z, past, across, along = out
    middle = float(np.mean([setup.stock.outline[:, 1].min(), setup.stock.outline[:, 1].max()]))
    low = setup.placement.to_board(np.column_stack([x, y]))[:, 1] < middle
    return RunOut(
        (float(past[low].max(initial=0.0)), float(past[~low].max(initial=0.0))),
        (float((y - across).min()), float((y + across).max())),
        float(z.min()),
        (float((x - along).min()), float((x + along).max())),
    )


def _outside(setup: Setup, strokes: Strokes) -> Floats:
    """Give places (6, n) of a cutter outside the wood and below its top: X, Y, Z, how far out, half widths.

    Of a straight stroke past a straight edge the farthest and the deepest place are at its ends, or where
    it leaves the wood; moves straight down end where another begins.
    """
    plan = _plan(setup)
    way = strokes.end - strokes.start
    low = np.flatnonzero((strokes.lowest < -ROUNDING_MM) & (np.hypot(way[:, 0], way[:, 1]) > ROUNDING_MM))
    low = low[inside_mm(plan, strokes.start[low], strokes.end[low]) <= 0.0]
    lines = shapely.linestrings(np.stack([strokes.start[low, :2], strokes.end[low, :2]], axis=1))
    places, index = shapely.get_coordinates(shapely.difference(lines, plan), return_index=True)
    row = low[index]
    from_start = places - strokes.start[row, :2]
    share = np.sum(from_start * way[row, :2], axis=1) / np.sum(way[row, :2] ** 2, axis=1)
    z = strokes.start[row, 2] + share * way[row, 2]
    across = _across_mm(strokes.cutter, z) + strokes.wider[row]
    past = shapely.distance(shapely.points(places), plan) + across
    below = z < -ROUNDING_MM
    along = np.full(len(z), strokes.cutter.width_mm / 2) + strokes.wider[row]
    return np.asarray(np.stack([*places.T, z, past, across, along])[:, below])


def _across_mm(cutter: Cutter, z: Floats) -> Floats:
    """Give how far a cutter reaches to either side along its slot at Z 0, where its tip stands at ``z``."""
    return half_chord_mm(-z, cutter.diameter_mm) if cutter.kind == "saw" else np.full(len(z), cutter.radius_mm)


def room_for_clamps(setup: Setup, strokes: Sequence[Strokes], machine: Machine) -> Room:
    """Give where clamps that reach over an edge of the wood by GRIP_MM have room, as high as traverses allow.

    Cutter, shank, nut and spindle stay CLEAR_OF_HOLDING_MM away from them.  Where there is none, lower ones
    count, over which the nut passes; there may be none for them either.
    """
    high = machine.motion.clearance_mm - CLEAR_OF_HOLDING_MM
    under_nut = min(float(each.lowest.min()) + each.cutter.sticks_out_mm for each in strokes) - CLEAR_OF_HOLDING_MM
    rooms = [Room(height, free_for_clamps(setup, strokes, machine, height))
             for height in (high, min(high, under_nut)) if height >= LOWEST_CLAMP_MM]  # fmt: skip
    return next((room for room in rooms if room.stretches_mm), Room(high, ()))


def free_for_clamps(
    setup: Setup, strokes: Sequence[Strokes], machine: Machine, height_mm: float
) -> tuple[tuple[float, float], ...]:
    """Give the X (low, high) that clamps so high have: beyond what is taken, and between where one is broad enough."""
    taken = sorted(span for each in strokes for span in _taken(setup, each, (machine, height_mm)))
    corners = setup.placement.to_machine(setup.stock.outline)
    left, right = float(corners[:, 0].min()), float(corners[:, 0].max())
    free, low = [], -math.inf
    for start, end in (*taken, (math.inf, math.inf)):
        least = left + LEAST_GRIP_MM if low == -math.inf else low + NARROWEST_CLAMP_MM
        if min(start, right) >= (least if start < math.inf else low + LEAST_GRIP_MM):
            free.append((low, start))
        low = max(low, end)
    return tuple(free)


def _taken(setup: Setup, strokes: Strokes, clamp: tuple[Machine, float]) -> Iterator[tuple[float, float]]:
    """Give the X that what hangs in the spindle takes, over the rim of the wood or beside it, up to a height."""
    machine, height = clamp
    inner = _plan(setup).buffer(-GRIP_MM, join_style="mitre")
    from_rim = inside_mm(inner, strokes.start, strokes.end)
    x = np.sort(np.column_stack([strokes.start[:, 0], strokes.end[:, 0]]), axis=1)
    for part in machine.hanging(strokes.cutter):
        wide = part.radius_mm + CLEAR_OF_HOLDING_MM + strokes.wider
        meets = (strokes.lowest + part.above_tip_mm < height + CLEAR_OF_HOLDING_MM - ROUNDING_MM) & (from_rim <= wide)
        yield from _merged(x[meets, 0] - wide[meets], x[meets, 1] + wide[meets])


def _merged(low: Floats, high: Floats) -> Iterator[tuple[float, float]]:
    """Give spans (n,) as few: those that meet are one."""
    order = np.argsort(low)
    low, high = low[order], np.maximum.accumulate(high[order])
    begins = np.flatnonzero(np.append(True, low[1:] > high[:-1])[: len(low)])
    ends = np.append(begins[1:], len(low))[: len(begins)] - 1
    yield from zip(low[begins].tolist(), high[ends].tolist(), strict=True)


def inside_mm(region: shapely.Polygon, start: Floats, end: Floats) -> Floats:
    """Give how far strokes (n, 3) stay inside the rim of a region, (n,) mm; 0 where they come to it or leave it.

    Of a convex region the ends of a stroke and the lines of the edges say it, without a look at each shape.
    """
    if region.is_empty:
        return np.zeros(len(start))
    corners = shapely.get_coordinates(shapely.normalize(region).exterior)
    along = np.diff(corners, axis=0)
    turns = along[:, 0] * np.roll(along[:, 1], -1) - along[:, 1] * np.roll(along[:, 0], -1)
    if (turns > 0.0).any() or len(region.interiors):  # normalized rings run clockwise
        lines = shapely.linestrings(np.stack([start[:, :2], end[:, :2]], axis=1))
        return np.asarray(np.where(shapely.contains(region, lines), shapely.distance(lines, region.exterior), 0.0))
    inward = np.column_stack([along[:, 1], -along[:, 0]]) / np.hypot(along[:, 0], along[:, 1])[:, None]
    offset = np.sum(corners[:-1] * inward, axis=1)
    from_edges = [np.min(ends[:, :2] @ inward.T - offset, axis=1) for ends in (start, end)]
    inside: Floats = np.maximum(np.minimum(*from_edges), 0.0)
    return inside


def _plan(setup: Setup) -> shapely.Polygon:
    return shapely.Polygon(setup.placement.to_machine(setup.stock.outline))
