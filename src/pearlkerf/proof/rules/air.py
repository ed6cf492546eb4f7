"""Rules 3 and 9, air: on while a cutter cuts, and off before the spindle is, where the profile has any."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import Event, Finding

OFF: Final = 9  # M9; M7 and M8 start it (NISTIR 6556, section 3.6.4)


def air_blows(run: Run) -> Iterator[Finding]:
    """Prove that air is on from before a section's first cut to after its last, and off before anything stops.

    Where a profile has no air no word of it is allowed (``proof/dialect.py``).  A stop, the spindle's stop, a
    change of cutter and the end find it off.  A pointing run never starts it.
    """
    if run.machine.dialect.air == "none":
        return
    word, states = run.machine.dialect.air, _blows(run)
    if run.setup.purpose == "point":
        if any(on for _, _, on in states):
            yield run.finding(3, "a pointing run cuts nothing; take its air out")
        return
    for section in run.sections:
        cuts = np.flatnonzero(run.cutting[section.first : section.last]) + section.first
        if len(cuts) and not all(_is_on(states, int(cut)) for cut in (cuts[0], cuts[-1])):
            yield run.finding(3, f"cuts without air; write {word} after the spindle's start, M9 after the last cut",
                              run.line(cuts[0]))  # fmt: skip
        first, last = (int(cuts[0]), int(cuts[-1])) if len(cuts) else (0, 0)
        for before, event, on in states:
            if event.kind == "coolant" and not on and first < before <= last:
                yield run.finding(3, "switches the air off (M9) among its cuts", event.line)
    for _, event, on in states:
        if on and (event.kind in ("stop", "cutter change", "end") or (event.kind == "spindle" and not event.value)):
            yield run.finding(9, "leaves the air on; write M9 before the spindle's stop", event.line)


def _blows(run: Run) -> list[tuple[int, Event, bool]]:
    """Give every event with the motion that follows it, and whether air is on behind it (its own included)."""
    states, on = [], False
    for event in run.reading.events:
        on = event.value != OFF if event.kind == "coolant" else on
        states.append((event.before, event, on))
    return states


def _is_on(states: list[tuple[int, Event, bool]], motion: int) -> bool:
    """Say whether air is on during a motion."""
    return next((on for before, _, on in reversed(states) if before <= motion), False)
