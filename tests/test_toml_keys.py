"""Tables list their keys as a form needs them: kind and bounds, words to choose from, meaning, default."""

from pearlkerf.board.tables import BoardFileTable, RadiusKind
from pearlkerf.files.toml_keys import tables_of
from pearlkerf.files.toml_values import Choice, Length, LengthOr, LengthOrPair, Numbers
from pearlkerf.machine.tables import ProfileTable

BOARD, PROFILE = tables_of(BoardFileTable), tables_of(ProfileTable)


def test_tables_stand_in_their_order_what_is_at_the_top_first() -> None:
    assert list(BOARD) == [
        "", "scale", "strings", "board", "blank", "binding", "fret_slots", "partial",
        "face_dots", "side_dots", "inlay", "inlay_blank", "holding",
    ]  # fmt: skip
    assert list(BOARD[""]) == ["format", "title", "unit", "unusual"]
    assert list(PROFILE) == ["", "travel", "spindle", "motion", "program", "carrier", "cutter", "holding"]
    assert list(BOARD["scale"])[:3] == ["length", "square_at", "frets"]


def test_a_key_has_its_kind_with_bounds_or_words() -> None:
    assert BOARD["board"]["length"].kind == Length(20, 2000)
    assert BOARD["binding"]["put_on"].kind == Choice(("before", "after"))
    assert BOARD["board"]["radius"].kind == RadiusKind()
    assert BOARD["side_dots"]["height"].kind == LengthOr("auto", Length(0.2, 50))
    assert BOARD["face_dots"]["thickness"].kind == LengthOrPair(Length(0.1, 20))
    assert isinstance(PROFILE["motion"]["rapid"].kind, Numbers)
    frets = BOARD["face_dots"]["frets"]
    assert frets.many and frets.allowed.startswith("a list, each a whole number, 1 to ")


def test_a_key_says_whether_it_is_required_and_what_counts_without_it() -> None:
    width, margin, ends = (BOARD["fret_slots"][name] for name in ("width", "margin", "ends"))
    assert (width.required, width.default, width.usual) == (True, None, "")
    assert (margin.required, margin.default, margin.usual) == (False, 1.5, "1.5 mm")
    assert (ends.required, ends.default, ends.usual) == (False, None, "through, or stopped inside a binding that is on")
    assert PROFILE["spindle"]["start_delay"].usual == "4 s"
    assert BOARD["face_dots"]["double"].default == []


def test_every_value_has_a_kind_and_a_meaning() -> None:
    keys = [key for tables in (BOARD, PROFILE) for table in tables.values() for key in table.values()]
    assert all(key.kind is not None and key.table is None and key.meaning for key in keys)


def test_a_default_is_what_its_kind_takes() -> None:
    """As a form would fill it in: the default, written down, reads as the default."""
    keys = [key for tables in (BOARD, PROFILE) for table in tables.values() for key in table.values()]
    plain = [key for key in keys if isinstance(key.default, float | int | str) and key.name != "wood" and key.default]
    assert len(plain) > 30
    assert [key.name for key in plain if key.kind is None or key.kind.take(key.default, "mm") != key.default] == []
