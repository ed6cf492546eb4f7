"""From a board to a board file: every key with its meaning beside it, every length so that it reads back the same."""

import json
import math
import re
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from pearlkerf.board.inlay_writer import blank_written, inlay_written
from pearlkerf.board.model import Board, FaceDots, FretSlots, Scale, SideDots, Strings
from pearlkerf.board.tables import OCTAVE, BoardFileTable
from pearlkerf.files.lengths import Unit, write_length
from pearlkerf.files.toml_keys import Key, keys_of, tables_of
from pearlkerf.machine.holding import Holding

COMMENT_COLUMN: Final = 34
WIDEST: Final = 110  # characters of a line; what goes beyond it is broken, a comment then stands above its key
TABLES: Final = tables_of(BoardFileTable)
SCALE: Final = TABLES["scale"]
MANY: Final = tuple(name for name, each in keys_of(BoardFileTable).items() if each.table and each.many)

Written = Mapping[str, str | None]  # values as they stand in the file, by key; None where a key is left out


def write_board(board: Board, unit: Unit) -> str:
    """Give a board file whose bare numbers are in ``unit``; reading it gives the same board, to the last bit.

    Keys that would say nothing (no double dots, no spacing of their own) are left out.  In a file of
    inches a length that is a fraction of an inch is written as one, and one that no short figure in
    inches gives is written in mm.  Raises LengthError for a length that a file of inches cannot hold.
    """
    writer = _Writer(unit)
    parts = [
        table_lines("", {"title": quoted(board.title), "unit": f'"{unit}"', "unusual": _words(board.unusual)}),
        table_lines("scale", writer.scale(board.scale)),
        *([] if board.strings is None else [table_lines("strings", writer.strings(board.strings))]),
        table_lines("board", writer.board(board)),
        *([] if board.blank is None else [table_lines("blank", writer.blank(board))]),
        *([] if board.binding is None else [table_lines("binding", writer.binding(board))]),
        *([] if board.fret_slots is None else [table_lines("fret_slots", writer.fret_slots(board.fret_slots))]),
        *(
            table_lines("partial", {"fret": str(each.fret), "strings": str(list(each.strings))})
            for each in board.partial
        ),
        *([] if board.face_dots is None else [table_lines("face_dots", writer.face_dots(board.face_dots))]),
        *([] if board.side_dots is None else [table_lines("side_dots", writer.side_dots(board.side_dots))]),
        *(table_lines("inlay", inlay_written(each, writer.ways)) for each in board.inlays),
        *(table_lines("inlay_blank", blank_written(each, writer.ways)) for each in board.inlay_blanks),
        *(table_lines("holding", writer.holding(each)) for each in board.holding),
    ]
    return "\n\n".join("\n".join(lines) for lines in parts) + "\n"


def table_lines(table: str, written: Written, more: Mapping[str, str] | None = None) -> list[str]:
    """Give the lines of a table, its header and each key that has a value, with its meaning and what ``more`` adds."""
    lines = [] if not table else [f"[[{table}]]"] if table in MANY else [f"[{table}]"]
    for name, value in written.items():
        if value is not None:
            lines += _key_lines(TABLES[table][name], value, (more or {}).get(name, ""))
    return lines


def quoted(text: str) -> str:
    """Give text as TOML holds it; what no file can hold (half of a surrogate pair) becomes "?"."""
    held = re.sub(r"[\ud800-\udfff]", "?", text)
    return json.dumps(held, ensure_ascii=False).replace("\x7f", "\\u007f")


def _words(words: Sequence[str]) -> str | None:
    return f"[{', '.join(map(quoted, words))}]" if words else None


def figure(number: float) -> str:
    """Give a bare number so that it reads back the same.

    >>> figure(7.0), figure(7.5)
    ('7', '7.5')
    """
    return repr(int(number)) if number == int(number) else repr(number)


def _key_lines(key: Key, value: str, more: str) -> list[str]:
    comment = f"{key.meaning}{more}"
    beside = f"{f'{key.name} = {value}':<{COMMENT_COLUMN - 1}} # {comment}"
    if len(beside) <= WIDEST and "\n" not in value:
        return [beside]
    above = textwrap.wrap(comment, WIDEST - len("# "), break_long_words=False, break_on_hyphens=False)
    return [*(f"# {line}" for line in above), *_broken(f"{key.name} = {value}")]


def _broken(line: str) -> list[str]:
    """Break a list of figures or lengths that is too wide for one line, between two; one that is broken stays so."""
    if len(line) <= WIDEST or "\n" in line or not line.endswith("]"):
        return [line]
    name, _, value = line.partition(" = ")
    rows = [" "]
    for item in value[1:-1].split(", "):
        if len(rows[-1]) + len(item) + 2 > WIDEST:
            rows.append(" ")
        rows[-1] += f" {item},"
    return [f"{name} = [", *rows, "]"]


