"""The words of plain lines as columns: many lines at a time, by whole-array operations.

A page is a stretch of a program's lines.  What this module does not know to the letter it marks as not
plain, and leaves to ``proof.words``; what it makes of a line is the same as what they would make of it.

bytes -> one class a byte (blanks left out: they mean nothing, NISTIR 6556, section 3.3) -> marks, which
are all bytes but digits -> words -> figures by letter, each with the line that it stands on
"""

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.reading.words import BLANKS, GREATEST, LONGEST_LINE, LONGEST_NUMBER

Lines = NDArray[np.int32]
Figures = tuple[Lines, NDArray[np.float64]]  # the lines, rising, and the figure of each

LETTERS: Final = "GNXYZIJF"
# a line's letters as one number
BIT: Final = {letter: 1 << place for place, letter in enumerate(LETTERS)}

# a comment that says nothing to the machine; what stands for it is no ASCII, so that no text has it
_NOTE: Final = re.compile(rb"\((?![ \t]*[mM][ \t]*[sS][ \t]*[gG][ \t]*,)([ -'*-~\t]*)\)")
_NOTED: Final = b"\xff"
# classes of bytes: a digit is its value
_POINT, _MINUS, _STOP, _END, _ALIEN, _FIRST_LETTER = 10, 11, 12, 13, 14, 16
# digits that a figure may have, so that they and a point fit in eight bytes
_MOST_DIGITS: Final = 7
_TENS: Final = 10.0 ** np.arange(9)


def _classes() -> bytes:
    classes = bytearray([_ALIEN]) * 256
    classes[ord("0") : ord("9") + 1] = bytes(range(10))
    classes[ord(".")], classes[ord("-")], classes[_NOTED[0]], classes[ord("\n")] = _POINT, _MINUS, _STOP, _END
    for place, letter in enumerate(LETTERS):
        classes[ord(letter)] = classes[ord(letter.lower())] = _FIRST_LETTER + place
    return bytes(classes)


def _followers() -> NDArray[np.bool_]:
    """Say which mark may follow which, with digits between them or without: (kind, digits, next kind)."""
    letter, minus, point, stop = range(4)
    allowed = np.zeros((5, 2, 5), dtype=bool)
    for begun in (letter, minus):
        allowed[begun, 1, [letter, point, stop]] = True
        allowed[begun, 0, point] = True
    allowed[letter, 0, minus] = True
    allowed[point, :, [letter, stop]] = True
    allowed[stop, 0, [letter, stop]] = True
    return allowed.ravel()


_CLASS: Final = _classes()
_KIND: Final = np.array([4] * _POINT + [2, 1, 3, 3, 4, 4] + [0] * len(LETTERS), dtype=np.uint8)
_MAY_FOLLOW: Final = _followers()
# eight bytes of a figure: those behind its point, by how many digits stand there (8: it has no point)
_BEHIND_POINT: Final = np.array([(~0 << 8 * (8 - digits)) & (2**64 - 1) for digits in range(9)], dtype=np.uint64)
# so many bits before its digits
_BEFORE: Final = np.array([8 * (8 - digits) % 64 for digits in range(9)], dtype=np.uint64)


@dataclass(frozen=True, slots=True)
class Page:
    """A stretch of lines: which of them are plain, and what they say; lines are counted from its first."""

    first: int  # index of its first line in the program
    letters: NDArray[np.uint8]  # (n,) the letters of each line, by BIT
    odd: Lines  # the lines that are not plain, rising
    figures: dict[str, Figures]
    notes: Lines  # lines with a comment that says nothing to the machine, one entry each comment
    remarks: list[str]  # these comments

    @property
    def last(self) -> int:
        """Give the index of the line after its last."""
        return self.first + len(self.letters)

    def plain_until(self, line: int) -> int:
        """Give the first line from ``line`` on that is not plain, or the page's last and one."""
        at = int(self.odd.searchsorted(line))
        return int(self.odd[at]) if at < len(self.odd) else len(self.letters)

    def of(self, letter: str, begun: int, ended: int) -> Figures:
        """Give the figures of a letter on the lines from ``begun`` to before ``ended``."""
        lines, values = self.figures[letter]
        low, high = lines.searchsorted((begun, ended))
        return lines[low:high], values[low:high]


NO_PAGE: Final = Page(0, np.empty(0, np.uint8), np.empty(0, np.int32), {}, np.empty(0, np.int32), [])


