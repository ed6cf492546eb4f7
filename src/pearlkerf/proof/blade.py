"""What a saw's blade sweeps: discs of diameter B, upright in the Y-Z plane, as thick as the kerf along X.

A program moves the lowest point of the blade, its tip; the centre stands B/2 above it.  Along a straight
piece the discs sweep a capsule in Y and Z.  Its lower side is convex in y, the wood's top and a slot's
floor are concave: between two places, BLADE_STEP_MM apart, the one comes nearer to the other than at
both of them by no more than ``bulge_mm``, and is nowhere farther from it than at one of them.

      Z          .-----------------.
      |         (  o - - - - - - o  )   centre, B/2 above the tip
      |          '-----------------'    lower side
      +------------------------------ Y
"""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.surfaces import Crown
from pearlkerf.machine.model import Cutter
from pearlkerf.proof.pieces import Pieces
from pearlkerf.proof.tolerances import BLADE_STEP_MM, ROUNDING_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.reading.motions import RAPID, Motions

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# pieces are looked at so many at a time
ROWS_AT_ONCE = 1000
FAR_MM = 1e5
# the steepest slope of a crowned surface within a board, well above that of the roundest fingerboard's edge
STEEPEST = 0.5


def can_follow(cutter: Cutter) -> bool:
    """Say whether a profile says enough of a saw to follow its blade: kerf, flange, the way of its teeth."""
    return cutter.kind == "saw" and None not in (cutter.kerf_mm, cutter.flange_mm, cutter.lowest_teeth)


@dataclass(frozen=True, slots=True, eq=False)
class Blades:
    """Straight pieces of motion of saws, in the order of execution; (k,) each."""

    start: Floats  # (k, 3) mm, the tip
    end: Floats  # (k, 3) mm
    motion: Ints
    rapid: Flags
    slack: Floats  # mm, from arcs
    radius: Floats  # mm, of the blade
    half: Floats  # mm, half the kerf
    beside: Floats  # mm, radius of the widest thing that turns beside the blade

    def some(self, rows: Ints | Flags) -> "Blades":
        """Give a part of the pieces."""
        return Blades(self.start[rows], self.end[rows], self.motion[rows], self.rapid[rows], self.slack[rows],
                      self.radius[rows], self.half[rows], self.beside[rows])  # fmt: skip

    def standing(self, places: Floats) -> "Blades":
        """Give the same blades standing still with their tips at (k, 3) ``places``."""
        return Blades(places, places, self.motion, self.rapid, self.slack, self.radius, self.half, self.beside)

    def x_mm(self, wider: float = 0.0) -> tuple[Floats, Floats]:
        """Give between which x (k,) the blade is at some time on each piece, and ``wider`` on either side."""
        x = np.sort(np.column_stack([self.start[:, 0], self.end[:, 0]]), axis=1)
        return x[:, 0] - self.half - wider, x[:, 1] + self.half + wider

    def always_x_mm(self) -> tuple[Floats, Floats]:
        """Give between which x (k,) the blade is all along each piece; none where the first is the greater."""
        x = np.sort(np.column_stack([self.start[:, 0], self.end[:, 0]]), axis=1)
        return x[:, 1] - self.half, x[:, 0] + self.half

    def lower_side_mm(self, y: Floats, larger: Floats | float = 0.0) -> Floats:
        """Give the lower side (k, m) of each sweep at (m,) or (k, m) places; inf where it does not pass.

        ``larger`` is added to the blade's radius.  A disc of radius r about (Y, Z) reaches down to
        Z - sqrt(r**2 - (y - Y)**2); along a piece the least of it is where the capsule's straight
        side touches, or at an end.  Exact.
        """
        return self._lower_side(y, (self.radius + larger)[:, None])

    def flange_above_mm(self, low_y: float, high_y: float) -> Floats:
        """Give the height (k,) of the lowest point of what turns beside the blade, between two y. Exact."""
        span = np.broadcast_to(np.array([low_y, high_y]), (len(self.motion), 2))
        return self._lowest(span, self.beside)

    def lowest_mm(self, span: Floats) -> Floats:
        """Give the height (k,) of the blade's lowest point between two y (k, 2), slack included; inf for nan. Exact."""
        return np.where(np.isnan(span[:, 0]), np.inf, self._lowest(np.nan_to_num(span), self.radius + self.slack))

    def _lowest(self, span: Floats, radius: Floats) -> Floats:
        lower = np.where(self.start[:, 2] <= self.end[:, 2], self.start[:, 1], self.end[:, 1])
        nearest = np.clip(lower, span[:, 0], span[:, 1])  # the lower side is convex
        return self._lower_side(nearest[:, None], radius[:, None])[:, 0]

    def _lower_side(self, y: Floats, radius: Floats) -> Floats:
        y0, y1 = self.start[:, 1:2], self.end[:, 1:2]
        z0, z1 = self.start[:, 2:] + self.radius[:, None], self.end[:, 2:] + self.radius[:, None]
        dy, dz = y1 - y0, z1 - z0
        length = np.maximum(np.hypot(dy, dz), ROUNDING_MM)
        moves = np.abs(dy) > ROUNDING_MM
        touch = y0 + radius * np.sign(dy) * dz / length  # where the straight side starts
        share = np.where(moves, (y - touch) / np.where(moves, dy, 1.0), (dz < 0).astype(float))
        share = np.clip(share, 0.0, 1.0)
        under = radius**2 - (y - (y0 + dy * share)) ** 2
        side: Floats = z0 + dz * share - np.sqrt(np.maximum(under, 0.0))
        return np.where(under >= 0, side, np.inf)


