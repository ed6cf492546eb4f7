"""A program that stops on its way, read once for both: what people may do at a stop, and that they do nothing there."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pearlkerf.reading.motions import RAPID, Reading

Floats = NDArray[np.float64]
Z = 2


def as_it_stood(reading: Reading) -> Reading | None:
    """Give a reading by which nothing moves at a stop, from one that takes places and feed after stops as unknown.

    An axis stands where it was before the stop until the program names it; Z does not where a cutter or
    its length changes.  None where only reading once more can tell: the program feeds after a stop
    before it has said a feed.  Of programs without shifted zeros.
    """
    motions, count = reading.motions, len(reading.motions.kind)
    stops = [event.before for event in reading.events if event.kind == "stop" and event.before < count]
    if not stops:
        return reading
    if np.isnan(motions.feed[motions.kind != RAPID]).any():
        return None
    lengths = [event.before for event in reading.events if event.kind in ("cutter change", "length offset")]
    changed = np.full(count, -1)
    changed[[before for before in lengths if before < count]] = [before for before in lengths if before < count]
    start, end = motions.start.copy(), motions.end.copy()
    for axis in range(3):
        _stay(start[:, axis], end[:, axis], np.maximum.accumulate(changed) if axis == Z else np.full(count, -1))
    for column in (start, end):
        column.setflags(write=False)
    return replace(reading, motions=replace(motions, start=start, end=end))


def _stay(start: Floats, end: Floats, changed: NDArray[np.int64]) -> None:
    """Fill in where an axis stands, (n,) at the start and the end of motions, after its last known end.

    ``changed`` (n,) is the last motion before which the axis was lost for good.
    """
    known = np.maximum.accumulate(np.where(np.isnan(end), -1, np.arange(len(end))))
    before = np.concatenate([[-1], known[:-1]])
    lost = np.flatnonzero((np.isnan(start) | np.isnan(end)) & (before >= 0) & (changed <= before))
    stood = end[before[lost]]
    start[lost] = np.where(np.isnan(start[lost]), stood, start[lost])
    end[lost] = np.where(np.isnan(end[lost]), stood, end[lost])
