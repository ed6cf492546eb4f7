"""The tickets of a board: which tables lie on which, in the maker's order; and the sum of each in a line.

Tables that no ticket names (those of inlays) come by themselves, each on a ticket of its own before what holds the
wood, so that a key is never without a field.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.board.model import Board
from pearlkerf.files.lengths import figure_in, told_in
from pearlkerf.files.toml_keys import Key

FIT: Final = "fit"
Sum = Callable[[Board], str]
Tables = Mapping[str, Mapping[str, Key]]
OF_INLAYS: Final = "inlay"


@dataclass(frozen=True, slots=True)
class Ticket:
    """One part of a board: its name in addresses, what it is called, and its tables in order, "" the file's top."""

    name: str
    called: str
    tables: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """The keys of a table that lie on a ticket."""

    table: str
    keys: Mapping[str, Key]


FIRST: Final = (
    Ticket("instrument", "Instrument and scale", ("", "scale", "strings")),
    Ticket("board", "Board, blank and binding", ("board", "blank", "binding")),
    Ticket("slots", "Fretwire and slots", ("fret_slots", "partial")),
    Ticket("face-dots", "Face dots", ("face_dots",)),
    Ticket("side-dots", "Side dots", ("side_dots",)),
)
LAST: Final = (
    Ticket("holding", "What holds the wood", ("holding",)),
    Ticket(FIT, "Fit, as tried in scrap", ()),
)


def tickets_of(tables: Tables) -> tuple[Ticket, ...]:
    """Give the tickets of a file with these tables, in the maker's order."""
    others = of_no_ticket((*FIRST, *LAST), tables)
    inlays = tuple(table for table in others if table.startswith(OF_INLAYS))
    more = [ticket_of(table) for table in others if table not in inlays]
    return (*FIRST, *([Ticket("inlays", "Inlays", inlays)] if inlays else []), *more, *LAST)


def of_no_ticket(tickets: Sequence[Ticket], tables: Tables) -> list[str]:
    """Give the tables that none of these tickets names."""
    known = {table for ticket in tickets for table in ticket.tables}
    return [table for table in tables if table not in known]


def ticket_of(table: str) -> Ticket:
    """Give a table a ticket of its own."""
    return Ticket(table.replace("_", "-"), table.replace("_", " ").capitalize(), (table,))


def sections_of(ticket: Ticket, tables: Tables) -> tuple[Section, ...]:
    """Give what lies on a ticket; fits lie on their own, together."""
    if ticket.name == FIT:
        fits = ((table, {name: key for name, key in keys.items() if name == FIT}) for table, keys in tables.items())
        return tuple(Section(table, keys) for table, keys in fits if keys)
    kept = ((table, {name: key for name, key in tables[table].items() if name != FIT}) for table in ticket.tables)
    return tuple(Section(table, keys) for table, keys in kept)


def sum_of(ticket: Ticket, board: Board | None, data: Mapping[str, Any]) -> str:
    """Say what a ticket comes to, in a line."""
    if ticket.name in SUMS:
        return "" if board is None else SUMS[ticket.name](board)
    held = [data[table] for table in ticket.tables if table in data]
    count = sum(len(each) if isinstance(each, list) else 1 for each in held)
    return str(count) if count else "none"


def _instrument(board: Board) -> str:
    scale = board.scale
    length = " and ".join(told_in(each, board.unit, 1) for each in scale.lengths_mm)
    return f"{length} · {len(scale.there)} frets"


def _board(board: Board) -> str:
    nut, end = (figure_in(each, board.unit, 1) for each in (board.nut_width_mm, board.end_width_mm))
    radii = list(dict.fromkeys((board.radius.nut_mm, board.radius.end_mm)))
    radius = "flat" if math.isinf(radii[0]) else f"R {' to '.join(told_in(each, board.unit, 0) for each in radii)}"
    bound = "" if board.binding is None else f" · bound {told_in(board.binding.thickness_mm, board.unit, 1)}"
    wood = f" · {board.wood}" if board.wood else ""
    return f"{nut} → {end} · {told_in(board.thickness_mm, board.unit, 1)} thick · {radius}{bound}{wood}"


def _slots(board: Board) -> str:
    slots = board.fret_slots
    if slots is None:
        return "none"
    width = told_in(slots.width_mm + slots.fit_mm, board.unit)
    state = " · already cut" if slots.state == "already cut" else ""
    depth = figure_in(slots.depth_mm, board.unit, 1)
    return f"{len(board.scale.there)} slots · {width} · {depth} below the finished face · {slots.ends}{state}"


def _dots(frets: Sequence[int], double: Sequence[int], diameter_mm: float, board: Board) -> str:
    return f"{len(frets) + len(double)} · {told_in(diameter_mm, board.unit, 1)}"


def _face_dots(board: Board) -> str:
    dots = board.face_dots
    if dots is None:
        return "none"
    return _dots(dots.frets, (*dots.double, *dots.triple, *dots.triple), dots.diameter_mm, board)


def _side_dots(board: Board) -> str:
    dots = board.side_dots
    return "none" if dots is None else f"{_dots(dots.frets, dots.double, dots.diameter_mm, board)} · {dots.edges} edge"


def _holding(board: Board) -> str:
    return "nothing said" if not board.holding else ", ".join(each.name for each in board.holding)


def _fit(board: Board) -> str:
    parts = [(table, getattr(board, table)) for table in ("fret_slots", "face_dots", "side_dots")]
    said = [
        f"{table.replace('_', ' ')} {figure_in(part.fit_mm, board.unit)}"
        for table, part in parts
        if part and part.fit_mm
    ]
    return " · ".join(said) or "none"


SUMS: Final[Mapping[str, Sum]] = MappingProxyType({
    "instrument": _instrument,
    "board": _board,
    "slots": _slots,
    "face-dots": _face_dots,
    "side-dots": _side_dots,
    "holding": _holding,
    FIT: _fit,
})  # fmt: skip
