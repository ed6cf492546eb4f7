"""The form: every key has its field, every mistake stands beside its own, and mends mend."""

import tomllib
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from pearlkerf import way
from pearlkerf.bench.answers import Answers
from pearlkerf.bench.editing import Edit, edited
from pearlkerf.bench.form import board_form, form_data
from pearlkerf.bench.picked import comes, does
from pearlkerf.bench.shelf import Shelf
from pearlkerf.bench.values import shown_value, typed_value
from pearlkerf.bench.view import marked_in
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.files.beside import BesideIn
from pearlkerf.files.toml_keys import Table, keys_of, tables_of
from pearlkerf.machine.tables import ProfileTable
from refusal_files import expected_in

ROOT = Path(__file__).parents[2]
REFUSALS = sorted((ROOT / "tests" / "board" / "refusals").glob("*.toml"))
WREN = (ROOT / "examples" / "wren-tenor-ukulele.toml").read_text(encoding="utf-8")


def can_be_shown(path: Path) -> bool:
    """Say whether a form can hold what a file holds: text that is no TOML never comes of one."""
    try:
        tomllib.loads(path.read_text(encoding="utf-8"))
    except ValueError:
        return False
    return True


SHOWN = [path for path in REFUSALS if can_be_shown(path)]


def form_of(text: str, folder: Path = ROOT / "examples") -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Give the tickets of a text, and what is told beside none of their fields."""
    look = way.look(text, BesideIn(folder))
    form = board_form(tomllib.loads(text), look.problems, look.warnings)
    return form_data(form, look.board), form.at(())


def places(tickets: list[dict[str, Any]]) -> list[tuple[str, dict[str, Any]]]:
    """Give all that is told with the dotted place that it stands at: a field's, a row's, a table's."""
    found = []
    for section in (section for ticket in tickets for section in ticket["sections"]):
        found += [(section["table"], told) for told in section["told"]]
        for row in section["rows"]:
            found += [(".".join(map(str, row["place"])), told) for told in row["told"]]
            found += [(".".join(map(str, field["place"])), told) for field in row["fields"] for told in field["told"]]
    return found


# what no field can write, so that only who edits the text meets it, with the reason
OF_TEXT_ALONE = {
    **dict.fromkeys(["comma-number", "open-list", "table-twice", "text-without-quotes", "written-twice"], "no TOML"),
    **dict.fromkeys(["binding-key", "key-of-another-table", "many-at-once", "mistyped-required-key", "unknown-key",
                     "unknown-table"], "a name that is no field's"),
    **dict.fromkeys(["dots-not-a-list", "measured-not-a-list", "side-double-not-a-list"], "one is a list of one"),
    **dict.fromkeys(["infinite", "not-a-number", "truth-for-length"], "typed as a word, which is refused as one"),
    "dot-table-is-a-list": "a table that is there once",
    "holding-wrong-in-two": "one place of two",
    "length-without-unit": "figures are a number",
    "scale-steps": "steps are words",
    "title-not-text": "a title is text",
}  # fmt: skip
OF_TEXT_ALONE_IN_PROFILES = {
    **dict.fromkeys(["carrier-key", "cutter-key", "holding-key", "many-at-once"], "a name that is no field's"),
    **dict.fromkeys(["cutter-diameter", "spindle-not-finite"], "typed as a word, which is refused as one"),
    "arcs-as-text": "a box to tick", "one-cutter-table": "there may be many", "spindle-one-speed": "one of two",
    "spindle-text": "figures are a number",
}  # fmt: skip


def of_fields(text: str, model: type[Table]) -> bool:
    """Say whether fields can write all that a text holds: each value is shown by its field and typed back."""
    try:
        data = tomllib.loads(text)
    except ValueError:
        return False
    tables, top = tables_of(model), keys_of(model)
    for name, held in data.items():
        if name not in top or (top[name].table and isinstance(held, list) != bool(top[name].many)):
            return False
        keys = tables[name] if top[name].table else {name: top[name]}
        rows = (held if isinstance(held, list) else [held]) if top[name].table else [{name: held}]
        pairs = [(keys.get(key), value) for row in rows for key, value in row.items()]
        if not all(key and typed_value(key, shown_value(key, value)) == value for key, value in pairs):
            return False
    return True


