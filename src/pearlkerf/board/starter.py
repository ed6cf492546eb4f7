"""A starter board file: the usual proportions of an instrument, commented, for a maker to change."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.board.writer import COMMENT_COLUMN, quoted, table_lines
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import LengthError, Unit, parse_length_mm, shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """What is usual for one kind of instrument; lengths in mm, the scale as it is spoken of.

    ``face_frets`` is empty where a usual board has dots in its edge only.
    """

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


NINE: Final = (3, 5, 7, 9, 12, 15, 17, 19, 21, 24)
TEN: Final = (5, 7, 10, 12, 15)

# All of it common practice, no source; the middle of what is met.
INSTRUMENTS: Final[dict[str, Instrument]] = {
    "steel-string guitar": Instrument(
        scale="25.4 in", frets=20, nut_width=44.5, end_width=56.5, thickness=6.5, radius="16 in", slot_depth=2,
        face_frets=NINE, side_frets=NINE, double=(12, 24), dot_diameter=6, dot_thickness=1.5, side_diameter=2,
    ),
    "classical guitar": Instrument(
        scale="650 mm", frets=19, nut_width=52, end_width=62, thickness=6.8, radius="flat", slot_depth=2.2,
        face_frets=(), side_frets=(5, 7, 9), double=(), dot_diameter=5, dot_thickness=1.3, side_diameter=1.5,
    ),
    "electric guitar": Instrument(
        scale="25.5 in", frets=22, nut_width=42, end_width=56, thickness=6.3, radius="12 in", slot_depth=1.9,
        face_frets=NINE, side_frets=NINE, double=(12, 24), dot_diameter=6, dot_thickness=1.5, side_diameter=2,
    ),
    "bass": Instrument(
        scale="34 in", frets=21, nut_width=42, end_width=63, thickness=7, radius="14 in", slot_depth=2,
        face_frets=NINE, side_frets=NINE, double=(12, 24), dot_diameter=6, dot_thickness=1.5, side_diameter=2,
    ),
    "tenor ukulele": Instrument(
        scale="17 in", frets=19, nut_width=36, end_width=46, thickness=5.6, radius="flat", slot_depth=1.7,
        face_frets=TEN, side_frets=TEN, double=(12,), dot_diameter=4, dot_thickness=1.3, side_diameter=1.5,
    ),
    "mandolin": Instrument(
        scale="13 7/8 in", frets=20, nut_width=29, end_width=40, thickness=5.6, radius="12 in", slot_depth=1.7,
        face_frets=TEN, side_frets=TEN, double=(12,), dot_diameter=4, dot_thickness=1.3, side_diameter=1.5,
    ),
    "banjo": Instrument(
        scale="26 1/4 in", frets=22, nut_width=32, end_width=44, thickness=6, radius="flat", slot_depth=1.8,
        face_frets=(3, *TEN, 17, 22), side_frets=(3, *TEN, 17, 22), double=(12,), dot_diameter=5, dot_thickness=1.3,
        side_diameter=2,
    ),
}  # fmt: skip

SLOT_MM: Final = 0.58  # a hair more than a bare tang of 0.51 to 0.53 mm (common practice, no source)
BEYOND_LAST_MM: Final = 8.0  # wood between the last fret and the bridge end
SHORTEST_BOARD_MM: Final = 25  # a board file takes no shorter one
WALL_MM: Final = 1.0  # wood advised between two cuts
SIDE_DEPTH_MM: Final = 3.0
# shell dots as they are sold by inches, for the nearest in mm (common practice, no source)
INCH_DOTS: Final = {4.0: '"3/16 in"', 5.0: '"3/16 in"', 6.0: '"1/4 in"'}
WIDEST_DOT_MM: Final = 0.8  # by which a dot in inches is at most wider than the one in mm
DOUBLE_SPACING: Final = 2.5  # of two side dots, centre to centre, in diameters: what the board file takes by itself
SHORTEST_MM, LONGEST_MM = 200.0, 1100.0  # a scale that a board file takes without a word about it
LONGEST_WOOD, LONGEST_TITLE = 100, 200  # characters that a board file takes
TRY_IT: Final = "; try it in scrap"

Dots = Literal["face and side", "side", "none"]


@dataclass(frozen=True, slots=True)
class Answers:
    """What a maker answers; None takes what is usual for the instrument.

    ``scale`` says its own unit ("25.4 in"); ``unit`` is that of the file's bare numbers.
    """

    instrument: str
    title: str
    scale: str | None = None
    frets: int | None = None
    dots: Dots | None = None
    hand: Literal["right", "left"] = "right"
    wood: str = "ebony"
    unit: Unit = "mm"


def starter_text(answers: Answers) -> str:
    """Give a board file with comments, which reads and lays out as it is.

    The board is as long as its frets need and a little more; dots for which a fret space has no room
    are left out.  Raises Refusal for answers that make no board: an unknown instrument, a scale that
    is no length or far from any instrument's, more frets than leave wood between their slots.
    """
    problems = list(_problems(answers))
    if problems:
        raise Refusal(problems)
    usual = INSTRUMENTS[answers.instrument]
    board = _Starter(answers, usual, _scale(answers), usual.frets if answers.frets is None else answers.frets)
    dots = answers.dots or ("face and side" if usual.face_frets else "side")
    widest = usual.dot_diameter + WIDEST_DOT_MM * (answers.unit == "in")
    face = board.with_room(usual.face_frets or usual.side_frets, widest) if dots == "face and side" else []
    side = board.with_room(usual.side_frets, usual.side_diameter) if dots != "none" else []
    parts = [board.head(), board.scale_table(), board.board(), board.blank(), board.slots()]
    parts += [board.face_dots(face)] if face else []
    parts += [board.side_dots(side)] if side else []
    return "\n\n".join("\n".join(lines) for lines in parts) + "\n"


def _scale(answers: Answers) -> str:
    return INSTRUMENTS[answers.instrument].scale if answers.scale is None else answers.scale


def _problems(answers: Answers) -> Iterator[Problem]:
    if answers.instrument not in INSTRUMENTS:
        yield Problem(f"{shown(answers.instrument)} is not known", f"one of {', '.join(INSTRUMENTS)}",
                      "take the nearest, and change its file", "instrument")  # fmt: skip
        return
    for key, text, longest in (("title", answers.title, LONGEST_TITLE), ("wood", answers.wood, LONGEST_WOOD)):
        if len(text) > longest:
            yield Problem(f"text of {len(text)} characters", f"at most {longest}", key=key)
    try:
        scale_mm = parse_length_mm(_scale(answers), "mm")
    except LengthError as wrong:
        yield Problem(wrong.found, wrong.allowed, wrong.hint, "scale")
        return
    if not SHORTEST_MM <= scale_mm <= LONGEST_MM:
        yield Problem(f"a scale of {scale_mm:g} mm", f"{SHORTEST_MM:g} to {LONGEST_MM:g} mm", key="scale")
        return
    frets = INSTRUMENTS[answers.instrument].frets if answers.frets is None else answers.frets
    most = _most_frets(scale_mm)
    if not 1 <= frets <= most:
        yield Problem(f"{frets} frets on a scale of {scale_mm:g} mm", f"1 to {most}", key="frets")


def _most_frets(scale_mm: float) -> int:
    """Give how many frets leave WALL_MM of wood between the last two slots, at most three octaves."""
    return next(
        (n for n in range(36, 0, -1) if _fret_mm(scale_mm, n) - _fret_mm(scale_mm, n - 1) > SLOT_MM + WALL_MM), 1
    )


def _fret_mm(scale_mm: float, number: int) -> float:
    """Give a fret's distance from the nut, to size the board; the layout computes where it is cut."""
    return scale_mm * (1 - 2 ** (-number / 12))


