"""Rule 3, blocks: none comes sooner than its controller carries them out, where the profile says how many it does."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.proof.rules.spindle import path_lengths
from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import FEED_STEP_MM_MIN, LEAST_STEP_MM
from pearlkerf.reading.motions import RAPID, Finding

# blocks that every controller holds ready, from memory: a single short one among so many waits for nothing
HELD: Final = 8


def controller_keeps_up(run: Run) -> Iterator[Finding]:
    """Prove that any HELD blocks at feed, one after another, last for HELD / blocks_per_second at least.

    A controller that is given more waits between them: the cutter stands in the wood, time and again.
    Lengths compare with two least steps of rounding, feeds with FEED_STEP_MM_MIN; cycles are one block each.
    """
    most = run.machine.dialect.blocks_per_second
    if most is None:
        return
    motions = run.reading.motions
    moving = np.flatnonzero((motions.kind != RAPID) & (motions.in_cycle == 0) & (motions.feed > 0))
    _, length = path_lengths(run, moving)
    feed = np.maximum(motions.feed[moving] - FEED_STEP_MM_MIN, FEED_STEP_MM_MIN)
    lasts = (length + 2 * LEAST_STEP_MM[run.machine.dialect.unit]) / feed * 60
    if len(lasts) < HELD:
        return
    together = np.convolve(lasts, np.ones(HELD), "valid")
    apart = moving[HELD - 1 :] - moving[: 1 - HELD] >= HELD  # something else stands between them
    fast = np.flatnonzero((together < HELD / most) & ~apart)
    if len(fast):
        alike = Alike(moving[fast], HELD / together[fast])
        yield run.tell(3, alike, lambda rate, _: (
            f"blocks come at {rate:.0f} a second, the controller carries out {most:g}; feed slower there"
        ))  # fmt: skip
