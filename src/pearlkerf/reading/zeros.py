"""Where zero lies: work offsets, G92, tool lengths, and moves in the machine's own axes.

Nobody here knows the machine's tables and offsets.  What depends on them leaves a position unknown
(nan), or is refused where everything after it would be unknown.
"""

import math

from pearlkerf.reading.controller import AXES, NOWHERE, UNKNOWN, ZERO, Controller, need_axis_word
from pearlkerf.reading.modes import SHIFT, STRAIGHT, Block, code_name
from pearlkerf.reading.motions import LINE, RAPID
from pearlkerf.reading.words import refuse, whole


def set_length_offset(code: int, block: Block, controller: Controller, line: int) -> None:
    """G43 H and G49 (section 3.5.11): no motion, but Z reads otherwise by a length that is not known here."""
    word = block.words.get("H")
    if code == 430:
        if word is None or whole(word, line) < 0:
            raise refuse("G43 needs an H that is not below zero (section 3.5.11)", line, block.column)
        controller.event("length offset", line, whole(word, line))
    controller.forget_height()


def set_work_offset(code: int, block: Block, controller: Controller, line: int) -> None:
    """G54 to G59.3 (section 3.5.13): any one before the first motion, no other after it."""
    if controller.moved and code != controller.work_offset:
        said = f"from {code_name(controller.work_offset)} " if controller.work_offset else ""
        raise refuse(
            f"zero moves {said}to {code_name(code)} after motion began, and nobody here knows where that lies; "
            "keep to one work offset, written at the top (section 3.5.13)",
            line,
            block.column,
        )
    controller.work_offset = code


def shift_zero(code: int, block: Block, controller: Controller, line: int) -> None:
    """G92 makes the place where the axes stand read as programmed; G92.1 and .2 undo it (section 3.5.18)."""
    if code != SHIFT:
        if controller.moved:
            raise refuse(f"{code_name(code)} after motion began also takes away what an earlier program shifted; "
                         "write it at the top (section 3.5.18)", line, block.column)  # fmt: skip
        controller.shift = ZERO
        return
    need_axis_word(block, line, "3.5.18")
    shift = list(controller.shift)
    for axis, letter in enumerate(AXES):
        word = block.words.get(letter)
        if word is not None:
            if math.isnan(controller.at[axis]):
                raise refuse(f"G92 {letter} where nobody knows the place of {letter}", line, word.column)
            shift[axis] = word.value * controller.scale - controller.at[axis]
    controller.shift = (shift[0], shift[1], shift[2])


def go_home(block: Block, controller: Controller, line: int) -> None:
    """G28 and G30 (section 3.5.8): a rapid by way of the programmed point, then one to a place not known here."""
    through = controller.target(block, line)
    if any(letter in block.words for letter in AXES):
        controller.go(RAPID, through, line)
    controller.go(RAPID, NOWHERE, line)


def move_in_machine_axes(block: Block, controller: Controller, line: int) -> None:
    """G53 (section 3.5.12): the named axes go where nobody here knows, the others stay."""
    if controller.motion not in STRAIGHT:
        raise refuse("G53 goes with G0 and G1 only (section 3.5.12)", line, block.column)
    need_axis_word(block, line, "3.5.12")
    place = [UNKNOWN if letter in block.words else at for letter, at in zip(AXES, controller.at, strict=True)]
    controller.go(RAPID if controller.motion == 0 else LINE, (place[0], place[1], place[2]), line)
