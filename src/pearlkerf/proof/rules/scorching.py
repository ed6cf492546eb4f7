"""Rule 3, of heat: nothing stands still or creeps in the wood, which scorches, and dulls the cutter."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.blade import in_wood_mm
from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import (
    DWELL_ROUNDING_S,
    FEED_STEP_MM_MIN,
    LEAST_FEED,
    LONGEST_DWELL_S,
    ONE_PLACE_MM,
    ROUNDING_MM,
    TO_AND_FRO,
)
from pearlkerf.reading.motions import RAPID, Finding

Floats = NDArray[np.float64]


def nothing_scorches(run: Run) -> Iterator[Finding]:
    """Prove that a cutter neither stands in the wood longer than LONGEST_DWELL_S nor creeps in it.

    Dwells add up in one place, and so does the time of moves that stay within ONE_PLACE_MM of it, once
    they have gone TO_AND_FRO times as far there: a short move that goes on is no rest.  A feed in
    wood is at least LEAST_FEED of the one in the cutter's figures, up and down of its plunge feed, in
    proportion to the speed where the spindle turns slower; feeds compare with FEED_STEP_MM_MIN of rounding.
    """
    for section in run.sections:
        yield from _creeps(run, section)
    yield from _stops(run)
    yield from _stands(run)


def _creeps(run: Run, section: Section) -> Iterator[Finding]:
    motions = run.reading.motions
    rows = np.flatnonzero(run.cutting[section.first : section.last]) + section.first
    if not len(rows):
        return
    figures = cutting_figures(run.machine, section.cutter, run.setup.wood)
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


@dataclass(frozen=True, slots=True)
class _Rest:
    """A while in one place: at the end of a motion, how long, at which line, and what was moved, mm (0: a dwell)."""

    motion: int
    seconds: float
    line: int
    way_mm: float = 0.0


def _stands(run: Run) -> Iterator[Finding]:
    """Tell of places in the wood where dwells and moves of no length add up to too long."""
    stood, moved, way, anchor, last = 0.0, 0.0, 0.0, np.full(3, np.nan), -2
    for rest in _rests(run):
        at = run.reading.motions.end[rest.motion]
        if rest.motion - last > 1 or not np.abs(at - anchor).max(initial=0.0) <= ONE_PLACE_MM:
            stood, moved, way, anchor = 0.0, 0.0, 0.0, at
        last = rest.motion
        way += rest.way_mm
        stood, moved = (stood, moved + rest.seconds) if rest.way_mm else (stood + rest.seconds, moved)
        total = stood + (moved if way > TO_AND_FRO * ONE_PLACE_MM else 0.0)
        section = _section_of(run, rest.motion)
        if total <= LONGEST_DWELL_S + DWELL_ROUNDING_S or section is None or np.isnan(at).any():
            continue
        if _is_in_wood(run, section, rest.motion):
            yield run.finding(3, f"dwells {total:.2f} s with the cutter in the wood, which scorches (at most "
                              f"{LONGEST_DWELL_S} s)", rest.line)  # fmt: skip
            stood, moved, way = 0.0, 0.0, 0.0


def _rests(run: Run) -> list[_Rest]:
    """Give dwells, and moves at feed that go no way, in the order of the program."""
    motions = run.reading.motions
    count = len(motions.kind)
    rests = [_Rest(event.before - 1, event.value, event.line) for event in run.reading.events
             if event.kind == "dwell" and 0 < event.before <= count]  # fmt: skip
    length = np.linalg.norm(motions.end - motions.start, axis=1)
    around = np.linalg.norm((motions.start - motions.centre)[:, :2], axis=1) * np.abs(motions.sweep)
    length = np.where(
        motions.sweep != 0, np.hypot(np.nan_to_num(around), motions.end[:, 2] - motions.start[:, 2]), length
    )
    short = np.flatnonzero((motions.kind != RAPID) & (length <= ONE_PLACE_MM) & (motions.feed > 0))
    rests += [
        _Rest(row, 60.0 * float(length[row] / motions.feed[row]), run.line(row), float(length[row]))
        for row in short.tolist()
    ]
    return sorted(rests, key=lambda rest: (rest.line, rest.motion))


def _section_of(run: Run, motion: int) -> Section | None:
    return next((each for each in run.sections if each.first <= motion < each.last), None)


def _is_in_wood(run: Run, section: Section, motion: int) -> bool:
    """Say whether the cutter is in the wood at the end of a motion."""
    at = run.reading.motions.end[motion : motion + 1]
    if np.isnan(at[0, :2]).any():  # what is unknown is the worst that it could be
        return bool(at[0, 2] < -ROUNDING_MM)
    sawing = np.flatnonzero(run.blades.motion == motion)
    if len(sawing):
        return bool(np.isfinite(in_wood_mm(run.blades.some(sawing[-1:]).standing(at), run.wood)).all())
    radius = np.array([section.cutter.radius_mm])
    if not at[0, 2] < run.wood.highest_top_mm(at, at, radius)[0] - ROUNDING_MM:
        return False
    return bool(run.wood.distance_mm(at, at)[0] < radius[0] - ROUNDING_MM)
