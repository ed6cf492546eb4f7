"""From a program's bytes to its motions: written from NISTIR 6556, and strict.

bytes -> lines (words.text_lines) -> words (words.read_line) -> a block in order (modes.sort_words)
-> what it does (interpreter.execute) -> columns (recording).  Plain lines take a quick lane (plain).
"""

import re
from dataclasses import replace
from typing import Final, Literal

from pearlkerf.proof.controller import NOWHERE, Controller
from pearlkerf.proof.interpreter import execute
from pearlkerf.proof.modes import code_name, sort_words
from pearlkerf.proof.motions import Reading, UnreadableProgram
from pearlkerf.proof.plain import read_plain
from pearlkerf.proof.recording import Position
from pearlkerf.proof.words import BLANKS, LONGEST_LINE, read_line, refuse, text_lines

_MESSAGE: Final = re.compile(r"\s*m\s*s\s*g\s*,", re.IGNORECASE)

DwellUnit = Literal["s", "ms"]


def read_program(text: bytes, file: str = "", *, dwell_unit: DwellUnit = "s", start: Position = NOWHERE) -> Reading:
    """Read a program to its motions, events and comments.

    ``dwell_unit`` is the controller's for P; ``start`` is where the axes stand, mm, unknown if nan.
    Raises UnreadableProgram with the one finding, line and column where the text is not RS-274 as far
    as this reader knows it: it never guesses and never skips.

    >>> read_program(b"G21 G90\\nG0 Z5\\nG1 X1.5 F200 (fret 1)\\nM2\\n").motions.end[1].tolist()
    [1.5, nan, 5.0]
    """
    try:
        return _read(text, Controller(start, dwell_unit))
    except UnreadableProgram as refusal:
        raise UnreadableProgram(replace(refusal.finding, file=file)) from None


def _read(text: bytes, controller: Controller) -> Reading:
    lines = text_lines(text)
    first, last = _program_lines(lines) if b"%" in text else (0, len(lines))
    short = last
    if max(map(len, lines)) > LONGEST_LINE:
        short = next((number for number in range(first, last) if len(lines[number]) > LONGEST_LINE), last)
    comments: list[tuple[int, str]] = []
    index = first
    while index < last and not controller.ended:
        index = read_plain(lines, index, short, controller) if index < short else index
        if index < last:
            _read_other(lines[index], index + 1, controller, comments)
            index += 1
    for number in range(index, last):
        if lines[number].strip(BLANKS):
            raise refuse("nothing but a closing percent sign may follow the program's end (section 3.1)", number + 1, 1)
    recording, stated = controller.recording, frozenset(code_name(code) for code in controller.stated.values())
    return Reading(
        recording.motions(), tuple(recording.events), tuple(comments), len(lines) - (not lines[-1]), stated,
        controller.ended,
    )  # fmt: skip


def _program_lines(lines: list[str]) -> tuple[int, int]:
    """Give the first line of the program and the line after its last, between percent signs if there are any."""
    signs = [number for number, line in enumerate(lines) if "%" in line and line.strip(BLANKS) == "%"]
    if not signs:  # those there are stand in comments
        return 0, len(lines)
    filled = [number for number, line in enumerate(lines) if line.strip(BLANKS)]
    if signs[0] != filled[0]:
        raise refuse("a percent sign closes that was not opened on the first line (section 3.1)", signs[0] + 1, 1)
    if len(signs) == 1:
        raise refuse("the percent sign of the first line is not closed by a second (section 3.1)", signs[0] + 1, 1)
    if filled[-1] != signs[1]:
        number = next(number for number in filled if number > signs[1])
        raise refuse("nothing may follow the closing percent sign (section 3.1)", number + 1, 1)
    return signs[0] + 1, signs[1]


def _read_other(raw: str, number: int, controller: Controller, comments: list[tuple[int, str]]) -> None:
    line = read_line(raw, number)
    if line.comment is not None:
        comments.append((number, line.comment))
        message = _MESSAGE.match(line.comment)
        if message:
            controller.event("message", number, text=line.comment[message.end() :].strip(BLANKS))
    if line.words:
        execute(sort_words(line.words, number), controller, number)
