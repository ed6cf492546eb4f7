"""What a controller keeps in mind from one line of a program to the next."""

import math
from typing import Final

from pearlkerf.reading.modes import CYCLES, HOMES, MACHINE_AXES, MOTION, SHIFT, Block
from pearlkerf.reading.motions import Event
from pearlkerf.reading.recording import Position, Recording
from pearlkerf.reading.tolerances import MM_PER_INCH
from pearlkerf.reading.words import refuse

AXES: Final = "XYZ"
UNKNOWN: Final = math.nan
NOWHERE: Final[Position] = (UNKNOWN, UNKNOWN, UNKNOWN)
ZERO: Final[Position] = (0.0, 0.0, 0.0)


class Controller:
    """Position, modes and sticky numbers while a program is read, and the recording of what it does.

    What the program has not stated, and the standard does not, is None; the rest begins as in the
    report's own example (table 10): mm, absolute figures, the plane XY.  Rule 2 of the proof holds it
    against a program that it moves before it has stated them.
    """

    def __init__(self, start: Position, dwell_unit: str, after_stop: str = "as it stood") -> None:
        self.recording = Recording(start)
        self.at = start
        self.units: int | None = None
        self.absolute = True
        self.plane = 17
        self.motion: int | None = None
        self.return_level: int | None = None
        self.work_offset: int | None = None
        self.shift: Position = ZERO  # by G92: a programmed figure less this is the place
        self.sticky: dict[str, float] = {}
        self.series_from: float | None = None  # height where a series of canned cycles began
        self.cycle_motions = 0
        self.selected: int | None = None
        self.dwell_scale = 0.001 if dwell_unit == "ms" else 1.0
        self.stated: dict[str, int] = {}
        self.ended = False
        self.after_stop = after_stop

    @property
    def scale(self) -> float:
        """Millimetres in a programmed unit."""
        return MM_PER_INCH if self.units == 200 else 1.0

    @property
    def moved(self) -> bool:
        """Whether anything has moved."""
        return self.recording.count > 0

    def event(self, kind: str, line: int, value: float = 0.0, text: str = "") -> None:
        """Record an event before the next motion."""
        self.recording.events.append(Event(kind, self.recording.count, line, value, text))  # type: ignore[arg-type]

    def go(self, kind: int, to: Position, line: int) -> None:
        """Record a motion and stand at its end."""
        self.at = to
        self.recording.put(kind, to, line)

    def forget_height(self) -> None:
        """Z is unknown from here on: another cutter, or another length, stands in the spindle."""
        self.at = (self.at[0], self.at[1], UNKNOWN)
        self.recording.jump(self.at)

    def forget_place(self) -> None:
        """Where the axes stand, and the feed, are unknown from here on: people may have moved them."""
        self.at, self.sticky = NOWHERE, {}
        self.recording.jump(self.at)
        self.recording.change("feed", UNKNOWN)

    def begin(self, motion: int) -> None:
        """Set the motion mode; numbers of another canned cycle are forgotten."""
        if motion != self.motion:
            self.sticky = {}
        if motion not in CYCLES:
            self.series_from = None
        self.motion = motion

    def target(self, block: Block, line: int) -> Position:
        """Give the end point that the axis words name, in mm; axes that are not named stay where they are."""
        target = list(self.at)
        for axis, letter in enumerate(AXES):
            word = block.words.get(letter)
            if word is None:
                continue
            figure = word.value * self.scale
            if self.absolute:
                target[axis] = figure - self.shift[axis]
            elif math.isnan(self.at[axis]):
                raise refuse(f"G91 moves {letter} from a place that nobody knows", line, word.column)
            else:
                target[axis] += figure
        return (target[0], target[1], target[2])


def need_axis_word(block: Block, line: int, section: str) -> None:
    """Refuse a motion that names no axis."""
    if not any(letter in block.words for letter in AXES):
        raise refuse(f"a motion needs an X, Y or Z word (section {section})", line, block.column)


def moves(block: Block) -> bool:
    """Say whether a line asks for motion, in the mode that it states or in the one in force."""
    once = block.g.get("once")
    if MOTION in block.g:
        return once not in (*HOMES, SHIFT)
    return once == MACHINE_AXES or (once is None and any(letter in block.words for letter in AXES))