@dataclass(frozen=True, slots=True, eq=False)
class SawTools:
    """The saw of each motion, (n,): whether there is one to be followed, and its radii and half its kerf, mm."""

    follows: Flags
    radius: Floats
    half: Floats
    beside: Floats


def find_blades(pieces: Pieces, motions: Motions, tools: SawTools) -> Blades:
    """Give the pieces of all saws that can be followed."""
    rows = np.flatnonzero(tools.follows[pieces.motion])
    motion = pieces.motion[rows]
    return Blades(
        pieces.start[rows], pieces.end[rows], motion, motions.kind[motion] == RAPID, pieces.slack[rows],
        tools.radius[motion], tools.half[motion], tools.beside[motion],
    )  # fmt: skip


def wood_span_mm(wood: Wood, low_x: Floats, high_x: Floats) -> Floats:
    """Give between which y (k, 2) wood stands anywhere between two x (k,); nan where none does."""
    return span_mm(wood.plan, low_x, high_x)


def span_mm(plan: shapely.Polygon, low_x: Floats, high_x: Floats) -> Floats:
    """Give between which y (k, 2) a plan lies anywhere between two x (k,); nan where it does not."""
    pairs, index = np.unique(np.column_stack([low_x, high_x]), axis=0, return_inverse=True)
    far = np.full(len(pairs), FAR_MM)
    strips = shapely.box(pairs[:, 0], -far, pairs[:, 1], far)
    bounds = shapely.bounds(shapely.intersection(strips, plan))
    return np.asarray(bounds[index.reshape(-1)][:, [1, 3]])


def places_mm(span: Floats) -> Floats:
    """Give places (k, m) across spans (k, 2), ends included, no further apart than BLADE_STEP_MM."""
    longest = float(np.max(span[:, 1] - span[:, 0], initial=0.0))
    count = max(2, int(np.ceil(longest / BLADE_STEP_MM)) + 1)
    places: Floats = np.linspace(span[:, 0], span[:, 1], count, axis=1)
    return places


def top_mm(wood: Wood, low_x: Floats, high_x: Floats, y: Floats) -> Floats:
    """Give the highest raw top (k, m) at places (k, m) between two x (k,)."""
    if wood.stock.crown is None:
        return np.full(y.shape, wood.stock.highest_mm)
    tops = [
        wood.top_mm(np.column_stack([np.broadcast_to(x[:, None], y.shape).ravel(), y.ravel()])).reshape(y.shape)
        for x in (low_x, (low_x + high_x) / 2, high_x)
    ]
    highest: Floats = np.maximum.reduce(tops)
    return highest


def in_wood_mm(blades: Blades, wood: Wood, wider: float = 0.0) -> Floats:
    """Give between which y (k, 2) each piece may meet wood; nan where it surely meets none.

    The blade counts ``wider`` all round, and its slack with it; wood as if its outline had no bays.
    """
    found = np.full((len(blades.motion), 2), np.nan)
    lowest = np.minimum(blades.start[:, 2], blades.end[:, 2]) - blades.slack - wider
    deep = np.flatnonzero(lowest < wood.stock.highest_mm - ROUNDING_MM)
    for first in range(0, len(deep), ROWS_AT_ONCE):
        rows = deep[first : first + ROWS_AT_ONCE]
        found[rows] = _in_wood(blades.some(rows), wood, wider)
    return found


def _in_wood(blades: Blades, wood: Wood, wider: float) -> Floats:
    low_x, high_x = blades.x_mm(wider)
    span = wood_span_mm(wood, low_x, high_x)
    found = np.full(span.shape, np.nan)
    rows = np.flatnonzero(~np.isnan(span[:, 0]))
    if not len(rows):
        return found
    y = places_mm(span[rows])
    some = blades.some(rows)
    side = some.lower_side_mm(y, some.slack + wider)
    meets: Flags = side - top_mm(wood, low_x[rows], high_x[rows], y) < bulge_mm(some, wood.stock.crown)[:, None]
    any_meets = np.asarray(meets.any(axis=1))
    last = y.shape[1] - 1
    low = np.maximum(np.argmax(meets, axis=1) - 1, 0)
    high = np.minimum(last - np.argmax(meets[:, ::-1], axis=1) + 1, last)
    here = np.arange(len(rows))
    found[rows] = np.where(any_meets[:, None], np.column_stack([y[here, low], y[here, high]]), np.nan)
    return found


def bulge_mm(blades: Blades, crown: Crown | None) -> Floats:
    """Give how far (k,) the lower side comes nearer to a crowned surface between two places than at both, mm.

    step**2 / 8 (1 / r + 1 / R), the two curving away from each other, on slopes up to STEEPEST.
    """
    across = 0.0 if crown is None else 1 / min(crown.nut_radius_mm, crown.end_radius_mm)
    steep: Floats = BLADE_STEP_MM**2 / 8 * (1 / blades.radius + across) * (1 + STEEPEST**2) ** 1.5
    return steep
