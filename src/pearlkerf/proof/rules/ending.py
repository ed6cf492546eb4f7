"""Rule 9: the program ends with the cutter up and the spindle off; where it stops, hands have room."""

from collections.abc import Iterator

import numpy as np

from pearlkerf.proof.runs import Run
from pearlkerf.proof.tolerances import LEAST_STEP_MM, ROUNDING_MM
from pearlkerf.reading.motions import PROGRAM_STOP, Event, Finding


def ends_safely(run: Run) -> Iterator[Finding]:
    """Prove that the program, and each cutter's section, ends at clearance with the spindle off.

    The end is said by M2 or M30, after M5; where the spindle is set by hand, after a stop (M0) at
    which it can be switched off; M1 stops only where a switch is on (section 3.6.1).  Z compares within ROUNDING_MM.
    """
    events = run.reading.events
    if not run.reading.ended:
        yield run.finding(9, f"has no end; its tail may be cut off: it must end with {run.machine.dialect.end}")
    by_hand = run.machine.spindle.control == "hand"
    for place, section in enumerate(run.sections):
        changes_at_stop = place < len(run.sections) - 1 and run.machine.dialect.cutter_change != "automatic"
        line = run.line(section.last - 1) if section.last else None
        if section.last > section.first:
            yield from _is_up(run, section.last)
        stops = any(
            event.kind == "stop" and event.value == PROGRAM_STOP and event.before == section.last for event in events
        )
        if by_hand and not stops:
            yield run.finding(9, "does not stop (M0) after its last cut, so that the spindle can be switched off", line)
        elif changes_at_stop and not stops:
            yield run.finding(9, f"does not stop (M0) before cutter {run.sections[place + 1].cutter.number}", line)
        if not by_hand and not _is_off(events, section.last):
            yield run.finding(9, "leaves the spindle running; write M5 after the last cut", line)


def hands_have_room(run: Run) -> Iterator[Finding]:
    """Prove that where the profile names a park place, every stop (M0) of a program that cuts is made there.

    X and Y lie within a least step of the program of it, as places are rounded; that the tip is up at a
    stop is the grammar's.
    """
    park, end = run.machine.motion.park_mm, run.reading.motions.end
    for event in run.reading.events:
        if park is None or event.kind != "stop" or event.value != PROGRAM_STOP or event.before == 0:
            continue
        off = np.abs(end[event.before - 1, :2] - park)
        if not (off <= LEAST_STEP_MM[run.machine.dialect.unit]).all():
            yield run.finding(9, "stops where hands come near, but not at the park place of the profile; write "
                              f"G0 X{park[0]:g} Y{park[1]:g} (mm) before M0", event.line)  # fmt: skip


def _is_up(run: Run, last: int) -> Iterator[Finding]:
    z, clearance = float(run.reading.motions.end[last - 1, 2]), run.machine.motion.clearance_mm
    if not z >= clearance - ROUNDING_MM:
        yield run.finding(9, f"ends with the cutter at Z {z:.2f}, below the clearance of {clearance:.2f}; "
                          f"write G0 Z{clearance:g} after the last cut", run.line(last - 1))  # fmt: skip


def _is_off(events: tuple[Event, ...], last: int) -> bool:
    """Say whether the spindle has been switched off after motion ``last - 1``, before the end or the next start.

    The standard stops it at the end as well (section 3.6.1); not every controller does.
    """
    for event in events:
        if event.before > last or (event.kind in ("end", "cutter change") and event.before == last):
            break
        if event.kind == "spindle" and event.before == last:
            return event.value == 0
    before = [event for event in events if event.kind == "spindle" and event.before < last]
    return not before or before[-1].value == 0
