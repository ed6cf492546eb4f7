"""A long program's text, without the figures that its motions already hold.

A word such as X84.753 says again where its motion ends.  In a folded line it is the letter alone, in
lower case; the viewer writes the figure anew from the motion.  A line is folded only where that gives
back the very same characters, so that the text beside the picture is the text of the file.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from pearlkerf.reading.motions import Motions

# shorter texts are small enough as they are
FOLD_FROM: Final = 300_000
FOLDED: Final = "\x01"
AXES: Final = "XYZ"


def _short(value: int) -> str:
    """Micrometres as millimetres with no more figures than needed, one at least.

    >>> _short(84753), _short(-500), _short(0)
    ('84.753', '-0.5', '0.0')
    """
    figures = _full(value).rstrip("0")
    return figures + "0" if figures.endswith(".") else figures


def _full(value: int) -> str:
    """Micrometres as millimetres with three figures.

    >>> _full(-500)
    '-0.500'
    """
    return f"{'-' if value < 0 else ''}{abs(value) // 1000}.{abs(value) % 1000:03}"


STYLES: Final[dict[str, Callable[[int], str]]] = {"short": _short, "full": _full}


def fold(text: str, motions: Motions | None) -> tuple[str, str]:
    """Give the text with its lines folded, and the style of their figures ("" where none is folded)."""
    if motions is None or len(text) < FOLD_FROM or FOLDED in text or "\r" in text or len(motions.line) == 0:
        return text, ""
    lines = text.split("\n")
    alone = _alone(motions)
    style = _style(lines, motions, alone)
    if not style:
        return text, ""
    write = STYLES[style]
    ends = np.rint(np.nan_to_num(motions.end) * 1000).astype(np.int64).tolist()
    numbers = motions.line.tolist()
    for row in alone:
        at = numbers[row] - 1
        lines[at] = _fold_line(lines[at], ends[row], write)
    return "\n".join(lines), style


def _alone(motions: Motions) -> list[int]:
    """Rows that are the only motion of their line."""
    _, first, count = np.unique(motions.line, return_index=True, return_counts=True)
    rows: list[int] = first[count == 1].tolist()
    return rows


def _style(lines: list[str], motions: Motions, alone: list[int]) -> str:
    """The style in which most figures of the first lines are written."""
    found = dict.fromkeys(STYLES, 0)
    for row in alone[:400]:
        end = np.rint(np.nan_to_num(motions.end[row]) * 1000).astype(int).tolist()
        for style, write in STYLES.items():
            found[style] += len(lines[int(motions.line[row]) - 1]) - len(
                _fold_line(lines[int(motions.line[row]) - 1], end, write)
            )
    best = max(found, key=lambda style: found[style])
    return best if found[best] > 0 else ""


def _fold_line(line: str, end: list[int], write: Callable[[int], str]) -> str:
    if "(" in line or ";" in line or not line.isupper():
        return line
    words = line.split(" ")
    for place, word in enumerate(words):
        axis = AXES.find(word[:1]) if word else -1
        if axis >= 0 and word[1:] == write(end[axis]):
            words[place] = word[0].lower()
    folded = " ".join(words)
    return FOLDED + folded if folded != line else line
