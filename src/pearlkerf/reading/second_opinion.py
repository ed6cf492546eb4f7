"""A second opinion: another library's reader beside ours, line by line.

It is pygcode, an optional extra (``second-reader``), imported only here and only when asked.  It reads
forgivingly, so that it proves nothing by itself; but where it takes a line otherwise than our reader
does, one of the two is wrong, and a program on which two readers differ is not to be run unseen.
"""

import math
from collections.abc import Iterator
from typing import Any, Final, NamedTuple

import numpy as np

from pearlkerf.errors import Problem, Refusal
from pearlkerf.reading.motions import ARC, LINE, Finding, Motions, ProgramText, Reading
from pearlkerf.reading.reader import read_program
from pearlkerf.reading.tolerances import ARC_MM, MM_PER_INCH, PLACE_MM
from pearlkerf.reading.words import BLANKS, read_line, text_lines

OPTION: Final = "--second-reader"
# how fine the other reader divides an arc, in the program's unit
ARC_CHORD: Final = 0.05

Place = tuple[float, float, float]


class _Other(NamedTuple):
    """What the other reader makes of one line: words, motion ("G1"), place, points along an arc."""

    words: list[tuple[str, float]]
    motion: str
    at: Place
    points: list[Place]


def need_second_reader() -> None:
    """Raise Refusal where the other library is not installed."""
    try:
        import pygcode  # noqa: F401
    except ModuleNotFoundError:
        hint = "pip install 'pearlkerf[second-reader]'"
        raise Refusal([Problem("the second reader is not installed", hint=hint, key=OPTION)]) from None


def second_opinion(program: ProgramText) -> tuple[Finding, ...]:
    """Compare words, kind of motion, end and points along arcs, line by line; give a finding for each difference.

    Lengths compare within PLACE_MM, arcs within ARC_MM; an axis whose place our reader does not know
    is not compared.  Raises UnreadableProgram where ours cannot read the text, Refusal where the other
    library is not installed.
    """
    reading = read_program(program.text, program.file)
    lines = text_lines(program.text)
    last = next((event.line for event in reading.events if event.kind == "end"), len(lines))
    other = _OtherReader()
    findings = []
    for number, raw in enumerate(lines[:last], 1):
        if raw.strip(BLANKS) in ("", "%"):
            continue
        for message in _differences(raw, number, reading, other):
            findings.append(Finding(1, f"two readers differ: {message}", program.file, number))
    return tuple(findings)


def _differences(raw: str, number: int, reading: Reading, other: "_OtherReader") -> Iterator[str]:
    words = [(word.letter, word.value) for word in read_line(raw, number).words]
    try:
        theirs = other.read(raw)
    except other.failures as failure:
        yield f"the second cannot read this line ({type(failure).__name__})"
        return
    if theirs.words != words:
        yield f"ours reads the words {_told(words)}, the second {_told(theirs.words)}"
    motions = reading.motions
    first, end = np.searchsorted(motions.line, [number, number + 1])
    motion = _motion(motions, int(first)) if end > first else ""
    if theirs.motion != motion:
        yield f"ours reads the motion {motion or 'none'}, the second {theirs.motion or 'none'}"
    elif end > first:
        away = _distance(tuple(motions.end[end - 1]), theirs.at)
        if away > PLACE_MM:
            yield f"their ends lie {away:.4f} mm apart"
        elif motions.kind[first] == ARC:
            off = _arc_distance(motions, int(first), theirs.points, ARC_CHORD * other.scale)
            if off > ARC_MM[other.scale]:
                yield f"their arcs lie {off:.4f} mm apart"


def _told(words: list[tuple[str, float]]) -> str:
    return " ".join(f"{letter}{value:g}" for letter, value in words) or "none"


def _motion(motions: Motions, row: int) -> str:
    if motions.in_cycle[row]:
        return f"G{motions.in_cycle[row]}"
    if motions.kind[row] == ARC:
        return "G3" if motions.sweep[row] > 0 else "G2"
    return "G1" if motions.kind[row] == LINE else "G0"


