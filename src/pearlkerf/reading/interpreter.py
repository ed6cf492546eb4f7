"""The order in which one line is carried out, as NISTIR 6556, section 3.8, table 8 has it.

feed mode, F, S, T, M6, spindle, coolant, overrides, dwell, plane, units, compensation, length offset,
work offset, path, distance mode, return level, home or shift, motion, stop: whatever the order of the words.
"""

import math
from typing import Final

from pearlkerf.reading.arcs import run_arc
from pearlkerf.reading.controller import AXES, Controller, moves, need_axis_word
from pearlkerf.reading.cycles import run_cycle
from pearlkerf.reading.modes import (
    ARCS,
    CANCEL,
    CYCLES,
    DWELL,
    HOMES,
    MACHINE_AXES,
    MOTION,
    SHIFT,
    UNSHIFT,
    Block,
    code_name,
)
from pearlkerf.reading.motions import LINE, RAPID
from pearlkerf.reading.words import GREATEST, refuse, whole
from pearlkerf.reading.zeros import go_home, move_in_machine_axes, set_length_offset, set_work_offset, shift_zero

# the letters that each canned cycle may have beside its axes (section 3.5.16)
CYCLE_WORDS: Final = {810: "RL", 820: "RLP", 830: "RLQ"}


def execute(block: Block, controller: Controller, line: int) -> None:
    """Carry out one line; raises UnreadableProgram at whatever is not allowed."""
    _refuse_idle_words(block, controller, line)
    once = block.g.get("once")
    _set_feed(block, controller, line)
    _set_spindle_and_cutter(block, controller, line)
    if once == DWELL:
        _dwell(block, controller, line)
    _set_modes(block, controller, line)
    if once in HOMES:
        go_home(block, controller, line)
    elif once in (SHIFT, *UNSHIFT):
        shift_zero(once, block, controller, line)
    _move(block, controller, line)
    if "stop" in block.m:
        _stop(block.m["stop"], controller, line)


def _refuse_idle_words(block: Block, controller: Controller, line: int) -> None:
    """Refuse words that nothing on the line uses: a slip of the keys may hide in them."""
    once, stated = block.g.get("once"), block.g.get(MOTION)
    used = set("FST")
    if once in (*HOMES, SHIFT):
        _refuse_two_users(stated, block, once, line)
        used |= set(AXES)
    if once == DWELL:
        used.add("P")
    if block.g.get("length offset") == 430:
        used.add("H")
    if moves(block):
        used |= _words_of_motion(controller.motion if stated is None else stated, block, line)
    for letter, word in block.words.items():
        if letter not in used:
            raise refuse(f"nothing on this line uses the word {letter}", line, word.column)
        if not abs(word.value) <= GREATEST:
            raise refuse(f"the number after {letter} is too large", line, word.column)


def _refuse_two_users(stated: int | None, block: Block, once: int | None, line: int) -> None:
    if stated is not None and stated != CANCEL:
        raise refuse(
            f"{code_name(stated)} and {code_name(once or 0)} both use axis words: write two lines (section 3.4)",
            line,
            block.column,
        )


def _words_of_motion(motion: int | None, block: Block, line: int) -> set[str]:
    """Give the letters that a motion may have."""
    if motion is None or motion == CANCEL:
        for letter in AXES:
            if letter in block.words:
                raise refuse(
                    f"the axis word {letter} where no motion is in force (section 3.5.15)",
                    line,
                    block.words[letter].column,
                )
        return set()
    used = set(AXES)
    if motion in ARCS:
        used |= set("IJKR")
    if motion in CYCLES:
        used |= set(CYCLE_WORDS[motion])
        if block.g.get("once") == DWELL:
            raise refuse("P of G4 and of a canned cycle on one line: write two lines", line, block.column)
    return used


def _set_feed(block: Block, controller: Controller, line: int) -> None:
    word = block.words.get("F")
    if word is None:
        return
    if word.value < 0:
        raise refuse("a feed below zero is not allowed", line, word.column)
    if block.g.get("units", controller.units) != controller.units:
        raise refuse(
            f"F stands on the line of {code_name(block.g['units'])}, and is read before it, in another unit; write F "
            "on a line after it (section 3.8, table 8)",
            line,
            word.column,
        )
    controller.recording.change("feed", word.value * controller.scale)


