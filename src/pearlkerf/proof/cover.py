"""Whether discs cover a shape: exact along circles and lines, and between two of them by convexity.

A cut is stood for by discs, the cutter's flat at points of its path: less than what it sweeps, by
no more than SCALLOP_MM.  The shape is divided into strips (rings of a disc, lanes of a slot).  Where
one disc covers two points opposite each other on both sides of a strip, it covers the straight line
between them, as a disc is convex.  So a strip is covered when the stretches over which single discs
reach both of its sides leave no gap; a strip with a gap is divided, until it is thinner than
THINNEST_STRIP_MM.  Nothing that is left uncut passes for cut.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import counted
from pearlkerf.proof.tolerances import ROUNDING_MM, SCALLOP_MM, THINNEST_STRIP_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# strips with gaps are followed up so many at a time: where there is a true gap, it is soon found
STRIPS_AT_ONCE = 16
# strips begin so, parts of half a slot's width, where its cutter is narrower: only thin ones fit in by the walls
TO_THE_WALLS = np.append(1 - 0.5 ** np.arange(7), 1.0)


Stretch = tuple[Floats, Floats]  # (k,) low and high ends, mm


@dataclass(frozen=True, slots=True, eq=False)
class Discs:
    """Discs in a plane: (k, 2) centres, (k,) radii, mm, and the stretch that each is good for."""

    centre: Floats
    radius: Floats
    good: Stretch

    @classmethod
    def whole(cls, centre: Floats, radius: Floats) -> "Discs":
        """Give discs that are good for all of their extent."""
        return cls(centre, radius, (np.full(len(radius), -np.inf), np.full(len(radius), np.inf)))


@dataclass(frozen=True, slots=True, eq=False)
class Lozenges:
    """What discs sweep that are drawn out along a slot, by (k,) ``length`` mm, 0 for a disc that stands still.

    On its way a disc is good for what lies between ``good`` and, at the end of it, between ``far_good``;
    between its ends at least for what lies between as much of both.
    """

    discs: Discs
    length: Floats
    far_good: Stretch

    def some(self, rows: NDArray[np.bool_]) -> "Lozenges":
        """Give a part of them."""
        (low, high), (far_low, far_high) = self.discs.good, self.far_good
        discs = Discs(self.discs.centre[rows], self.discs.radius[rows], (low[rows], high[rows]))
        return Lozenges(discs, self.length[rows], (far_low[rows], far_high[rows]))


@dataclass(frozen=True, slots=True)
class Gap:
    """A place that no disc covers: across (the strip's middle) and along (mm, or rad on a ring)."""

    across: float
    along: float


def close_spacing_mm(radius: Floats) -> Floats:
    """Give how far apart discs may lie on a straight path with scallops of SCALLOP_MM: s**2 / (8 r)."""
    return np.sqrt(8 * radius * SCALLOP_MM)


def gaps(strip: Ints, low: Floats, high: Floats, wanted_low: Floats, wanted_high: Floats) -> Floats:
    """Give where the stretches low to high, each of one strip, first leave a gap; nan for a covered strip.

    ``strip`` (k,) numbers the stretches' strips; ``wanted_low`` and ``wanted_high`` (s,) are what each
    strip wants covered.
    """
    first = wanted_low.copy()
    if not len(strip):
        return first
    order = np.lexsort((low, strip))
    strip, low, high = strip[order], low[order], high[order]
    # running maxima that start afresh in every strip: strips are set far apart
    apart = float(max(high.max(), wanted_high.max()) - min(low.min(), wanted_low.min())) + 1.0
    reached = np.maximum.accumulate(high + strip * apart) - strip * apart
    begins = np.concatenate([[0], np.flatnonzero(strip[1:] != strip[:-1]) + 1])
    before = np.concatenate([[0.0], reached[:-1]])
    before[begins] = wanted_low[strip[begins]]
    broken = (low > before + ROUNDING_MM) & (before < wanted_high[strip] - ROUNDING_MM)
    ends = np.append(begins[1:], len(strip)) - 1
    seen = strip[ends]
    first[seen] = np.where(reached[ends] >= wanted_high[seen] - ROUNDING_MM, np.nan, reached[ends])
    where = np.flatnonzero(broken)[::-1]
    first[strip[where]] = before[where]
    return first


def disc_gap(radius_mm: float, discs: Discs, thinnest_mm: float = THINNEST_STRIP_MM) -> Gap | None:
    """Give a place of the disc of ``radius_mm`` about (0, 0) that no other disc covers, or None.

    Strips are rings; a disc of radius r, its centre d away, covers a circle rho for
    acos((d**2 + rho**2 - r**2) / (2 d rho)) to either side of its own direction.
    """
    if not len(discs.radius):
        return Gap(0.0, 0.0)
    away = np.linalg.norm(discs.centre, axis=1)
    direction = np.arctan2(discs.centre[:, 1], discs.centre[:, 0])
    count = max(1, math.ceil(radius_mm / (float(discs.radius.min()) / 2)))
    edges = np.linspace(0.0, radius_mm, count + 1)
    return _search(
        edges[:-1], edges[1:], lambda inner, outer: _ring_gaps(inner, outer, away, direction, discs.radius), thinnest_mm
    )


def _search(
    inner: Floats, outer: Floats, uncovered: Callable[[Floats, Floats], Floats], thinnest_mm: float
) -> Gap | None:
    """Halve strips with a gap until none is left, or one is so thin that its gap is one of the cover."""
    waiting = [(inner, outer)]
    while waiting:
        inner, outer = waiting.pop()
        along = uncovered(inner, outer)
        rows = np.flatnonzero(~np.isnan(along))
        thin = rows[(outer - inner)[rows] <= thinnest_mm]
        if len(thin):
            row = int(thin[0])
            return Gap(float(inner[row] + outer[row]) / 2, float(along[row]))
        for some in np.array_split(rows, math.ceil(len(rows) / STRIPS_AT_ONCE)) if len(rows) else []:
            middle = (inner[some] + outer[some]) / 2
            waiting.append(
                (np.column_stack([inner[some], middle]).ravel(), np.column_stack([middle, outer[some]]).ravel())
            )
    return None


def _ring_gaps(inner: Floats, outer: Floats, away: Floats, direction: Floats, radius: Floats) -> Floats:
    """Give the angle of a gap of each ring, nan where there is none; rings are ascending."""
    lowest = np.searchsorted(outer, away - radius, side="left")
    highest = np.searchsorted(inner, away + radius, side="right")
    disc, ring = _pairs(lowest, highest)
    reach = np.minimum(
        _half_angle(inner[ring], away[disc], radius[disc]), _half_angle(outer[ring], away[disc], radius[disc])
    )
    kept = reach > 0
    disc, ring, reach = disc[kept], ring[kept], reach[kept]
    low = np.mod(direction[disc] - reach, 2 * math.pi)
    high = low + 2 * reach
    over = np.flatnonzero(high > 2 * math.pi)
    strip = np.concatenate([ring, ring[over]])
    wanted = np.zeros(len(inner))
    return gaps(
        strip, np.concatenate([low, low[over] - 2 * math.pi]), np.concatenate([high, high[over] - 2 * math.pi]),
        wanted, wanted + 2 * math.pi,
    )  # fmt: skip


def _half_angle(circle: Floats, away: Floats, radius: Floats) -> Floats:
    """Give half the angle of a circle about the origin that lies in a disc ``away`` from it."""
    product = 2 * away * circle
    over = away**2 + circle**2 - radius**2
    safe = np.where(product > 0, product, 1.0)
    cosine = np.where(product > 0, over / safe, np.where(over <= 0, -1.0, 1.0))
    angle: Floats = np.arccos(np.clip(cosine, -1.0, 1.0))
    return angle


def _pairs(lowest: Ints, highest: Ints) -> tuple[Ints, Ints]:
    """Give all pairs of a row and each number from its ``lowest`` up to, without, its ``highest``."""
    row, number = counted(np.maximum(highest - lowest, 0))
    return row, number + lowest[row]


@dataclass(frozen=True, slots=True)
class Ends:
    """How far along a slot its strip is wanted: from ``low`` to ``high`` on its centre line.

    ``round_mm`` is the radius of a stopped slot's ends, whose wanted part falls back toward the walls;
    0 for a through slot.
    """

    low: float
    high: float
    round_mm: float

    def _back(self, across: Floats) -> Floats:
        return self.round_mm - np.sqrt(np.maximum(self.round_mm**2 - across**2, 0.0))

    def low_mm(self, across: Floats) -> Floats:
        """Give the wanted low end on lines ``across`` from the centre line."""
        return self.low + self._back(across)

    def high_mm(self, across: Floats) -> Floats:
        """Give the wanted high end on lines ``across`` from the centre line."""
        return self.high - self._back(across)


def strip_gap(half_width_mm: float, ends: Ends, swept: Lozenges, thinnest_mm: float = THINNEST_STRIP_MM) -> Gap | None:
    """Give a place of a slot's strip, -half_width to half_width across, that nothing swept covers, or None.

    Places are in (u, v), u across, v along the slot.
    """
    useful = swept.some((swept.discs.good[0] < swept.discs.good[1]) & (swept.far_good[0] < swept.far_good[1]))
    radius = useful.discs.radius
    shares = TO_THE_WALLS if len(radius) and radius.min() < half_width_mm else np.array([0.0, 1.0])
    edges = half_width_mm * np.concatenate([-shares[:0:-1], shares])
    return _search(edges[:-1], edges[1:], lambda inner, outer: _lane_gaps(inner, outer, ends, useful), thinnest_mm)


def _lane_gaps(inner: Floats, outer: Floats, ends: Ends, swept: Lozenges) -> Floats:
    discs = swept.discs
    across = discs.centre[:, 0]
    lowest = np.searchsorted(inner, across - discs.radius, side="left")
    highest = np.searchsorted(outer, across + discs.radius, side="right")
    disc, lane = _pairs(lowest, highest)
    off = np.maximum(np.abs(inner[lane] - across[disc]), np.abs(outer[lane] - across[disc]))
    reach = np.sqrt(np.maximum(discs.radius[disc] ** 2 - off**2, 0.0))
    low, here = _reached(discs.centre[disc, 1], reach, discs.good, disc)
    there, high = _reached(discs.centre[disc, 1] + swept.length[disc], reach, swept.far_good, disc)
    kept = (reach > 0) & (here > low) & (high > there)
    nearest = np.where(np.sign(inner) == np.sign(outer), np.minimum(np.abs(inner), np.abs(outer)), 0.0)
    return gaps(lane[kept], low[kept], high[kept], ends.low_mm(nearest), ends.high_mm(nearest))


def _reached(along: Floats, reach: Floats, good: Stretch, disc: Ints) -> Stretch:
    """Give the stretch that discs reach, and are good for, from a place along the slot."""
    return np.maximum(along - reach, good[0][disc]), np.minimum(along + reach, good[1][disc])
