"""A quick lane for the commonest lines: plain straight motions and arcs in absolute figures, page by page.

``proof.figures`` reads the words; here they become motions, as the interpreter would make them.  A run
of plain lines ends before the first line about which anything is doubtful: that one, and runs too
short to be worth it, are left to the slow way.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pearlkerf.reading.arcs import radius_tolerance_mm
from pearlkerf.reading.controller import ZERO, Controller
from pearlkerf.reading.figures import BIT, NO_PAGE, Page, read_page
from pearlkerf.reading.motions import ARC
from pearlkerf.reading.tolerances import LEAST_CHORD_MM, ROUNDING_MM

Columns = tuple[NDArray[np.float64], ...]

# bytes of a page: few enough to stay in a core's own memory
PAGE_BYTES: Final = 1 << 18
# a run of fewer lines is read quicker one by one
SHORTEST_RUN: Final = 8
# motions as the interpreter counts them, at their places here: none or another, G0, G1, G2, G3
_MOTIONS: Final = (-1, 0, 10, 20, 30)
_X, _Y, _Z, _I, _J, _G = (BIT[letter] for letter in "XYZIJG")
_MOVES: Final = _X | _Y | _Z | _I | _J | _G


def _usable() -> NDArray[np.bool_]:
    """Say which letters are enough, and not too many: (motion, letters); a line may also move nothing."""
    letters = np.arange(256)
    along, about = letters & (_X | _Y), letters & (_I | _J)
    idle = letters & _MOVES == 0
    straight = (letters & (_X | _Y | _Z) != 0) & (about == 0)
    arc = (along != 0) & (about != 0)
    return np.concatenate([idle, idle | straight, idle | straight, idle | arc, idle | arc])


_USABLE: Final = _usable()


class PlainLines:
    """The plain lines of a program, whose lines begin at ``starts``; refuses nothing, for it reads nothing doubtful."""

    def __init__(self, text: bytes, starts: NDArray[np.int64]) -> None:
        self.text, self.starts, self.page = text, starts, NO_PAGE

    def read(self, index: int, last: int, controller: Controller) -> int:
        """Read plain lines from ``index`` on; give the first line that is none, or ``last``."""
        if not controller.absolute or controller.shift != ZERO or controller.plane != 17:
            return index
        while index < last:
            if not self.page.first <= index < self.page.last:
                self.page = self._turn(index, last)
            page, begun = self.page, index - self.page.first
            if controller.motion not in _MOTIONS and not page.letters[begun] & _G:
                return index  # a cycle goes on
            ended = page.plain_until(begun)
            if page.first + ended < page.last and ended - begun < SHORTEST_RUN:
                return index
            index = page.first + _record(page, (begun, ended), controller)
            if index < page.last:
                return index
        return last

    def _turn(self, index: int, last: int) -> Page:
        """Give the page that begins with this line."""
        after = int(self.starts.searchsorted(self.starts[index] + PAGE_BYTES))
        return read_page(self.text, self.starts, index, min(max(after, index + 1), last))


class _Rows(NamedTuple):
    """The motions of a run of lines, (n,) each; lines are counted from the run's first."""

    line: NDArray[np.intp]
    motion: NDArray[np.intp]  # an index into _MOTIONS
    ends: Columns  # x, y, z, mm


class _Arcs(NamedTuple):
    """The arcs among the motions of a run, (k,) each."""

    row: NDArray[np.intp]
    centres: Columns  # x, y, z, mm
    clear: NDArray[np.bool_]  # nothing is doubtful: its radius, its ends, and that it is a turn or none


def _record(page: Page, lines: tuple[int, int], controller: Controller) -> int:
    """Record lines of a page up to the first that is doubtful after all; give that line, or the last."""
    begun, ended = lines
    if begun == ended:
        return begun
    motion = _motions(page, lines, controller)
    usable = _USABLE[motion * 256 + page.letters[begun:ended]]
    if not usable.all():
        return _record(page, (begun, begun + int(usable.argmin())), controller)
    rows = _rows(page, lines, motion, controller)
    arcs = _arcs(page, lines, rows, controller)
    if not arcs.clear.all():
        doubtful = rows.line[arcs.row[arcs.clear.argmin()]]
        return _record(page, (begun, begun + int(doubtful)), controller)
    _put(page, lines, rows, arcs, controller)
    low, high = page.notes.searchsorted(lines)
    numbers = (page.notes[low:high] + (page.first + 1)).tolist()
    # of several comments on a line the last counts (section 3.3.5)
    controller.recording.comments.extend(dict(zip(numbers, page.remarks[low:high], strict=True)).items())
    return ended