def _set_spindle_and_cutter(block: Block, controller: Controller, line: int) -> None:
    speed, tool = block.words.get("S"), block.words.get("T")
    if speed is not None:
        if speed.value < 0:
            raise refuse("a spindle speed below zero is not allowed (section 3.7.2)", line, speed.column)
        controller.recording.change("speed", speed.value)
        controller.event("speed", line, speed.value)
    if tool is not None:
        if whole(tool, line) < 0:
            raise refuse("a cutter's number below zero is not allowed (section 3.7.3)", line, tool.column)
        controller.selected = whole(tool, line)
        controller.event("select cutter", line, controller.selected)
    if "cutter change" in block.m:
        _change_cutter(block, controller, line)
    if "spindle" in block.m:
        turning = block.m["spindle"] % 5
        controller.recording.change("spindle", turning)
        controller.event("spindle", line, turning)
    for code in block.coolant:
        controller.event("coolant", line, code)


def _change_cutter(block: Block, controller: Controller, line: int) -> None:
    """M6 (section 3.6.3): the spindle is stopped, the axes stand where they stood, but the tip elsewhere."""
    if controller.selected is None:
        raise refuse("M6 changes a cutter, but no T has selected one (section 3.6.3)", line, block.column)
    controller.recording.change("cutter", controller.selected)
    controller.recording.change("spindle", 0)
    controller.event("cutter change", line, controller.selected)
    controller.forget_height()


def _dwell(block: Block, controller: Controller, line: int) -> None:
    word = block.words.get("P")
    if word is None or word.value < 0:
        column = word.column if word else block.column
        raise refuse("G4 needs a P that is not below zero (section 3.5.4)", line, column)
    controller.event("dwell", line, word.value * controller.dwell_scale)


def _set_modes(block: Block, controller: Controller, line: int) -> None:
    g = block.g
    if "plane" in g and g["plane"] // 10 != controller.plane:
        controller.plane, controller.sticky = g["plane"] // 10, {}
    if "units" in g and g["units"] != controller.units:
        _set_units(g["units"], controller)
    if "length offset" in g:
        set_length_offset(g["length offset"], block, controller, line)
    if "work offset" in g:
        set_work_offset(g["work offset"], block, controller, line)
    if "distance" in g:
        controller.absolute = g["distance"] == 900
    if "return level" in g:
        controller.return_level = g["return level"]
    if not controller.moved:
        controller.stated |= {group: code for group, code in g.items() if group not in (MOTION, "once")}


def _set_units(code: int, controller: Controller) -> None:
    """G20 or G21: a feed is not converted (section 4.3.3.3), so that one set before is no longer known."""
    controller.units, controller.sticky = code, {}
    if not math.isnan(controller.recording.in_force("feed")):
        controller.recording.change("feed", math.nan)


def _move(block: Block, controller: Controller, line: int) -> None:
    stated = block.g.get(MOTION)
    if stated is not None:
        controller.begin(stated)
    if not moves(block) or (controller.motion == CANCEL and block.g.get("once") != MACHINE_AXES):
        return
    if block.g.get("once") == MACHINE_AXES:
        move_in_machine_axes(block, controller, line)
    elif controller.motion in CYCLES:
        run_cycle(block, controller, line)
    elif controller.motion in ARCS:
        run_arc(block, controller, line)
    else:
        need_axis_word(block, line, "3.5.1")
        controller.go(RAPID if controller.motion == 0 else LINE, controller.target(block, line), line)


def _stop(code: int, controller: Controller, line: int) -> None:
    if code not in (2, 30):
        controller.event("stop", line, code)
        if controller.after_stop == "unknown":
            controller.forget_place()
        return
    controller.event("end", line, code)
    if controller.recording.in_force("spindle"):
        controller.event("spindle", line, 0)
    controller.ended = True
