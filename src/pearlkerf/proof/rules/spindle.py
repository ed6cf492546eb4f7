"""Rule 3: the spindle turns and a feed is set before the first cut; speed and feeds are within limits."""

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import CuttingFigures, cutting_figures
from pearlkerf.proof.runs import Run, Section
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import (
    DWELL_ROUNDING_S,
    FEED_PER_TURN,
    FEED_STEP_MM_MIN,
    LEAST_STEP_MM,
    RATE_ROUNDING,
    ROUNDING_MM,
)
from pearlkerf.reading.messages import named_in_head, speeds_at_stops
from pearlkerf.reading.motions import (
    ARC,
    PROGRAM_STOP,
    RAPID,
    SPINDLE_CLOCKWISE,
    SPINDLE_COUNTERCLOCKWISE,
    Event,
    Finding,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def spindle_and_feeds(run: Run) -> Iterator[Finding]:
    """Prove that every cut is made with the spindle running as it should and a feed within limits.

    Clockwise (M3), started and given its delay before the first cut; where it is set by hand, a stop
    (M0, not the optional M1) before a section's first cut counts as the start, and the speed that its
    message, or the program's head, asks for as the speed.  The speed lies within the spindle's range
    and the cutter's limit; where it is lower than in the cutter's figures, feeds count as so many
    times higher, within FEED_PER_TURN.  Feeds lie within the cutter's figures for this wood, the
    downward part within its plunge feed, each axis within its own limit; they compare with
    FEED_STEP_MM_MIN of rounding, and a height or distance counts less one least step of the program.
    What stands still or creeps in the wood is ``nothing_scorches``'s.
    """
    for section in run.sections:
        cuts = np.flatnonzero(run.cutting[section.first : section.last]) + section.first
        if run.machine.spindle.starts_by_program:
            yield from _started(run, cuts)
        else:
            yield from _started_by_hand(run, section, cuts)
        if run.machine.spindle.control == "program":
            yield from _speed_is_set(run, cuts)
        yield from _speed(run, section, cuts)
        yield from _feeds(run, section)
    if run.machine.spindle.starts_by_program:
        yield from _delays(run)


def _started_by_hand(run: Run, section: Section, cuts: Ints) -> Iterator[Finding]:
    if not len(cuts):
        return
    starts = [
        event for event in run.reading.events
        if event.kind == "stop" and event.value == PROGRAM_STOP
        and section.first <= event.before <= cuts[0] and event.line > section.line
    ]  # fmt: skip
    if not starts:
        yield run.finding(3, "cuts before a stop (M0) at which the spindle can be switched on", run.line(cuts[0]))


def _started(run: Run, cuts: Ints) -> Iterator[Finding]:
    spindle = run.reading.motions.spindle[cuts]
    off, backward = cuts[spindle != SPINDLE_CLOCKWISE], cuts[spindle == SPINDLE_COUNTERCLOCKWISE]
    if len(off):
        how = "backward (M4)" if len(backward) == len(off) else "off"
        message = f"cuts with the spindle {how}; start it clockwise with M3 before"
        yield run.tell(3, Alike(off, np.zeros(len(off))), lambda *_: message)


def _speed_is_set(run: Run, cuts: Ints) -> Iterator[Finding]:
    unset = np.isnan(run.reading.motions.speed[cuts])
    if unset.any():
        yield run.finding(3, "cuts before a spindle speed is set (S)", run.line(cuts[unset][0]))


def _speeds_rpm(run: Run, section: Section) -> Floats:
    """Give the speed of every motion, (n,) rpm, by S or as people are told; nan where nothing says it."""
    if run.machine.spindle.control == "program":
        return run.reading.motions.speed
    in_head = [
        told.speed_rpm for named, told in named_in_head(run.reading) if told and named.number == section.cutter.number
    ]
    speeds = np.full(len(run.reading.motions.kind), in_head[0] if in_head else np.nan)
    for told in speeds_at_stops(run.reading):
        if section.first <= told.before < section.last:
            speeds[told.before :] = told.speed_rpm
    return speeds


def _speed(run: Run, section: Section, cuts: Ints) -> Iterator[Finding]:
    speed, spindle = _speeds_rpm(run, section)[cuts], run.machine.spindle
    most = min(spindle.fastest_rpm, section.cutter.speed_limit_rpm or spindle.fastest_rpm)
    for off, bound in (
        (speed > most * (1 + RATE_ROUNDING), f"at most {most:.0f}"),
        (speed < spindle.slowest_rpm * (1 - RATE_ROUNDING), f"at least {spindle.slowest_rpm:.0f}"),
    ):
        if off.any():
            message = f"cuts with cutter {section.cutter.number} at {speed[off][0]:.0f} rpm ({bound})"
            yield run.finding(3, message, run.line(cuts[off][0]))


def _feeds(run: Run, section: Section) -> Iterator[Finding]:
    motions = run.reading.motions
    moving = np.flatnonzero(motions.kind[section.first : section.last] != RAPID) + section.first
    feed = motions.feed[moving]
    unset = ~(feed > 0)
    if unset.any():
        yield run.tell(3, Alike(moving[unset], np.zeros(len(moving))[unset]), _without_feed)
    parts, length = path_lengths(run, moving)
    rate = feed[:, None] * parts / length[:, None]
    # rounding of both ends may add a least step to a part of a short move
    sure = feed[:, None] * np.maximum(parts - LEAST_STEP_MM[run.machine.dialect.unit], 0.0) / length[:, None]
    figures = cutting_figures(run.machine, section.cutter, run.setup.wood)
    whose = "with this cutter in this wood"
    speed = _speeds_rpm(run, section)[moving]
    slower = _slower(speed, figures.speed_rpm)
    limits = [
        (feed, feed, figures.feed_mm_min, f"cuts at a feed of {{}} ({{}} {whose})"),
        (rate[:, 3], sure[:, 3], figures.plunge_feed_mm_min, f"goes down into wood at {{}} ({{}} {whose})"),
    ]
    for axis, name in enumerate("XYZ"):
        limit = run.machine.motion.feed_limit_mm_min[axis]
        limits.append((rate[:, axis], sure[:, axis], limit, f"drives {name} at a feed of {{}} ({{}})"))
    for number, (told, held, limit, wording) in enumerate(limits):
        bad = held > limit * (1 + RATE_ROUNDING) + FEED_STEP_MM_MIN
        if number < 2:
            per_turn = held * slower > limit * FEED_PER_TURN + FEED_STEP_MM_MIN
            if bad.any() or per_turn.any():
                wood = _in_wood(run, moving, bad | per_turn)
                bad, per_turn = bad & wood, per_turn & wood & ~bad
            if per_turn.any():
                yield run.tell(3, Alike(moving[per_turn], told[per_turn]), _too_slow(speed[per_turn], figures, limit))
        if bad.any():
            yield run.tell(3, Alike(moving[bad], told[bad]), _faster(limit, wording))


def _slower(speed: Floats, speed_rpm: float) -> Floats:
    """Give how many times slower than in the figures the spindle turns: so much more is taken at each turn.

    1 where no speed is set or told: what by program must be set is told of elsewhere.
    """
    return np.where(speed > 0, speed_rpm / np.where(speed > 0, speed, 1.0), 1.0)


def _too_slow(speed: Floats, figures: CuttingFigures, limit: float) -> Callable[[float, int], str]:
    def told(amount: float, index: int) -> str:
        most = limit * float(speed[index]) / figures.speed_rpm
        return (
            f"cuts at {amount:.1f} mm/min with the spindle at only {speed[index]:.0f} rpm, which takes too much at "
            f"each turn (at most {most:.1f} mm/min at this speed, or {figures.speed_rpm:.0f} rpm at this feed)"
        )

    return told


def _faster(limit: float, wording: str) -> Callable[[float, int], str]:
    return lambda amount, _: wording.format(f"{amount:.1f} mm/min", f"at most {limit:.1f}")


def _in_wood(run: Run, moving: Ints, asked: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Say which of the motions ``asked`` for meet wood at all: a slot's cuts run on beside it, in the air."""
    cuts = run.cuts
    rows = np.flatnonzero(np.isin(cuts.motion, moving[asked]))
    meets = run.wood.distance_mm(cuts.start[rows], cuts.end[rows]) < cuts.radius[rows] + cuts.slack[rows]
    return np.isin(moving, np.concatenate([cuts.motion[rows[meets]], run.sawn.motion]))


def _without_feed(_amount: float, _index: int) -> str:
    return "moves at feed before a feed is set (F)"


def path_lengths(run: Run, moving: Ints) -> tuple[Floats, Floats]:
    """Give (k, 4) what a feed motion goes in X, Y, Z and downward, and (k,) the length of its path, mm.

    Along an arc in XY each of X and Y may at some place bear the whole of the turn; an arc in another
    plane counts as if every axis did.
    """
    motions = run.reading.motions
    delta = motions.end[moving] - motions.start[moving]
    parts = np.column_stack([np.abs(delta), np.maximum(-delta[:, 2], 0.0)])
    length = np.linalg.norm(delta, axis=1)
    arcs = np.flatnonzero(motions.kind[moving] == ARC)
    if len(arcs):
        plane, rows = motions.plane[moving][arcs], moving[arcs]
        turned = np.nan_to_num(motions.start[rows] - motions.centre[rows])
        around = np.linalg.norm(turned, axis=1) * np.abs(motions.sweep[rows])
        parts[arcs[:, None], [0, 1]] = around[:, None]
        upright = arcs[plane != 17]
        parts[upright[:, None], [2, 3]] = around[plane != 17][:, None]
        length[arcs] = np.where(plane == 17, np.hypot(around, delta[arcs, 2]), around)
    return parts, np.maximum(length, ROUNDING_MM)


def _delays(run: Run) -> Iterator[Finding]:
    events, needed = run.reading.events, run.machine.spindle.start_delay_s
    for place, event in enumerate(events):
        if event.kind != "spindle" or event.value != SPINDLE_CLOCKWISE:
            continue
        later = np.flatnonzero(run.cutting[event.before :]) + event.before
        if not len(later) or _already_turning(events[:place]):
            continue
        waited = sum(other.value for other in events[place + 1 :] if other.kind == "dwell" and other.before <= later[0])
        if waited < needed - DWELL_ROUNDING_S:
            yield run.finding(3, f"waits {waited:.2f} s between the spindle's start and the first cut (at least "
                              f"{needed:.2f} s); write a dwell (G4 P) after M3", event.line)  # fmt: skip


def _already_turning(events: tuple[Event, ...]) -> bool:
    """Say whether the spindle turns already; a stop at which someone may have switched it off does not count."""
    turning = False
    for event in events:
        if event.kind == "spindle":
            turning = event.value == SPINDLE_CLOCKWISE
        elif event.kind in ("stop", "cutter change"):
            turning = False
    return turning
