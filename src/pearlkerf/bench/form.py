"""The form of a board: every key of its tables as a field, what the file holds in it, and what is told of it there.

    tables of keys ─> tickets ─> sections ─> fields <─ values of the file
                                                  <─ problems, each at its field, with its mends

Plain data comes out, as the page takes it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pearlkerf.bench.editing import Edit, Path
from pearlkerf.bench.machine_tickets import machine_sum, machine_tickets
from pearlkerf.bench.mends import Mend, mends_of, place_of
from pearlkerf.bench.tickets import FIT, Section, Tables, Ticket, sections_of, sum_of, tickets_of
from pearlkerf.bench.values import field_of, shown_value
from pearlkerf.board.model import Board
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.errors import Problem
from pearlkerf.files.toml_keys import Key, Table, keys_of, tables_of

Weight = Literal["wrong", "doubtful"]


@dataclass(frozen=True, slots=True)
class Told:
    """A problem as it is told: how much it weighs, and what can be done with a click."""

    weight: Weight
    problem: Problem
    mends: tuple[Mend, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """A file of a kind: its tables, what the file holds, and what is told of it, by the place where it is shown.

    That is the place of a field, of a table, of one row of many, or () where the file has no such place.
    """

    model: type[Table]
    tables: Tables
    data: Mapping[str, Any]
    told: Mapping[Path, tuple[dict[str, Any], ...]]

    def at(self, place: Path) -> list[dict[str, Any]]:
        """Give what is told at a place."""
        return list(self.told.get(place, ()))

    def within(self, place: Path) -> list[dict[str, Any]]:
        """Give what is told at a place and in it."""
        return [each for where, told in self.told.items() if where[: len(place)] == place for each in told]


def board_form(data: Mapping[str, Any], problems: Iterable[Problem], doubts: Iterable[Problem]) -> Form:
    """Give the form of a board file that holds this data."""
    return form_of(BoardFileTable, data, problems, doubts)


def form_of(
    model: type[Table], data: Mapping[str, Any], problems: Iterable[Problem], doubts: Iterable[Problem] = ()
) -> Form:
    """Give the form of a file of a kind that holds this data."""
    tables = tables_of(model)
    weighed: list[tuple[Weight, Problem]] = [
        *(("wrong", each) for each in problems), *(("doubtful", each) for each in doubts)
    ]  # fmt: skip
    homes: dict[Path, tuple[dict[str, Any], ...]] = {}
    for weight, problem in weighed:
        told = told_data(Told(weight, problem, mends_of(problem, data, tables)))
        home = _home(tables, data, place_of(problem.key))
        homes[home] = (*homes.get(home, ()), told)
    return Form(model, tables, data, homes)


def _home(tables: Tables, data: Mapping[str, Any], at: Path) -> Path:
    """Give where a problem at a key is shown: the nearest place above it that the form has."""
    if not at or at[0] not in tables:
        return at[:1] if at and at[0] in tables[""] else ()
    table, held = str(at[0]), data.get(str(at[0]))
    if isinstance(held, list):
        row = at[:2] if len(at) > 1 and isinstance(at[1], int) else at[:1]
        return at[:3] if len(at) > 2 and at[2] in tables[table] else row
    named = len(at) > 1 and at[1] in tables[table] and isinstance(held, Mapping)
    return at[:2] if named else at[:1]


def told_data(told: Told) -> dict[str, Any]:
    """Give what is told as plain data: weight, key, found, allowed, hint, and the mends with their edits."""
    problem = told.problem
    mends = [{"label": mend.label, "edits": [edit_data(edit) for edit in mend.edits]} for mend in told.mends]
    return {"weight": told.weight, "key": problem.key, "found": problem.found, "allowed": problem.allowed,
            "hint": problem.hint, "line": problem.line, "column": problem.column, "mends": mends}  # fmt: skip


def edit_data(edit: Edit) -> dict[str, Any]:
    """Give an edit as the page sends it back."""
    return {"do": edit.do, "at": list(edit.at), "value": edit.value}


def form_data(form: Form, board: Board | None) -> list[dict[str, Any]]:
    """Give the tickets as plain data, with all that lies on them."""
    tickets = tickets_of(form.tables) if form.model is BoardFileTable else machine_tickets(form.tables)
    return [_ticket_data(form, ticket, board) for ticket in tickets]


def _ticket_data(form: Form, ticket: Ticket, board: Board | None) -> dict[str, Any]:
    sections = [_section_data(form, section) for section in sections_of(ticket, form.tables)]
    told = [each for section in sections for each in _all_told(section)]
    return {
        "name": ticket.name,
        "called": ticket.called,
        "sum": sum_of(ticket, board, form.data) if form.model is BoardFileTable else machine_sum(ticket, form.data),
        "wrong": sum(each["weight"] == "wrong" for each in told),
        "doubtful": sum(each["weight"] == "doubtful" for each in told),
        "sections": sections,
    }


def _all_told(section: Mapping[str, Any]) -> list[dict[str, Any]]:
    fields = [field for row in section["rows"] for field in row["fields"]]
    return [*section["told"], *(each for row in section["rows"] for each in row["told"]),
            *(each for field in fields for each in field["told"])]  # fmt: skip


def _section_data(form: Form, section: Section) -> dict[str, Any]:
    """Give one table: its rows, of which there are many or one; none where it is left out."""
    table = section.table
    of = keys_of(form.model).get(table)
    held = form.data if not table else form.data.get(table)
    many = bool(of and of.many)
    whole = section.keys.keys() == form.tables[table].keys() - {FIT}
    places: list[tuple[Path, Any]] = []
    if many and isinstance(held, list):
        places = [((table, index), each) for index, each in enumerate(held)]
    elif not many and isinstance(held, Mapping):
        places = [((table,) if table else (), held)]
    return {
        "table": table,
        "meaning": of.meaning if of else "",
        "many": many,
        "required": not table or bool(of and of.required),
        "present": bool(places),
        "whole": whole,
        "rows": [_row_data(form, section, place, each) for place, each in places],
        "told": form.at((table,)) if whole and table else [],
    }


def _row_data(form: Form, section: Section, place: Path, held: Any) -> dict[str, Any]:
    values: Mapping[str, Any] = held if isinstance(held, Mapping) else {}
    fields = [_field_data(form, key, (*place, name), values) for name, key in section.keys.items()]
    return {"place": list(place), "fields": fields, "told": form.at(place) if len(place) > 1 else []}


def _field_data(form: Form, key: Key, place: Path, held: Mapping[str, Any]) -> dict[str, Any]:
    field = field_of(key.kind)
    given = key.name in held
    return {
        "place": list(place),
        "key": key.name,
        "called": key.name.replace("_", " "),
        "meaning": key.meaning,
        "allowed": key.allowed,
        "control": field.control,
        "words": list(getattr(key.kind, "words", field.words)),
        "parts": list(field.parts),
        "alone": field.alone or not field.parts,
        "many": key.many,
        "required": key.required,
        "usual": key.usual,
        "given": given,
        "typed": shown_value(key, held[key.name]) if given else "",
        "told": form.at(place),
    }


def key_at(tables: Tables, place: Sequence[str | int]) -> Key | None:
    """Give the key at a place of a file; None for a place that no table has."""
    names = [part for part in place if isinstance(part, str)]
    table, name = ("", names[0]) if len(names) == 1 else (names[0], names[1]) if len(names) > 1 else ("", "")
    return tables.get(table, {}).get(name)