def read_page(text: bytes, starts: NDArray[np.int64], first: int, last: int) -> Page:
    """Read the lines from ``first`` to before ``last``; ``starts`` is (lines + 1,), where each begins."""
    begun, lengths = int(starts[first]), np.diff(starts[first : last + 1]) - 1
    raw = text[begun : int(starts[last])]
    body = raw if raw.endswith(b"\n") else raw + b"\n"
    notes, remarks = np.empty(0, dtype=np.int32), []
    if b"(" in body:
        found = list(_NOTE.finditer(body))
        remarks = [each.group(1).decode("ascii") for each in found]
        at = starts[first:last].searchsorted([begun + each.start() for each in found], "right") - 1
        notes, body = at.astype(np.int32), _NOTE.sub(_NOTED, body)
    digits = bytes(8) + bytes([_END]) + body.translate(_CLASS, BLANKS.encode("ascii"))
    letters, odd, figures = _Marks(np.frombuffer(digits, dtype=np.uint8)).read(len(lengths))
    odd[lengths > LONGEST_LINE] = True
    return Page(first, letters, np.flatnonzero(odd).astype(np.int32), figures, notes, remarks)


class _Marks:
    """Every byte of a page that is no digit."""

    def __init__(self, digits: NDArray[np.uint8]) -> None:
        self.digits = digits
        self.at = np.flatnonzero(digits > 9)
        self.mark = digits[self.at]
        ends = self.mark == _END
        self.line = np.cumsum(ends, dtype=np.int32) - ends - 1  # an end of line stands on the line that it ends

    def read(self, count: int) -> tuple[NDArray[np.uint8], NDArray[np.bool_], dict[str, Figures]]:
        """Give each line's letters, whether it is odd, and the figures by letter."""
        odd = np.zeros(count, dtype=bool)
        kind, gap = _KIND[self.mark], np.diff(self.at) > 1
        odd[self.line[1:][~_MAY_FOLLOW[kind[:-1] * 10 + gap * np.uint8(5) + kind[1:]]]] = True
        words = np.flatnonzero(self.mark >= _FIRST_LETTER)
        mark, line = self.mark[words], self.line[words]
        figure, bad = self._figures(words)
        odd[line[bad]] = True
        letters, figures = np.zeros(count, dtype=np.uint8), {}
        for place, letter in enumerate(LETTERS):
            chosen = np.flatnonzero(mark == _FIRST_LETTER + place)
            lines = line[chosen]
            odd[lines[1:][lines[1:] == lines[:-1]]] = True  # the letter stands twice
            letters[lines] |= np.uint8(1 << place)
            figures[letter] = (lines, figure[chosen])
        return letters, odd, figures

    def _figures(self, words: NDArray[np.intp]) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
        """Give the number behind each letter, and whether it is none that is plain here."""
        # a page ends with an end of line, so that a mark follows every letter; two behind the last may be missing
        at, mark = np.append(self.at, (self.at[-1],) * 2), np.append(self.mark, (_END, _END))
        signed = mark[words + 1] == _MINUS
        point = words + 1 + signed
        pointed = mark[point] == _POINT
        end = at[point + pointed]
        behind = np.where(pointed, end - at[point] - 1, 8)
        count = end - at[words] - 1 - signed - pointed
        bad = (count > _MOST_DIGITS) | (count < 1)
        behind[bad], count[bad] = 8, 1
        figure = self._whole(end, behind, count) / _TENS[np.where(pointed & ~bad, behind, 0)]
        bad |= (figure > GREATEST) | ~self._allowed(words, figure, signed, (count <= LONGEST_NUMBER) & ~pointed)
        np.negative(figure, out=figure, where=signed)
        return figure, bad

    def _whole(self, end: NDArray[np.intp], behind: NDArray[np.intp], count: NDArray[np.intp]) -> NDArray[np.uint64]:
        """Give the digits that end before ``end`` as one whole number, the point left out; eight bytes at a time."""
        eights = np.ndarray((len(self.digits) - 7,), dtype="<u8", buffer=self.digits.data, strides=(1,))
        digits, mask = eights[end - 8], _BEHIND_POINT[behind]
        digits = (digits & mask) | ((digits << np.uint64(8)) & ~mask)
        before = _BEFORE[count]
        digits = digits >> before << before
        for place, every in ((8, 0x00FF00FF00FF00FF), (16, 0x0000FFFF0000FFFF), (32, 0xFFFFFFFF)):
            digits = (digits * np.uint64(10 ** (place // 8)) + (digits >> np.uint64(place))) & np.uint64(every)
        return digits

    def _allowed(
        self,
        words: NDArray[np.intp],
        figure: NDArray[np.float64],
        signed: NDArray[np.bool_],
        short: NDArray[np.bool_],
    ) -> NDArray[np.bool_]:
        """Hold G to a motion, N to the front of its line and five digits, F to no sign."""
        mark = self.mark[words]
        g, n, f = (mark == _FIRST_LETTER + LETTERS.index(letter) for letter in "GNF")
        wrong = g & ~((figure <= 3.0) & (figure == np.floor(figure)))
        wrong |= n & ~((self.mark[words - 1] == _END) & short)
        wrong |= signed & (g | n | f)
        allowed: NDArray[np.bool_] = ~wrong
        return allowed
