"""A starter board file: the usual proportions of an instrument, commented, for a maker to change."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from pearlkerf.board.fretwire import over_tang_mm
from pearlkerf.board.instruments import INSTRUMENTS, OCTAVE, Instrument, find_instrument
from pearlkerf.board.writer import COMMENT_COLUMN, quoted, table_lines
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import LengthError, Unit, parse_length_mm, shown

SLOT_MM: Final = 0.58  # a hair more than a bare tang of 0.51 to 0.53 mm (common practice, no source)
BEYOND_LAST_MM: Final = 8.0  # wood between the last fret and the bridge end
SHORTEST_BOARD_MM: Final = 25  # a board file takes no shorter one
WALL_MM: Final = 1.0  # wood advised between two cuts
SIDE_DEPTH_MM: Final = 3.0
# shell dots as they are sold by inches, for the nearest in mm (common practice, no source)
INCH_DOTS: Final = {4.0: '"3/16 in"', 5.0: '"3/16 in"', 6.0: '"1/4 in"'}
WIDEST_DOT_MM: Final = 0.8  # by which a dot in inches is at most wider than the one in mm
SKEW_MM: Final = 0.2  # that a hole square to a tapered edge comes nearer to a slot at its bottom, on both sides
DOUBLE_SPACING: Final = 2.5  # of two side dots, centre to centre, in diameters: what the board file takes by itself
SHORTEST_MM, LONGEST_MM = 200.0, 1100.0  # a scale that a board file takes without a word about it
TANG_MM, WIDTH_MM = (0.3, 0.8), (20.0, 110.0)
LONGEST_WOOD, LONGEST_TITLE = 100, 200  # characters that a board file takes
TRY_IT: Final = "; try it in scrap"

Dots = Literal["face and side", "side", "none"]


@dataclass(frozen=True, slots=True)
class Answers:
    """What a maker answers; None takes what is usual for the instrument, which may go by a short name.

    ``scale`` says its own unit ("25.4 in"), and so do ``tang``, bare, ``nut_width`` and ``width_at_12``; ``unit`` is
    that of the file's bare numbers.
    """

    instrument: str
    title: str
    scale: str | None = None
    frets: int | None = None
    dots: Dots | None = None
    hand: Literal["right", "left"] = "right"
    wood: str = "ebony"
    unit: Unit = "mm"
    tang: str | None = None
    nut_width: str | None = None
    width_at_12: str | None = None


def starter_text(answers: Answers) -> str:
    """Give a board file with comments, which reads and lays out as it is.

    The board is as long as its frets need and a little more; dots for which a fret space has no room
    are left out.  Raises Refusal for answers that make no board: an unknown instrument, a scale that
    is no length or far from any instrument's, more frets than leave wood between their slots.
    """
    problems = list(_problems(answers))
    if problems:
        raise Refusal(problems)
    usual = _usual(answers)
    board = _Starter(answers, usual, _scale(answers), usual.frets if answers.frets is None else answers.frets)
    dots = answers.dots or ("face and side" if usual.face else "side")
    widest = usual.dot + WIDEST_DOT_MM * (answers.unit == "in")
    face = board.with_room(usual.face or usual.side, widest) if dots == "face and side" else []
    side = board.with_room(usual.side, usual.side_dot) if dots != "none" else []
    parts = [board.head(), board.scale_table(), board.strings(), board.board(), board.blank(), board.slots()]
    parts += [board.face_dots(face)] if face else []
    parts += [board.side_dots(side)] if side else []
    return "\n\n".join("\n".join(lines) for lines in parts) + "\n"


def _usual(answers: Answers) -> Instrument:
    found = find_instrument(answers.instrument)
    assert found is not None  # told before
    return found


def _scale(answers: Answers) -> str:
    return _usual(answers).scale if answers.scale is None else answers.scale


def _problems(answers: Answers) -> Iterator[Problem]:
    if find_instrument(answers.instrument) is None:
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
    usual = _usual(answers)
    frets = usual.frets if answers.frets is None else answers.frets
    least, most = usual.there(OCTAVE)[0], _most_frets(scale_mm)
    if not least <= frets <= most:
        yield Problem(f"{frets} frets on a scale of {scale_mm:g} mm", f"{least} to {most}", key="frets")
    yield from _wrong_lengths(answers)


def _wrong_lengths(answers: Answers) -> Iterator[Problem]:
    """Tang and widths are lengths of their kind."""
    for key, text, (low, high) in (
        ("tang", answers.tang, TANG_MM), ("nut-width", answers.nut_width, WIDTH_MM),
        ("width-at-twelfth", answers.width_at_12, WIDTH_MM),
    ):  # fmt: skip
        if text is None:
            continue
        try:
            length_mm = parse_length_mm(text, "mm")
        except LengthError as wrong:
            yield Problem(wrong.found, wrong.allowed, wrong.hint, key)
            continue
        if not low <= length_mm <= high:
            yield Problem(f"{shown(text)}: {length_mm:g} mm", f"{low:g} to {high:g} mm", key=key)


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
        needed, there = width_mm + self.slot_mm + 2 * WALL_MM, (0, *self.there)
        space = {n: _fret_mm(self.scale_mm, n) - _fret_mm(self.scale_mm, before) for before, n in pairwise(there)}
        return [n for n in numbers if space.get(n, 0.0) >= needed]

    @property
    def there(self) -> tuple[int, ...]:
        return self.usual.there(self.frets)

    @property
    def last_mm(self) -> float:
        return _fret_mm(self.scale_mm, self.there[-1])

    @property
    def nut_mm(self) -> float:
        asked = self.answers.nut_width
        return self.usual.nut_width if asked is None else parse_length_mm(asked, "mm")

    @property
    def at_12_mm(self) -> float:
        """Width at fret 12; a nut of another width has the usual taper."""
        asked = self.answers.width_at_12
        usual = self.nut_mm + self.usual.width_at_12 - self.usual.nut_width
        return usual if asked is None else parse_length_mm(asked, "mm")

    @property
    def slot_mm(self) -> float:
        if self.answers.tang is None:
            return SLOT_MM
        low, high = over_tang_mm(self.answers.wood)
        return round(parse_length_mm(self.answers.tang, "mm") + (low + high) / 2, 3)

    def width_mm(self, x: float) -> float:
        """Width of the taper from the nut through fret 12, which lies at half the scale."""
        return self.nut_mm + (self.at_12_mm - self.nut_mm) * x / (self.scale_mm / 2)

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
        left_out = [n for n in range(1, self.frets + 1) if n not in self.there]
        names = self.usual.names[: len(self.there)]
        written = {
            "length": quoted(self.scale.strip()),
            "frets": str(self.frets),
            "left_out": str(left_out) if left_out else None,
            "names": f"[{', '.join(map(quoted, names))}]" if names and len(names) == len(self.there) else None,
        }
        return table_lines("scale", written)

    def strings(self) -> list[str]:
        """Write how many strings there are."""
        return table_lines("strings", {"count": str(self.usual.strings)})

    def board(self) -> list[str]:
        """Write the board."""
        usual = self.usual
        written = {
            "wood": quoted(self.answers.wood),
            "hand": f'"{self.answers.hand}"',
            **(self._taper() if self._step_mm is None else self._steps(*self._step_mm)),
            "thickness": self._written(usual.thickness),
            "radius": f'"{usual.radius}"',
            "state": '"flat"',
            "crown_allowance": self._written(0.2),
        }
        return table_lines("board", written)

    @property
    def length_mm(self) -> int:
        return max(math.ceil(self.last_mm + BEYOND_LAST_MM), SHORTEST_BOARD_MM)

    @property
    def _step_mm(self) -> tuple[float, float, float] | None:
        """Where the bass edge's step begins and ends, and how far it goes out; None for an edge without."""
        step = self.usual.step
        if step is None or self.frets <= step.fret:
            return None
        ends = _fret_mm(self.scale_mm, step.fret) - step.before
        return ends - step.long, ends, step.out

    def _taper(self) -> dict[str, str]:
        fret = min(OCTAVE, self.frets)
        width = self._rounded(self.width_mm(_fret_mm(self.scale_mm, fret)))
        return {
            "length": self._written(self.length_mm),
            "nut_width": self._written(self.nut_mm),
            "width_at": f"{{ fret = {fret}, width = {self._written(width)} }}",
        }

    def _steps(self, begins: float, ends: float, out: float) -> dict[str, str]:
        """The taper without the step on the treble side; the bass edge runs as that does, and so much farther out."""

        def station(x: float, beyond: float) -> str:
            half = (self.width_mm(x) - out * x / (self.scale_mm / 2)) / 2
            return f"[{', '.join(self._written(round(each, 2)) for each in (x, -half - beyond, half))}]"

        places = [station(0, 0), station(begins, 0), station(ends, out), station(self.length_mm, out)]
        return {"widths": f"[{', '.join(places)}]"}

    def _rounded(self, length_mm: float) -> float:
        return round(2 * length_mm) / 2

    def blank(self) -> list[str]:
        """Write, as a comment, the blank."""
        width = max(self._rounded(self.width_mm(self.length_mm)), self.nut_mm) + 8
        width += 2 * self._step_mm[2] if self._step_mm else 0
        written = {"width": width, "beyond_nut": 10, "beyond_end": 5}
        head, *lines = table_lines("blank", {key: self._written(length) for key, length in written.items()})
        return [
            f"{f'# {head}':<{COMMENT_COLUMN - 1}} # take the # away if the outline is not cut yet",
            *(f"# {line}" for line in lines),
        ]

    def slots(self) -> list[str]:
        """Write the fret slots."""
        written = {
            "tang": None if self.answers.tang is None else self._written(parse_length_mm(self.answers.tang, "mm")),
            "width": self._written(self.slot_mm),
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
            "diameter": self._bought(self.usual.dot),
            "thickness": self._written(self.usual.shell),
            "proud": self._written(0.2),
            "fit": "0",
        }
        return table_lines("face_dots", written, {"fit": TRY_IT})

    def side_dots(self, frets: list[int]) -> list[str]:
        """Write the dots of the bass edge."""
        diameter = self.usual.side_dot
        roomy = self.with_room(frets, (DOUBLE_SPACING + 1) * diameter + SKEW_MM)
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
