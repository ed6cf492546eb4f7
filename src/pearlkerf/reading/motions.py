"""What a program does, read back from its bytes: read-only arrays of motion, and events between them.

Lengths are float mm, whatever unit the program is written in; nan is a position that nobody knows.
"""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

RAPID: Final = 0
LINE: Final = 1
ARC: Final = 2
# the stop that always stops, M0; M1 does only where the optional-stop switch is on (NISTIR 6556, section 3.6.1)
PROGRAM_STOP: Final = 0

# axes of each plane, the arc's own axis last: NISTIR 6556, section 4.3.6.1
PLANE_AXES: Final = {17: (0, 1, 2), 18: (2, 0, 1), 19: (1, 2, 0)}

SPINDLE_OFF: Final = 0
SPINDLE_CLOCKWISE: Final = 3
SPINDLE_COUNTERCLOCKWISE: Final = 4


@dataclass(frozen=True, slots=True, eq=False)
class Motions:
    """Every motion in the order of execution; one row a motion, arrays read-only.

    An arc runs in its plane (17 XY, 18 ZX, 19 YZ) about ``centre`` by ``sweep`` radians, positive
    counter-clockwise seen from the positive end of the plane's axis, while the third axis moves
    linearly (a helix).  A canned cycle becomes its motions, all with the cycle's line.
    """

    kind: NDArray[np.int8]  # (n,) RAPID, LINE or ARC
    start: NDArray[np.float64]  # (n, 3) mm: x, y, z; nan where unknown
    end: NDArray[np.float64]  # (n, 3) mm
    plane: NDArray[np.int8]  # (n,) 17, 18, 19; of use for arcs only
    centre: NDArray[np.float64]  # (n, 3) mm: the arc's centre, its third coordinate that of the start; nan otherwise
    sweep: NDArray[np.float64]  # (n,) rad; 0 unless an arc
    feed: NDArray[np.float64]  # (n,) mm/min in force; nan for rapids and where none was set
    speed: NDArray[np.float64]  # (n,) rpm in force; nan where none was set
    spindle: NDArray[np.int8]  # (n,) SPINDLE_OFF, SPINDLE_CLOCKWISE or SPINDLE_COUNTERCLOCKWISE
    cutter: NDArray[np.int32]  # (n,) number last changed to by M6; -1 before any
    in_cycle: NDArray[np.int8]  # (n,) 0, or 81, 82, 83: the canned cycle that the motion belongs to
    line: NDArray[np.int32]  # (n,) 1-based line of the text


@dataclass(frozen=True, slots=True)
class Event:
    """Something other than motion, before motion ``before`` (an index into the motions, n at the end)."""

    kind: Literal[
        "dwell",
        "stop",
        "cutter change",
        "select cutter",
        "spindle",
        "speed",
        "coolant",
        "end",
        "message",
        "length offset",
    ]
    before: int
    line: int
    value: float = 0.0  # seconds; cutter number; 0, 3 or 4; rpm; 0, 1, 2, 30 for stops and ends
    text: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A program as read: motions, events, and comments by line."""

    motions: Motions
    events: tuple[Event, ...]
    comments: tuple[tuple[int, str], ...]  # (line, text between the brackets)
    lines: int  # number of lines of the text
    stated: frozenset[str] = frozenset()  # G codes in force that were written before the first motion: "G21", "G90"
    ended: bool = False  # an M2 or M30 was read


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that the proof holds against a program; rules 1 to 10 as DEVELOPERS.md has them."""

    rule: int
    message: str  # in the maker's words, with figures and units; ends with what to do where that helps
    file: str = ""
    line: int | None = None
    column: int | None = None
    feature: str = ""

    def __str__(self) -> str:
        """Give the finding as a sentence with its place.

        >>> str(Finding(6, "cuts 0.31 mm outside fret 7, bass side", "1-face-cutter-1.nc", 214))
        '1-face-cutter-1.nc: line 214: cuts 0.31 mm outside fret 7, bass side (rule 6)'
        """
        place = [self.file] if self.file else []
        if self.line is not None:
            place.append(f"line {self.line}" + (f", column {self.column}" if self.column else ""))
        return ": ".join([*place, self.message]) + f" (rule {self.rule})"


class UnreadableProgram(Exception):
    """The text is not RS-274 as far as this reader knows it; carries the one finding, with line and column."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(str(finding))


@dataclass(frozen=True, slots=True)
class ProgramText:
    """One program as it is saved: the name of its file and its bytes."""

    file: str
    text: bytes
