"""Edits of a board file's text: one change, and everything else as its maker wrote it, comments and all.

    text ─tomlkit─> document ─edits─> document ─> text
      └─tomllib─> data ────edits────> data  ═══ tomllib of the new text?

What comes out is held against the same edits of the plain data: nothing else may have changed.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Array, Item

from pearlkerf.bench.wrong import CannotBe

Path = tuple[str | int, ...]
Do = Literal["put", "remove", "rename", "add", "append", "without"]
BY_HAND: Final = "The file is written so that the form cannot change this; change it in its text."


@dataclass(frozen=True, slots=True)
class Edit:
    """One change at a place of a file.

    ``put`` a value, ``remove`` a key or table, ``rename`` a key to the value, ``add`` a table that holds the value (in
    a list, where there may be many), ``append`` the value to a list of values, which is begun where there is none, or
    leave a list ``without`` the items of the value.
    """

    do: Do
    at: Path
    value: Any = None


def edited(text: str, edits: Sequence[Edit]) -> str:
    """Give the text after these edits; raises CannotBe where it is no TOML, or written so that they cannot be made."""
    try:
        document, data = tomlkit.parse(text), tomllib.loads(text)
        for edit in edits:
            _apply(document, edit, _item)
            _apply(data, edit, _same)
        new = tomlkit.dumps(document)
        if tomllib.loads(new) != data:
            raise CannotBe(BY_HAND, 409)
    except (TOMLKitError, ValueError, KeyError, IndexError, TypeError, AttributeError, RecursionError):
        raise CannotBe(BY_HAND, 409) from None
    return new


def data_of(text: str) -> dict[str, Any] | None:
    """Give what a text holds; None of one that is no TOML."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError):
        return None


def _same(value: Any) -> Any:
    return value


def _item(value: Any) -> Any:
    """Give a value as a file holds it: a table within a line, a long list as it is."""
    if isinstance(value, Item):
        return value
    if isinstance(value, Mapping):
        inline = tomlkit.inline_table()
        inline.update({name: _item(part) for name, part in value.items()})
        return inline
    return tomlkit.item(value)


def _apply(top: Any, edit: Edit, made: Any) -> None:
    """Make one edit, in a document or in plain data."""
    *way, last = edit.at
    within = _within(top, way, edit.do in ("put", "add", "append"))
    match edit.do:
        case "put":
            _put(within, last, made(edit.value))
        case "remove":
            if isinstance(last, int) or last in within:
                del within[last]
                _drop_empty_list(top, way)
        case "rename":
            _rename(within, last, edit.value)
        case "add":
            _add(within, last, edit.value or {}, document=made is _item)
        case "append":
            _append(within, last, made(edit.value))
        case "without":
            _put(within, last, made([each for each in within[last] if each not in edit.value]))


def _within(top: Any, way: Sequence[str | int], may_make: bool) -> Any:
    """Give the table that a place lies in; one that is not there is made where something is to be put in it."""
    here = top
    for part in way:
        if may_make and isinstance(part, str) and part not in here:
            here[part] = tomlkit.table() if here is top and isinstance(top, tomlkit.TOMLDocument) else {}
        here = here[part]
    return here


def _put(within: Any, key: str | int, value: Any) -> None:
    """Put a value in its place; what is written beside the old one stays, in its column where there is room."""
    old = within[key] if isinstance(key, int) or key in within else None
    if isinstance(old, Array) and isinstance(value, Array) and "#" in old.as_string():
        _put_items(old, value)
        return
    length = len(old.as_string()) if isinstance(old, Item) else 0
    within[key] = value
    new = within[key]
    if length and isinstance(new, Item) and new.trivia.comment:
        room = len(new.trivia.comment_ws) + length - len(new.as_string())
        new.trivia.comment_ws = " " * max(1, room)


def _append(within: Any, key: str | int, value: Any) -> None:
    """Put a value at the end of a list; one that is begun has a line for each value."""
    if key not in within:
        within[key] = tomlkit.array().multiline(multiline=True) if isinstance(value, Item) else []
    within[key].append(value)


def _put_items(old: Array, new: Array) -> None:
    """Make a list that has comments in it the new one item by item, so that they stay where they are."""
    for index, item in enumerate(new):
        if index >= len(old):
            old.append(item)
        elif isinstance(old[index], Array) and isinstance(item, Array):
            _put_items(old[index], item)
        elif old[index] != item:
            old[index] = item
    while len(old) > len(new):
        del old[-1]


def _rename(within: Any, key: Any, name: str) -> None:
    """Give a key another name, in its place."""
    if not isinstance(within, tomlkit.container.Container | tomlkit.items.AbstractTable):
        pairs = [(name if each == key else each, value) for each, value in within.items()]
        within.clear()
        within.update(pairs)
        return
    container, held = within.value if isinstance(within, tomlkit.items.AbstractTable) else within, within[key]
    for table in held if isinstance(held, AoT) else [held]:
        if isinstance(table, tomlkit.items.Table):  # its header says its name
            table.name = table.display_name = name
    container._replace(tomlkit.items.SingleKey(str(key)), tomlkit.items.SingleKey(name), held)


def _add(within: Any, key: str | int, holds: Any, *, document: bool) -> None:
    """Add a table; one more where there may be many, which a list of one says."""
    many = isinstance(holds, list)
    inside = holds[0] if many else holds
    if not document:
        within[key] = [*within.get(key, []), dict(inside)] if many else dict(inside)
        return
    if many and key in within:
        before = within[key]
        apart = bool(before) and before[-1].as_string().endswith("\n\n")
        before.append(_table(inside, apart="" if apart else "\n", after=apart))
        return
    table = _table(inside, apart="\n", after=False)
    if many:
        listed = AoT([])
        listed.append(table)
        within[key] = listed
    else:
        within[key] = table


def _table(holds: Mapping[str, Any], *, apart: str, after: bool) -> Item:
    """Give a table, ``apart`` from what stands before it, with an empty line ``after`` it where more follows."""
    table = tomlkit.table()
    for name, value in holds.items():
        table[name] = _item(value)
    if after:
        table.add(tomlkit.nl())
    table.trivia.indent = apart
    return table


def _drop_empty_list(top: Any, way: Sequence[str | int]) -> None:
    """Leave out a list of tables whose last one has gone."""
    if len(way) == 1 and isinstance(top.get(way[0]), list) and not top[way[0]]:
        del top[way[0]]
