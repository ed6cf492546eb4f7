"""What a damaged program does with a saw: where its blade goes, and what it takes of each slot."""

import math
from typing import TYPE_CHECKING

import numpy as np
from plain_saw import Blade, beyond, saw, saws_near
from plain_wood import Strokes, joined
from what_is_harm import HARM, SAFE, Harm

from pearlkerf.machine.cutting import cutting_figures

if TYPE_CHECKING:
    from trial import Trial


class Sawn:
    """The saw's part of a trial."""

    def __init__(self, trial: "Trial") -> None:
        self.trial, self.case = trial, trial.case

    def hold(self) -> None:
        """Check the blade's changed moves, then every slot that they touch, or touched."""
        new = self.trial.strokes
        if not self.case.sawn and not (new.saw >= 0).any():
            return
        for k in np.flatnonzero((new.saw >= 0) & (new.lowest < 0.0)).tolist():
            if np.isnan(new.a[k]).any() or np.isnan(new.b[k]).any():
                raise Harm("saws where nobody knows")
            self._move(new, k)
        for f, blade in self.case.sawn.items():
            self._slot(f, blade)

    def _move(self, strokes: Strokes, k: int) -> None:
        cutter = self.trial.machine.cutter(int(strokes.saw[k]))
        blade = Blade.of(cutter)
        found = beyond(self.trial.setup, blade, strokes, k)
        grade = self.trial.grade
        grade(found.outside, SAFE, HARM, "saws outside a slot or too deep")
        if found.outside <= SAFE:  # what is sawn already is air
            self.trial.doubts.update({"at rapid with the blade by the wood": found.rapid} if found.rapid > SAFE else {})
        grade(found.flange, 0.0, HARM, "what turns beside the blade meets the wood")

    def _slot(self, f: int, blade: Blade) -> None:
        trial, slot = self.trial, self.trial.setup.features[f]
        old = self.case.strokes[trial.program]
        near = saws_near(slot, blade, old)
        gone = (old.row[near] >= trial.gone.start) & (old.row[near] < trial.gone.stop)
        now = saws_near(slot, blade, trial.strokes)
        if not gone.any() and not len(now):
            return
        parts, rows = [], []
        for number, strokes in enumerate(self.case.strokes):
            if number != trial.program:
                own = saws_near(slot, blade, strokes)
                parts.append(strokes.some(own))
                rows.append(np.full(len(own), -1))
                continue
            head, tail = near[old.row[near] < trial.gone.start], near[old.row[near] >= trial.gone.stop]
            parts += [old.some(head), trial.strokes.some(now), old.some(tail)]
            shift = trial.changed.stop - trial.gone.stop
            rows += [old.row[head], trial.strokes.row[now], old.row[tail] + shift]
        self._sawing(f, blade, joined(parts), np.concatenate(rows))

    def _sawing(self, f: int, blade: Blade, strokes: Strokes, row: np.ndarray) -> None:
        trial, slot, grade = self.trial, self.trial.setup.features[f], self.trial.grade
        cutter = trial.machine.cutter(blade.number)
        close, wide = (saw(trial.setup, slot, blade, strokes, narrow) for narrow in (SAFE, HARM))
        wanted = slot.floor.z_mm(np.full(len(close.y), slot.start[0]), close.y)
        left = float((wide.final - wanted).max())
        if left > HARM and not trial.claimed(f):
            trial.doubts["what nobody claims any more is left unsawn"] = left
        else:
            grade(left, 1.0, HARM, f"{slot.name} is left unsawn")
            grade(float((close.final - wanted).max()), SAFE, math.inf, "a slot is left unsawn")
        own = row >= 0
        limit = cutting_figures(trial.machine, cutter, trial.setup.wood).bite_mm
        grade(float(wide.visit[own].max(initial=0.0)), limit + 0.005, 1.1 * limit + HARM, "saws too deep at once")
        grade(float(wide.wrong[own].max(initial=0.0)), 0.005, HARM, "saws the wrong way")
        grade(float(wide.down[own].max(initial=0.0)), 0.005, HARM, "goes down into the wood with a saw")
        grade(float(wide.takes[strokes.rapid].max(initial=0.0)), 0.005, HARM, "a rapid through wood")
        cuts = np.unique(row[own & (wide.takes > 0.003)])
        trial.hold_state(cuts[(cuts >= trial.changed.start) & (cuts < trial.changed.stop)])
