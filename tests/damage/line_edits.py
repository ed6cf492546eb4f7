"""Edits of a program's lines, for damage that somebody thought up."""

import random
import re
from collections.abc import Callable

Lines = list[str]
Change = Callable[[random.Random, Lines], Lines | None]
NUMBER = re.compile(r"^(N\d+ )")
RISE = re.compile(r"^(?:N\d+ )?G0 (?:G43 H\d+ )?Z\d+\.?\d*$")
PLUNGE = re.compile(r"^(?:N\d+ )?G1 Z-?[\d.]+(?: F[\d.]+)?$")
CUT = re.compile(r"^(?:N\d+ )?G[123] .*[XYZ]")
COMMENT = re.compile(r"^(?:N\d+ )?\(")
CLAIM = re.compile(r"^(?:N\d+ )?\(setup=")
STOP = re.compile(r"^(?:N\d+ )?(?:M0|T\d+ M6)$")


def where(lines: Lines, pattern: str | re.Pattern) -> list[int]:
    """The lines that a pattern matches, or is found in."""
    found = re.compile(pattern)
    return [n for n, line in enumerate(lines) if found.search(line)]


def put(lines: Lines, n: int, *new: str) -> Lines:
    """Put lines before line n, with the line numbers that the program has."""
    number = next((match[1] for line in lines[max(0, n - 1) : n + 1] if (match := NUMBER.match(line))), "")
    return [*lines[:n], *(number + line for line in new), *lines[n:]]


def without(lines: Lines, *gone: int) -> Lines:
    """Leave lines out."""
    return [line for n, line in enumerate(lines) if n not in gone]


def in_line(lines: Lines, n: int, pattern: str, text) -> Lines:
    """Replace what a pattern finds in one line, once."""
    return [*lines[:n], re.sub(pattern, text, lines[n], count=1), *lines[n + 1 :]]


def in_inches(lines: Lines) -> bool:
    """Whether a program is in inches."""
    return any(re.fullmatch(r"(?:N\d+ )?G20", line) for line in lines[:80])


def plain(value: float, digits: int = 3) -> str:
    """A number as programs write it: a point, no zeros but one behind it."""
    text = f"{value:.{digits}f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def mm(lines: Lines, value: float) -> str:
    """A length or feed in the program's unit."""
    return plain(value / 25.4, 4) if in_inches(lines) else plain(value)


def pick(draw: random.Random, found: list[int]) -> int | None:
    """One of the lines; the first, the last and any other alike."""
    return draw.choice([found[0], found[-1], draw.choice(found)]) if found else None


def anywhere(draw: random.Random, lines: Lines) -> int:
    """A line of the program's body, near a rise as often as not."""
    first = next(iter(where(lines, RISE)), 0)
    rises = [n + 1 for n in where(lines, RISE)]
    return pick(draw, rises) if rises and draw.random() < 0.5 else draw.randrange(first, len(lines))