def _motions(page: Page, lines: tuple[int, int], controller: Controller) -> NDArray[np.intp]:
    """Give the motion in force on each line, (n,), as an index into _MOTIONS."""
    stated, codes = page.of("G", *lines)
    before = _MOTIONS.index(controller.motion) if controller.motion in _MOTIONS else 0
    return np.repeat(np.concatenate(([before], codes.astype(np.intp) + 1)), _stretches(stated, lines))


def _stretches(stated: NDArray[np.int32], lines: tuple[int, int]) -> NDArray[np.int32]:
    """Give how many lines have what stood before the first of ``stated``, and what stands on each of them."""
    return np.diff(stated, prepend=np.int32(lines[0]), append=np.int32(lines[1]))


def _rows(page: Page, lines: tuple[int, int], motion: NDArray[np.intp], controller: Controller) -> _Rows:
    """Give the motions that the lines make."""
    moving = np.flatnonzero(page.letters[lines[0] : lines[1]] & _MOVES)
    ends = []
    for letter, at in zip("XYZ", controller.at, strict=True):
        stated, figures = page.of(letter, *lines)
        places = np.repeat(np.concatenate(([at], figures * controller.scale)), _stretches(stated, lines))
        ends.append(places if len(moving) == len(places) else places[moving])
    return _Rows(moving, motion[moving], tuple(ends))


def _arcs(page: Page, lines: tuple[int, int], rows: _Rows, controller: Controller) -> _Arcs:
    """Give the arcs among the motions, about centres that lie I and J from their starts."""
    row = np.flatnonzero(rows.motion > _MOTIONS.index(10))
    if not len(row):
        return _Arcs(row, (), np.empty(0, dtype=bool))
    starts = [np.concatenate(([at], end[:-1]))[row] for at, end in zip(controller.at, rows.ends, strict=True)]
    ends = [end[row] for end in rows.ends]
    centres = []
    for start, letter in zip(starts, "IJ", strict=False):
        stated, figures = page.of(letter, *lines)
        offset = np.zeros(lines[1] - lines[0])
        offset[stated - lines[0]] = figures * controller.scale
        centres.append(start + offset[rows.line[row]])
    radius = np.hypot(starts[0] - centres[0], starts[1] - centres[1])
    mismatch = np.abs(radius - np.hypot(ends[0] - centres[0], ends[1] - centres[1]))
    chord = np.hypot(ends[0] - starts[0], ends[1] - starts[1])
    clear = (radius > LEAST_CHORD_MM + ROUNDING_MM) & (mismatch <= radius_tolerance_mm(controller) - ROUNDING_MM)
    return _Arcs(row, (*centres, starts[2]), clear & ((chord == 0.0) | (chord >= LEAST_CHORD_MM + ROUNDING_MM)))


def _put(page: Page, lines: tuple[int, int], rows: _Rows, arcs: _Arcs, controller: Controller) -> None:
    """Record motions and feeds, and leave the controller as they leave it."""
    recording = controller.recording
    stated, feeds = page.of("F", *lines)
    recording.change_many("feed", rows.line.searchsorted(stated - lines[0]), feeds * controller.scale)
    if not len(rows.line):
        return
    if len(arcs.row):
        recording.arcs_in_plan(arcs.row, arcs.centres, rows.motion[arcs.row] == _MOTIONS.index(20))
    kind = np.minimum(rows.motion - 1, ARC).astype(np.int8)
    number = (rows.line + (page.first + lines[0] + 1)).astype(np.int32)
    recording.put_many(kind, rows.ends, number)
    x, y, z = (float(end[-1]) for end in rows.ends)
    controller.at = (x, y, z)
    controller.begin(_MOTIONS[rows.motion[-1]])