@pytest.mark.parametrize(
    ("of", "model", "others"),
    [("board", BoardFileTable, OF_TEXT_ALONE), ("machine", ProfileTable, OF_TEXT_ALONE_IN_PROFILES)],
    ids=["boards", "profiles"],
)
def test_every_refusal_is_of_the_form_s_making_but_those_that_are_named(
    of: str, model: type[Table], others: dict[str, str]
) -> None:
    files = sorted((ROOT / "tests" / of / "refusals").glob("*.toml"))
    assert {path.stem for path in files if not of_fields(path.read_text(encoding="utf-8"), model)} == set(others)
    assert len(files) - len(others) > len(files) * 0.75


@pytest.mark.parametrize("path", SHOWN, ids=lambda path: path.stem)
def test_every_refusal_stands_beside_its_field(path: Path) -> None:
    tickets, other = form_of(path.read_text(encoding="utf-8"), path.parent)
    tables, told = tables_of(BoardFileTable), [(at, each) for at, each in places(tickets) if each["weight"] == "wrong"]
    for mistake in expected_in(path):
        table, _, name = mistake.key.partition(".")
        if table not in tables and table not in tables[""]:
            assert any(each["key"] == mistake.key for each in other)  # a table that no board file has
            continue
        (at,) = {at for at, each in told if each["key"] == mistake.key and mistake.found in each["found"]}
        key = name.partition(".")[0] if not name[:1].isdigit() else name.split(".")[1] if "." in name else ""
        field = table in tables[""] or key in tables.get(table, {})
        assert mistake.key.startswith(at)
        present = table in tables[""] or table in tomllib.loads(path.read_text(encoding="utf-8"))
        assert at.endswith(key or table) or not (field and present), at


def test_every_key_has_one_field() -> None:
    """With every table there, the form has each key once: none is forgotten, whatever is added to the tables."""
    tables = tables_of(BoardFileTable)
    data = {name: [{}] if key.many else {} for name, key in keys_of(BoardFileTable).items() if key.table}
    found = [
        (section["table"], field["key"])
        for ticket in form_data(board_form(data, (), ()), None)
        for section in ticket["sections"] for row in section["rows"] for field in row["fields"]
    ]  # fmt: skip
    assert sorted(found) == sorted((table, key) for table, keys in tables.items() for key in keys)
    assert all(field for field in found)


def test_a_table_that_no_ticket_names_has_one_of_its_own() -> None:
    from pearlkerf.bench.tickets import tickets_of

    tickets = tickets_of({**tables_of(BoardFileTable), "inlay": {}, "inlay_blank": {}, "new_thing": {}})
    assert [each.tables for each in tickets][5:8] == [("inlay", "inlay_blank"), ("new_thing",), ("holding",)]


def all_mends(tickets: list[dict[str, Any]], other: list[dict[str, Any]]) -> list[tuple[dict[str, Any], Any]]:
    return [(told, mend) for told in [*(each for _, each in places(tickets)), *other] for mend in told["mends"]]


# what a mend of these does not take away is another mistake at the same key, which is told next
MENDED_IN_STEPS = {"missing-table", "table-twice"}


