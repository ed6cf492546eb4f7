"""What the bench answers: one function for each thing that a page asks, plain data in and out.

Nothing is remembered between two of them: a page sends the text that it is about, the folder holds what is saved.
"""

import logging
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.bench.asked import Asked, name_of, text_of
from pearlkerf.bench.changed import only_new
from pearlkerf.bench.editing import Do, Edit, data_of, edited
from pearlkerf.bench.form import key_at
from pearlkerf.bench.shelf import ENDING, ChangedMeanwhile, Held, Shelf, held, own_profile
from pearlkerf.bench.tickets import Tables
from pearlkerf.bench.units import AT as UNIT
from pearlkerf.bench.units import lengths_said
from pearlkerf.bench.values import typed_value
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.files.toml_keys import tables_of
from pearlkerf.machine.reader import profile_names, read_profile_bytes
from pearlkerf.machine.tables import ProfileTable

MOST_EDITS: Final = 50
DOES: Final[tuple[Do, ...]] = ("put", "remove", "rename", "add", "without")
LOG: Final = logging.getLogger(__name__)
OWN_FAULT: Final = "cannot be drawn: a fault of the bench, which its terminal tells whole"


@dataclass(frozen=True, slots=True)
class Answers:
    """The answers of a bench over one folder."""

    shelf: Shelf

    def boards(self) -> dict[str, Any]:
        """Give the boards of the folder, each with its state and its drawing."""
        return {"folder": str(self.shelf.folder), "boards": [self._card(name) for name in self.shelf.names()]}

    def _card(self, name: str) -> dict[str, Any]:
        """Give a board's card; what keeps it from being shown is said on it, and hides none of the others."""
        try:
            return self._board(name)
        except (OSError, CannotBe) as fault:
            words = str(fault)
        except Exception:  # foreseen by nobody, so that none can be named: it is logged whole
            LOG.exception("%s%s cannot be drawn", name, ENDING)
            words = OWN_FAULT
        return {"name": name, "title": name, "state": "wrong", "words": words, "made": "", "drawing": ""}

    def _board(self, name: str) -> dict[str, Any]:
        from pearlkerf import way
        from pearlkerf.bench.families import small_drawing
        from pearlkerf.bench.view import wood_of

        data = self.shelf.bytes_of(name)
        look = self.shelf.look(data, name)
        laid = way.to_look_at(look)
        wrong, doubtful = len(look.problems), len(look.warnings)
        return {
            "name": name,
            "title": name if look.board is None else look.board.title,
            "state": "wrong" if wrong else "doubtful" if doubtful else "right",
            "wrong": wrong,
            "doubtful": doubtful,
            "made": self.shelf.made(name, data),
            "wood": "" if look.board is None else wood_of(look.board.wood),
            "drawing": "" if laid is None else small_drawing(laid),
        }

    def open(self, name: str) -> dict[str, Any]:
        """Give a board's text and digest."""
        held = self.shelf.read(name)
        return {"name": name, **_held_data(held)}

    def look(self, asked: Asked) -> dict[str, Any]:
        """Give all that is shown of a text."""
        return _sent(asked, self._view(asked, text_of(asked)))

    def _view(self, asked: Asked, text: str) -> dict[str, Any]:
        from pearlkerf.bench.view import Wanted, machine_view, view_of

        if asked.get("kind") == "machine":
            self.shelf.path(name_of(asked))
            return {"text": text, **machine_view(text, name_of(asked))}
        wide, section, fret = (asked.get(name) for name in ("wide", "section", "fret"))
        wanted = Wanted(_whole(wide, 1200), _whole(section, 480), _whole(fret, None))
        name = name_of(asked)
        self.shelf.path(name)
        return {"text": text, **view_of(self.shelf.look(text, name), text, name, wanted)}

    def edit(self, asked: Asked) -> dict[str, Any]:
        """Make edits of a text, and give all that is shown of the new one."""
        text, wanted = text_of(asked), asked.get("edits")
        if not isinstance(wanted, list) or len(wanted) > MOST_EDITS:
            raise CannotBe("No edits were sent.")
        tables = _tables(asked)
        edits = [_edit(each, tables) for each in wanted]
        to = [each.value for each in edits if each.at == UNIT and each.do == "put"]
        data = data_of(text) or {}  # what is no TOML is refused where it is edited
        new = edited(text, [*(lengths_said(data, tables, to[-1]) if to else []), *edits])
        return _sent(asked, self._view(asked, new))

    def save(self, asked: Asked) -> dict[str, Any]:
        """Save a text; where the file was changed meanwhile, give what it holds now in its place."""
        try:
            return _held_data(self.shelf.save(name_of(asked), text_of(asked), str(asked.get("digest", ""))))
        except ChangedMeanwhile as changed:
            return {"changed": True, **({"gone": True} if changed.now is None else _held_data(changed.now))}

    def begin(self, asked: Asked) -> dict[str, Any]:
        """Save a new board: from a family, or of a text."""
        from pearlkerf.bench.families import new_board

        name = name_of(asked)
        text = asked["text"] if isinstance(asked.get("text"), str) else new_board({"title": name, **asked})
        return {"name": name, **_held_data(self.shelf.begin(name, text))}

    def copy(self, asked: Asked) -> dict[str, Any]:
        """Copy a board under another name."""
        to = name_of(asked, "to")
        return {"name": to, **_held_data(self.shelf.copy(name_of(asked), to))}

    def own_machine(self, asked: Asked) -> dict[str, Any]:
        """Copy a machine that comes along, or one of the folder, under a name of its own."""
        machine, to = str(asked.get("machine", "")), name_of(asked, "to")
        own = own_profile(machine)
        if machine in profile_names():
            text = held(read_profile_bytes(machine)).text
        elif own is not None:
            text = self.shelf.read(own).text
        else:
            raise CannotBe("There is no such machine.", 404)
        return {"name": to, **_held_data(self.shelf.begin(to, text))}

    def rename(self, asked: Asked) -> dict[str, Any]:
        """Give a board another name."""
        to = name_of(asked, "to")
        self.shelf.rename(name_of(asked), to)
        return {"name": to}

    def template(self, name: str) -> bytes:
        """Draw the paper template of a board; raises CannotBe where the board is wrong."""
        from pearlkerf.errors import Refusal
        from pearlkerf.pictures.paper.paper import draw_template

        try:
            layout = self.shelf.look(self.shelf.bytes_of(name), name).right()
        except Refusal:
            raise CannotBe("The board has mistakes: a template of it would be wrong too.", 409) from None
        return draw_template(layout)

    def families(self) -> dict[str, Any]:
        """Give the kinds of instruments that a new board may be."""
        from pearlkerf.bench.families import families

        return {"families": list(families())}