class _Writer:
    """Writes the tables of a board in one unit."""

    def __init__(self, unit: Unit) -> None:
        self._unit = unit
        self.ways = (self.length, quoted, figure)

    def length(self, length_mm: float) -> str:
        return write_length(length_mm, self._unit)

    def some(self, length_mm: float | None) -> str | None:
        return None if length_mm is None else self.length(length_mm)

    def lengths(self, lengths_mm: Sequence[float]) -> str | None:
        return f"[{', '.join(map(self.length, lengths_mm))}]" if lengths_mm else None

    def radius(self, radius_mm: float) -> str:
        return '"flat"' if math.isinf(radius_mm) else self.length(radius_mm)

    def scale(self, scale: Scale) -> Written:
        length = self.length(scale.length_mm)
        both = scale.treble_mm is not None and f"{{ bass = {length}, treble = {self.length(scale.treble_mm)} }}"
        return {
            "length": both or length,
            "square_at": figure(scale.square_at) if both or scale.square_at != SCALE["square_at"].default else None,
            "frets": str(scale.frets),
            "division": None if scale.division == OCTAVE else str(scale.division),
            "steps": self.list(f'"{step.numerator}/{step.denominator}"' for step in scale.steps),
            "cents": self.list(map(figure, scale.cents)),
            "left_out": self.list(map(str, scale.left_out)),
            "names": self.list(map(quoted, scale.names)),
            "zero_fret": "true" if scale.zero_fret else None,
            "behind_zero": self.unless(SCALE["behind_zero"].default, scale.behind_zero_mm),
            "nut_forward": self.unless(0.0, scale.nut_forward_mm),
        }

    def list(self, items: Iterable[str]) -> str | None:
        written = ", ".join(items)
        return f"[{written}]" if written else None

    def unless(self, usual_mm: float, length_mm: float) -> str | None:
        return None if length_mm == usual_mm else self.length(length_mm)

    def strings(self, strings: Strings) -> Written:
        return {
            "count": str(strings.count),
            "spread_at_nut": self.some(strings.at_nut_mm),
            "spread_at_bridge": self.some(strings.at_bridge_mm),
        }

    def board(self, board: Board) -> Written:
        nut, end = self.radius(board.radius.nut_mm), self.radius(board.radius.end_mm)
        return {
            "wood": quoted(board.wood) if board.wood else None,
            "hand": f'"{board.hand}"',
            **self.sizes(board),
            "thickness": self.length(board.thickness_mm),
            "radius": nut if board.radius.nut_mm == board.radius.end_mm else f"{{ nut = {nut}, end = {end} }}",
            "state": f'"{board.state}"',
            "crown_allowance": self.length(board.crown_allowance_mm),
            "nut": None if board.nut == "slanted" else f'"{board.nut}"',
            "before_nut": self.unless(TABLES["board"]["before_nut"].default, board.before_nut_mm),
        }

    def sizes(self, board: Board) -> Written:
        if board.widths:
            sizes: Written = {"widths": self.list(self.lengths(each) or "" for each in board.widths)}
        else:
            at = board.width_at
            sizes = {
                "length": self.length(board.length_mm),
                "nut_width": self.length(board.nut_width_mm),
                "end_width": None if at else self.length(board.end_width_mm),
                "width_at": f"{{ fret = {at.fret}, width = {self.length(at.width_mm)} }}" if at else None,
            }
        arc = None if board.end_arc_mm is None else f"{{ arc = {self.length(board.end_arc_mm)} }}"
        return {**sizes, "end": arc or (None if board.end == "square" else f'"{board.end}"')}

    def blank(self, board: Board) -> Written:
        blank = board.blank
        assert blank is not None
        return {
            "width": self.length(blank.width_mm),
            "beyond_nut": self.length(blank.beyond_nut_mm),
            "beyond_end": self.length(blank.beyond_end_mm),
            "trim": f'"{blank.trim}"',
            "trim_depth": self.length(blank.trim_depth_mm),
            "trim_width": self.some(blank.trim_width_mm),
        }

    def binding(self, board: Board) -> Written:
        assert board.binding is not None
        return {"thickness": self.length(board.binding.thickness_mm), "put_on": f'"{board.binding.put_on}"'}

    def fret_slots(self, slots: FretSlots) -> Written:
        return {
            "width": self.length(slots.width_mm),
            "depth": self.length(slots.depth_mm),
            "floor": f'"{slots.floor}"',
            "ends": f'"{slots.ends}"',
            "margin": self.length(slots.margin_mm),
            "state": f'"{slots.state}"',
            "fit": self.length(slots.fit_mm),
            "tang": self.some(slots.tang_mm),
            "barbs": self.some(slots.barbs_mm),
            "tang_depth": self.some(slots.tang_depth_mm),
            "measured": self.lengths(slots.measured_mm),
        }

    def face_dots(self, dots: FaceDots) -> Written:
        pair = (dots.thinnest_mm, dots.thickest_mm)
        return {
            "frets": str(list(dots.frets)),
            "double": str(list(dots.double)) if dots.double else None,
            "diameter": self.length(dots.diameter_mm),
            "thickness": self.length(pair[0]) if pair[0] == pair[1] else self.lengths(pair),
            "proud": self.length(dots.proud_mm),
            "fit": self.length(dots.fit_mm),
            "shell_left": self.length(dots.shell_left_mm),
            "spacing": self.some(dots.spacing_mm),
            "across": f'"{dots.between}"' if dots.between else self.unless(0.0, dots.across_mm),
            "triple": str(list(dots.triple)) if dots.triple else None,
            "material": quoted(dots.material) if dots.material else None,
        }

    def side_dots(self, dots: SideDots) -> Written:
        return {
            "frets": str(list(dots.frets)),
            "double": str(list(dots.double)) if dots.double else None,
            "diameter": self.length(dots.diameter_mm),
            "depth": self.length(dots.depth_mm),
            "height": '"auto"' if dots.height_mm is None else self.length(dots.height_mm),
            "spacing": self.some(dots.spacing_mm),
            "margin": self.length(dots.margin_mm),
            "fit": self.length(dots.fit_mm),
            "edges": None if dots.edges == "bass" else f'"{dots.edges}"',
        }

    def holding(self, holding: Holding) -> Written:
        return {
            "name": quoted(holding.name),
            "setup": f'"{holding.setup}"',
            "position": None if holding.position is None else str(holding.position),
            "x": self.lengths(holding.x_mm),
            "y": self.lengths(holding.y_mm),
            f"above_{holding.above}": self.length(holding.height_mm),
        }
