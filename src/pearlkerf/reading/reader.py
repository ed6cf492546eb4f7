"""From a program's bytes to its motions: written from NISTIR 6556, and strict.

bytes -> lines -> words (words.read_line) -> a block in order (modes.sort_words)
-> what it does (interpreter.execute) -> columns (recording).  Runs of plain lines take a quick lane (plain).
"""

import re
from dataclasses import replace
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from pearlkerf.reading.controller import NOWHERE, Controller
from pearlkerf.reading.interpreter import execute
from pearlkerf.reading.modes import code_name, sort_words
from pearlkerf.reading.motions import Reading, UnreadableProgram
from pearlkerf.reading.plain import PlainLines
from pearlkerf.reading.recording import Position
from pearlkerf.reading.words import BLANKS, plain_text, read_line, refuse

_FILLED: Final = re.compile(rb"[^ \t\n]")
_PERCENT_LINE: Final = re.compile(rb"^[ \t]*%[ \t]*$", re.MULTILINE)
_MESSAGE: Final = re.compile(r"\s*m\s*s\s*g\s*,", re.IGNORECASE)

DwellUnit = Literal["s", "ms"]
# what the standard says (section 3.6.1), and what is to be reckoned with: people jog and run macros at a stop
AfterStop = Literal["as it stood", "unknown"]


def read_program(
    text: bytes,
    file: str = "",
    *,
    dwell_unit: DwellUnit = "s",
    start: Position = NOWHERE,
    after_stop: AfterStop = "as it stood",
) -> Reading:
    """Read a program to its motions, events and comments.

    ``dwell_unit`` is the controller's for P; ``start`` is where the axes stand, mm, unknown if nan;
    ``after_stop`` says what is known of place and feed after M0 and M1.
    Raises UnreadableProgram with the one finding, line and column where the text is not RS-274 as far
    as this reader knows it: it never guesses and never skips.

    >>> read_program(b"G21 G90\\nG0 Z5\\nG1 X1.5 F200 (fret 1)\\nM2\\n").motions.end[1].tolist()
    [1.5, nan, 5.0]
    """
    try:
        return _read(text, Controller(start, dwell_unit, after_stop))
    except UnreadableProgram as refusal:
        raise UnreadableProgram(replace(refusal.finding, file=file)) from None


def _read(text: bytes, controller: Controller) -> Reading:
    text = plain_text(text)
    starts = np.flatnonzero(np.frombuffer(b"\n" + text + b"\n", dtype=np.uint8) == ord("\n"))
    first, last = _program_lines(text, starts) if b"%" in text else (0, len(starts) - 1)
    plain, index = PlainLines(text, starts), first
    while index < last and not controller.ended:
        if not text.startswith(b"(", starts[index]):  # most lines of a head: no run of motions begins with them
            index = plain.read(index, last, controller)
        if index < last:
            raw = text[starts[index] : starts[index + 1] - 1].decode("ascii")
            _read_other(raw, index + 1, controller)
            index += 1
    after = _first_filled(text, starts, index, last)
    if after is not None:
        raise refuse("nothing but a closing percent sign may follow the program's end (section 3.1)", after + 1, 1)
    lines = len(starts) - 1 - (not text or text.endswith(b"\n"))
    recording, stated = controller.recording, frozenset(code_name(code) for code in controller.stated.values())
    events, comments = tuple(recording.events), tuple(recording.comments)
    return Reading(recording.motions(), events, comments, lines, stated, controller.ended)


def _first_filled(text: bytes, starts: NDArray[np.int64], first: int, last: int) -> int | None:
    """Give the first line from ``first`` to before ``last`` that is not blank."""
    filled = _FILLED.search(text, starts[first], starts[last] - 1)
    return None if filled is None else int(starts.searchsorted(filled.start(), "right")) - 1


def _program_lines(text: bytes, starts: NDArray[np.int64]) -> tuple[int, int]:
    """Give the first line of the program and the line after its last, between percent signs if there are any."""
    signs = [int(starts.searchsorted(sign.start(), "right")) - 1 for sign in _PERCENT_LINE.finditer(text)]
    if not signs:  # those there are stand in comments
        return 0, len(starts) - 1
    if _first_filled(text, starts, 0, signs[0]) is not None:
        raise refuse("a percent sign closes that was not opened on the first line (section 3.1)", signs[0] + 1, 1)
    if len(signs) == 1:
        raise refuse("the percent sign of the first line is not closed by a second (section 3.1)", signs[0] + 1, 1)
    after = _first_filled(text, starts, signs[1] + 1, len(starts) - 1)
    if after is not None:
        raise refuse("nothing may follow the closing percent sign (section 3.1)", after + 1, 1)
    return signs[0] + 1, signs[1]


def _read_other(raw: str, number: int, controller: Controller) -> None:
    line = read_line(raw, number)
    if line.comment is not None:
        controller.recording.comments.append((number, line.comment))
        message = _MESSAGE.match(line.comment)
        if message:
            controller.event("message", number, text=line.comment[message.end() :].strip(BLANKS))
    if line.words:
        execute(sort_words(line.words, number), controller, number)
