"""Rule 10: what is cut inside a piece is cut while the piece is still held by all that lies round it."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import Finding

RULE = 10
Moment = tuple[int, int]  # the number of a program, of a motion in it


def holes_come_before_outsides(runs: Sequence[Run]) -> Iterator[Finding]:
    """Prove that no hole of a piece is cut once the channel round the piece has been begun.

    The programs are those of one setup, in the order in which they are run.  A sliver that hangs on a strip of tape
    alone gives way under a cutter, so that its hole comes out where it should not.
    """
    if not runs or runs[0].setup.row is None or runs[0].setup.purpose != "cut":
        return
    for piece in runs[0].setup.row.pieces:
        own = [n for n, shape in enumerate(runs[0].shapes) if shape.feature.number == piece.number]
        outside = [n for n in own if runs[0].shapes[n].feature.name == piece.name]
        begun = min((_moments(runs, outside, min)), default=None)
        for hole in [n for n in own if n not in outside]:
            for last in _moments(runs, [hole], max):
                if begun is not None and last > begun:
                    run, name = runs[last[0]], runs[0].shapes[hole].feature.name
                    message = f"{name} is cut after the channel round {piece.name}, which holds it no longer"
                    yield run.finding(RULE, message, run.line(last[1]), feature=name)


def _moments(runs: Sequence[Run], shapes: Sequence[int], pick: Any) -> Iterator[Moment]:
    """Give when each program that cuts some features does so, for the first or the last time."""
    for number, run in enumerate(runs):
        motions = np.concatenate([run.inside[each].motion for each in shapes]) if shapes else np.zeros(0)
        if len(motions):
            yield number, int(pick(motions))
