"""Rule 1, the room for a blade: the figures that a head gives are those of the program, or more careful."""

import re
from typing import Final

import numpy as np

from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.words import CLAMP_HEIGHTS_MM, room_for_blade, under_arbor
from pearlkerf.proof.inches import told_in_mm
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import key_of
from pearlkerf.proof.tolerances import ROOM_TOLD_MM

_FIGURE: Final = re.compile(r"(?:up to|by|than|,) (-?\d+\.\d+) mm", re.ASCII | re.IGNORECASE)


def blade_is_told_right(run: Run, text: str) -> bool:
    """Say whether a sentence gives people the room that saws need: as much as they take, within ROOM_TOLD_MM.

    Past the edge of the wood at a slot's ends the blade's centre runs out so far, and at a height above the
    wood it reaches half its chord farther; under what turns beside it there is room so high.
    """
    dialect, sentence = run.machine.dialect, key_of(text)
    told = [float(figure) for figure in _FIGURE.findall(told_in_mm(text, dialect))]
    if len(told) == 1 and sentence == key_of(under_arbor(told[0], dialect.unit)):
        return told[0] <= _under_mm(run) + ROOM_TOLD_MM
    if len(told) != 1 + len(CLAMP_HEIGHTS_MM):
        return False
    room = room_for_blade(told[0], dict(zip(CLAMP_HEIGHTS_MM, told[1:], strict=True)), dialect.unit)
    if sentence != key_of(room):
        return False
    taken = [_beyond_mm(run, None), *(_beyond_mm(run, height) for height in CLAMP_HEIGHTS_MM)]
    return all(given >= needed - ROOM_TOLD_MM for given, needed in zip(told, taken, strict=True))


def _under_mm(run: Run) -> float:
    """Give how high the lowest thing that turns beside a blade passes over zero."""
    blades = run.sawn.blades
    lowest = np.minimum(blades.start[:, 2], blades.end[:, 2]) + blades.radius - blades.beside
    return float(lowest.min(initial=np.inf))


def _beyond_mm(run: Run, height_mm: float | None) -> float:
    """Give how far blades come past the ends of their slots, ``height_mm`` above the wood; None: their centres."""
    blades, most = run.sawn.blades, 0.0
    for number, shape in enumerate(run.shapes):
        rows = run.sawn.of(number)
        if not len(rows):
            continue
        places = np.concatenate([blades.start[rows], blades.end[rows]])
        diameter = 2 * float(blades.radius[rows].max())
        ends = run.setup.placement.to_machine(shape.feature.ends)
        tops = run.setup.stock.top_mm(*np.asarray(shape.feature.ends).T)
        for (_, edge), top, way in zip(ends, tops, np.sign(ends[:, 1] - ends[::-1, 1]), strict=True):
            depth = top - places[:, 2] + (height_mm or 0.0)
            chord = 0.0 if height_mm is None else half_chord_mm(depth, diameter)
            most = max(most, float(((places[:, 1] - edge) * way + chord).max()))
    return most
