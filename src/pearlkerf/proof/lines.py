"""The lines of a program as the proof holds them: what is plain is taken in stretches, all else word by word.

The reader refuses what is not in the language; here every line is looked at once more, for what one machine's
programs are written with, and for the order in which it comes.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.machine.model import Dialect
from pearlkerf.reading.words import LONGEST_LINE

_COMMENT: Final = re.compile(r"\(([^()]*)\)")
_NOTE: Final = re.compile(r"\([^()]*\)")
_NO_LETTERS: Final[frozenset[str]] = frozenset()
_WORD: Final = re.compile(r"([A-Z])([+-]?[0-9.]+)")
_BLANKS: Final = str.maketrans("", "", " \t")


@dataclass(frozen=True, slots=True)
class Line:
    """A line that is not plain: its number, its text without comments, its words as (letter, figure), its comments.

    ``letters`` are those of its words, ``codes`` its G and M codes without leading zeros: G01 is G1.
    """

    number: int
    code: str
    words: tuple[tuple[str, str], ...]
    comments: tuple[str, ...]
    letters: frozenset[str]
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """Lines of plain motions from number ``first`` on: how many, and the first and the last of them."""

    number: int
    count: int
    opening: str
    motion: str  # the motion in force after them: "G1"


def lines_of(text: str, dialect: Dialect) -> Iterator[Line | Stretch]:
    """Give the lines of a text (LF) that hold anything, runs of plain motions as one stretch.

    A line that is longer than the language allows is the reader's to refuse, and left out.
    """
    plain = _plain_run(dialect)
    number, at = 1, 0
    while at < len(text):
        run = plain.match(text, at)
        if run:
            count = text.count("\n", at, run.end())
            yield Stretch(number, count, text[at : text.index("\n", at)], f"G{run.group(1)}")
            number, at = number + count, run.end()
        end = text.find("\n", at)
        end = len(text) if end < 0 else end
        line = text[at:end]
        if line.strip() and len(line) <= LONGEST_LINE:
            yield _line(number, line)
        at, number = end + 1, number + 1


def _line(number: int, text: str) -> Line:
    if _NOTE.fullmatch(text):  # most lines of a head
        return Line(number, "", (), (text[1:-1],), _NO_LETTERS, ())
    comments = tuple(_COMMENT.findall(text)) if "(" in text else ()
    code = _COMMENT.sub(" ", text) if comments else text
    words = tuple(_WORD.findall(code.translate(_BLANKS).upper()))
    codes = tuple(_code(letter, digits) for letter, digits in words if letter in "GM")
    return Line(number, code, words, comments, frozenset([letter for letter, _ in words]), codes)


def _plain_run(dialect: Dialect) -> re.Pattern[str]:
    """Give a pattern of lines with motions that every rule of this dialect allows: line number, code, axes, feed."""
    figure = rf"(?:-(?=[0.]*+[1-9]))?\d++\.\d{{0,{dialect.decimals}}}+"
    head = r"N\d{1,5}+ " if dialect.line_numbers else ""
    letters = "XYZIJ" if dialect.arcs else "XYZ"
    axes = "".join(f"(?: {letter}{figure})?+" for letter in letters)
    return re.compile(rf"(?:{head}G([0-{3 if dialect.arcs else 1}]){axes}(?: F\d++\.\d*+)?+\n)++", re.ASCII)


def _code(letter: str, digits: str) -> str:
    """Give a G or M code without a plus sign and leading zeros; a point stays, and is no code of ours."""
    return f"{letter}{digits.lstrip('+').lstrip('0') or '0'}"
