"""What a program says to people, sentence by sentence: where each stands, and at which stop it is said.

(bass edge up and level, nut end at the left, playing face away from)      one sentence
(- the operator)
G0 Z10.0 (up)                                                              one beside a word
(change to cutter 2, end mill 3.000 mm and zero Z again on the same spot)  one at a stop
M0
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.proof.lines import Line, Stretch
from pearlkerf.setups.plain import harmless

# a sentence that does not fit its line goes on in comments that begin so
ONWARD: Final = "- "
CLAIMS: Final = "setup="
_STOPS: Final = frozenset({"M0", "M1"})


@dataclass(frozen=True, slots=True)
class Spoken:
    """A sentence: its first line, its words, whether it stands before anything moves, the line of its stop or 0."""

    line: int
    text: str
    in_head: bool
    stop: int = 0

    @property
    def key(self) -> str:
        """What it says, whatever its blanks and capitals."""
        return key_of(self.text)


@dataclass(frozen=True, slots=True)
class Speech:
    """All that a program says, but for its claims; the lines of its stops; the end of its head."""

    sentences: tuple[Spoken, ...]
    stops: tuple[int, ...]

    @property
    def head(self) -> tuple[Spoken, ...]:
        """What is said before anything moves, but at stops."""
        return tuple(each for each in self.sentences if each.in_head and not each.stop)

    @property
    def after_head(self) -> tuple[Spoken, ...]:
        """What is said among the moves, but at stops."""
        return tuple(each for each in self.sentences if not each.in_head and not each.stop)

    def at(self, stop: int) -> tuple[Spoken, ...]:
        """What is said at the stop of a line."""
        return tuple(each for each in self.sentences if each.stop == stop)


NOTHING_SAID: Final = Speech((), ())


def key_of(text: str) -> str:
    """Give what a sentence says, however its lines are broken: its letters and signs, without blanks and capitals.

    >>> key_of("X0 at the nut end") == key_of("x0 at the nut  end")
    True
    """
    return "".join(harmless(text).split()).casefold()


def speech_of(lines: Sequence[Line | Stretch]) -> Speech:
    """Give what a program says."""
    joined: list[tuple[int, int, str]] = []  # first and last line, text
    codes: list[Line | Stretch] = []
    for line in lines:
        if isinstance(line, Stretch) or line.letters - {"N"}:
            codes.append(line)
        for comment in line.comments if isinstance(line, Line) else ():
            text = comment.strip()
            if text.startswith(ONWARD) and joined and joined[-1][1] == line.number - 1:
                first, _, before = joined[-1]
                joined[-1] = (first, line.number, f"{before} {text.removeprefix(ONWARD)}")
            else:
                joined.append((line.number, line.number, text))
    moving = next((code.number for code in codes if _moves(code)), None)
    stops = tuple(code.number for code in codes if _stops(code))
    followed = _followed(joined, codes)
    return Speech(
        tuple(
            Spoken(first, text, moving is None or first < moving, stop)
            for (first, _, text), stop in zip(joined, followed, strict=True)
            if not text.lower().startswith(CLAIMS)
        ),
        stops,
    )


def _followed(joined: Sequence[tuple[int, int, str]], codes: Sequence[Line | Stretch]) -> list[int]:
    """Give for each sentence the line of the stop that is the next code at or after its last line; 0 for none."""
    stops: list[int] = []
    place = 0
    for _, last, _ in joined:
        while place < len(codes) and codes[place].number < last:
            place += 1
        code = codes[place] if place < len(codes) else None
        stops.append(code.number if code is not None and _stops(code) else 0)
    return stops


def _moves(code: Line | Stretch) -> bool:
    return isinstance(code, Stretch) or bool(code.letters & frozenset("XYZ"))


def _stops(code: Line | Stretch) -> bool:
    return isinstance(code, Line) and not _STOPS.isdisjoint(code.codes)
