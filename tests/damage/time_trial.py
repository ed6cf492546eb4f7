"""What a damaged program does with time: too early into the wood, too long in one place, too slow through it."""

import math
from typing import TYPE_CHECKING

import numpy as np
from plain_controller import COLUMNS
from plain_demand import in_outline
from plain_saw import edge_mm, wood_at
from plain_wood import lengths_mm
from what_is_harm import MOMENT, PLACE, SKIN, SLOW, STAND, STANDS

from pearlkerf.machine.cutting import cutting_figures

if TYPE_CHECKING:
    from trial import Trial

FEED, CUTTER = (COLUMNS.index(name) for name in ("feed", "cutter"))
RAISED = 1.02  # a speed that is more than so many times the one before is waited for
BLOCK_SHARE = 0.9  # of a controller's rate of blocks: they come in eights, and their lengths are rounded
STEEP = math.tan(math.radians(10.0))  # what goes down more steeply is fed as a plunge


class Times:
    """The times of a trial's program."""

    def __init__(self, trial: "Trial", thick_chip: float) -> None:
        self.trial, self.machine, self.thick_chip = trial, trial.machine, thick_chip
        self.table, self.happenings = trial.table, trial.track.happenings
        self.slow_s = 0.0

    def hold(self) -> None:
        """Check the spindle's delays, dwells and stops in the wood, and chains of moves that are one place."""
        if not len(self.table):
            return
        self._delays()
        self._stands()
        self._tiny_moves()
        self._creeps()

    def _delays(self) -> None:
        """After a start, or a higher speed, the spindle needs its time before the cutter meets the wood."""
        down = np.flatnonzero((self.table[:, 0] > 0) & (np.fmin(self.table[:, 3], self.table[:, 6]) < 0))
        start, waited, harm, turns, speed = -1, 0.0, 0.01, False, math.nan
        needed = self.machine.spindle.start_delay_s
        for row, what, value in [*self.happenings, (len(self.table), "end of all", 0.0)]:
            if start >= 0 and down.searchsorted(start) < down.searchsorted(row):
                self.trial.grade(needed - waited, 0.001, harm, "cuts before the spindle is at speed")
                start = -1
            raised = value / speed if what == "speed" and turns and value > RAISED * speed else 0.0
            if (what == "spindle" and value == 3 and not turns) or raised:
                start = row if start < 0 else start
                waited = 0.0 if start == row else waited
                harm = math.inf if raised and raised <= self.thick_chip else 0.01
            elif what == "dwell":
                waited += value
            speed = value if what == "speed" else speed
            turns = value == 3 if what == "spindle" else turns and what != "change"

    # --- one place

    def _stands(self) -> None:
        """Dwells add up while the tip stays in one place; a stop has no end."""
        place, spent, since = np.full(3, math.nan), 0.0, 0
        for row, what, value in self.happenings:
            if what not in ("dwell", "stop") or not 0 < row <= len(self.table):
                continue
            ends = self.table[since:row, 4:7]
            if not (np.linalg.norm(ends - place, axis=1) <= PLACE).all():
                place, spent = self.table[row - 1, 4:7], 0.0
            else:
                spent += float(np.nansum(self._times_s(slice(since, row))))
            spent += value if what == "dwell" else math.inf
            since = row
            self._scorches(row - 1, spent)

    def _scorches(self, row: int, seconds: float) -> None:
        if np.isnan(self.table[row, 4:7]).any() or seconds <= STAND + 0.001:
            return
        deep = self._in_wood_mm(row)
        if deep > SKIN:
            self.trial.grade(seconds, STAND, STANDS, "stands in the wood")
        elif deep > 0:
            self.trial.doubts["stands on the wood"] = seconds

    def _in_wood_mm(self, row: int) -> float:
        """How deep the cutter stands in the raw wood at the end of a motion, cut before or not."""
        setup, cutter = self.trial.setup, self.machine.cutter(int(self.table[row, CUTTER]))
        x, y, z = self.table[row, 4:7]
        at = setup.placement.to_board(np.array([[x, y]]))
        if cutter.kind == "saw":
            along = wood_at(setup, at[0, 0])
            edge = edge_mm(np.array([[*at[0], z]]), cutter.radius_mm, along)[0]
            top = setup.stock.top_mm(np.full(len(along), at[0, 0]), along)
            return float(np.max(top - edge, initial=0.0))
        inside = in_outline(setup, at, -cutter.radius_mm)[0]
        return max(float(setup.stock.top_mm(*at[0])) - float(z), 0.0) if inside else 0.0

    def _times_s(self, rows: slice) -> np.ndarray:
        """How long feed motions take at their feeds, s; nan for rapids."""
        return lengths_mm(self.table[rows]) / self.table[rows, FEED] * 60

    def _tiny_moves(self) -> None:
        """Moves that stay within a place for long, though each of them moves."""
        changed = self.trial.changed
        times = self._times_s(changed)
        tiny = np.isfinite(times) & (lengths_mm(self.table[changed]) < PLACE) & (self.table[changed, 6] < 0)
        edges = np.flatnonzero(np.diff(np.concatenate([[0], tiny.astype(int), [0]])))
        for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
            if times[first:last].sum() > STAND:
                self._chain(first + changed.start, last + changed.start)

    def _chain(self, first: int, last: int) -> None:
        ends, times = self.table[first:last, 4:7], self._times_s(slice(first, last))
        anchor, spent = 0, 0.0
        for k in range(last - first):
            if math.dist(ends[k], ends[anchor]) > PLACE:
                anchor, spent = k, 0.0
            spent += float(times[k])
            self._scorches(first + k, spent)

    # --- too slow

    def _creeps(self) -> None:
        """Where a feed is very slow in what is cut already, the wood beside it may burn too: only a doubt."""
        feeds = (self.table[:, 0] > 0) & (np.fmin(self.table[:, 3], self.table[:, 6]) < -SKIN)
        for number in np.unique(self.table[feeds, CUTTER]).astype(int).tolist():
            figures = cutting_figures(self.machine, self.machine.cutter(number), self.trial.setup.wood)
            least = SLOW * min(figures.feed_mm_min, figures.plunge_feed_mm_min)
            rows = np.flatnonzero(feeds & (self.table[:, CUTTER] == number) & (self.table[:, FEED] < least))
            at = self.trial.setup.placement.to_board(self.table[rows, 4:6])
            rows = rows[in_outline(self.trial.setup, at)]
            if len(rows) and (lengths_mm(self.table[rows]) / self.table[rows, FEED]).sum() * 60 > STAND:
                self.trial.doubts["creeps in what is cut already"] = 1.0

    def rubs(self, rows: np.ndarray, feed_mm_min: float, plunge_mm_min: float) -> None:
        """Count the time that feed motions in wood (rows) go at less than a part of the profile's figures."""
        if not len(rows):
            return
        way = self.table[rows, 4:7] - self.table[rows, 1:4]
        steep = -way[:, 2] > STEEP * np.hypot(way[:, 0], way[:, 1])
        least = SLOW * np.where(steep, plunge_mm_min, feed_mm_min)
        feed, rate = self.table[rows, FEED], self.machine.dialect.blocks_per_second
        if rate is not None:  # what the controller carries out as fast as it can is no slower for being short
            least = np.minimum(least, lengths_mm(self.table[rows]) * rate * 60 * BLOCK_SHARE)
        slow = feed < least * 0.999
        if slow.any():
            length = lengths_mm(self.table[rows[slow]])
            self.slow_s += float((length / feed[slow] * 60).sum())
            self.trial.grade(self.slow_s, STAND, MOMENT, "rubs in the wood, slower than a fifth of its feed")
