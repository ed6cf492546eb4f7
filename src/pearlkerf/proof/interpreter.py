"""The machine that a program drives, as NISTIR 6556 describes it: modes, position, one block at a time.

What one line says is carried out in the order of section 3.8, table 8, whatever the order of its words.
"""

import math
from typing import Final

from pearlkerf.proof.arcs import (
    MM_PER_INCH,
    RADIUS_TOLERANCE_INCH_MM,
    RADIUS_TOLERANCE_MM,
    ROUNDING_MM,
    centre_of_radius,
    radius_mismatch_mm,
    turn_about,
)
from pearlkerf.proof.cycles import Cycle, run_cycle
from pearlkerf.proof.modes import MOTION, Block, code_name
from pearlkerf.proof.motions import ARC, LINE, RAPID, Event
from pearlkerf.proof.recording import Position, Recording
from pearlkerf.proof.words import refuse, whole

UNKNOWN: Final = math.nan
AXES: Final = "XYZ"
# axes of each plane in the order of section 4.3.6.1 (first, second, the arc's own), and the two offsets' letters
PLANE_AXES: Final = {17: (0, 1, 2), 18: (2, 0, 1), 19: (1, 2, 0)}
PLANE_OFFSETS: Final = {17: "IJ", 18: "KI", 19: "JK"}
CYCLES: Final = (810, 820, 830)
# a program that asks for more repeats than a board has holes is a slip of the keys, and would take all memory
MOST_REPEATS: Final = 1000
MOST_PECKS: Final = 10000
# no machine of this kind goes so far or so fast; what overflows must not be computed with
GREATEST: Final = 1e6
ZERO: Final = (0.0, 0.0, 0.0)


