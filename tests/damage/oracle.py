"""The oracle: is a damaged program harmful, harmless, borderline, or nothing that a controller would run?

It reads the program with the plain reader, and compares what it does with what the proved program did:
moves that are the same are known to be good, moves that changed are sampled point by point, and the wood
of every feature that they touch is cut again from the start.
"""

import re
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from plain_controller import MATTERS, NEEDED, Assumed
from plain_demand import Cloud, cloud_of
from plain_reader import Reading, Track, read_plainly
from plain_saw import Blade, saw, saws_near
from plain_wood import Strokes, cut, joined, strokes_of
from plain_words import Unreadable
from talk_trial import Talk
from trial import THICK_CHIP, Trial
from what_is_harm import SAFE, Harm
from world_trial import free_boxes

from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Machine
from pearlkerf.setups.model import Setup


@dataclass(frozen=True)
class Judgement:
    """What the oracle says, and why; ``notes`` explain what else is unusual."""

    kind: str  # harmful, harmless, borderline, unreadable
    why: str = ""
    notes: tuple[str, ...] = ()


class Case:
    """The programs of one setup, proved, with what they do; each thing of it is worked out when it is asked for."""

    def __init__(
        self, name: str, setup: Setup, machine: Machine, programs: list[tuple[str, bytes]], titles: tuple[str, ...] = ()
    ) -> None:
        self.name, self.setup, self.machine, self.programs, self.titles = name, setup, machine, programs, titles
        self.clouds: dict[tuple[int, float], Cloud] = {}

    @cached_property
    def _read(self) -> list[tuple[Assumed, Reading]]:
        return [_read_proved(text, self.machine) for _, text in self.programs]

    @property
    def assumed(self) -> list[Assumed]:
        """What each program must go on stating."""
        return [each[0] for each in self._read]

    @property
    def readings(self) -> list[Reading]:
        """Each program as the plain reader reads it."""
        return [each[1] for each in self._read]

    @property
    def tracks(self) -> list[Track]:
        """What each program does."""
        return [each[1].track for each in self._read]

    @property
    def tables(self) -> list[np.ndarray]:
        """The motions of each program."""
        return [track.table for track in self.tracks]

    @cached_property
    def strokes(self) -> list[Strokes]:
        """The motions of each program as strokes over the board."""
        return [strokes_of(table, self.setup, self.machine) for table in self.tables]

    @cached_property
    def boxes(self) -> np.ndarray:
        """A box about each feature, (n, 4)."""
        return np.array([self.cloud(f, 0.0).box for f in range(len(self.setup.features))]).reshape(-1, 4)

    @cached_property
    def near(self) -> list[list[np.ndarray]]:
        """For each program and feature the strokes that come down near it."""
        return [self.touching(strokes) for strokes in self.strokes]

    @cached_property
    def box(self) -> tuple[np.ndarray, np.ndarray]:
        """The least and the greatest place in X and Y."""
        ends = np.concatenate([part[:, :2] for s in self.strokes for part in (s.a, s.b)])
        return np.nanmin(ends, axis=0), np.nanmax(ends, axis=0)

    @cached_property
    def free(self) -> np.ndarray:
        """Boxes where the proved programs come down, so that nothing stands there."""
        return free_boxes(self.strokes, self.machine.motion.clearance_mm)

    def cloud(self, feature: int, shrink: float) -> Cloud:
        """The cloud of a feature, as the cutter of the proved programs cuts it."""
        key = feature, shrink
        if key not in self.clouds:
            radius = self.cutter_radius[feature] if shrink else 0.0
            self.clouds[key] = cloud_of(self.setup.features[feature], self.setup, radius, shrink)
        return self.clouds[key]

    @cached_property
    def cutter_radius(self) -> list[float]:
        """The radius of the cutter that cuts each feature."""
        radii = []
        for f in range(len(self.setup.features)):
            own = [s.radius[n[f]] for s, n in zip(self.strokes, self.near, strict=True) if len(n[f])]
            radii.append(float(np.median(np.concatenate(own))) if own else 0.0)
        return radii

    def touching(self, strokes: Strokes) -> list[np.ndarray]:
        """For each feature the strokes that come down near it."""
        radius = np.nan_to_num(strokes.radius)
        low = (strokes.lowest < 0.0) & (strokes.saw < 0)
        x0, x1 = (pick(strokes.a[:, 0], strokes.b[:, 0]) for pick in (np.fmin, np.fmax))
        y0, y1 = (pick(strokes.a[:, 1], strokes.b[:, 1]) for pick in (np.fmin, np.fmax))
        order = np.flatnonzero(low)
        found = []
        for left, near, right, far in self.boxes:
            hit = (x1[order] + radius[order] >= left) & (x0[order] - radius[order] <= right)
            hit &= (y1[order] + radius[order] >= near) & (y0[order] - radius[order] <= far)
            found.append(order[hit])
        return found

    @cached_property
    def cutting(self) -> list[np.ndarray]:
        """For each program, which of its motions take wood."""
        flags = [np.zeros(len(table), dtype=bool) for table in self.tables]
        for f in range(len(self.setup.features)):
            parts = [s.some(n[f]) for s, n in zip(self.strokes, self.near, strict=True)]
            takes = cut(self.cloud(f, SAFE), joined(parts)).takes
            for flag, part in zip(flags, parts, strict=True):
                flag[part.row[takes[: len(part.row)] > 0.003]] = True
                takes = takes[len(part.row) :]
        for f, blade in self.sawn.items():
            for flag, part in zip(flags, self.strokes, strict=True):
                own = part.some(saws_near(self.setup.features[f], blade, part))
                flag[own.row[saw(self.setup, self.setup.features[f], blade, own, SAFE).takes > 0.003]] = True
        return flags

    @cached_property
    def sawn(self) -> dict[int, Blade]:
        """The slots (numbers of features) that saws cut, each with its blade."""
        found = {}
        for strokes in self.strokes:
            for number in np.unique(strokes.saw[strokes.saw >= 0]).astype(int).tolist():
                blade = Blade.of(self.machine.cutter(number))
                for f, feature in enumerate(self.setup.features):
                    if isinstance(feature, Slot) and len(saws_near(feature, blade, strokes)):
                        found[f] = blade
        return found

    def judge(self, program: int, text: bytes, *, afresh: bool = False) -> Judgement:
        """Say what a damaged text of one of the programs does; ``afresh`` takes no move to be good."""
        try:
            track = read_plainly(text, self.machine.dialect, self.readings[program], self.assumed[program]).track
        except Unreadable as reason:
            return Judgement("unreadable", str(reason))
        except Harm as harm:
            return Judgement("harmful", str(harm))
        trial = Trial(self, program, track, afresh)
        try:
            trial.hold()
            Talk(trial, self.programs[program][1].decode("latin-1"), text.decode("latin-1"), THICK_CHIP).hold()
        except Unreadable as reason:
            return Judgement("unreadable", str(reason))
        except Harm as harm:
            return Judgement("harmful", str(harm), tuple(sorted(track.oddities)))
        if _comments(text) != _comments(self.programs[program][1]):
            trial.notes.add("says something else to people")
        notes = tuple(sorted(trial.notes | track.oddities))
        if trial.doubts:
            return Judgement("borderline", "; ".join(f"{what}: {n:.4f}" for what, n in trial.doubts.items()), notes)
        return Judgement("harmless", "", notes)


def _read_proved(text: bytes, machine: Machine) -> tuple[Assumed, Reading]:
    """Read a proved program, and what it must go on stating: all that its head states and that matters."""
    stated = read_plainly(text, machine.dialect).track.stated
    assumed = Assumed(frozenset(NEEDED | (stated & MATTERS)), machine.motion.clearance_mm)
    return assumed, read_plainly(text, machine.dialect, assumed=assumed)


def _comments(text: bytes) -> list[bytes]:
    """What a program says to people."""
    return re.findall(rb"\([^)\n]*\)", text)
