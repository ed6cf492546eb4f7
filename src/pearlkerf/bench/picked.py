"""What is picked by a picture: how the board comes to the machine, and what the machine is to do.

Six keys and tables say it in a file; a maker sees it.  Each picture says whether it is so, and the edits that make it
so.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.bench.editing import Edit
from pearlkerf.bench.form import edit_data
from pearlkerf.board.instruments import INSTRUMENTS
from pearlkerf.board.model import Board
from pearlkerf.board.starter import Answers, starter_text
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import parse_length_mm

BESIDE_MM: Final = 8.0  # a blank's width over the board's widest place
BEYOND_MM: Final = 6.0  # a blank's length over the board's, at either end
BINDING_MM: Final = 1.5  # the usual strip
TRIM_WIDTH: Final = "1 mm"


@dataclass(frozen=True, slots=True)
class Picked:
    """One picture: its name, what it says, whether it is so, and the edits that make it so (or undo it)."""

    name: str
    called: str
    chosen: bool
    edits: tuple[Edit, ...]

    def data(self) -> dict[str, Any]:
        """Give it as the page takes it."""
        return {"name": self.name, "called": self.called, "chosen": self.chosen,
                "edits": [edit_data(each) for each in self.edits]}  # fmt: skip


def comes(data: Mapping[str, Any], board: Board | None) -> list[list[dict[str, Any]]]:
    """Give how the board may come to the machine: of each group one is chosen."""
    rough, board_table = "blank" in data, _table(data, "board")
    state, slots, binding = board_table.get("state", "flat"), _table(data, "fret_slots"), _table(data, "binding")
    cut, put_on = slots.get("state", "to cut"), binding.get("put_on")
    drop = (Edit("remove", ("binding",)),)
    groups = [
        [
            Picked("rough", "a rough rectangle", rough, () if rough else (_blank(board),)),
            Picked("outline", "cut to its outline", not rough, (Edit("remove", ("blank",)),)),
        ],
        [
            Picked("flat", "its face flat", state == "flat", (_word("board", "state", "flat"),)),
            Picked("radiused", "its face radiused", state == "radiused", (_word("board", "state", "radiused"),)),
        ],
        [
            Picked("bare", "not bound", not binding, drop if binding else ()),
            Picked("bound", "its binding on", put_on == "before", _bound("before", binding)),
            Picked("bound-after", "bound afterwards", put_on == "after", _bound("after", binding)),
        ],
    ]
    if slots:
        groups.insert(2, [
            Picked("unslotted", "without slots", cut == "to cut", (_word("fret_slots", "state", "to cut"),)),
            Picked("slotted", "slotted already", cut != "to cut", (_word("fret_slots", "state", "already cut"),)),
        ])  # fmt: skip
    return [[each.data() for each in group] for group in groups]


def does(data: Mapping[str, Any], board: Board | None) -> list[dict[str, Any]]:
    """Give what the machine may do; each is done or not."""
    slots, blank = _table(data, "fret_slots"), _table(data, "blank")
    sawn = bool(slots) and slots.get("state", "to cut") == "to cut"
    picked = [
        Picked("slots", "saw the slots", sawn, (_remove("fret_slots"),) if sawn else _slots(slots, board)),
        *(Picked(name, called, table in data, (_remove(table),) if table in data else (_usual(table, board),))
          for name, called, table in (("face-dots", "drill face dots", "face_dots"),
                                      ("side-dots", "drill side dots", "side_dots"))),
    ]  # fmt: skip
    inlaid = bool(data.get("inlay"))  # what is let in is asked for in its ticket
    picked.append(Picked("inlays", "let inlays in", inlaid, (_remove("inlay"),) if inlaid else ()))
    if blank:
        trimmed = blank.get("trim", "none") != "none"
        picked.append(Picked("trims", "mark its ends", trimmed, _trims(trimmed, bool(slots))))
    return [each.data() for each in picked]


def _table(data: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    held = data.get(name)
    return held if isinstance(held, Mapping) else {}


def _word(table: str, key: str, word: str) -> Edit:
    return Edit("put", (table, key), word)


def _remove(table: str) -> Edit:
    return Edit("remove", (table,))


def _blank(board: Board | None) -> Edit:
    """A rectangle a little larger than the board, in the file's own unit."""
    wide_mm = max(board.nut_width_mm, board.end_width_mm) if board else 0.0
    for _, bass, treble in board.widths if board else ():
        wide_mm = max(wide_mm, treble - bass)
    return Edit("add", ("blank",), {"width": f"{wide_mm + BESIDE_MM:.0f} mm", "beyond_nut": f"{BEYOND_MM:g} mm",
                                    "beyond_end": f"{BEYOND_MM:g} mm"})  # fmt: skip


def _bound(put_on: str, binding: Mapping[str, Any]) -> tuple[Edit, ...]:
    if binding:
        return (_word("binding", "put_on", put_on),)
    return (Edit("add", ("binding",), {"thickness": f"{BINDING_MM:g} mm", "put_on": put_on}),)


def _slots(slots: Mapping[str, Any], board: Board | None) -> tuple[Edit, ...]:
    return (_word("fret_slots", "state", "to cut"),) if slots else (_usual("fret_slots", board),)


def _trims(trimmed: bool, slotted: bool) -> tuple[Edit, ...]:
    if trimmed:
        return (Edit("remove", ("blank", "trim")),)
    width = () if slotted else (_word("blank", "trim_width", TRIM_WIDTH),)
    return (_word("blank", "trim", "both"), *width)


def _usual(table: str, board: Board | None) -> Edit:
    """Give a table with the usual figures of the instrument whose scale is nearest."""
    scale_mm = board.scale.middle_mm if board else 0.0
    near = min(INSTRUMENTS.values(), key=lambda each: abs(parse_length_mm(each.scale, "mm") - scale_mm))
    frets = board.scale.frets if board else near.frets
    unit = board.unit if board else "mm"
    for answers in (Answers(near.name, "", frets=frets, unit=unit), Answers(near.name, "", unit=unit)):
        try:
            holds = tomllib.loads(starter_text(answers)).get(table)
        except Refusal:
            continue
        if holds:
            return Edit("add", (table,), _within_reach(holds, board))
    return Edit("add", (table,))


def _within_reach(holds: Mapping[str, Any], board: Board | None) -> dict[str, Any]:
    """Leave out of the lists of frets what the board does not have."""
    there = None if board is None else set(board.scale.there)
    return {
        name: [each for each in value if there is None or each in there] if isinstance(value, list) else value
        for name, value in holds.items()
    }
