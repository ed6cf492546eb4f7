"""A starter board file: the usual proportions of an instrument, commented, to change.

All proportions are common practice, no source.
"""

import json
from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.lengths import parse_length_mm


@dataclass(frozen=True, slots=True)
class Instrument:
    """What is usual for one kind of instrument; lengths in mm."""

    scale: str
    frets: int
    nut_width: float
    end_width: float
    thickness: float
    radius: str
    slot_depth: float
    face_frets: tuple[int, ...]
    side_frets: tuple[int, ...]
    double: tuple[int, ...]
    dot_diameter: float
    dot_thickness: float
    side_diameter: float


GUITAR: Final = (3, 5, 7, 9, 12, 15, 17, 19, 21, 24)
SMALL: Final = (3, 5, 7, 10, 12, 15, 17)
INSTRUMENTS: Final[dict[str, Instrument]] = {
    "steel-string guitar": Instrument("25.4 in", 20, 44.5, 56.5, 6.5, "16 in", 2.0, GUITAR, GUITAR, (12,), 6, 1.5, 2),
    "classical guitar": Instrument("650 mm", 19, 52, 62, 6.8, "flat", 2.2, (), (5, 7, 9), (), 5, 1.3, 1.5),
    "electric guitar": Instrument("25.5 in", 22, 42, 56, 6.3, "12 in", 1.9, GUITAR, GUITAR, (12, 24), 6, 1.5, 2),
    "bass": Instrument("34 in", 21, 42, 63, 7.0, "14 in", 2.0, GUITAR, GUITAR, (12, 24), 6, 1.5, 2),
    "tenor ukulele": Instrument("17 in", 19, 36, 46, 5.6, "flat", 1.7, SMALL[1:6], SMALL[1:6], (12,), 4, 1.3, 1.5),
    "mandolin": Instrument("13 7/8 in", 20, 29, 40, 5.6, "12 in", 1.7, SMALL[1:6], SMALL[1:6], (12,), 4, 1.3, 1.5),
    "banjo": Instrument("26 1/4 in", 22, 32, 44, 6.0, "flat", 1.8, SMALL, SMALL, (12,), 5, 1.3, 1.5),
}


@dataclass(frozen=True, slots=True)
class Answers:
    """What a maker answers; None takes what is usual for the instrument."""

    instrument: str
    title: str
    scale: str | None = None
    frets: int | None = None
    dots: Literal["face and side", "side", "none"] | None = None
    hand: Literal["right", "left"] = "right"
    wood: str = "ebony"


def starter_text(answers: Answers) -> str:
    """Give a commented board file; raises KeyError for an unknown instrument, LengthError for a bad scale.

    The board is as long as its frets need, and a little more.
    """
    usual = INSTRUMENTS[answers.instrument]
    scale = usual.scale if answers.scale is None else answers.scale
    frets = usual.frets if answers.frets is None else answers.frets
    scale_mm = parse_length_mm(scale, "mm")
    length = scale_mm * (1 - 2 ** (-frets / 12)) + 8
    dots = answers.dots or ("face and side" if usual.face_frets else "side")
    parts = [_head(answers, scale, frets), _board(answers, usual, length), _slots(usual)]
    if dots == "face and side" and usual.face_frets:
        parts.append(_face_dots(usual, frets))
    if dots != "none":
        parts.append(_side_dots(usual, frets))
    return "\n".join(parts)


def _head(answers: Answers, scale: str, frets: int) -> str:
    return f"""\
# A board file for a {answers.instrument}. The figures are usual ones: put your own in their place.
# Then: pearlkerf check THIS-FILE

format = 1
title = {json.dumps(answers.title)}
unit = "mm"                       # what a bare number means; "6 mm" or "1/4 in" say their own

[scale]
length = {json.dumps(scale)}              # nut to saddle, without compensation
frets = {frets}
"""


def _board(answers: Answers, usual: Instrument, length: float) -> str:
    return f"""\
[board]
wood = {json.dumps(answers.wood)}
hand = "{answers.hand}"                    # "left": everything mirrored
length = {length:.1f}                    # nut end to bridge end
nut_width = {usual.nut_width:g}
end_width = {usual.end_width:g}
thickness = {usual.thickness:g}
radius = "{usual.radius}"                  # of the finished face: "flat", one radius, or {{ nut = …, end = … }}
state = "flat"                    # on the machine: "flat", or already "radiused"
crown_allowance = 0.2             # what radiusing and levelling take off along the middle

# [blank]                         # only if the blank is not yet cut to the outline
# width = {usual.end_width + 8:g}
# beyond_nut = 10
# beyond_end = 5
"""


def _slots(usual: Instrument) -> str:
    return f"""\
[fret_slots]
width = 0.58                      # the tang's, without the barbs; a slot in scrap tells
depth = {usual.slot_depth:g}                         # below the finished face
floor = "follow"                  # the radius; or "level"
ends = "through"                  # or "stopped"
"""


def _face_dots(usual: Instrument, frets: int) -> str:
    return f"""\
[face_dots]
frets = {_on_board(usual.face_frets, frets)}
double = {_on_board(usual.double, frets, usual.face_frets)}
diameter = {usual.dot_diameter:g}
thickness = {usual.dot_thickness:g}                   # of the shell: measure it; or [thinnest, thickest]
proud = 0.2                       # how far it stands above the finished face before it is levelled
fit = 0                           # added to the diameter; a row of pockets in scrap tells
"""


def _side_dots(usual: Instrument, frets: int) -> str:
    return f"""\
[side_dots]
frets = {_on_board(usual.side_frets, frets)}
double = {_on_board(usual.double, frets, usual.side_frets)}
diameter = {usual.side_diameter:g}
depth = 3
height = "auto"                   # above the glue face, the same for all
"""


def _on_board(numbers: tuple[int, ...], frets: int, among: tuple[int, ...] | None = None) -> list[int]:
    """Keep the frets that the board has."""
    return [n for n in numbers if n <= frets and (among is None or n in among)]