@dataclass(frozen=True, slots=True)
class _Starter:
    """A board in the making: its tables, each as lines of the file."""

    answers: Answers
    usual: Instrument
    scale: str
    frets: int

    @property
    def scale_mm(self) -> float:
        return parse_length_mm(self.scale, "mm")

    def with_room(self, numbers: Sequence[int], width_mm: float) -> list[int]:
        """Keep the frets whose spaces take something so wide, with wood on both sides."""
        needed = width_mm + SLOT_MM + 2 * WALL_MM
        return [
            n for n in numbers
            if n <= self.frets and _fret_mm(self.scale_mm, n) - _fret_mm(self.scale_mm, n - 1) >= needed
        ]  # fmt: skip

    def head(self) -> list[str]:
        """Write what the file is, the title and the unit."""
        other = '"6 mm"' if self.answers.unit == "in" else '"1/4 in"'
        return [
            f"# Board file: {self.answers.instrument}. The figures are usual ones: put your own in their place,",
            "# then look at what comes of them with: pearlkerf check, and the name of this file.",
            "",
            *table_lines(
                "",
                {"title": quoted(self.answers.title), "unit": f'"{self.answers.unit}"'},
                {"unit": f"; {other} says its own"},
            ),
        ]

    def scale_table(self) -> list[str]:
        """Write the scale, as it is spoken of."""
        return table_lines("scale", {"length": quoted(self.scale.strip()), "frets": str(self.frets)})

    @property
    def end_width_mm(self) -> float:
        """Width at the bridge end: strings spread in proportion to the distance from the nut, the board with them."""
        usual, last = self.usual, _fret_mm(self.scale_mm, self.frets)
        share = (last / self.scale_mm) / (1 - 2 ** (-usual.frets / 12))
        return round(2 * (usual.nut_width + (usual.end_width - usual.nut_width) * share)) / 2

    def board(self) -> list[str]:
        """Write the board."""
        usual = self.usual
        length = max(math.ceil(_fret_mm(self.scale_mm, self.frets) + BEYOND_LAST_MM), SHORTEST_BOARD_MM)
        written = {
            "wood": quoted(self.answers.wood),
            "hand": f'"{self.answers.hand}"',
            "length": self._written(length),
            "nut_width": self._written(usual.nut_width),
            "end_width": self._written(self.end_width_mm),
            "thickness": self._written(usual.thickness),
            "radius": f'"{usual.radius}"',
            "state": '"flat"',
            "crown_allowance": self._written(0.2),
        }
        return table_lines("board", written)

    def blank(self) -> list[str]:
        """Write, as a comment, the blank."""
        width = max(self.end_width_mm, self.usual.nut_width) + 8
        written = {"width": width, "beyond_nut": 10, "beyond_end": 5}
        head, *lines = table_lines("blank", {key: self._written(length) for key, length in written.items()})
        return [
            f"{f'# {head}':<{COMMENT_COLUMN - 1}} # take the # away if the outline is not cut yet",
            *(f"# {line}" for line in lines),
        ]

    def slots(self) -> list[str]:
        """Write the fret slots."""
        written = {
            "width": self._written(SLOT_MM),
            "depth": self._written(self.usual.slot_depth),
            "floor": '"follow"',
            "ends": '"through"',
        }
        return table_lines("fret_slots", written, {"width": TRY_IT})

    def face_dots(self, frets: list[int]) -> list[str]:
        """Write the dots of the playing face."""
        written = {
            "frets": str(frets),
            "double": str([n for n in self.usual.double if n in frets]),
            "diameter": self._bought(self.usual.dot_diameter),
            "thickness": self._written(self.usual.dot_thickness),
            "proud": self._written(0.2),
            "fit": "0",
        }
        return table_lines("face_dots", written, {"fit": TRY_IT})

    def side_dots(self, frets: list[int]) -> list[str]:
        """Write the dots of the bass edge."""
        diameter = self.usual.side_diameter
        roomy = self.with_room(frets, (DOUBLE_SPACING + 1) * diameter)
        written = {
            "frets": str(frets),
            "double": str([n for n in self.usual.double if n in roomy]),
            "diameter": quoted(f"{diameter:g} mm") if self.answers.unit == "in" else f"{diameter:g}",
            "depth": self._written(SIDE_DEPTH_MM),
            "height": '"auto"',
        }
        return table_lines("side_dots", written)

    def _written(self, length_mm: float) -> str:
        """Give a bare number in the file's unit; inches to the thousandth."""
        number = length_mm if self.answers.unit == "mm" else length_mm / 25.4
        return f"{number:.3f}".rstrip("0").rstrip(".")

    def _bought(self, length_mm: float) -> str:
        """Give the size of what is sold by fixed sizes: mm, except shell dots in a file of inches."""
        if self.answers.unit == "mm":
            return f"{length_mm:g}"
        return INCH_DOTS.get(length_mm, f'"{length_mm:g} mm"')
