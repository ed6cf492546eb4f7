"""How far the cuts of each setup run out of its wood, and where clamps may stand: from the motion read back."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from pearlkerf.machine.model import Machine
from pearlkerf.pictures.page.data import sections
from pearlkerf.proof.verdict import Proved, Verdict
from pearlkerf.reading.motions import ARC, RAPID
from pearlkerf.setups.model import Setup
from pearlkerf.setups.run_out_words import of_run_out
from pearlkerf.setups.run_outs import Strokes


def run_outs_read(verdict: Verdict, setups: Sequence[Setup], machine: Machine) -> dict[str, tuple[str, ...]]:
    """Say by the names of setups how far the cuts of all their programs run out, as they were read."""
    told = {}
    for setup in setups:
        programs = [each for each in verdict.programs if each.setup == setup.name and each.purpose == "cut"]
        strokes = [part for each in programs for part in _strokes(each, machine)]
        if setup.purpose == "cut" and strokes:
            told[setup.name] = tuple(of_run_out(setup, strokes, machine))
    return told


def _strokes(program: Proved, machine: Machine) -> Iterator[Strokes]:
    """Give the strokes of every cutter of a program, from where it is known to be, its traverses left out."""
    if program.reading is None:
        return
    motions = program.reading.motions
    known = ~(np.isnan(motions.start).any(axis=1) | np.isnan(motions.end).any(axis=1))
    known &= (motions.kind != RAPID) | (motions.start[:, :2] == motions.end[:, :2]).all(axis=1)
    radius = np.where(motions.kind == ARC, np.linalg.norm(motions.centre - motions.start, axis=1), 0.0)
    wider = radius * (1 - np.cos(motions.sweep / 2))
    begins = [*sections(program.reading, program.cutters), [len(motions.kind), 0]]
    for (first, number), (last, _) in pairwise(begins):
        cutter, rows = machine.cutter(number), np.flatnonzero(known[first:last]) + first
        if cutter is not None and len(rows):
            start, end = motions.start[rows], motions.end[rows]
            yield Strokes(cutter, start, end, np.minimum(start[:, 2], end[:, 2]), wider[rows])
