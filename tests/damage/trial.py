"""One damaged program held against its case: what harm is, check by check."""

import math
from typing import TYPE_CHECKING

import numpy as np
from plain_controller import COLUMNS, Track
from plain_demand import excess_mm, has_flat_floor
from plain_pocket import wide_bites
from plain_wood import Cutting, Strokes, cut, joined, lengths_mm, strokes_of
from sawn_trial import Sawn
from section_trial import Sections
from time_trial import Times
from what_is_harm import HARM, SAFE, Harm
from world_trial import World

from pearlkerf.machine.cutting import cutting_figures

if TYPE_CHECKING:
    from oracle import Case

THICK_CHIP = 1.5  # times the chip load that the cutter should take: a thin cutter breaks
STEP = 0.05  # mm between samples along a move
GEOMETRY = [COLUMNS.index(name) for name in ("kind", "x0", "y0", "z0", "x1", "y1", "z1", "cx", "cy", "cutter")]
FEED, SPINDLE, SPEED, CUTTER = (COLUMNS.index(name) for name in ("feed", "spindle", "speed", "cutter"))


class Trial:
    """One damaged program held against its case."""

    def __init__(self, case: "Case", program: int, track: Track, afresh: bool) -> None:
        self.case, self.program, self.track, self.afresh = case, program, track, afresh
        self.setup, self.machine = case.setup, case.machine
        self.table = self._with_first_cutter(track)
        self.doubts: dict[str, float] = {}
        self.notes: set[str] = set()
        self.starts: list[int] = []
        self.times = Times(self, THICK_CHIP)

    def _with_first_cutter(self, track: Track) -> np.ndarray:
        """The motions; those before the first header are made by the cutter that the operator has put in for it."""
        if self.machine.dialect.cutter_change == "automatic":
            return track.table
        table = np.array(track.table)
        first = next((int(value) for _, what, value in track.happenings if what == "header"), -1)
        table[table[:, CUTTER] < 0, CUTTER] = first
        return table

    def grade(self, amount: float, safe: float, harm: float, what: str) -> None:
        """More than ``harm`` is harm, more than ``safe`` a doubt."""
        if amount > harm or math.isnan(amount):
            raise Harm(f"{what}: {amount:.3f}")
        if amount > safe:
            self.doubts[what] = max(amount, self.doubts.get(what, amount))

    def hold(self) -> None:
        """Check everything, cheap things first."""
        Sections(self).hold()
        self._find_changes()
        self.times.hold()
        self._travel()
        World(self).hold()
        self._state_of_kept_moves()
        self._changed_moves()
        self._features()
        Sawn(self).hold()

    # --- what changed

    def _find_changes(self) -> None:
        old, new = self.case.tables[self.program], self.table
        first = old[:, GEOMETRY], new[:, GEOMETRY]
        count = 0 if self.afresh else min(len(old), len(new))
        same = _same(first[0][:count], first[1][:count])
        self.head = count if same.all() else int(np.argmin(same))
        rest = count - self.head
        same = _same(first[0][len(old) - rest :], first[1][len(new) - rest :])
        self.tail = rest if same.all() else int(np.argmin(same[::-1]))
        self.changed = slice(self.head, len(new) - self.tail)
        self.gone = slice(self.head, len(old) - self.tail)
        self.strokes = strokes_of(new[self.changed], self.setup, self.machine, self.head)

    def cuts_of_kept(self) -> np.ndarray:
        """Which rows of the new table are kept and took wood in the proved program; changed ones False."""
        flags = np.zeros(len(self.table), dtype=bool)
        old = self.case.cutting[self.program]
        flags[: self.head] = old[: self.head]
        if self.tail:
            flags[-self.tail :] = old[-self.tail :]
        return flags

    # --- running

    def _spindle_on(self) -> np.ndarray:
        if self.machine.spindle.control != "hand":
            return self.table[:, SPINDLE] == 3
        on, sections = np.zeros(len(self.table), dtype=bool), [*self.starts, len(self.table)]
        for row, what, value in self.track.happenings:
            if what == "stop" and value == 0:  # M1 stops only where a switch is set (section 3.6.1)
                end = next(each for each in sections if each > row) if row < len(self.table) else row
                on[row:end] = True
        return on

    def _travel(self) -> None:
        travel = self.machine.travel
        ends = np.concatenate([self.strokes.a, self.strokes.b])
        with np.errstate(invalid="ignore"):
            farther = (ends[:, :2] < self.case.box[0]).any() or (ends[:, :2] > self.case.box[1]).any()
        boxes = (
            [s for n, s in enumerate(self.case.strokes) if n != self.program] + [self._all_strokes()] if farther else []
        )
        for axis, limit in enumerate((travel.x_mm, travel.y_mm) if farther else ()):
            values = np.concatenate([part for s in boxes for part in (s.a[:, axis], s.b[:, axis])])
            self.grade(float(np.nanmax(values) - np.nanmin(values)) - limit, 0.0, 0.02, "beyond the travel")
        z = self.table[:, 6]
        for start, end in zip(self.starts, [*self.starts[1:], len(z)], strict=True):
            part = z[start:end]
            if len(part) and not np.isnan(part).all():
                self.grade(float(np.nanmax(part) - np.nanmin(part)) - travel.z_mm, 0.0, 0.02, "beyond the travel")

    def _all_strokes(self) -> Strokes:
        old = self.case.strokes[self.program]
        first, last = np.searchsorted(old.row, [self.gone.start, self.gone.stop])
        every = np.arange(len(old.row))
        return joined([old.some(every[:first]), self.strokes, old.some(every[last:])])

    def _state_of_kept_moves(self) -> None:
        """Spindle and feeds of moves whose way is as it was."""
        self.hold_state(np.flatnonzero(self.cuts_of_kept()))

    def hold_state(self, rows: np.ndarray) -> None:
        """Hold rows that take wood to spindle, speed and feed."""
        if not len(rows):
            return
        if not self._spindle_on()[rows].all():
            raise Harm("cuts with the spindle off or backward")
        for number in np.unique(self.table[rows, CUTTER]).astype(int).tolist():
            some = rows[self.table[rows, CUTTER] == number]
            self._rates(some, self.machine.cutter(number))

    def _rates(self, rows: np.ndarray, cutter) -> None:
        spindle, figures = self.machine.spindle, cutting_figures(self.machine, cutter, self.setup.wood)
        if spindle.control == "program":
            speed = self.table[rows, SPEED]
            most = min(spindle.fastest_rpm, cutter.speed_limit_rpm or math.inf)
            self.grade(float(np.max(speed / most)), 1.0, 1.01, "too fast a spindle")
            self.grade(float(np.max(spindle.slowest_rpm / speed)), 1.0, 1.01, "too slow a spindle")
        feed = self.table[rows, FEED]
        lines = self.table[rows, 0] > 0
        if not lines.any():
            return
        feed, some = feed[lines], rows[lines]
        most = figures.feed_mm_min
        self.grade(float(feed.max()), most * (1 + 1e-6) + 0.02, most * 1.02 + 0.1, "too high a feed in wood")
        way = self.table[some, 4:7] - self.table[some, 1:4]
        length = np.maximum(lengths_mm(self.table[some]), 0.02)  # shorter ones are all rounding
        down = np.maximum(-way[:, 2] - 0.002, 0.0) / length * feed
        if spindle.control == "program":
            chip = feed / self.table[some, SPEED] * (figures.speed_rpm / figures.feed_mm_min)
            self.grade(float(chip.max()), 1.05, THICK_CHIP, "too thick a chip")
        self.times.rubs(some, figures.feed_mm_min, figures.plunge_feed_mm_min)
        most = figures.plunge_feed_mm_min
        self.grade(float(down.max()), most, most * 1.05 + 0.5, "too high a plunge feed")

    # --- wood

    def _changed_moves(self) -> None:
        """Sample what changed, in order: nothing outside the features, nothing below their floors."""
        low = np.flatnonzero((self.strokes.lowest < 0.0) & (self.strokes.saw < 0))
        if np.isnan(self.strokes.radius[low]).any():
            raise Harm("moves down before any cutter is known")
        for first in range(0, len(low), 200):
            strokes = self.strokes.some(low[first : first + 200])
            way = np.linalg.norm(strokes.b - strokes.a, axis=1)
            if np.isnan(way).any():
                raise Harm("moves low from or to a place that nobody knows")
            count = np.minimum(np.ceil(way / STEP).astype(int) + 1, 20000)
            index = np.repeat(np.arange(len(way)), count)
            share = np.concatenate([np.linspace(0.0, 1.0, n) for n in count])
            at = strokes.a[index] + (strokes.b - strokes.a)[index] * share[:, None]
            for some in range(0, len(at), 4000):
                part = slice(some, some + 4000)
                excess = excess_mm(
                    self.setup, self.case.boxes, at[part], strokes.radius[index[part]], strokes.point[index[part]]
                )
                self.grade(float(excess.max(initial=0.0)), SAFE, HARM, "cuts outside a feature or too deep")

    def _features(self) -> None:
        """Cut every feature that changed moves touch, or touched, again from the start."""
        old = self.case.strokes[self.program]
        gone = (old.row >= self.gone.start) & (old.row < self.gone.stop)
        now = self.case.touching(self.strokes)
        before = [near[gone[near]] for near in self.case.near[self.program]]
        sawn = self.case.sawn
        touched = [f for f in range(len(now)) if (len(now[f]) or len(before[f])) and f not in sawn]
        for f in touched:
            self._feature(f, now[f], gone)

    def _feature(self, f: int, now: np.ndarray, gone: np.ndarray) -> None:
        case, parts, rows = self.case, [], []
        for number, near in enumerate(case.near):
            if number != self.program:
                parts.append(case.strokes[number].some(near[f]))
                rows.append(np.full(len(near[f]), -1))
                continue
            old, own = case.strokes[number], near[f]
            head, tail = own[old.row[own] < self.gone.start], own[old.row[own] >= self.gone.stop]
            parts += [old.some(head), self.strokes.some(now), old.some(tail)]
            shift = self.changed.stop - self.gone.stop
            rows += [old.row[head], self.strokes.row[now], old.row[tail] + shift]
        strokes, row = joined(parts), np.concatenate(rows)
        close = cut(case.cloud(f, SAFE), strokes)
        self._bites(f, strokes, close, row)
        takes = close.takes[strokes.rapid]
        self.grade(float(takes.max(initial=0.0)), 0.005, HARM, "a rapid through wood")
        wide = cut(case.cloud(f, HARM), strokes) if len(strokes.row) else None
        left = float((wide.final - case.cloud(f, HARM).wanted).max()) if wide is not None else math.inf
        if left > HARM and not self.claimed(f):
            self.doubts["what nobody claims any more is left uncut"] = left
        else:
            self._complete(f, close, wide, left)
        cuts = np.unique(row[(close.takes > 0.003) & (row >= 0)])
        self.hold_state(cuts[(cuts >= self.changed.start) & (cuts < self.changed.stop)])

    def _complete(self, f: int, close: Cutting, wide: Cutting | None, left: float) -> None:
        """Hold what a feature has become, less a little at its walls and less more, to what it must be."""
        name = self.setup.features[f].name
        if wide is None:
            raise Harm(f"{name} is not cut")
        self.grade(left, 1.0, HARM, f"{name} is left uncut")
        self.grade(
            float((close.final - self.case.cloud(f, SAFE).wanted).max()), SAFE, math.inf, "a feature is left uncut"
        )
        if has_flat_floor(self.setup.features[f]):
            self.grade(float(np.ptp(wide.final)), math.inf, HARM, f"{name} has no flat floor")
            self.grade(float(np.ptp(close.final)), SAFE, math.inf, "a feature has no flat floor")

    def claimed(self, f: int) -> bool:
        """Whether any program of the setup still claims a feature."""
        feature = self.setup.features[f]
        others = (track.claims for n, track in enumerate(self.case.tracks) if n != self.program)
        return any((feature.group, feature.number) in claims for claims in (self.track.claims, *others))

    def _bites(self, f: int, strokes: Strokes, close: Cutting, row: np.ndarray) -> None:
        """Too deep a bite is harm, but in a strip by the wall that is a shaving a doubt."""
        for number in {int(n) for n in self.table[row[row >= 0], CUTTER]}:
            cutter = self.machine.cutter(number)
            own = (row >= 0) & (self.table[np.maximum(row, 0), CUTTER] == number)
            limit = cutting_figures(self.machine, cutter, self.setup.wood).bite_mm
            wide = wide_bites(self.setup.features[f], self.case.cloud(f, SAFE).points, close.met, strokes, limit)
            by_the_wall, well = (float(each[own].max(initial=0.0)) for each in (close.bites, wide))
            self.grade(by_the_wall, limit + 0.005, math.inf, "too deep a bite by the wall")
            self.grade(well, limit + 0.005, 1.1 * limit + HARM, "too deep a bite")


def _same(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Say which rows are alike; nan is like nan."""
    return ((one == other) | (np.isnan(one) & np.isnan(other))).all(axis=1)