def _distance(ours: Place, theirs: Place) -> float:
    """Give the distance over the axes that ours knows."""
    return math.hypot(*(a - b for a, b in zip(ours, theirs, strict=True) if not math.isnan(a)))


def _arc_distance(motions: Motions, row: int, points: list[Place], chord_mm: float) -> float:
    """Give how far the farthest of some points, equal turns apart, lies from our arc.

    Chords between them that stray more than ``chord_mm`` from our arc stand for another turn than ours.
    """
    first, second = {17: (0, 1), 18: (2, 0), 19: (1, 2)}[int(motions.plane[row])]
    own = 3 - first - second
    start, end, centre = motions.start[row], motions.end[row], motions.centre[row]
    along, across = start[first] - centre[first], start[second] - centre[second]
    if not points:
        return math.inf
    step = min(abs(motions.sweep[row]) / len(points), 2 * math.pi)
    farthest = max(math.hypot(along, across) * (1 - math.cos(step / 2)) - chord_mm, 0.0)
    for number, theirs in enumerate(points, 1):
        part = number / len(points)
        turn = motions.sweep[row] * part
        ours = [0.0, 0.0, 0.0]
        ours[first] = centre[first] + along * math.cos(turn) - across * math.sin(turn)
        ours[second] = centre[second] + along * math.sin(turn) + across * math.cos(turn)
        ours[own] = start[own] + (end[own] - start[own]) * part
        farthest = max(farthest, _distance((ours[0], ours[1], ours[2]), theirs))
    return farthest


class _OtherReader:
    """The other library's machine, fed with one line after the other; it does not convert inches, so we do."""

    def __init__(self) -> None:
        need_second_reader()
        import pygcode
        from pygcode import exceptions, transform

        self._line, self._transform, self._arc_move = pygcode.Line, transform, pygcode.gcodes.GCodeArcMove
        self._cancel, self._machine = pygcode.gcodes.GCodeCancelCannedCycle, pygcode.Machine()
        self._group = pygcode.gcodes.MODAL_GROUP_MAP["motion"]
        self.scale = 1.0
        # it raises its own exceptions, and assertions and names of its own that are not defined
        self.failures = (
            AssertionError, NameError, TypeError, ValueError, AttributeError, ZeroDivisionError,
            exceptions.GCodeBlockFormatError, exceptions.GCodeParameterError, exceptions.GCodeWordStrError,
            exceptions.MachineInvalidAxis, exceptions.MachineInvalidState,
        )  # fmt: skip

    def read(self, raw: str) -> _Other:
        """Read the next line; raises one of ``failures``."""
        block = self._line(raw).block
        words = [(word.letter.upper(), float(word.value)) for word in block.words if word.letter.upper() != "N"]
        for letter, value in words:
            if letter == "G" and value in (20.0, 21.0):
                self.scale = MM_PER_INCH if value == 20.0 else 1.0
        machine = self._machine
        moves = [
            gcode for gcode in machine.block_modal_gcodes(block)
            if gcode.modal_group == self._group and not isinstance(gcode, self._cancel)
        ]  # fmt: skip
        start = machine.pos
        machine.process_block(block)
        points = self._points(moves[0], start) if moves and isinstance(moves[0], self._arc_move) else []
        motion = " ".join(f"G{gcode.word.value:g}" for gcode in moves)
        return _Other(words, motion, self._place(machine.pos.values), points)

    def _points(self, move: Any, start: Any) -> list[Place]:
        mode = self._machine.mode
        incremental = mode.distance.word.value == 91
        at = dict(start.values)
        points = []
        for chord in self._transform.linearize_arc(
            move, start, plane=mode.plane_selection, method_class=self._transform.ArcLinearizeInside,
            dist_mode=mode.distance, arc_dist_mode=mode.arc_ijk_distance, max_error=ARC_CHORD,
        ):  # fmt: skip
            step = {letter: float(word.value) for letter, word in chord.params.items()}
            at = {letter: step[letter] + (at[letter] if incremental else 0.0) for letter in "XYZ"}
            points.append(self._place(at))
        return points

    def _place(self, values: dict[str, float]) -> Place:
        return (values["X"] * self.scale, values["Y"] * self.scale, values["Z"] * self.scale)
