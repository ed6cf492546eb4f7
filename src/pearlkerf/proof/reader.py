"""From a program's bytes to its motions: written from NISTIR 6556, and strict.

Most lines of a program are one plain straight motion; one pattern reads them.  All others, and
whatever the pattern does not know to the letter, go through the words of ``proof.words``.
"""

import math
import re
from dataclasses import replace
from typing import Final

from pearlkerf.proof.arcs import ROUNDING_MM, turn_about
from pearlkerf.proof.interpreter import Interpreter
from pearlkerf.proof.modes import sort_words
from pearlkerf.proof.motions import ARC, LINE, RAPID, Event, Reading, UnreadableProgram
from pearlkerf.proof.recording import Position
from pearlkerf.proof.words import LONGEST_LINE, read_line, refuse, text_lines

NOWHERE: Final[Position] = (math.nan, math.nan, math.nan)
_NUMBER: Final = r"(-?\d{1,6}\.\d*)"
# a plain straight motion in absolute figures: what the slow way would make of it is the same
_PLAIN: Final = re.compile(
    rf"(?:N\d{{1,5}} )?G([01])(?: X{_NUMBER})?(?: Y{_NUMBER})?(?: Z{_NUMBER})?(?: F(\d{{1,6}}\.\d*))?", re.ASCII
)
# a plain arc in XY by its centre
_PLAIN_ARC: Final = re.compile(
    rf"(?:N\d{{1,5}} )?G([23]) X{_NUMBER} Y{_NUMBER}(?: Z{_NUMBER})? I{_NUMBER} J{_NUMBER}(?: F(\d{{1,6}}\.\d*))?",
    re.ASCII,
)
_MESSAGE: Final = re.compile(r"\s*m\s*s\s*g\s*,", re.IGNORECASE)


def read_program(text: bytes, file: str = "", *, dwell_unit: str = "s", start: Position = NOWHERE) -> Reading:
    """Read a program to its motions, events and comments.

    ``dwell_unit`` ("s" or "ms") is the controller's for P; ``start`` is where the axes stand, unknown
    if nan.  Raises UnreadableProgram with the one finding, line and column where the text is not
    RS-274 as far as this reader knows it: it never guesses and never skips.
    """
    try:
        return _read(text, dwell_unit, start)
    except UnreadableProgram as refusal:
        raise UnreadableProgram(replace(refusal.finding, file=file)) from None


def _read(text: bytes, dwell_unit: str, start: Position) -> Reading:
    lines = text_lines(text)
    first, last = _program_lines(lines)
    machine = Interpreter(start, dwell_unit)
    comments: list[tuple[int, str]] = []
    index = first
    while index < last and not machine.ended:
        index = _read_plain(lines, index, last, machine)
        if index < last and not _read_plain_arc(lines[index], index + 1, machine):
            _read_other(lines[index], index + 1, machine, comments)
        index += 1
    index = min(index, last)
    for number in range(index, last):
        if lines[number].strip():
            raise refuse("nothing but a closing percent sign may follow the program's end (section 3.1)", number + 1, 1)
    recording = machine.recording
    return Reading(
        recording.motions(), tuple(recording.events), tuple(comments), len(lines) - (not lines[-1]),
        frozenset(machine.stated), machine.ended,
    )  # fmt: skip


def _program_lines(lines: list[str]) -> tuple[int, int]:
    """Give the first line of the program and the line after its last, between percent signs if there are any."""
    filled = [number for number, line in enumerate(lines) if line and not line.isspace()]
    signs = [number for number in filled if lines[number].strip() == "%"]
    if not signs:
        return 0, len(lines)
    if signs[0] != filled[0]:
        raise refuse("a percent sign closes that was not opened on the first line (section 3.1)", signs[0] + 1, 1)
    if len(signs) == 1:
        raise refuse("the percent sign of the first line is not closed by a second (section 3.1)", signs[0] + 1, 1)
    if len(signs) > 2 or filled[-1] != signs[1]:
        number = next(number for number in filled if number > signs[1])
        raise refuse("nothing may follow the closing percent sign", number + 1, 1)
    return signs[0] + 1, signs[1]


def _read_other(raw: str, number: int, machine: Interpreter, comments: list[tuple[int, str]]) -> None:
    line = read_line(raw, number)
    if line.comment is not None:
        comments.append((number, line.comment))
        if _MESSAGE.match(line.comment):
            said = line.comment[line.comment.index(",") + 1 :].strip()
            machine.recording.events.append(Event("message", len(machine.recording.kind), number, text=said))
    if line.words:
        machine.execute(sort_words(line.words, number), number)


def _read_plain(lines: list[str], index: int, last: int, machine: Interpreter) -> int:
    """Read plain straight motions from ``index`` on; give the first line that is none."""
    if not machine.absolute or any(machine.shift):
        return index
    match, scale, recording = _PLAIN.fullmatch, machine.scale, machine.recording
    kinds, xs, ys, zs, numbers = recording.kind, recording.x, recording.y, recording.z, recording.line
    at_x, at_y, at_z = machine.at
    begun = index
    code = None
    for index in range(begun, last):
        found = match(lines[index])
        if found is None or len(lines[index]) > LONGEST_LINE:
            break
        code, x, y, z, feed = found.groups()
        if x is not None:
            at_x = float(x) * scale
        if y is not None:
            at_y = float(y) * scale
        if z is not None:
            at_z = float(z) * scale
        elif x is None and y is None:
            break
        if feed is not None:
            recording.change("feed", float(feed) * scale)
        kinds.append(LINE if code == "1" else RAPID)
        xs.append(at_x)
        ys.append(at_y)
        zs.append(at_z)
        numbers.append(index + 1)
    else:
        index = last
    if index > begun and code is not None:
        machine.at = (at_x, at_y, at_z)
        if numbers and numbers[-1] > begun:
            machine.motion = 10 if kinds[-1] == LINE else 0
            machine.sticky = {}
    return index


def _read_plain_arc(raw: str, number: int, machine: Interpreter) -> bool:
    """Read a plain arc in XY; give False, and do nothing, where the line is none or may not be one."""
    found = _PLAIN_ARC.fullmatch(raw)
    if found is None or machine.plane != 17 or not machine.absolute or any(machine.shift) or len(raw) > LONGEST_LINE:
        return False
    code, x, y, z, i, j, feed = found.groups()
    at, scale = machine.at, machine.scale
    start, end = (at[0], at[1]), (float(x) * scale, float(y) * scale)
    centre = (start[0] + float(i) * scale, start[1] + float(j) * scale)
    clockwise = code == "2"
    radius = math.dist(start, centre)
    if not (abs(radius - math.dist(end, centre)) <= machine.tolerance_mm and radius > ROUNDING_MM):
        return False  # the slow way refuses it in words
    if feed is not None:
        machine.recording.change("feed", float(feed) * scale)
    machine.recording.arc(17, (*centre, at[2]), turn_about(start, end, centre, clockwise).sweep)
    machine.at = (*end, at[2] if z is None else float(z) * scale)
    machine.motion, machine.sticky = 20 if clockwise else 30, {}
    machine.recording.put(ARC, machine.at, number)
    return True
