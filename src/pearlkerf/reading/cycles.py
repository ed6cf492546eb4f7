"""Canned cycles G81, G82 and G83 as their motions, NISTIR 6556 section 3.5.16.

In the words of the XY plane (in ZX and YZ the axes change their parts): once, if Z is below R, a
rapid to R; then for each repeat a rapid in XY, a rapid to R, the feeds, and a rapid to the clear
height: R under G99, and under G98 the old height where that lies above R (section 3.5.20).

What the report leaves open is refused where it matters: which of G98 and G99 is in force before
either is written, and whether "just before the canned cycle started" means this line or the series
of cycles that it belongs to.
"""

import math
from typing import Final, NamedTuple

from pearlkerf.reading.controller import AXES, Controller
from pearlkerf.reading.modes import Block, code_name
from pearlkerf.reading.motions import LINE, PLANE_AXES, RAPID
from pearlkerf.reading.tolerances import ROUNDING_MM
from pearlkerf.reading.words import refuse, whole

# a program that asks for more motions by cycles than this is a slip of the keys, and would take all memory
MOST_CYCLE_MOTIONS: Final = 1_000_000


class Levels(NamedTuple):
    """A cycle's heights along the plane's own axis, mm."""

    retract: float
    bottom: float
    clear: float


def run_cycle(block: Block, controller: Controller, line: int) -> None:
    """Carry out a canned cycle as its motions."""
    along, across, deep = PLANE_AXES[controller.plane]
    if not any(letter in block.words for letter in AXES):
        raise refuse("a canned cycle needs an X, Y or Z word (section 3.5.16)", line, block.column)
    if any(math.isnan(place) for place in controller.at):
        raise refuse("a canned cycle from a place that nobody knows", line, block.column)
    for letter in {AXES[deep], "R", "P", "Q"} & set(block.words):
        controller.sticky[letter] = block.words[letter].value
    retract, bottom = _retract_and_bottom(block, controller, deep, line)
    levels = Levels(retract, bottom, _clear(block, controller, controller.at[deep], retract, line))
    pecks = _pecks(block, controller, levels, line)
    dwell = _dwell(block, controller, line)
    repeats = _repeats(block, line)
    _refuse_endless(controller, repeats * (3 * len(pecks) + 3), block, line)
    at, target = controller.at, controller.target(block, line)
    step = (0.0, 0.0) if controller.absolute else (target[along] - at[along], target[across] - at[across])
    drill = _Drill(controller, (along, across, deep), line)
    controller.recording.change("cycle", (controller.motion or 0) // 10)
    if at[deep] < retract:
        drill.go(RAPID, deep_mm=retract)
    for repeat in range(repeats):
        drill.go(RAPID, place=(target[along] + repeat * step[0], target[across] + repeat * step[1]))
        drill.go(RAPID, deep_mm=retract)
        drill.down(pecks, levels)
        if dwell is not None:
            controller.event("dwell", line, dwell)
        drill.go(RAPID, deep_mm=levels.clear)
    controller.recording.change("cycle", 0)


class _Drill:
    """Moves along a plane's axes; a way of no length is no motion."""

    def __init__(self, controller: Controller, axes: tuple[int, int, int], line: int) -> None:
        self.controller, self.axes, self.line = controller, axes, line

    def go(self, kind: int, place: tuple[float, float] | None = None, deep_mm: float | None = None) -> None:
        along, across, deep = self.axes
        new = list(self.controller.at)
        if place is not None:
            new[along], new[across] = place
        if deep_mm is not None:
            new[deep] = deep_mm
        if tuple(new) != self.controller.at:
            self.controller.go(kind, (new[0], new[1], new[2]), self.line)

    def down(self, pecks: list[float], levels: Levels) -> None:
        """Feed down to each depth; between them out to clear height and back."""
        for number, depth in enumerate(pecks):
            if number:
                self.go(RAPID, deep_mm=levels.clear)
                # "backed off a bit" is not stated how far (section 3.5.16.4): back to the very bottom is the worst
                self.go(RAPID, deep_mm=pecks[number - 1])
            self.go(LINE, deep_mm=depth)


def _retract_and_bottom(block: Block, controller: Controller, deep: int, line: int) -> tuple[float, float]:
    """Give R and the bottom; under G91 R counts from where the axis stands, the bottom from R."""
    for letter in ("R", AXES[deep]):
        if letter not in controller.sticky:
            raise refuse(f"the canned cycle has no {letter} (section 3.5.16)", line, block.column)
    retract, bottom = (controller.sticky[letter] * controller.scale for letter in ("R", AXES[deep]))
    if controller.absolute:
        retract, bottom = retract - controller.shift[deep], bottom - controller.shift[deep]
    else:
        retract += controller.at[deep]
        bottom += retract
    if retract < bottom:
        raise refuse("the canned cycle's R lies below its bottom (section 3.5.16)", line, block.column)
    return retract, bottom


def _clear(block: Block, controller: Controller, old: float, retract: float, line: int) -> float:
    """Give the height that the cycle returns to, from the ``old`` one on this line and its R."""
    begun = old if controller.series_from is None else controller.series_from
    controller.series_from = begun
    if controller.return_level == 990:
        return retract
    if abs(max(old, retract) - max(begun, retract)) > ROUNDING_MM:
        raise refuse(
            f"G98 returns to where the cycle started: {old:g} mm high on this line, or {begun:g} where the series "
            "began? The standard leaves it open; write G99, or G80 between (section 3.5.20)",
            line,
            block.column,
        )
    if controller.return_level is None and old > retract:
        raise refuse(
            "a canned cycle before G98 or G99: the standard does not say which is in force (section 3.5.20)",
            line,
            block.column,
        )
    return max(old, retract)


def _pecks(block: Block, controller: Controller, levels: Levels, line: int) -> list[float]:
    """Give the depths that are drilled to, the bottom last."""
    if controller.motion != 830:
        return [levels.bottom]
    peck, depth = controller.sticky.get("Q", 0.0) * controller.scale, levels.retract - levels.bottom
    if not peck > 0:
        raise refuse("G83 needs a Q above zero (section 3.5.16.4)", line, block.column)
    if depth / peck > MOST_CYCLE_MOTIONS:
        raise refuse(f"G83 with more than {MOST_CYCLE_MOTIONS} pecks", line, block.column)
    whole_pecks = math.ceil((depth - ROUNDING_MM) / peck) - 1
    return [levels.retract - (number + 1) * peck for number in range(whole_pecks)] + [levels.bottom]


def _dwell(block: Block, controller: Controller, line: int) -> float | None:
    if controller.motion != 820:
        return None
    dwell = controller.sticky.get("P", -1.0)
    if dwell < 0:
        raise refuse("G82 needs a P that is not below zero (section 3.5.16.3)", line, block.column)
    return dwell * controller.dwell_scale


def _repeats(block: Block, line: int) -> int:
    word = block.words.get("L")
    count = 1 if word is None else whole(word, line)
    if count < 1:
        raise refuse("L must be a whole number above zero (section 3.5.16)", line, word.column if word else None)
    return count


def _refuse_endless(controller: Controller, motions: int, block: Block, line: int) -> None:
    controller.cycle_motions += motions
    if controller.cycle_motions > MOST_CYCLE_MOTIONS:
        name = code_name(controller.motion or 0)
        raise refuse(f"{name} makes more than {MOST_CYCLE_MOTIONS} motions, with those before", line, block.column)
