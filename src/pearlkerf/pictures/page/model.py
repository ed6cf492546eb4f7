"""What the dry-run page is made from: the programs as read back, and what the proof says of them.

The page draws nothing else: no motion that was not read from a program's bytes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pearlkerf.files.lengths import Unit
from pearlkerf.machine.model import Cutter
from pearlkerf.pictures.drawing import Drawing
from pearlkerf.pictures.inlay_words import InlayTold
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import Finding, ProgramText, Reading
from pearlkerf.setups.model import Setup

Held = Literal["held against a board", "shown alone"]


@dataclass(frozen=True, slots=True, eq=False)
class ProgramRun:
    """One program on the page.

    ``reading`` is None where the program was unreadable; ``setup`` is None where no board is given.
    ``cutters`` are the numbers of its cutters in the order of use.  ``seconds`` is (n,) float, s, one
    for each motion, without dwells; None lets the page take lengths over feeds.
    """

    program: ProgramText
    reading: Reading | None
    setup: Setup | None = None
    cutters: tuple[int, ...] = ()
    seconds: NDArray[np.float64] | None = None
    points: bool = False  # a pointing run: it shows places and cuts nothing


@dataclass(frozen=True, slots=True, eq=False)
class DryRun:
    """A job, or a single program, as the page shows it; programs in the order to run."""

    title: str  # any text at all
    programs: tuple[ProgramRun, ...]
    machine: str = ""
    cutters: tuple[Cutter, ...] = ()
    findings: tuple[Finding, ...] = ()
    figures: tuple[tuple[str, float, str], ...] = ()
    held: Held = "held against a board"
    run_outs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # by setup, in sentences
    inlays: tuple[InlayTold, ...] = ()
    unit: Unit = "mm"  # in which lengths are told
    assembled: Drawing | None = None  # the board with the pieces of its inlays in

    @property
    def setups(self) -> tuple[Setup, ...]:
        """Give the setups in which the programs run, each once, in their order."""
        by_name = {run.setup.name: run.setup for run in self.programs if run.setup is not None}
        return tuple(by_name.values())


def dry_run_of(
    title: str,
    verdict: Verdict,
    setups: Sequence[Setup],
    machine: tuple[str, tuple[Cutter, ...]],
    seconds: Sequence[NDArray[np.float64] | None] = (),
) -> DryRun:
    """Give the page's data from a verdict; ``machine`` is its title and cutters, ``seconds`` one for each program."""
    times = list(seconds) + [None] * (len(verdict.programs) - len(seconds))
    by_name = {setup.name: setup for setup in setups}
    programs = tuple(
        ProgramRun(each.program, each.reading, by_name.get(each.setup), each.cutters, time, each.purpose == "point")
        for each, time in zip(verdict.programs, times, strict=True)
    )
    return DryRun(title, programs, machine[0], machine[1], verdict.findings, verdict.figures)
