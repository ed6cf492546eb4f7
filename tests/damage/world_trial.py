"""The world about a damaged program's wood: the bed below it, what holds it, what hangs above the cutter.

The bed lies ``standing_mm`` below Z 0.  What holds the wood is an upright box on the bed; a cutter is a column
of discs, each from so far above the tip on:

        |  body  |      from stick-out and nut
         | nut |        from the stick-out on
          |s|           the shank, from the cutting length on
           c            the cutter itself, from the tip on
"""

import math
from typing import TYPE_CHECKING

import numpy as np
from plain_controller import COLUMNS
from plain_demand import deepest_allowed, in_outline, outside_mm
from plain_wood import Strokes
from what_is_harm import HARM, ROUNDING, Harm

from pearlkerf.layout.features import Hole

if TYPE_CHECKING:
    from trial import Trial

STEP = 0.5  # mm between places along a stroke; clamps are no finer
NEAR_BED = 0.2  # mm: zero is touched off on wood that may be so much thinner
CUTTER = COLUMNS.index("cutter")
TOUCH = 0.05  # mm into what holds the wood that are harm
ASIDE = 2.0  # mm about the ways of the proved programs, where nothing stands either
WIDEST_SHANK = 6.35 / 2  # mm, of what small spindles take (common practice, no source)


