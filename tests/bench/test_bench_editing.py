"""Edits of a board's text: what was asked for, and nothing else; and what people type, as the file holds it."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from pearlkerf import way
from pearlkerf.bench.answers import Answers
from pearlkerf.bench.editing import Edit, edited
from pearlkerf.bench.shelf import Shelf
from pearlkerf.bench.units import lengths_said
from pearlkerf.bench.values import shown_value, typed_value
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.tables import BoardFileTable
from pearlkerf.files.beside import BesideIn
from pearlkerf.files.toml_keys import Key, tables_of

ROOT = Path(__file__).parents[2]
TABLES = tables_of(BoardFileTable)
TEXT = """# Harbour Lane: the second of two
title = "Wren"   # as it stands on the card
unit = "mm"

[scale]
length = "17 in"                 # as measured, twice nut to 12
frets = 19

[board]
# planed by hand
thickness = 5.60     # at the crown

[[holding]]
name = "clamp" # left
x = [1, 2]

[face_dots]
frets = [5, 7, 10, 12, 15]
double = [12]
"""


def changed_lines(edits: list[Edit]) -> tuple[list[str], list[str]]:
    """Give the lines that edits take out of the text, and those that they bring, empty ones left out."""
    before, after = TEXT.splitlines(), edited(TEXT, edits).splitlines()
    gone = [line for line in before if line not in after]
    return gone, [line for line in after if line not in before]


def test_a_value_is_put_and_its_comment_stays_in_its_column() -> None:
    gone, come = changed_lines([Edit("put", ("scale", "length"), "25 1/2 in")])
    assert gone == ['length = "17 in"                 # as measured, twice nut to 12']
    assert come == ['length = "25 1/2 in"             # as measured, twice nut to 12']


def test_a_key_is_added_removed_and_renamed() -> None:
    assert changed_lines([Edit("put", ("board", "radius"), {"nut": "10 in", "end": 400})]) == (
        [], ['radius = {nut = "10 in", end = 400}'],
    )  # fmt: skip
    assert changed_lines([Edit("remove", ("face_dots", "double"))]) == (["double = [12]"], [])
    assert changed_lines([Edit("rename", ("board", "thickness"), "thick")]) == (
        ["thickness = 5.60     # at the crown"], ["thick = 5.60     # at the crown"],
    )  # fmt: skip
    assert changed_lines([Edit("rename", ("holding",), "held")]) == (["[[holding]]"], ["[[held]]"])
    assert changed_lines([Edit("put", ("unusual",), ["board.thickness"])]) == ([], ['unusual = ["board.thickness"]'])


def test_tables_are_added_and_removed() -> None:
    new = edited(TEXT, [Edit("add", ("blank",), {"width": "54 mm"}), Edit("add", ("holding",), [{"name": "b"}])])
    data = tomllib.loads(new)
    assert data["blank"] == {"width": "54 mm"}
    assert [each["name"] for each in data["holding"]] == ["clamp", "b"]
    assert new.startswith(TEXT.partition("[face_dots]")[0])
    assert "\n\n\n" not in new
    gone = tomllib.loads(edited(TEXT, [Edit("remove", ("holding", 0)), Edit("remove", ("face_dots",))]))
    assert set(gone) == {"title", "unit", "scale", "board"}
    first = tomllib.loads(edited("", [Edit("put", ("scale", "frets"), 20), Edit("add", ("holding",), [{}])]))
    assert first == {"scale": {"frets": 20}, "holding": [{}]}


WITH_COMMENTS = """[board]
widths = [       # from the nut end, bass edge, treble edge
  [0, -17, 17],  # the nut
  # where the fifth string comes in
  [150, -17, 17],
  [160, -22, 17],
]
"""


@pytest.mark.parametrize("rows", [[[0, -18, 18], [150, -18, 17], [160, -22, 17]],
                                  [[0, -17, 17], [150, -17, 17], [160, -22, 17], [300, -23, 18]],
                                  [[0, -17, 17], [150, -17, 17]]])  # fmt: skip
def test_comments_in_a_list_stay(rows: list[list[int]]) -> None:
    new = edited(WITH_COMMENTS, [Edit("put", ("board", "widths"), rows)])
    assert tomllib.loads(new)["board"]["widths"] == rows
    for comment in ("# from the nut end, bass edge, treble edge", "# the nut", "# where the fifth string comes in"):
        assert new.count(comment) == 1


def test_items_are_left_out_of_a_list() -> None:
    assert changed_lines([Edit("without", ("face_dots", "frets"), [12, 15])])[1] == ["frets = [5, 7, 10]"]


@pytest.mark.parametrize("text", ["title = ", "a = 1\na = 2", "[x"])
def test_what_is_no_toml_is_not_edited(text: str) -> None:
    with pytest.raises(CannotBe):
        edited(text, [Edit("put", ("title",), "Wren")])


def test_an_edit_of_what_is_not_there_is_refused() -> None:
    for edit in (Edit("rename", ("board", "none"), "x"), Edit("without", ("board", "frets"), [1]),
                 Edit("put", ("title", "x"), 1), Edit("remove", ("holding", 7))):  # fmt: skip
        with pytest.raises(CannotBe):
            edited(TEXT, [edit])


EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_value_of_every_example_is_shown_so_that_it_is_typed_back(path: Path) -> None:
    """As the field shows it, so it is taken; and put back, the file is the same to the letter."""
    text = path.read_text(encoding="utf-8")
    data = tomllib.loads(text)
    for table, keys in TABLES.items():
        held = data if not table else data.get(table, {})
        rows = held if isinstance(held, list) else [held]
        for index, row in enumerate(rows):
            for name in row.keys() & keys.keys():
                value = typed_value(keys[name], shown_value(keys[name], row[name]))
                assert value == row[name]
                at = (name,) if not table else (table, index, name) if isinstance(held, list) else (table, name)
                assert tomllib.loads(edited(text, [Edit("put", at, value)])) == data


def key(table: str, name: str) -> Key:
    return TABLES[table][name]


@pytest.mark.parametrize(
    ("table", "name", "typed", "held"),
    [
        ("fret_slots", "width", "0.58", 0.58),
        ("fret_slots", "width", " 23 thou ", "23 thou"),
        ("fret_slots", "width", "6,5", "6,5"),
        ("fret_slots", "width", "", None),
        ("scale", "frets", "20", 20),
        ("scale", "length", {"bass": "27 in", "treble": "25 1/2 in"}, {"bass": "27 in", "treble": "25 1/2 in"}),
        ("scale", "zero_fret", "true", True),
        ("scale", "steps", "9/8, 5/4, 2/1", ["9/8", "5/4", "2/1"]),
        ("face_dots", "frets", "3, 5, 7", [3, 5, 7]),
        ("face_dots", "frets", "3 5 7", [3, 5, 7]),
        ("face_dots", "frets", "3, 6+", [3, "6+"]),
        ("face_dots", "thickness", "1.4 to 1.6", [1.4, 1.6]),
        ("face_dots", "thickness", "1.4", 1.4),
        ("face_dots", "thickness", "1,5", "1,5"),
        ("fret_slots", "measured", "35.47, 68,95 mm", [35.47, "68,95 mm"]),
        ("board", "radius", "flat", "flat"),
        ("board", "wood", "ebony, sold as such", "ebony, sold as such"),
        ("board", "widths", "0, -17, 17\n150, -18, 18", [[0, -17, 17], [150, -18, 18]]),
        ("", "title", "12", "12"),
        ("inlay", "parts", "leaf to leaf, stem", ["leaf to leaf", "stem"]),
        ("inlay_blank", "used", "{ box = [0, 0, 12, 25] }\n7", [{"box": [0, 0, 12, 25]}, 7]),
        ("holding", "x", "10, 20", [10, 20]),
    ],
)
def test_what_is_typed_is_held_so(table: str, name: str, typed: object, held: object) -> None:
    assert typed_value(key(table, name), typed) == held  # type: ignore[arg-type]


PLACES = """
[[inlay_blank]]
material = "bone"
thickness = [1.4, 1.5]
length = 40
width = 25
used = [{ blank = 1, box = [0, 0, 12.5, 25] }]
"""


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_board_that_goes_over_to_another_unit_stays_the_same_board(path: Path) -> None:
    text = path.read_text(encoding="utf-8") + (PLACES if path.stem == "harbour-steel-string" else "")
    data = tomllib.loads(text)
    to = "in" if data["unit"] == "mm" else "mm"
    new = edited(text, [*lengths_said(data, TABLES, to), Edit("put", ("unit",), to)])
    before, after = (way.look(each, BesideIn(path.parent)).right().board for each in (text, new))
    assert after == replace(before, unit=to)
    assert lengths_said(tomllib.loads(new), TABLES, data["unit"]) == []
    comments = [line.partition("#")[2] for line in text.splitlines()]
    assert [line.partition("#")[2] for line in new.splitlines()] == comments


def test_the_form_s_unit_keeps_what_figures_mean(tmp_path: Path) -> None:
    text = EXAMPLES[0].read_text(encoding="utf-8")
    asked = {"name": "x", "text": text, "edits": [{"at": ["unit"], "typed": "in"}]}
    view = Answers(Shelf(tmp_path)).edit(asked)
    assert view["wrong"] == 0 and tomllib.loads(view["text"])["unit"] == "in"
