"""Rule 3, blocks: none comes sooner than its controller carries them out, where the profile says how many it does."""

from collections.abc import Iterator

import numpy as np

from pearlkerf.proof.rules.spindle import path_lengths
from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import FEED_STEP_MM_MIN, LEAST_STEP_MM
from pearlkerf.reading.motions import RAPID, Finding


def controller_keeps_up(run: Run) -> Iterator[Finding]:
    """Prove that every block at feed lasts for 1 / blocks_per_second at least.

    A controller that is given more waits between them: the cutter stands in the wood, time and again.
    Lengths compare with two least steps of rounding, feeds with FEED_STEP_MM_MIN; cycles are one block each.
    """
    most = run.machine.dialect.blocks_per_second
    if most is None:
        return
    motions = run.reading.motions
    moving = np.flatnonzero((motions.kind != RAPID) & (motions.in_cycle == 0) & (motions.feed > 0))
    _, length = path_lengths(run, moving)
    allowed = (length + 2 * LEAST_STEP_MM[run.machine.dialect.unit]) * most * 60 + FEED_STEP_MM_MIN
    fast = np.flatnonzero(motions.feed[moving] > allowed)
    if len(fast):
        alike = Alike(moving[fast], motions.feed[moving[fast]] / np.maximum(length[fast], LEAST_STEP_MM["mm"]) / 60)
        yield run.tell(3, alike, lambda rate, _: (
            f"blocks come at {rate:.0f} a second, the controller carries out {most:g}; feed slower there"
        ))  # fmt: skip
