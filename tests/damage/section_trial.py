"""What a damaged program says of itself, and how its sections begin and end: what nobody knows is the worst."""

import math
from typing import TYPE_CHECKING

import numpy as np
from plain_controller import COLUMNS
from plain_words import Unreadable
from what_is_harm import LIFTED, ROUNDING, Harm

if TYPE_CHECKING:
    from trial import Trial

FEED, CUTTER, LENGTH = (COLUMNS.index(name) for name in ("feed", "cutter", "length"))


class Sections:
    """The sections of a trial's program: each of one cutter, changed where it can be, lifted first and last."""

    def __init__(self, trial: "Trial") -> None:
        self.trial, self.case, self.track, self.table = trial, trial.case, trial.track, trial.table
        self.machine = trial.machine
        self.clearance = self.machine.motion.clearance_mm
        self.automatic = self.machine.dialect.cutter_change == "automatic"

    def hold(self) -> None:
        """Check names, changes, lengths, rises and ends; tells the trial where the sections start."""
        self._names()
        self.trial.starts = self._starts()
        self._lengths()
        if not set(self.table[:, CUTTER].astype(int).tolist()) <= {each.number for each in self.machine.cutters}:
            raise Harm("a cutter that the machine has not")
        self._rises()
        self._endings()

    def _names(self) -> None:
        track, trial = self.track, self.trial
        if not track.setups:
            raise Unreadable("no header says the setup")
        if any(name != trial.setup.name for name in track.setups):
            raise Harm("the header names another setup")
        known = {(feature.group, feature.number) for feature in trial.setup.features}
        if any(claim not in known for claim in track.claims):
            trial.notes.add("the header claims a cut that the board has not")
        if set(track.claims) != set(self.case.tracks[trial.program].claims):
            trial.notes.add("the header claims other cuts")
        if not track.claims and not (self.table[:, 6] < 0).any():
            raise Harm("claims nothing and cuts nothing")

    def _starts(self) -> list[int]:
        """The rows at which a section begins: the first, and each after another cutter was put in."""
        starts, off = [0], True
        # before or behind the comment that names the next cutter, on its line too: nothing moves between
        stops = {row for row, what, value in self.track.happenings if what == "stop" and value == 0}
        headers: list[float] = []
        changes: list[float] = []
        for row, what, value in self.track.happenings:
            if what == "spindle":
                off = value == 0
                if not off and self.machine.spindle.control == "hand":
                    raise Harm("starts a spindle that people switch")
            elif what == "header":
                headers += [value] if not headers or headers[-1] != value else []
            elif what == "cutter by hand" and row and headers:  # the first to be named is in the spindle already
                if self.machine.dialect.cutter_change != "stop" or row not in stops or not off:
                    raise Harm("another cutter without a stop")
                starts.append(row)
            elif what == "change":
                if not self.automatic:
                    raise Harm("a cutter change on a machine that cannot")
                changes.append(value)
                starts.append(row)
            elif what == "stop while it turns" and self.machine.spindle.control != "hand":
                raise Harm("stops for people while the spindle turns")
            elif what == "override":
                self.trial.doubts["takes the feed override from the operator's hand"] = 1.0
        if self.automatic and headers != changes:
            self.trial.notes.add("the header names other cutters than the changer takes")
        return sorted(set(starts))

    def _lengths(self) -> None:
        """On a machine that changes cutters itself nothing moves but with the length of the cutter that is in it."""
        if not self.automatic:
            if (self.table[:, LENGTH] > 0).any():
                raise Harm("adds a cutter's length on a machine that has no table of them")
            if any(what == "length" for _, what, _ in self.track.happenings):
                self.trial.doubts["takes off a cutter's length where zero was touched off with the cutter"] = 1.0
            return
        changes = [row for row, what, _ in self.track.happenings if what == "change"]
        if not changes or (self.table[:, CUTTER] < 0).any():
            raise Harm("moves before any cutter is taken")
        if not (self.table[:, LENGTH] == self.table[:, CUTTER]).all():
            raise Harm("moves with no length, or with another cutter's")

    def _rises(self) -> None:
        """Each section, and each motion from a height that nobody knows, begins with a rise."""
        feeds = self.table[:, 0] > 0
        if not (self.table[feeds, FEED] > 0).all():
            raise Harm("a feed motion without a feed")
        unknown = np.flatnonzero(np.isnan(self.table[:, 3]) & ~np.isnan(self.table[:, 6]))
        for row in sorted({*self.trial.starts, *unknown.tolist()}):
            self._lifts_first(row)

    def _lifts_first(self, start: int) -> None:
        if start >= len(self.table):
            return
        row = self.table[start]
        x, y, z = row[4:7]
        stays = all(math.isnan(b) or a == b for a, b in ((row[1], x), (row[2], y)))
        if not stays or not z >= LIFTED:
            raise Harm("does not lift first")
        if z < self.clearance - ROUNDING:
            self.trial.doubts["lifts first, but not to clearance"] = z

    def _endings(self) -> None:
        """The program and each of its sections end with the cutter up and the spindle off."""
        last = len(self.table)
        if not last:
            return
        if self.machine.spindle.control != "hand":
            spindle = [(what, value) for _, what, value in self.track.happenings if what in ("spindle", "change")]
            if spindle and spindle[-1][0] == "spindle" and spindle[-1][1] != 0:
                raise Harm("ends with the spindle on")
        elif (last, "stop", 0) not in self.track.happenings:
            raise Harm("ends with the spindle on")
        if not self.track.end:
            self.trial.notes.add("no end")
        for start in [*(each for each in self.trial.starts if each), last]:
            z = self.table[start - 1, 6]
            if not z >= LIFTED:
                raise Harm("ends with the cutter down")
            if z < self.clearance - ROUNDING:
                self.trial.doubts["ends below clearance"] = z
