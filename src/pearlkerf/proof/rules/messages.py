"""Rules 1 and 3, as far as people carry them out: how they lay the board, the cutter and the speed that they set."""

import math
from collections.abc import Iterator

from pearlkerf.proof.runs import Run
from pearlkerf.proof.tolerances import DIAMETER_TOLD_MM, SPEED_TOLD_RPM, TURNED_TOLD_DEG
from pearlkerf.reading.messages import (
    NamedCutter,
    named_at_stops,
    named_in_head,
    sides_in_head,
    speeds_at_stops,
    turns_in_head,
)
from pearlkerf.reading.motions import Finding


def people_are_told_right(run: Run) -> Iterator[Finding]:
    """Prove that the head and the stops (M0) tell people of the board and the cutters that the program then cuts.

    A side of the board that the head lays toward the operator, or away, lies so, and a board that it
    calls turned lies turned by that angle, within TURNED_TOLD_DEG.  A cutter that the
    head describes is one that the program uses, of the kind and diameter (within DIAMETER_TOLD_MM)
    that the profile gives; a stop names none but the one that cuts after it.  Where the spindle is
    set by hand, head and stops ask for the same speed, within SPEED_TOLD_RPM; rule 3 holds what they
    ask for as it holds S.  What is not said is not held: other words are for people to judge.
    """
    yield from _board_lies_so(run)
    used = {section.cutter.number for section in run.sections}
    for named, _ in named_in_head(run.reading):
        if named.number not in used:
            cutters = ", ".join(str(number) for number in sorted(used))
            yield run.finding(1, f"tells people of cutter {named.number}, but cuts with cutter {cutters}", named.line)
        else:
            yield from _is_as_in_the_profile(run, named)
    for before, named in named_at_stops(run.reading):
        section = next((each for each in run.sections if each.first <= before < each.last), None)
        if section is None:
            continue
        if named.number != section.cutter.number:
            message = f"tells people to put in cutter {named.number}, but cuts with cutter {section.cutter.number}"
            yield run.finding(1, message, named.line)
        else:
            yield from _is_as_in_the_profile(run, named)
    if run.machine.spindle.control != "program":
        yield from _speeds_agree(run)


def _board_lies_so(run: Run) -> Iterator[Finding]:
    near, far = run.setup.low_side, run.setup.high_side
    sides = {near.split()[0]: (True, near), far.split()[0]: (False, far)}
    for line, side, toward in sides_in_head(run.reading):
        lies, named = sides.get(side, (toward, ""))
        if lies != toward:
            said, true = ("toward", "away from") if toward else ("away from", "toward")
            message = f"tells people that the {named} lies {said} the operator; it lies {true} the operator"
            yield run.finding(1, message, line)
    turned = run.setup.placement.angle_deg
    for line, angle in turns_in_head(run.reading):
        if not abs(angle - turned) <= TURNED_TOLD_DEG:
            message = f"tells people that the board lies turned by {angle:.4f} degrees; it is held against {turned:.4f}"
            yield run.finding(1, message, line)


def _is_as_in_the_profile(run: Run, named: NamedCutter) -> Iterator[Finding]:
    cutter = run.machine.cutter(named.number)
    if cutter is None or named.kind is None or named.diameter_mm is None:
        return
    if named.kind != cutter.kind or not abs(named.diameter_mm - cutter.diameter_mm) <= DIAMETER_TOLD_MM:
        said = "a figure that cannot be read" if math.isnan(named.diameter_mm) else f"{named.diameter_mm:.3f} mm"
        message = (
            f"tells people that cutter {named.number} is of the kind {named.kind}, {said}; in the profile "
            f"{run.machine.name} it is {cutter.kind}, {cutter.diameter_mm:.3f} mm"
        )
        yield run.finding(1, message, named.line)


def _speeds_agree(run: Run) -> Iterator[Finding]:
    in_head = {named.number: told for named, told in named_in_head(run.reading) if told is not None}
    for told in speeds_at_stops(run.reading):
        section = next((each for each in run.sections if each.first <= told.before < each.last), None)
        said = in_head.get(section.cutter.number) if section else None
        if math.isnan(told.speed_rpm):
            message = "tells people to set the spindle, but not to which speed; write (set the spindle to 18000 rpm)"
            yield run.finding(3, message, told.line)
        elif section and said and not abs(said.speed_rpm - told.speed_rpm) <= SPEED_TOLD_RPM:
            message = (
                f"tells people to set the spindle to {told.speed_rpm:.0f} rpm, but line {said.line} says "
                f"{said.speed_rpm:.0f} rpm for cutter {section.cutter.number}"
            )
            yield run.finding(3, message, told.line)
