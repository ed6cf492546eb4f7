"""TOML with places: every key where it stands, and faults of the text told with place and key."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.toml_tables import LONGEST_LINE, MOST_BYTES, locate_keys, read_tables

NASTY = '''\
# [fake]
title = """
[not.a.table]
key = 1 \\""" still text"""
lit = \'\'\'x = "1" # no\'\'\'
a.b . "c d" = 1
[t."x.y"]
n = [ 1, [2, # ]
  "],"], {p = 1, q.r = "}"} ]
when = 1979-05-27 07:32:00
[[c]]
k = 1
[c.sub]
z = {}
[[c]]
k = 2
[[c.inner]]
m = 'a\\'
'''


def test_every_key_of_a_nasty_file_is_found_where_it_stands() -> None:
    # Counted by hand in the text above.
    assert locate_keys(NASTY) == {
        ("title",): (2, 1),
        ("lit",): (5, 1),
        ("a",): (6, 1),
        ("a", "b"): (6, 3),
        ("a", "b", "c d"): (6, 7),
        ("t",): (7, 2),
        ("t", "x.y"): (7, 4),
        ("t", "x.y", "n"): (8, 1),
        ("t", "x.y", "n", 0): (8, 7),
        ("t", "x.y", "n", 1): (8, 10),
        ("t", "x.y", "n", 1, 0): (8, 11),
        ("t", "x.y", "n", 1, 1): (9, 3),
        ("t", "x.y", "n", 2): (9, 10),
        ("t", "x.y", "n", 2, "p"): (9, 11),
        ("t", "x.y", "n", 2, "q"): (9, 18),
        ("t", "x.y", "n", 2, "q", "r"): (9, 20),
        ("t", "x.y", "when"): (10, 1),
        ("c",): (11, 3),
        ("c", 0): (11, 3),
        ("c", 0, "k"): (12, 1),
        ("c", 0, "sub"): (13, 4),
        ("c", 0, "sub", "z"): (14, 1),
        ("c", 1): (15, 3),
        ("c", 1, "k"): (16, 1),
        ("c", 1, "inner"): (17, 5),
        ("c", 1, "inner", 0): (17, 5),
        ("c", 1, "inner", 0, "m"): (18, 1),
    }


def paths_of(data: Any, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """Every path of what tomllib read: the outside word on which keys there are."""
    found = {path} if path else set()
    pairs = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for name, inner in pairs:
        found |= paths_of(inner, (*path, name))
    return found


bare = st.from_regex(r"[A-Za-z0-9_-]{1,4}", fullmatch=True)
quoted = st.sampled_from(['"a.b"', "'c d'", '"\\u00e9"', '"[x]"', '"#"', "''", '"q\\"q"'])
gap = st.sampled_from(["", " ", "\t"])
newline = st.sampled_from(["\n", "\n\n", " # note = [1]\n", "\n# [t]\n"])
scalar = st.sampled_from([
    "1", "-0.5", "inf", "true", '"x"', "'y = 1'", '"\\"#"', '"""\n[t]\nk = 1"""', "'''it''s'''", '"""a""b\\""""', '""',
    "''",
    "1979-05-27", "1979-05-27 07:32:00Z", '""""quoted" """', "0x1F",
])  # fmt: skip


@st.composite
def key(draw: st.DrawFn) -> str:
    parts = draw(st.lists(st.one_of(bare, quoted), min_size=1, max_size=3))
    return f"{draw(gap)}.{draw(gap)}".join(parts)


value = st.recursive(
    scalar,
    lambda inner: st.one_of(
        st.builds(
            lambda parts, line, end: "[" + line + ("," + line).join(parts) + (end if parts else "") + "]",
            st.lists(inner, max_size=3),
            st.sampled_from(["", " ", "\n", " # ]\n"]),
            st.sampled_from(["", ",", "\n", ", # }\n"]),
        ),
        st.builds(lambda pairs: "{ " + ", ".join(f"{name} = {part}" for name, part in pairs) + " }",
                  st.lists(st.tuples(key(), inner), max_size=2)),
    ),
    max_leaves=5,
)  # fmt: skip


@st.composite
def document(draw: st.DrawFn) -> str:
    lines = []
    for _ in range(draw(st.integers(0, 7))):
        form = draw(st.sampled_from(["pair", "pair", "table", "array"]))
        name = draw(key())
        body = {"pair": f"{name} = ", "table": f"[{name}]", "array": f"[[{name}]]"}[form]
        lines.append(body + (draw(value) if form == "pair" else "") + draw(newline))
    return "".join(lines)


@given(document())
def test_the_keys_found_are_those_that_tomllib_reads(text: str) -> None:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        with pytest.raises(Refusal) as refused:
            read_tables(text.encode(), "a.toml")
        assert refused.value.problems[0].line is not None
        return
    spots = locate_keys(text)
    assert set(spots) == paths_of(data)
    lines = text.split("\n")
    for path, (line, column) in spots.items():
        if isinstance(path[-1], str) and path[-1].isidentifier() and path[-1].isascii():
            assert lines[line - 1][column - 1 :].startswith(path[-1])


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(text: bytes) -> None:
    try:
        assert isinstance(read_tables(text, "a.toml").data, dict)
    except Refusal as refused:
        assert len(refused.problems) == 1


def refusal(text: bytes) -> Problem:
    with pytest.raises(Refusal) as refused:
        read_tables(text, "a.toml")
    (problem,) = refused.value.problems
    return problem


@pytest.mark.parametrize(
    ("text", "line", "column", "key", "found", "hint"),
    [
        (b"[scale]\nlength = 6,5\n", 2, 11, "scale.length", "not TOML", "write a decimal point: 6.5"),
        (b"[scale]\nlength = 6 mm\n", 2, 12, "scale.length", "not TOML", 'quotation marks: "6 mm"'),
        (b"[scale]\nlength 6\n", 2, 8, "scale.length", "not TOML", ""),
        (b"a = 1\nb = 2\na = 3\n", 3, 1, "a", "is written twice", "the first is on line 1"),
        (b"[t]\nx = 1\n\n[t]\n", 4, 2, "t", "is written twice", "line 1"),
        (b"[t]\nx = 1\nx = 2", 3, 1, "t.x", "is written twice", "line 2"),
        (b"a = 1\nfrets = [1, 2\nb = 3\n", 3, 1, "frets", "not TOML", "close the list with ]"),
        (b"frets = [1, 2", 1, 1, "frets", "not TOML", "close the list with ]"),
        (b'a = 1\ntitle = "open\n', 2, None, "title", "not TOML", ""),
        (b"= 1\n", 1, 1, "", "not TOML", ""),
        (b"x = \xff\n", 1, 5, "", "byte 0xFF is not UTF-8", "save the file as UTF-8"),
        ("é = 1\ny = 'é".encode() + b"\xfe'", 2, 7, "", "byte 0xFE is not UTF-8", "UTF-8"),
        (b"x = 1\ny = '\0'", 2, 6, "", "a zero byte", ""),
        (b"x = 1\n# " + b"x" * LONGEST_LINE, 2, 1, "", "a very long line", ""),
        (b"x = 1\n" + b"a." * 40 + b"b = 1", 2, 1, "", "a key of very many parts", ""),
        (b"x = 1\nk = {'a' . " + b'"a" . ' * 40 + b"b = 1}", 2, 6, "", "a key of very many parts", ""),
        (b"#" * (MOST_BYTES + 1), None, None, "", "bytes", ""),
        (b"\n".join([b"x = [", *[b"[" * 1000] * 20]), None, None, "", "nested too deeply", ""),
        (b"\n" + b"x = " + b"9" * 4000 + b"", 2, None, "", "a very long line", ""),
    ],
)  # fmt: skip
def test_a_fault_of_the_text_is_told_with_its_place(
    text: bytes, line: int | None, column: int | None, key: str, found: str, hint: str
) -> None:
    problem = refusal(text)
    assert (problem.line, problem.key) == (line, key)
    assert column is None or problem.column == column
    assert found in problem.found
    assert hint in problem.hint
    assert "(at line" not in str(problem)


def test_a_byte_order_mark_and_dos_line_ends_are_accepted() -> None:
    tables = read_tables(b"\xef\xbb\xbfa = 1\r\n[t]\r\nb = '\xc3\xa9'\r\n", "a.toml")
    assert tables.data == {"a": 1, "t": {"b": "é"}}
    assert tables.places.spots == {"a": (1, 1), "t": (2, 2), "t.b": (3, 1)}


def test_a_key_that_is_not_written_gets_the_place_of_its_table_or_only_the_file() -> None:
    places = read_tables(b"[face_dots]\nfrets = [3, 99]\n", "a.toml").places
    assert str(places.put(Problem("x", key="face_dots.frets.1"))) == "a.toml:2:13: face_dots.frets.1: x"
    assert str(places.put(Problem("x", key="face_dots.spacing"))) == "a.toml:1:2: face_dots.spacing: x"
    assert str(places.put(Problem("x", key="side_dots.depth"))) == "a.toml: side_dots.depth: x"
    assert str(places.put(Problem("x"))) == "a.toml: x"