def _sent(asked: Asked, view: dict[str, Any]) -> dict[str, Any]:
    """Give a view as it is sent: to a page that says what it has, only what is new to it."""
    has = asked.get("has")
    if has is None:
        return view
    if not isinstance(has, list) or not all(isinstance(each, str) for each in has):
        raise CannotBe("What the page has are digests.")
    return only_new(view, frozenset(has))


def _held_data(held: Held) -> dict[str, Any]:
    return {"text": held.text, "digest": held.digest}


def _whole(value: Any, usual: Any) -> Any:
    return value if isinstance(value, int) and not isinstance(value, bool) else usual


def _tables(asked: Asked) -> Tables:
    """Give the tables of the kind of file that is asked about."""
    return tables_of(ProfileTable if asked.get("kind") == "machine" else BoardFileTable)


def _edit(asked: Any, tables: Tables) -> Edit:
    """Take one edit as a page sends it; what was typed in a field is taken by the key's own kind."""
    at = asked.get("at") if isinstance(asked, dict) else None
    if not isinstance(at, list) or not at or not all(isinstance(part, str | int) for part in at):
        raise CannotBe("That edit has no place.")
    place = tuple(at)
    do = asked.get("do")
    if do == "add" and "typed" in asked:
        return Edit("add", place, [_typed_table(place, asked["typed"], tables)])
    if "typed" in asked:
        return _typed_edit(place, asked["typed"], tables)
    if do not in DOES:
        raise CannotBe("That edit is not known.")
    return Edit(do, place, asked.get("value"))


def _typed_table(place: tuple[str | int, ...], typed: Any, tables: Tables) -> dict[str, Any]:
    """Give a table, one more of many, that holds what was typed for each of its keys; what is empty is left out."""
    keys = tables.get(str(place[0]), {}) if len(place) == 1 else {}
    if not isinstance(typed, dict) or not all(name in keys and isinstance(text, str) for name, text in typed.items()):
        raise CannotBe("There is no such field.")
    values = {name: typed_value(keys[name], text) for name, text in typed.items()}
    return {name: value for name, value in values.items() if value is not None}


def _typed_edit(place: tuple[str | int, ...], typed: Any, tables: Tables) -> Edit:
    key = key_at(tables, place)
    parts = isinstance(typed, dict) and all(isinstance(part, str) for part in typed.values())
    if key is None or not (parts or isinstance(typed, str)):
        raise CannotBe("There is no such field.")
    value = typed_value(key, typed)
    return Edit("remove", place) if value is None else Edit("put", place, value)