@pytest.mark.parametrize("path", SHOWN, ids=lambda path: path.stem)
def test_a_mend_takes_the_mistake_away(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for told, mend in all_mends(*form_of(text, path.parent)):
        mended = edited(text, [Edit(each["do"], tuple(each["at"]), each["value"]) for each in mend["edits"]])
        left = [(each.key, each.found) for each in way.look(mended, BesideIn(path.parent)).problems]
        assert (told["key"], told["found"]) not in left, mend["label"]


def test_hints_that_are_values_have_buttons() -> None:
    said = {
        path.stem: [mend["label"] for _, mend in all_mends(*form_of(path.read_text(encoding="utf-8"), path.parent))]
        for path in SHOWN
    }
    assert said["mm-for-inches"] == ["take 632 mm"]
    assert said["fraction-in-one-sign"] == ["take 24 7/8 in"]
    assert said["comma-length"] == ["take 24.9 in"]
    assert said["unknown-key"] == ["call it crown_allowance"]
    assert said["scale-ways"][-2:] == ["leave division out", "leave steps out"]
    assert said["dot-thickness-pair"] == ["take 1.4, 1.6"]


def test_no_mend_leaves_half_of_a_length_behind() -> None:
    tickets, other = form_of(WREN.replace('length = "17 in"', 'length = "17 in 3"'))
    assert [told["key"] for told in other] == []
    assert "scale.length" in {told["key"] for _, told in places(tickets)}
    assert [mend["label"] for told, mend in all_mends(tickets, other) if told["key"] == "scale.length"] == []


def test_a_figure_in_a_hint_is_taken_whole() -> None:
    tickets, other = form_of(WREN.replace("\nfrets = 19", "\nfrets = 24", 1))
    labels = [mend["label"] for told, mend in all_mends(tickets, other) if told["key"] == "scale.frets"]
    assert labels == ["use 324.15 mm for length", "use 19 frets"]


LAID_OUT = [
    ("[face_dots]\nfrets = [5, 7", "[face_dots]\nfrets = [5, 18, 7", "diameter = 4", "diameter = 9"),
    ("depth = 1.7", "depth = 5.3", "", ""),
    ("spacing = 4", "spacing = 1.6", "", ""),
    ("radius = \"flat\"", 'radius = "7 in"', "depth = 1.7", "depth = 4.4"),
    ("width = \"0.023 in\"", "width = 1.4", "", ""),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "also", "so"), LAID_OUT)
def test_a_mend_of_the_layout_mends_it(old: str, new: str, also: str, so: str) -> None:
    text = WREN.replace(old, new).replace(also, so) if also else WREN.replace(old, new)
    assert text != WREN
    mends = [each for each in all_mends(*form_of(text)) if each[0]["weight"] == "wrong"]
    assert mends
    for told, mend in mends:
        mended = edited(text, [Edit(each["do"], tuple(each["at"]), each["value"]) for each in mend["edits"]])
        assert (told["key"], told["found"]) not in [(each.key, each.found) for each in way.look(mended).problems]


def test_a_wrong_cut_is_marked_where_it_is() -> None:
    look = way.look(WREN.replace("frets = [5, 7, 10, 12, 15]\ndouble = [12]\ndiameter = 4",
                                 "frets = [5, 7, 10, 12, 15, 18]\ndouble = [12]\ndiameter = 9"))  # fmt: skip
    laid = way.to_look_at(look)
    assert look.layout is None and laid is not None
    assert marked_in(laid, look.problems, "wrong") == {"face dot 18": "wrong"}


def test_pictures_say_how_it_is_and_make_it_so() -> None:
    text = WREN
    for want in ("outline", "radiused", "slotted", "bound-after", "bare", "rough", "flat", "unslotted"):
        data, board = tomllib.loads(text), way.look(text).board
        groups = [each for group in comes(data, board) for each in group]
        (picked,) = [each for each in groups if each["name"] == want]
        edits = [Edit(each["do"], tuple(each["at"]), each["value"]) for each in picked["edits"]]
        text = edited(text, edits)
        chosen = [each["name"] for group in comes(tomllib.loads(text), way.look(text).board) for each in group
                  if each["chosen"]]  # fmt: skip
        assert want in chosen and len(chosen) == 4


@pytest.mark.parametrize("name", ["slots", "face-dots", "side-dots", "trims"])
def test_what_the_machine_does_is_taken_away_and_given_again(name: str) -> None:
    text = WREN
    states = []
    for _ in range(2):
        look = way.look(text)
        (picked,) = [each for each in does(tomllib.loads(text), look.board) if each["name"] == name]
        states.append(picked["chosen"])
        text = edited(text, [Edit(each["do"], tuple(each["at"]), each["value"]) for each in picked["edits"]])
    assert set(states) == {True, False}
    assert way.look(text).problems == ()


def test_an_answer_never_changes_what_the_layout_says(tmp_path: Path) -> None:
    """The page looks by the same way as the commands: the same problems, to the letter."""
    text = WREN.replace("diameter = 4", "diameter = 12")
    view = Answers(Shelf(tmp_path)).look({"name": "wren", "text": text})
    told = [each for _, each in places(view["tickets"])]
    look = way.look(text, file="wren.toml")
    wanted = [asdict(each) for each in (*look.problems, *look.warnings)]
    assert sorted((each["key"], each["found"], each["hint"]) for each in told) == sorted(
        (each["key"], each["found"], each["hint"]) for each in wanted
    )
