"""What a pointing run must keep besides rules 1, 2, 4, 5 and 9: it shows every place, cuts nothing, turns nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.runs import Run, cutter_radius_mm, per_motion
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import (
    FEED_STEP_MM_MIN,
    LEAST_POINT_HEIGHT_MM,
    POINT_MM,
    POINT_TOO_HIGH_MM,
    ROUNDING_MM,
)
from pearlkerf.reading.messages import named_in_head, speeds_at_stops, stop_messages
from pearlkerf.reading.motions import PROGRAM_STOP, RAPID, SPINDLE_OFF, Event, Finding

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """A place that is to be shown: of which feature (an index), its name, where it lies on the machine."""

    feature: int
    name: str
    place: Floats  # (2,) mm


def nothing_turns(run: Run) -> Iterator[Finding]:
    """Prove that the spindle is never started: no M3 or M4, and neither stop nor head tells people to set it."""
    starts = [event for event in run.reading.events if event.kind == "spindle" and event.value != SPINDLE_OFF]
    turning = np.flatnonzero(run.reading.motions.spindle != SPINDLE_OFF)
    lines = [event.line for event in starts] + [run.line(motion) for motion in turning[:1].tolist()]
    if lines:
        yield run.finding(3, "starts the spindle; a pointing run only shows places, take M3 and M4 out", min(lines))
    in_head = [told for _, told in named_in_head(run.reading) if told is not None]
    for told in (*in_head, *speeds_at_stops(run.reading)):
        yield run.finding(3, "tells people to set the spindle; in a pointing run it stays off", told.line)


def tip_stays_above(run: Run) -> Iterator[Finding]:
    """Prove that the tip never comes lower than the stated height above the highest raw wood under the cutter.

    The height is what the header states, or the caller, at least LEAST_POINT_HEIGHT_MM.  Every move in
    X or Y, at feed too, lies at or above clearance.  Heights compare within ROUNDING_MM.
    """
    height, motions, pieces = run.tip_above_mm, run.reading.motions, run.pieces
    if height is None:
        yield run.finding(1, "does not state how high its tip stops; write (setup=face cutter=1 height=1.0)")
        return
    if height < LEAST_POINT_HEIGHT_MM - ROUNDING_MM:
        yield run.finding(6, f"states a height of {in_mm(height)}; at least {in_mm(LEAST_POINT_HEIGHT_MM)} keeps the "
                          "tip off a blank that is not quite flat")  # fmt: skip
    clearance = run.machine.motion.clearance_mm
    unknown = np.isnan(motions.end).any(axis=1) & (np.arange(len(motions.kind)) > 0)
    blind = np.flatnonzero(unknown & ~(motions.end[:, 2] >= clearance - ROUNDING_MM))
    if len(blind):
        yield run.finding(6, "goes down where nobody knows the place; first go to X and Y by G0", run.line(blind[0]))
    lowest = np.minimum(pieces.start[:, 2], pieces.end[:, 2]) - pieces.slack
    sideways = (pieces.start[:, :2] != pieces.end[:, :2]).any(axis=1)
    feeds = motions.kind[pieces.motion] != RAPID
    low = np.flatnonzero(sideways & feeds & (lowest < clearance - ROUNDING_MM))
    if len(low):
        alike = Alike(pieces.motion[low], clearance - lowest[low])
        yield run.tell(5, alike, lambda below, _: (
            f"moves sideways at Z {clearance - below:.2f}, below the clearance of {clearance:.2f}; lift first"
        ))  # fmt: skip
    radius = cutter_radius_mm(run)[pieces.motion]
    short = run.wood.highest_top_mm(pieces.start, pieces.end, radius) + height - lowest
    bad = np.flatnonzero(~(short <= ROUNDING_MM))
    if len(bad):
        alike = Alike(pieces.motion[bad], short[bad])
        yield run.tell(6, alike, lambda by, _: (
            f"the tip comes {in_mm(by)} lower than the stated {in_mm(height)} above the wood"
        ))  # fmt: skip


def tip_comes_down_slowly(run: Run) -> Iterator[Finding]:
    """Prove that below clearance the tip goes down at feed alone, at no more than its cutter's plunge feed, to a stop.

    A place may be wrong, and a hand lies on the stop: what comes down at rapid is down before it is in
    time.  Feeds compare with FEED_STEP_MM_MIN of rounding.
    """
    motions, clearance = run.reading.motions, run.machine.motion.clearance_mm
    down = ~(motions.end[:, 2] >= motions.start[:, 2]) & ~(motions.end[:, 2] >= clearance - ROUNDING_MM)
    stops = np.array([event.before for event in run.reading.events if event.kind == "stop"] + [len(down) + 1])
    up = np.append(np.flatnonzero(motions.end[:, 2] >= clearance - ROUNDING_MM), len(down))
    rows = np.flatnonzero(down)
    idle = rows[stops[np.searchsorted(stops, rows, "right")] > up[np.searchsorted(up, rows)]]
    if len(idle):
        yield run.tell(5, Alike(idle, np.zeros(len(idle))), lambda *_: "comes down where it does not stop (M0)")
    rapid = np.flatnonzero(down & (motions.kind == RAPID))
    if len(rapid):
        yield run.tell(5, Alike(rapid, clearance - np.nan_to_num(motions.end[rapid, 2])), lambda *_: (
            "comes down at rapid, faster than a hand on the stop is in time; feed there (G1)"
        ))  # fmt: skip
    plunges = [cutting_figures(run.machine, section.cutter, run.setup.wood).plunge_feed_mm_min
               for section in run.sections]  # fmt: skip
    most = per_motion(run.sections, plunges, len(motions.kind))
    slow = (motions.feed > 0) & (motions.feed <= most + FEED_STEP_MM_MIN)
    fast = np.flatnonzero(down & (motions.kind != RAPID) & ~slow)
    if len(fast):
        yield run.tell(3, Alike(fast, np.nan_to_num(motions.feed[fast])), lambda feed, index: (
            f"comes down at a feed of {feed:.1f} mm/min, faster than a hand on the stop is in time (at most "
            f"{most[fast][index]:.1f} mm/min with this cutter)" if feed > 0 else "comes down before a feed is set (F)"
        ))  # fmt: skip


def places_are_shown(runs: Sequence[Run], answerable: Sequence[int]) -> Iterator[Finding]:
    """Prove that every feature (``answerable``, indexes) is shown: a hole's centre, both ends of a slot.

    A place is shown by a stop (M0, not the optional M1) with the tip within POINT_MM of it in plan, no
    more than POINT_TOO_HIGH_MM above the stated height, and, where the machine knows comments, a
    message just before it that begins with the place's name: of places that coincide, as a ring's and that of its
    hole, it shows the one that it names.  No stop below clearance shows any other place.  What is missing is held
    against the last program.
    """
    places = _places(runs[0])
    stops = [stop for run in runs for stop in _low_stops(run, places)]
    yield from (stop.wrong for stop in stops if stop.wrong is not None)
    seen = {number for stop in stops if stop.wrong is None for number in stop.shows}
    for number, shown in enumerate(places):
        if shown.feature in answerable and number not in seen:
            x, y = shown.place.tolist()
            message = f"{shown.name} is not shown: no stop (M0) at X {x:.3f} Y {y:.3f}"
            yield Finding(7, message, runs[-1].file, feature=runs[0].setup.features[shown.feature].name)


def lowest_above_mm(run: Run) -> float:
    """Give how near the tip comes to the wood, by the bound of ``tip_stays_above``."""
    pieces = run.pieces
    lowest = np.minimum(pieces.start[:, 2], pieces.end[:, 2]) - pieces.slack
    top = run.wood.highest_top_mm(pieces.start, pieces.end, cutter_radius_mm(run)[pieces.motion])
    return float((lowest - top).min(initial=np.inf))


def _places(run: Run) -> list[Shown]:
    return [Shown(number, name, place) for number, shape in enumerate(run.shapes) for name, place in shape.places]


@dataclass(frozen=True, slots=True)
class LowStop:
    """A stop below clearance: the places (indexes) that it shows, or is nearest to, and what is wrong with it."""

    shows: tuple[int, ...]
    wrong: Finding | None


def _low_stops(run: Run, places: Sequence[Shown]) -> Iterator[LowStop]:
    """Hold every stop below clearance against the places."""
    told = {stop.line: text for stop, _, text in stop_messages(run.reading)}
    end, clearance = run.reading.motions.end, run.machine.motion.clearance_mm
    where = np.array([shown.place for shown in places])
    for stop in run.reading.events:
        if stop.kind != "stop" or stop.value != PROGRAM_STOP or stop.before == 0:
            continue
        if end[stop.before - 1, 2] < clearance - ROUNDING_MM:
            off = np.hypot(*(where - end[stop.before - 1, :2]).T)
            said = told.get(stop.line, "")
            here = np.flatnonzero(off <= POINT_MM).tolist()
            if run.machine.dialect.comments:
                here = [number for number in here if _names(said, places[number])]
            shows = tuple(here) or (int(np.argmin(np.where(np.isnan(off), np.inf, off))),)
            yield LowStop(shows, _wrong(run, stop, places[shows[0]], float(off[shows[0]]), said))


def _names(said: str, shown: Shown) -> bool:
    return said == shown.name or said.startswith(f"{shown.name}, ")


def _wrong(run: Run, stop: Event, shown: Shown, off_mm: float, said: str) -> Finding | None:
    """Tell what is wrong with a low stop that lies so far off the nearest place; None where it shows that place."""
    if not off_mm <= POINT_MM:
        x, y = run.reading.motions.end[stop.before - 1, :2]
        return run.finding(7, f"stops low at X {x:.3f} Y {y:.3f}, where nothing is cut; {shown.name}, the "
                           f"nearest place, lies {in_mm(off_mm)} away", stop.line)  # fmt: skip
    too_high = _too_high_mm(run, stop.before - 1)
    if too_high > POINT_TOO_HIGH_MM:
        return run.finding(7, f"stops {in_mm(too_high)} higher above {shown.name} than stated", stop.line, shown.name)
    if run.machine.dialect.comments and not _names(said, shown):
        found = f'says "{said}"' if said else "says nothing"
        message = f"stops at {shown.name}, but {found}; write ({shown.name}) before M0"
        return run.finding(1, message, stop.line, shown.name)
    return None


def _too_high_mm(run: Run, motion: int) -> float:
    """Give how far above the stated height the tip stands at the end of a motion."""
    tip = run.reading.motions.end[motion : motion + 1]
    top = run.wood.highest_top_mm(tip, tip, cutter_radius_mm(run)[motion : motion + 1])
    return float(tip[0, 2] - top[0] - (run.tip_above_mm or 0.0))
