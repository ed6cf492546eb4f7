"""Rule 3, of heat: nothing stands still or creeps in the wood, which scorches, and dulls the cutter."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.blade import in_wood_mm
from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import (
    DWELL_ROUNDING_S,
    FEED_STEP_MM_MIN,
    LEAST_DESCENT,
    LEAST_FEED,
    LEAST_STEP_MM,
    LONGEST_DWELL_S,
    MOST_TIMES,
    ONE_PLACE_MM,
    ROUNDING_MM,
    SAME_DEPTH_MM,
    TO_AND_FRO,
)
from pearlkerf.reading.motions import RAPID, Finding

Floats = NDArray[np.float64]
Cell = tuple[int, int, int]

# ways are told apart by the cell in which their middle lies, counted in buckets
_CELL_MM: Final = np.array([ONE_PLACE_MM, ONE_PLACE_MM, SAME_DEPTH_MM])
_SPREAD: Final = np.array([73856093, 19349663, 83492791])
_BUCKETS: Final = 0x7FFF
# a cell and those about it
_NEAR: Final[tuple[Cell, ...]] = tuple((i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1))


def nothing_scorches(run: Run) -> Iterator[Finding]:
    """Prove that a cutter neither stands in the wood longer than LONGEST_DWELL_S nor creeps in it.

    Dwells of a section add up in a place, within ONE_PLACE_MM and never beyond twice that, whatever was
    done between them.  Short moves one after another, at rapid too, may not stay as long within
    ONE_PLACE_MM of a place, once they have gone TO_AND_FRO times as far there, and what going down by
    LEAST_DESCENT takes: a move that goes on, or bores, is no rest.  No longer way through the wood is
    gone more than MOST_TIMES, where ways are one whose middles lie in one cell of ONE_PLACE_MM in plan
    and SAME_DEPTH_MM in height.  A feed in wood is at least LEAST_FEED
    of the one in the cutter's figures, up and down of its plunge feed, in proportion to the speed where
    the spindle turns slower, or that at which the controller carries a block so short out; feeds compare
    with FEED_STEP_MM_MIN of rounding, lengths of blocks with two least steps.
    """
    for section in run.sections:
        yield from _creeps(run, section)
        yield from _dwells(run, section)
    yield from _stops(run)
    yield from _lingers(run)
    yield from _rubs(run)


def _creeps(run: Run, section: Section) -> Iterator[Finding]:
    motions = run.reading.motions
    rows = np.flatnonzero(run.cutting[section.first : section.last]) + section.first
    if not len(rows):
        return
    figures = cutting_figures(run.machine, section.cutter, run.setup.wood)
    rows = rows[motions.feed[rows] < LEAST_FEED * figures.feed_mm_min]  # no other can be too slow
    delta = motions.end[rows] - motions.start[rows]
    length = np.linalg.norm(delta, axis=1)
    upright = np.abs(delta[:, 2]) / np.maximum(length, ROUNDING_MM)
    turning = motions.plane[rows] == 17
    upright = np.where((motions.sweep[rows] != 0) & turning, 0.0, upright)
    along = np.minimum(figures.feed_mm_min, figures.plunge_feed_mm_min / np.maximum(upright, ROUNDING_MM))
    speed = motions.speed[rows]
    slower = np.where(speed > 0, np.minimum(speed / figures.speed_rpm, 1.0), 1.0)
    steep = (motions.sweep[rows] != 0) & (delta[:, 2] < 0)
    least = LEAST_FEED * slower * np.where(steep, np.minimum(along, figures.plunge_feed_mm_min), along)
    rate = run.machine.dialect.blocks_per_second
    if rate is not None:  # a short block is no slower for being carried out as fast as it can be
        least = np.minimum(least, (length - 2 * LEAST_STEP_MM[run.machine.dialect.unit]) * rate * 60)
    feed = motions.feed[rows]
    bad = np.flatnonzero((feed > 0) & (feed < least - FEED_STEP_MM_MIN))
    if len(bad):
        yield run.tell(3, Alike(rows[bad], feed[bad]), lambda amount, index: (
            f"creeps in the wood at {amount:.1f} mm/min, which scorches (at least {least[bad][index]:.1f} mm/min)"
        ))  # fmt: skip


def _stops(run: Run) -> Iterator[Finding]:
    """Tell of stops with the cutter in the wood."""
    for event in run.reading.events:
        if event.kind == "stop" and 0 < event.before <= len(run.reading.motions.kind):
            section = _section_of(run, event.before - 1)
            if section is not None and _is_in_wood(run, section, event.before - 1):
                yield run.finding(3, f"stops with the cutter in the wood, which scorches (at most {LONGEST_DWELL_S} s)",
                                  event.line)  # fmt: skip


def _dwells(run: Run, section: Section) -> Iterator[Finding]:
    """Tell of places in the wood where dwells add up to too long, whatever was done between them."""
    stood: dict[Cell, float] = {}
    told: set[Cell] = set()
    for event in run.reading.events:
        motion = event.before - 1
        if event.kind != "dwell" or not section.first <= motion < section.last:
            continue
        at = run.reading.motions.end[motion]
        if np.isnan(at).any():
            continue
        x, y, z = np.floor(at / ONE_PLACE_MM).astype(np.int64).tolist()
        stood[x, y, z] = stood.get((x, y, z), 0.0) + event.value
        about = [(x + i, y + j, z + k) for i, j, k in _NEAR]
        total = sum(stood.get(cell, 0.0) for cell in about)
        too_long = total > LONGEST_DWELL_S + DWELL_ROUNDING_S and told.isdisjoint(about)
        if too_long and _is_in_wood(run, section, motion):
            yield run.finding(3, f"dwells {total:.2f} s in one place with the cutter in the wood, which scorches (at "
                              f"most {LONGEST_DWELL_S} s)", event.line)  # fmt: skip
            told.add((x, y, z))


@dataclass(frozen=True, slots=True, eq=False)
class _Chain:
    """Short moves one after another: the motions ``first`` on, and after each, from before the first on, (k + 1,):

    where the tip is (k + 1, 3), the way made, mm, and the time gone, s.
    """

    first: int
    at: Floats
    way: Floats
    seconds: Floats

    def lingers(self) -> int | None:
        """Give the last motion of the first stay that is too long; None where the chain goes on."""
        most_way = TO_AND_FRO * ONE_PLACE_MM + ONE_PLACE_MM / LEAST_DESCENT
        last = np.maximum(np.searchsorted(self.seconds, self.seconds + LONGEST_DWELL_S + DWELL_ROUNDING_S, "right"),
                          np.searchsorted(self.way, self.way + TO_AND_FRO * ONE_PLACE_MM, "right"))  # fmt: skip
        starts = np.flatnonzero(last < len(self.way))
        near = np.abs(self.at[last[starts]] - self.at[starts]).max(axis=1) <= ONE_PLACE_MM
        for start in starts[near].tolist():
            enough = int(np.searchsorted(self.way, self.way[start] + most_way, "right"))
            some = slice(start, max(enough, int(last[start])) + 1)
            stays = np.logical_and.accumulate((np.abs(self.at[some] - self.at[start]) <= ONE_PLACE_MM).all(axis=1))
            down = np.maximum(self.at[start, 2] - self.at[some, 2], 0.0)
            rests = stays & (self.way[some] - self.way[start] > TO_AND_FRO * ONE_PLACE_MM + down / LEAST_DESCENT)
            rests &= self.seconds[some] - self.seconds[start] > LONGEST_DWELL_S + DWELL_ROUNDING_S
            if rests.any():
                return self.first + int(start) + int(np.argmax(rests)) - 1
        return None


def _lingers(run: Run) -> Iterator[Finding]:
    """Tell of chains of short moves that go to and fro in one place in the wood for too long."""
    for chain in _chains(run):
        motion = chain.lingers()
        section = None if motion is None else _section_of(run, motion)
        if motion is not None and section is not None and _is_in_wood(run, section, motion):
            yield run.finding(3, "goes to and fro in one place with the cutter in the wood, which scorches (at most "
                              f"{LONGEST_DWELL_S} s)", run.line(motion))  # fmt: skip


def _chains(run: Run) -> Iterator[_Chain]:
    """Give the chains of moves of which each stays within ONE_PLACE_MM, and that take long enough to scorch."""
    motions = run.reading.motions
    moved = motions.end - motions.start
    short = (np.abs(moved) <= ONE_PLACE_MM + ROUNDING_MM).all(axis=1) & ((motions.kind == RAPID) | (motions.feed > 0))
    rows = np.flatnonzero(short)
    straight, turns, drop = np.linalg.norm(moved[rows], axis=1), np.abs(motions.sweep[rows]), moved[rows, 2]
    radius = np.nan_to_num(np.hypot(*(motions.start[rows] - motions.centre[rows])[:, :2].T))
    reach = np.where(turns > 0, np.hypot(2 * radius * np.sin(np.minimum(turns, np.pi) / 2), drop), straight)
    short[rows] = reach <= ONE_PLACE_MM + ROUNDING_MM
    edges = np.flatnonzero(np.diff(np.concatenate([[False], short, [False]]).astype(np.int8)))
    if not len(edges):
        return
    way, seconds = np.zeros(len(short)), np.zeros(len(short))
    way[rows] = np.where(turns > 0, np.hypot(radius * turns, drop), straight)
    seconds[rows] = np.nan_to_num(60.0 * way[rows] / motions.feed[rows])  # a rapid of a hair takes no time
    for event in run.reading.events:
        if event.kind == "dwell" and event.before > 0:
            seconds[event.before - 1] += event.value
    gone = np.concatenate([[0.0], np.cumsum(seconds)])
    firsts, lasts = edges[::2], edges[1::2]
    slow = gone[lasts] - gone[firsts] > LONGEST_DWELL_S
    for first, last in zip(firsts[slow].tolist(), lasts[slow].tolist(), strict=True):
        at = np.concatenate([motions.start[first : first + 1], motions.end[first:last]])
        begun = np.concatenate([[0.0], np.cumsum(way[first:last])])
        yield _Chain(first, at, begun, gone[first : last + 1] - gone[first])


def _rubs(run: Run) -> Iterator[Finding]:
    """Tell of ways through the wood that are gone again and again, where nothing is left to be cut."""
    motions, rows = run.reading.motions, np.flatnonzero(run.cutting)
    start, end = motions.start[rows], motions.end[rows]
    cells = np.floor((start + end) / 2 / _CELL_MM).astype(np.int64) @ _SPREAD
    buckets = cells & _BUCKETS
    full = np.bincount(buckets, minlength=1)[buckets] > MOST_TIMES
    if not full.any():  # a few cells share a bucket, never so many
        return
    full &= np.abs(end - start).max(axis=1) > ONE_PLACE_MM  # of shorter ones a chain is made, which may not linger
    rows, cells = rows[full], cells[full]
    _, which, times = np.unique(cells, return_inverse=True, return_counts=True)
    often = [(int(rows[which == cell][MOST_TIMES]), int(times[cell])) for cell in np.flatnonzero(times > MOST_TIMES)]
    if often:
        motion, amount = np.array(sorted(often)).T
        yield run.tell(3, Alike(motion, amount), lambda count, _: (
            f"goes the same way through the wood {count:.0f} times, which scorches (at most {MOST_TIMES})"
        ))  # fmt: skip


def _section_of(run: Run, motion: int) -> Section | None:
    return next((each for each in run.sections if each.first <= motion < each.last), None)


def _is_in_wood(run: Run, section: Section, motion: int) -> bool:
    """Say whether the cutter is in the wood at the end of a motion."""
    at = run.reading.motions.end[motion : motion + 1]
    if np.isnan(at[0, :2]).any():  # what is unknown is the worst that it could be
        return bool(at[0, 2] < run.setup.stock.highest_mm - ROUNDING_MM)
    sawing = np.flatnonzero(run.blades.motion == motion)
    if len(sawing):
        return bool(np.isfinite(in_wood_mm(run.blades.some(sawing[-1:]).standing(at), run.wood)).all())
    radius = np.array([section.cutter.radius_mm])
    if not at[0, 2] < run.wood.highest_top_mm(at, at, radius)[0] - ROUNDING_MM:
        return False
    return bool(run.wood.distance_mm(at, at)[0] < radius[0] - ROUNDING_MM)
