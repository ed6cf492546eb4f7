"""A dot in its pocket, cut across the board: how far it lies below the raw face, and why that is right."""

from typing import Final

import numpy as np

from pearlkerf.layout.model import Layout
from pearlkerf.pictures.card.measures import finished_top_mm, raw_top_mm
from pearlkerf.pictures.drawing import Drawing, Path, Text, Thing
from pearlkerf.pictures.setup import LETTER_MM

SECTION_SCALE: Final = 8.0
SECTION_BESIDE_MM: Final = 2.5  # wood shown beside a pocket in the section


def draw_section(layout: Layout) -> Drawing:
    """Draw the first face dot in its pocket, cut across the board, true to scale."""
    dots, hole = layout.board.face_dots, layout.face_dots[0]
    assert dots is not None
    x, y = hole.centre
    half = hole.diameter_mm / 2
    reach = half + SECTION_BESIDE_MM
    places = sorted({*np.linspace(-reach, reach, 41).tolist(), -half, half})
    raw = [(_at(across), _at(raw_top_mm(layout, x, y + across))) for across in places]
    done = [(_at(across), _at(finished_top_mm(layout, x, y + across))) for across in places]
    floor = _at(hole.floor_mm)
    shell = floor + _at(dots.thinnest_mm)
    left, right, rim = _at(-half), _at(half), _at(dots.diameter_mm / 2)
    foot = floor - 6.0
    wall = [point for point in raw if point[0] <= left] + [(left, floor), (right, floor)]
    wall += [point for point in raw if point[0] >= right]
    things: list[Thing] = [
        Path("outline", tuple(wall), "open"),
        Path("face-dots", ((-rim, floor), (rim, floor), (rim, shell), (-rim, shell))),
        Path("fold", tuple(done), "open"),
        Text("notes", (0.0, (floor + shell) / 2 - LETTER_MM / 2), "dot", LETTER_MM, "middle"),
        Text("notes", (_at(reach) + 3, raw[-1][1] + 0.6), "raw face, as you see it now", LETTER_MM),
        Text("notes", (_at(reach) + 3, done[-1][1] - LETTER_MM - 0.4), "finished face, levelled later", LETTER_MM),
        Text("notes", (_at(reach) + 3, floor - LETTER_MM / 2), "floor of the pocket", LETTER_MM),
        Text("notes", (0.0, foot), f"{hole.name}, cut across the board, {SECTION_SCALE:.0f} : 1", LETTER_MM, "middle"),
    ]
    return Drawing("A dot in its pocket", tuple(things))


def _at(millimetres: float) -> float:
    return SECTION_SCALE * millimetres