class World:
    """What a trial's changed moves meet besides the wood that is cut."""

    def __init__(self, trial: "Trial") -> None:
        self.trial, self.setup, self.machine = trial, trial.setup, trial.machine
        self.strokes = trial.strokes

    def hold(self) -> None:
        """Check the bed, the boxes, the shank, and moves below clearance where clamps may stand."""
        if len(self.strokes.row):
            self._bed()
            for box in self.setup.holding:
                self._box(box)
            self._shank()
            self._below_clearance()

    # --- the bed

    def _bed(self) -> None:
        low = np.flatnonzero(self.strokes.lowest < NEAR_BED - self.setup.standing_mm)
        for k in low.tolist():
            below = -self.setup.standing_mm - float(self.strokes.lowest[k])
            if not self._given_away(k):
                self.trial.grade(below, -NEAR_BED, HARM, "into the bed, or beside the board nearly so")

    def _given_away(self, k: int) -> bool:
        """Whether a stroke stays in a hole that the setup itself wants through the bed."""
        ends, lips = np.stack([self.strokes.a[k], self.strokes.b[k]]), self.strokes.point[k]
        for feature in self.setup.features:
            if isinstance(feature, Hole) and feature.deepest_mm < -self.setup.standing_mm:
                beside = outside_mm(feature, ends[:, :2], 0.0) + self.strokes.radius[k]
                deep = deepest_allowed(feature, ends[:, :2]) - ends[:, 2] - lips
                if (beside <= HARM).all() and (deep <= HARM).all():
                    return True
        return False

    # --- what holds the wood

    def _box(self, box) -> None:
        for number in np.unique(self._numbers()).tolist():
            cutter = self.machine.cutter(int(number))
            own = np.flatnonzero(self._numbers() == number)
            for radius, above, sure in self._column(cutter):
                low = own[self.strokes.lowest[own] + above < box.top_mm]
                for k in low.tolist():
                    self._meets(box, k, (radius, above, sure), cutter)

    def _numbers(self) -> np.ndarray:
        return self.trial.table[self.strokes.row, CUTTER]

    def _column(self, cutter) -> list[tuple[float, float, bool]]:
        """Radius, height above the tip where it begins, and whether the profile says so."""
        if cutter.kind == "saw":
            return [(cutter.radius_mm, 0.0, True)]
        spindle, known = self.machine.spindle, cutter.stick_out_mm is not None
        nut = cutter.stick_out_mm if known else cutter.reach_mm
        shank = cutter.shank_mm / 2 if cutter.shank_mm is not None else WIDEST_SHANK
        return [
            (cutter.radius_mm, 0.0, True),
            (shank, cutter.reach_mm, cutter.shank_mm is not None),
            (spindle.nut_diameter_mm / 2, nut, known),
            (spindle.body_diameter_mm / 2, nut + spindle.nut_length_mm, known),
        ]

    def _meets(self, box, k: int, part: tuple[float, float, bool], cutter) -> None:
        radius, above, sure = part
        a, b = self.strokes.a[k], self.strokes.b[k]
        if np.isnan(a + b).any():
            raise Harm(f"comes down, perhaps on {box.name}, at a place that nobody knows")
        count = min(max(2, math.ceil(math.dist(a[:2], b[:2]) / STEP) + 1), 5000)
        at = a + (b - a) * np.linspace(0.0, 1.0, count)[:, None]
        places = self.setup.placement.to_machine(at[:, :2])
        under = box.top_mm - at[:, 2] - above
        (west, south), (east, north) = box.corners[0], box.corners[2]
        dx = np.maximum(np.maximum(west - places[:, 0], places[:, 0] - east), 0.0)
        dy = np.maximum(np.maximum(south - places[:, 1], places[:, 1] - north), 0.0)
        if cutter.kind == "saw":  # a disc across the board, half a kerf to either side
            chord = np.sqrt(np.maximum(under * (2 * radius - under), 0.0))
            across = np.where(under < radius, chord, radius) - dy
            into = np.minimum(across, cutter.kerf_mm / 2 - dx)
        else:
            into = radius - np.hypot(dx, dy)
        deepest = float(np.max(np.where(under > ROUNDING, into, -1.0)))
        if sure:
            self.trial.grade(deepest, 0.0, TOUCH, f"into {box.name}")
        elif deepest > 0:
            self.trial.doubts[f"the spindle may come down on {box.name}"] = deepest

    # --- the shank, and what the operator alone knows

    def _shank(self) -> None:
        """Beside a cut that is deeper than the cutting length the shank meets the wood."""
        for number in np.unique(self._numbers()).tolist():
            cutter = self.machine.cutter(int(number))
            if cutter.kind == "saw":
                continue
            radius, above, sure = self._column(cutter)[1]
            own = (self._numbers() == number) & (self.strokes.lowest + above < -HARM)
            for end in (self.strokes.a[own], self.strokes.b[own]):
                low = end[:, 2] + above < self.setup.stock.top_mm(end[:, 0], end[:, 1]) - HARM
                if (in_outline(self.setup, end[:, :2], -radius) & low).any():
                    if sure:
                        raise Harm("brings the shank down on the wood")
                    self.trial.doubts["may bring the shank down on the wood"] = 1.0

    def _below_clearance(self) -> None:
        """Up to clearance clamps may stand wherever the proved programs do not come down: only a doubt."""
        s, clearance = self.strokes, self.machine.motion.clearance_mm
        low = np.flatnonzero(s.lowest < clearance - 0.01)
        free = np.zeros(len(low), dtype=bool)
        for west, south, east, north in self.trial.case.free:
            ends = [(part[low, 0] >= west) & (part[low, 0] <= east) & (part[low, 1] >= south) & (part[low, 1] <= north)
                    for part in (s.a, s.b)]  # fmt: skip
            free |= ends[0] & ends[1]
        if not free.all():
            self.trial.doubts["below clearance where only the operator knows what stands"] = 1.0


def free_boxes(every: list[Strokes], clearance_mm: float) -> np.ndarray:
    """Boxes (n, 4) about each visit of proved programs below clearance: from one coming down to the next lift."""
    boxes = []
    for strokes in every:
        low = np.append(np.fmin(strokes.a[:, 2], strokes.b[:, 2]) < clearance_mm - 0.01, False)
        edges = np.flatnonzero(np.diff(np.concatenate([[0], low.astype(int)])))
        for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
            ends = np.concatenate([strokes.a[first:last, :2], strokes.b[first:last, :2]])
            if not np.isnan(ends).any():
                boxes.append([*(ends.min(axis=0) - ASIDE), *(ends.max(axis=0) + ASIDE)])
    return np.array(boxes).reshape(-1, 4)
