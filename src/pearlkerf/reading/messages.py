"""What a program tells people: how to lay the board, which cutter to put in, which speed to set.

They act on it as a machine does on words.

(playing face up, nut end at the left, bass edge toward the operator)       in the head
(the board lies turned 0.0448 degrees clockwise about zero, seen from)      in the head
(- above, as measured)
(cutter 2, end mill 3.000 mm, 18000 rpm, feed 900, plunge 270 mm/min,)      in the head
(- 1.500 mm a pass, deepest 2.10 mm below zero)
(change to cutter 2, end mill 3.000 mm and zero Z again on the same spot)   before an M0
(set the spindle to 18000 rpm, start it, let it run up)                     before an M0
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.reading.motions import PROGRAM_STOP, Event, Reading
from pearlkerf.reading.tolerances import MM_PER_INCH

# a sentence that does not fit its line goes on in comments that begin so
_ONWARD: Final = "- "
_SPEED: Final = re.compile(r"(\d[\d.]*|)\s*\brpm\b", re.IGNORECASE)
_SPEED_ASKED: Final = re.compile(r"\bset the spindle\b|\brpm\b", re.IGNORECASE)
_KINDS: Final = "end mill|ball|brad point|twist drill|saw"
_CUTTER: Final = re.compile(rf"\bcutter (\d{{1,4}})\b(?:, ({_KINDS}) (\S+) (mm|in)\b)?", re.IGNORECASE)
_SIDE: Final = re.compile(
    r"\b(bass|treble|glue|playing) (?:edge|side|face) (toward|away from) the operator\b", re.IGNORECASE
)

_PLACE: Final = r"-?\d+\.\d+"
# what people wrote stands in these sentences alone, and is no word of ours: a title, a profile's name, what holds wood
_OF_PEOPLE: Final = re.compile(
    r"board,.*|machine profile .*, blocks and notes in (?:mm|inches)"
    rf"|(?:.* )?stands at X {_PLACE} to {_PLACE}, Y {_PLACE} to {_PLACE}, up to {_PLACE} (?:mm|in) (?:above|below) Z0",
    re.ASCII,
)
_TURNED: Final = re.compile(r"\blies turned (\S+) degrees (counter-)?clockwise\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class NamedCutter:
    """A cutter as people are told of it; kind and diameter None where only its number is said."""

    line: int
    number: int
    kind: str | None
    diameter_mm: float | None  # nan where a figure stands there that is none


@dataclass(frozen=True, slots=True)
class ToldSpeed:
    """A speed that people are told to set, for the motions from ``before`` on; nan where it cannot be read."""

    line: int
    before: int
    speed_rpm: float


def stop_messages(reading: Reading) -> Iterator[tuple[Event, int, str]]:
    """Give every stop that always stops with its message: (the stop, the message's line, one sentence)."""
    sentences = _sentences(reading)
    for stop in reading.events:
        if stop.kind == "stop" and stop.value == PROGRAM_STOP:
            first, last, text = next((each for each in sentences if stop.line - 1 <= each[1] <= stop.line), (0, 0, ""))
            if last:
                yield stop, first, text


def speeds_at_stops(reading: Reading) -> Iterator[ToldSpeed]:
    """Give the speeds that the messages of stops ask for."""
    for stop, line, text in stop_messages(reading):
        if _SPEED_ASKED.search(text):
            for speed in _speeds(text) or [math.nan]:
                yield ToldSpeed(line, stop.before, speed)


def named_at_stops(reading: Reading) -> Iterator[tuple[int, NamedCutter]]:
    """Give the cutters that the messages of stops name, each with the index of the next motion."""
    for stop, line, text in stop_messages(reading):
        for found in _CUTTER.finditer(text):
            yield stop.before, _named(found, line)


def named_in_head(reading: Reading) -> Iterator[tuple[NamedCutter, ToldSpeed | None]]:
    """Give the cutters that the head describes, each with its speed where one is said."""
    for line, text in _head(reading):
        found = _CUTTER.match(text)
        if found and found[2]:
            speeds = _speeds(text)
            yield _named(found, line), ToldSpeed(line, 0, speeds[0]) if speeds else None


def sides_in_head(reading: Reading) -> Iterator[tuple[int, str, bool]]:
    """Give the sides that people are to lay toward the operator (True) or away (False), with their lines."""
    for line, text in _head(reading):
        for side, way in _SIDE.findall(text):
            yield line, side.lower(), way.lower() == "toward"


def turns_in_head(reading: Reading) -> Iterator[tuple[int, float]]:
    """Give the angles by which people are told that the board lies turned, with their lines; nan if unreadable."""
    for line, text in _head(reading):
        for digits, counter in _TURNED.findall(text):
            yield line, _figure(digits) * (1.0 if counter else -1.0)


def _head(reading: Reading) -> Iterator[tuple[int, str]]:
    """Give our own sentences before anything moves: those that people wrote a part of say nothing here."""
    first = int(reading.motions.line[0]) if len(reading.motions.line) else reading.lines + 1
    for line, _, text in _sentences(reading):
        if line < first and not _OF_PEOPLE.fullmatch(text):
            yield line, text


def _named(found: re.Match[str], line: int) -> NamedCutter:
    number, kind, diameter, unit = found.groups()
    if diameter is None:
        return NamedCutter(line, int(number), None, None)
    size_mm = _figure(diameter) * (MM_PER_INCH if unit.lower() == "in" else 1.0)
    return NamedCutter(line, int(number), kind.lower(), size_mm)


def _speeds(text: str) -> list[float]:
    return [_figure(digits) for digits in _SPEED.findall(text)]


def _figure(digits: str) -> float:
    return float(digits) if re.fullmatch(r"\d+(\.\d*)?", digits, re.ASCII) else math.nan


def _sentences(reading: Reading) -> list[tuple[int, int, str]]:
    """Join comments that go on from line to line: (first line, last line, text)."""
    sentences: list[tuple[int, int, str]] = []
    for line, comment in reading.comments:
        text = comment.strip()
        if text.startswith(_ONWARD) and sentences and sentences[-1][1] == line - 1:
            first, _, before = sentences[-1]
            sentences[-1] = (first, line, f"{before} {text.removeprefix(_ONWARD)}")
        else:
            sentences.append((line, line, text))
    return sentences
