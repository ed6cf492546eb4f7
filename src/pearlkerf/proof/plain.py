"""A quick lane for the commonest lines: plain straight motions and arcs in absolute figures.

One pattern reads such a line.  What it does not know to the letter it leaves to the words of
``proof.words``; what the lane makes of a line is the same as what they would make of it.
"""

import math
import re
from collections.abc import Sequence
from typing import Final

from pearlkerf.proof.arcs import LEAST_CHORD_MM, Point, radius_tolerance_mm, sweep_about
from pearlkerf.proof.controller import ZERO, Controller
from pearlkerf.proof.modes import ARCS
from pearlkerf.proof.motions import ARC, LINE, RAPID

# possessive throughout: no word is read twice
_FIGURE: Final = r"\d{1,6}+(?:\.\d*+)?+"
_X, _Y, _Z, _I, _J = (rf"{letter}(-?{_FIGURE}) ?" for letter in "XYZIJ")
_STRAIGHT: Final = re.compile(
    rf"(?:N\d{{1,5}}+ ?)?+(?:G0?([01]) ?)?+(?:{_X})?+(?:{_Y})?+(?:{_Z})?+(?:F({_FIGURE}) ?)?+", re.ASCII
)
_ARC: Final = re.compile(
    rf"(?:N\d{{1,5}}+ ?)?+(?:G0?([23]) ?)?+{_X}{_Y}(?:{_Z})?+{_I}{_J}(?:F({_FIGURE}) ?)?+", re.ASCII
)


def read_plain(lines: Sequence[str], index: int, last: int, controller: Controller) -> int:
    """Read plain lines from ``index`` on; give the first line that is none, or ``last``."""
    if not controller.absolute or controller.shift != ZERO:
        return index
    begun = -1
    while begun < index < last:
        begun = index
        index = _read_straight(lines, index, last, controller)
        if index < last and controller.plane == 17:
            index = _read_arcs(lines, index, last, controller)
    return index


def _read_straight(lines: Sequence[str], begun: int, last: int, controller: Controller) -> int:
    match, scale, recording = _STRAIGHT.fullmatch, controller.scale, controller.recording
    put_kind, put_x = recording.kind.append, recording.x.append
    put_y, put_z = recording.y.append, recording.z.append
    at_x, at_y, at_z = controller.at
    kind = {0: RAPID, 10: LINE}.get(-1 if controller.motion is None else controller.motion)
    index = begun
    for index in range(begun, last):
        found = match(lines[index])
        if found is None:
            break
        code, x, y, z, feed = found.groups()
        if x is None and y is None and z is None:
            break
        if code is not None:
            kind = LINE if code == "1" else RAPID
        elif kind is None:
            break
        if x is not None:
            at_x = float(x) * scale
        if y is not None:
            at_y = float(y) * scale
        if z is not None:
            at_z = float(z) * scale
        if feed is not None:
            recording.change("feed", float(feed) * scale)
        put_kind(kind)
        put_x(at_x)
        put_y(at_y)
        put_z(at_z)
    else:
        index = last
    recording.number(begun + 1, index)
    if index > begun and kind is not None:
        controller.at = (at_x, at_y, at_z)
        controller.begin(10 if recording.kind[-1] == LINE else 0)
    return index


def _read_arcs(lines: Sequence[str], begun: int, last: int, controller: Controller) -> int:
    """Read plain arcs; one that the slow way may refuse is left to it."""
    match, scale, recording = _ARC.fullmatch, controller.scale, controller.recording
    put_kind, put_x = recording.kind.append, recording.x.append
    put_y, put_z = recording.y.append, recording.z.append
    tolerance = radius_tolerance_mm(controller)
    at_x, at_y, at_z = controller.at
    motion = controller.motion
    index = begun
    for index in range(begun, last):
        found = match(lines[index])
        if found is None:
            break
        code, x, y, z, i, j, feed = found.groups()
        turn = motion if code is None else 20 if code == "2" else 30
        start, end = (at_x, at_y), (float(x) * scale, float(y) * scale)
        centre = (at_x + float(i) * scale, at_y + float(j) * scale)
        if turn not in ARCS or not _is_clear(start, end, centre, tolerance):
            break
        if feed is not None:
            recording.change("feed", float(feed) * scale)
        recording.arc(17, (*centre, at_z), sweep_about(start, end, centre, turn == 20))
        motion, (at_x, at_y) = turn, end
        if z is not None:
            at_z = float(z) * scale
        put_kind(ARC)
        put_x(at_x)
        put_y(at_y)
        put_z(at_z)
    else:
        index = last
    recording.number(begun + 1, index)
    if index > begun and motion is not None:
        controller.at = (at_x, at_y, at_z)
        controller.begin(motion)
    return index


def _is_clear(start: Point, end: Point, centre: Point, tolerance_mm: float) -> bool:
    """Say whether nothing of an arc is doubtful: its radius, its ends, and that it is a turn or none."""
    radius, chord = math.dist(start, centre), math.dist(start, end)
    return (
        radius > LEAST_CHORD_MM
        and (chord == 0.0 or chord >= LEAST_CHORD_MM)
        and abs(radius - math.dist(end, centre)) <= tolerance_mm
    )