class Interpreter:
    """Modes and position while a program is read; ``execute`` carries out one block."""

    def __init__(self, start: Position, dwell_unit: str) -> None:
        self.recording = Recording(start)
        self.at = start
        self.scale = 1.0  # mm per unit; table 10 starts in mm
        self.tolerance_mm = RADIUS_TOLERANCE_MM
        self.absolute = True
        self.plane = 17
        self.motion: int | None = None
        self.return_old = True
        self.work_offset: int | None = None
        self.shift: Position = ZERO  # by G92: a programmed figure less this is the place
        self.suspended: Position = ZERO
        self.sticky: dict[str, float] = {}
        self.selected = -1
        self.dwell_scale = 0.001 if dwell_unit == "ms" else 1.0
        self.stated: set[str] = set()
        self.ended = False

    def execute(self, block: Block, line: int) -> None:
        """Carry out one block; raises UnreadableProgram at whatever is not allowed."""
        self._refuse_idle_words(block, line)
        once = block.g.get("once")
        self._set_feed(block, line)
        self._set_spindle_and_cutter(block, line)
        if once == 40:
            self._dwell(block, line)
        self._set_modes(block, line)
        if once in (280, 300):
            self._go_home(block, line)
        elif once in (920, 921, 922, 923):
            self._shift_zero(block, once, line)
        else:
            self._move(block, line)
        if "stop" in block.m:
            self._stop(block.m["stop"], line)

    def _refuse_idle_words(self, block: Block, line: int) -> None:
        """Refuse words that nothing on the line uses: a slip of the keys may hide in them."""
        once, motion = block.g.get("once"), block.g.get(MOTION, self.motion)
        used = set("FST")
        moves = once not in (40, 921, 922, 923) or MOTION in block.g
        if (moves and motion != 800) or once in (280, 300, 920):
            used |= set(AXES)
        if once == 40:
            used.add("P")
        if motion in (20, 30) and moves:
            used |= set("IJKR")
        if motion in CYCLES and moves:
            used |= set("RL") | {820: {"P"}, 830: {"Q"}}.get(motion or 0, set())
        if block.g.get("length offset") == 430:
            used.add("H")
        for letter, word in block.words.items():
            if letter not in used:
                raise refuse(f"the word {letter} has no meaning on this line", line, word.column)
            if not abs(word.value) <= GREATEST:
                raise refuse(f"the number after {letter} is too large", line, word.column)

    def _event(self, kind: str, line: int, value: float = 0.0) -> None:
        self.recording.events.append(Event(kind, len(self.recording.kind), line, value))  # type: ignore[arg-type]

    def _set_feed(self, block: Block, line: int) -> None:
        word = block.words.get("F")
        if word is None:
            return
        if word.value < 0:
            raise refuse("a feed below zero is not allowed", line, word.column)
        self.recording.change("feed", word.value * self.scale)

    def _set_spindle_and_cutter(self, block: Block, line: int) -> None:
        speed, tool = block.words.get("S"), block.words.get("T")
        if speed is not None:
            if speed.value < 0:
                raise refuse("a spindle speed below zero is not allowed (section 3.7.2)", line, speed.column)
            self.recording.change("speed", speed.value)
            self._event("speed", line, speed.value)
        if tool is not None:
            if whole(tool, line) < 0:
                raise refuse("a cutter's number below zero is not allowed (section 3.7.3)", line, tool.column)
            self.selected = whole(tool, line)
            self._event("select cutter", line, self.selected)
        if "cutter change" in block.m:
            self._change_cutter(block, line)
        if "spindle" in block.m:
            turning = block.m["spindle"] % 5
            self.recording.change("spindle", turning)
            self._event("spindle", line, turning)
        for group in ("mist", "coolant"):
            if group in block.m:
                self._event("coolant", line, block.m[group])

    def _change_cutter(self, block: Block, line: int) -> None:
        if self.selected < 0:
            raise refuse("M6 changes a cutter, but no T has selected one", line, block.column)
        self.recording.change("cutter", self.selected)
        self.recording.change("spindle", 0)  # section 3.6.3: the spindle is stopped
        self._event("cutter change", line, self.selected)
        self._forget_height()

    def _forget_height(self) -> None:
        self.at = (self.at[0], self.at[1], UNKNOWN)
        self.recording.jump(self.at)

    def _dwell(self, block: Block, line: int) -> None:
        word = block.words.get("P")
        if word is None or word.value < 0:
            raise refuse(
                "G4 needs a P that is not below zero (section 3.5.4)", line, word.column if word else block.column
            )
        self._event("dwell", line, word.value * self.dwell_scale)

    def _set_modes(self, block: Block, line: int) -> None:
        g = block.g
        if "plane" in g:
            self.plane = g["plane"] // 10
        if "units" in g:
            self.scale = MM_PER_INCH if g["units"] == 200 else 1.0
            self.tolerance_mm = RADIUS_TOLERANCE_INCH_MM if g["units"] == 200 else RADIUS_TOLERANCE_MM
        if "length offset" in g:
            self._set_length_offset(g["length offset"], block, line)
        if "work offset" in g:
            self._set_work_offset(g["work offset"], block, line)
        if "distance" in g:
            self.absolute = g["distance"] == 900
        if "return level" in g:
            self.return_old = g["return level"] == 980
        if not self.recording.kind:
            self.stated |= {code_name(code) for group, code in g.items() if group not in (MOTION, "once")}

    def _set_length_offset(self, code: int, block: Block, line: int) -> None:
        word = block.words.get("H")
        if code == 430:
            if word is None or whole(word, line) < 0:
                raise refuse("G43 needs an H that is not below zero (section 3.5.11)", line, block.column)
            self._event("length offset", line, whole(word, line))
        self._forget_height()

    def _set_work_offset(self, code: int, block: Block, line: int) -> None:
        if self.work_offset is not None and code != self.work_offset and self.recording.kind:
            raise refuse(
                f"after {code_name(self.work_offset)} the zero moves to {code_name(code)}, and nobody here knows where "
                "that lies; keep to one work offset",
                line,
                block.column,
            )
        self.work_offset = code

    def _go_home(self, block: Block, line: int) -> None:
        through = self._target(block, line, required=False)
        if through != self.at:
            self.at = through
            self.recording.put(RAPID, self.at, line)
        named = [letter in block.words for letter in AXES]
        home = [UNKNOWN if name or not any(named) else place for name, place in zip(named, self.at, strict=True)]
        self.at = (home[0], home[1], home[2])
        self.recording.put(RAPID, self.at, line)

    def _shift_zero(self, block: Block, code: int, line: int) -> None:
        """G92 makes the place where the axes stand read as programmed (section 3.5.18)."""
        if code == 920:
            shift = list(self.shift)
            for axis, letter in enumerate(AXES):
                word = block.words.get(letter)
                if word is not None:
                    if math.isnan(self.at[axis]):
                        raise refuse(f"G92 {letter} where nobody knows the place of {letter}", line, word.column)
                    shift[axis] = word.value * self.scale - self.at[axis]
            if not any(letter in block.words for letter in AXES):
                raise refuse("G92 needs an axis word (section 3.5.18)", line, block.column)
            self.shift = self.suspended = (shift[0], shift[1], shift[2])
        elif code == 923:
            self.shift = self.suspended
        else:
            self.shift = ZERO
            self.suspended = ZERO if code == 921 else self.suspended

    def _target(self, block: Block, line: int, *, required: bool = True) -> Position:
        """Give the end point that the axis words name, in mm."""
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
        if required and not any(letter in block.words for letter in AXES):
            raise refuse("a motion needs an X, Y or Z word (section 3.5)", line, block.column)
        return (target[0], target[1], target[2])

    def _move(self, block: Block, line: int) -> None:
        stated = block.g.get(MOTION)
        axis_words = [word for letter, word in block.words.items() if letter in AXES]
        machine = block.g.get("once") == 530
        if block.g.get("once") == 40 and stated is None:
            return
        if stated is not None:
            if stated not in CYCLES or stated != self.motion:
                self.sticky = {}
            self.motion = stated
        elif not axis_words and not machine:
            return
        if self.motion is None or self.motion == 800:
            if axis_words:
                raise refuse("an axis word without a motion mode (section 3.5.15)", line, axis_words[0].column)
            return
        if machine:
            self._move_in_machine_axes(block, line)
        elif self.motion in CYCLES:
            self._run_cycle(block, self.motion, line)
        elif self.motion in (20, 30):
            self._turn(block, line)
        else:
            self.at = self._target(block, line)
            self.recording.put(RAPID if self.motion == 0 else LINE, self.at, line)

    def _move_in_machine_axes(self, block: Block, line: int) -> None:
        if self.motion not in (0, 10):
            raise refuse("G53 goes with G0 and G1 only (section 3.5.12)", line, block.column)
        self._target(block, line)
        place = [UNKNOWN if letter in block.words else at for letter, at in zip(AXES, self.at, strict=True)]
        self.at = (place[0], place[1], place[2])
        self.recording.put(RAPID if self.motion == 0 else LINE, self.at, line)

    def _turn(self, block: Block, line: int) -> None:
        """Carry out G2 or G3 (section 3.5.3)."""
        first, second, own = PLANE_AXES[self.plane]
        clockwise = self.motion == 20
        named = [letter for letter in (AXES[first], AXES[second]) if letter in block.words]
        if not named:
            raise refuse("an arc needs an axis word of its plane (section 3.5.3)", line, block.column)
        end = self._target(block, line)
        start2, end2 = (self.at[first], self.at[second]), (end[first], end[second])
        if any(math.isnan(value) for value in (*start2, *end2)):
            raise refuse("an arc from a place that nobody knows", line, block.column)
        centre2 = self._centre(block, start2, end2, clockwise, line)
        turn = turn_about(start2, end2, centre2, clockwise)
        if "R" in block.words and abs(turn.sweep) > 2 * math.pi - ROUNDING_MM:
            raise refuse("an arc by radius cannot end where it starts (section 3.5.3.1)", line, block.column)
        centre = [0.0, 0.0, 0.0]
        centre[first], centre[second], centre[own] = centre2[0], centre2[1], self.at[own]
        self.recording.arc(self.plane, (centre[0], centre[1], centre[2]), turn.sweep)
        self.at = end
        self.recording.put(ARC, end, line)

    def _centre(
        self, block: Block, start: tuple[float, float], end: tuple[float, float], clockwise: bool, line: int
    ) -> tuple[float, float]:
        offsets = [block.words.get(letter) for letter in PLANE_OFFSETS[self.plane]]
        alien = [
            word for letter, word in block.words.items() if letter in "IJK" and letter not in PLANE_OFFSETS[self.plane]
        ]
        radius = block.words.get("R")
        if alien:
            raise refuse(f"the offset {alien[0].letter} does not lie in the plane G{self.plane}", line, alien[0].column)
        if radius is not None:
            if any(offsets):
                raise refuse("an arc has either R or offsets, not both (section 3.5.3)", line, radius.column)
            centre = centre_of_radius(start, end, radius.value * self.scale, clockwise)
            if centre is None:
                raise refuse("no arc of this radius joins its ends (section 3.5.3.1)", line, radius.column)
            return centre
        if not any(offsets):
            raise refuse("an arc needs R or an offset of its plane (section 3.5.3)", line, block.column)
        centre = (
            start[0] + (offsets[0].value * self.scale if offsets[0] else 0.0),
            start[1] + (offsets[1].value * self.scale if offsets[1] else 0.0),
        )
        mismatch = radius_mismatch_mm(start, end, centre)
        if mismatch > self.tolerance_mm + ROUNDING_MM:
            raise refuse(f"the arc's ends lie {mismatch:.4f} mm unequally far from its centre; at most "
                         f"{self.tolerance_mm:.5g} mm is allowed (section 3.5.3.2)", line, block.column)  # fmt: skip
        if math.dist(start, centre) <= ROUNDING_MM:
            raise refuse("the arc's centre is its start: it has no radius", line, block.column)
        return centre

    def _run_cycle(self, block: Block, code: int, line: int) -> None:
        along, across, deep = PLANE_AXES[self.plane]
        if not any(letter in block.words for letter in AXES):
            raise refuse("a canned cycle needs an X, Y or Z word (section 3.5.16)", line, block.column)
        if any(math.isnan(place) for place in self.at):
            raise refuse("a canned cycle from a place that nobody knows", line, block.column)
        for letter in {AXES[deep], "R", "P", "Q"} & set(block.words):
            self.sticky[letter] = block.words[letter].value
        retract, bottom = self._levels(block, deep, line)
        target = self._target(block, line)
        place = (target[along], target[across])
        step = (0.0, 0.0) if self.absolute else (place[0] - self.at[along], place[1] - self.at[across])
        clear = max(self.at[deep], retract) if self.return_old else retract
        cycle = Cycle(code // 10, place, step, self._repeats(block, line), retract, bottom, clear,
                      self._sticky_peck(code, retract - bottom, block, line),
                      self._sticky_dwell(code, block, line))  # fmt: skip
        self.at = run_cycle(cycle, self.at, (along, across, deep), self.recording, line)

    def _levels(self, block: Block, deep: int, line: int) -> tuple[float, float]:
        for letter in ("R", AXES[deep]):
            if letter not in self.sticky:
                raise refuse(f"the canned cycle has no {letter} (section 3.5.16)", line, block.column)
        retract, bottom = self.sticky["R"] * self.scale, self.sticky[AXES[deep]] * self.scale
        if self.absolute:
            retract, bottom = retract - self.shift[deep], bottom - self.shift[deep]
        else:
            retract += self.at[deep]
            bottom += retract
        if retract < bottom:
            raise refuse("the canned cycle's R lies below its bottom (section 3.5.16)", line, block.column)
        return retract, bottom

    def _repeats(self, block: Block, line: int) -> int:
        word = block.words.get("L")
        count = 1 if word is None else whole(word, line)
        if count < 1 or count > MOST_REPEATS:
            raise refuse(
                f"L must be a whole number from 1 to {MOST_REPEATS}", line, word.column if word else block.column
            )
        return count

    def _sticky_peck(self, code: int, depth: float, block: Block, line: int) -> float:
        peck = self.sticky.get("Q", 0.0) * self.scale
        if code == 830 and not (peck > 0 and depth / peck <= MOST_PECKS):
            raise refuse("G83 needs a Q above zero (section 3.5.16.4), and fewer than 10000 pecks", line, block.column)
        return peck

    def _sticky_dwell(self, code: int, block: Block, line: int) -> float:
        dwell = self.sticky.get("P", -1.0) * self.dwell_scale
        if code == 820 and dwell < 0:
            raise refuse("G82 needs a P that is not below zero (section 3.5.16.3)", line, block.column)
        return dwell

    def _stop(self, code: int, line: int) -> None:
        if code not in (2, 30):
            self._event("stop", line, code)
            return
        self._event("end", line, code)
        if self.recording.changes["spindle"][-1][1]:
            self._event("spindle", line, 0)
        self.ended = True
