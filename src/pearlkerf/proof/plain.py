"""A quick lane for the commonest lines: plain straight motions and arcs in absolute figures, plane XY.

One pattern reads such a line.  What it does not know to the letter it leaves to the words of
``proof.words``; what the lane makes of a line is the same as what they would make of it.
"""

import math
import re
from collections.abc import Sequence
from typing import Final

from pearlkerf.proof.arcs import LEAST_CHORD_MM, radius_tolerance_mm, sweep_about
from pearlkerf.proof.controller import ZERO, Controller
from pearlkerf.proof.motions import ARC, LINE, RAPID

# possessive throughout: no word is read twice
_FIGURE: Final = r"\d{1,6}+(?:\.\d*+)?+"
_PLAIN: Final = re.compile(
    r"(?:N\d{1,5}+ ?)?+(?:G0?([0-3]) ?)?+"
    + "".join(rf"(?:{letter}(-?{_FIGURE}) ?)?+" for letter in "XYZIJ")
    + rf"(?:F({_FIGURE}) ?)?+",
    re.ASCII,
)
_MODES: Final = {"0": 0, "1": 10, "2": 20, "3": 30}
_CODES: Final = {mode: code for code, mode in _MODES.items()}


def read_plain(lines: Sequence[str], index: int, last: int, controller: Controller) -> int:
    """Read plain lines from ``index`` on; give the first line that is none, or ``last``."""
    if not controller.absolute or controller.shift != ZERO or controller.plane != 17:
        return index
    match, scale, recording = _PLAIN.fullmatch, controller.scale, controller.recording
    put_kind, put_line = recording.kind.append, recording.line.append
    put_x, put_y, put_z = recording.x.append, recording.y.append, recording.z.append
    at_x, at_y, at_z = controller.at
    in_force = None if controller.motion is None else _CODES.get(controller.motion)
    begun = index
    for index in range(begun, last):
        found = match(lines[index])
        if found is None:
            break
        code, x, y, z, i, j, feed = found.groups()
        if code is None:
            code = in_force
        if code is None or (x is None and y is None and z is None):
            break
        to_x = at_x if x is None else float(x) * scale
        to_y = at_y if y is None else float(y) * scale
        to_z = at_z if z is None else float(z) * scale
        if code in "01":
            if i is not None or j is not None:
                break
            kind = LINE if code == "1" else RAPID
        elif x is None or y is None or i is None or j is None:
            break
        else:
            kind = ARC
            centre = (at_x + float(i) * scale, at_y + float(j) * scale)
            if not _is_clear_arc((at_x, at_y), (to_x, to_y), centre, controller):
                break
            recording.arc(17, (*centre, at_z), sweep_about((at_x, at_y), (to_x, to_y), centre, code == "2"))
        if feed is not None:
            recording.change("feed", float(feed) * scale)
        at_x, at_y, at_z, in_force = to_x, to_y, to_z, code
        put_kind(kind)
        put_x(at_x)
        put_y(at_y)
        put_z(at_z)
        put_line(index + 1)
    else:
        index = last
    if index > begun and in_force is not None:
        controller.at = (at_x, at_y, at_z)
        controller.begin(_MODES[in_force])
    return index


def _is_clear_arc(
    start: tuple[float, float], end: tuple[float, float], centre: tuple[float, float], controller: Controller
) -> bool:
    """Say whether the slow way takes this arc; where it does not, it says why in words."""
    radius, chord = math.dist(start, centre), math.dist(start, end)
    return (
        radius > LEAST_CHORD_MM
        and (chord == 0.0 or chord >= LEAST_CHORD_MM)
        and abs(radius - math.dist(end, centre)) <= radius_tolerance_mm(controller)
    )
