"""TOML with places: checked tables, unknown keys refused, line and column for every key.

    bytes ─> text ─> tomllib ─> data ─> a model (voluptuous), or Problems with their places
                 └──> own scanner ─> where every key stands

The scanner runs after tomllib accepted the text, so it may trust the syntax; on text that tomllib
refused it goes as far as it can, to name the key that the fault stands in.
"""

import bisect
import contextlib
import json
import re
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.errors import Problem, Refusal

Path = tuple[str | int, ...]

MOST_BYTES: Final = 1 << 20  # 1 MiB
LONGEST_LINE: Final = 4000  # characters
MOST_PARTS: Final = 32  # of one dotted key; tomllib's time and memory grow with their square

_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")
_KEY_PART: Final = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
_LONG_KEY: Final = re.compile(rf"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){{{MOST_PARTS}}}""")
_LONG_LINE: Final = re.compile(rf"[^\n]{{{LONGEST_LINE + 1}}}")
_SPACE: Final = re.compile(r"[ \t]*")
_GAP: Final = re.compile(r"(?:[ \t\n]+|#[^\n]*)*")
_REST_OF_LINE: Final = re.compile(r"[^\n]*")
_SCALAR: Final = re.compile(
    r'"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}'
    r"|'''(?:[^']++|'{1,2}(?!'))*+'{3,5}"
    r'|"(?!"")(?:[^"\\\n]++|\\.)*+"'
    r"|'(?!'')[^'\n]*'"
    r"""|[^\s,\]\}#"'\[\{][^,\]\}#\n]*""",
    re.DOTALL,
)
_HOSTILE: Final = (
    (re.compile("\0"), "a zero byte", "text"),
    (_LONG_LINE, "a very long line", f"lines of at most {LONGEST_LINE} characters"),
    (_LONG_KEY, "a key of very many parts", f"at most {MOST_PARTS} parts"),
)
_TOMLLIB_PLACE: Final = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
MANY_LINES: Final = ("[", '"""', "'''")  # the starts of values that may go on in the next line
_COMMA_NUMBER: Final = re.compile(r"\s*([+-]?\d+),(\d+)\s*(?:#.*)?$")
_POINT_FIRST: Final = re.compile(r"\s*([+-]?)\.(\d+)\s*(?:#.*)?$")
_POINT_LAST: Final = re.compile(r"\s*([+-]?\d+)\.\s*(?:#.*)?$")
_FRACTION: Final = re.compile(r"(?:\d+[ -])?\d+/\d+")
_IN_INCHES: Final = re.compile(r"""^[ \t]*unit[ \t]*=[ \t]*["']in["']""", re.MULTILINE)
_BARE_TEXT: Final = re.compile(r"\s*([^\s\"'\[{#][^#\"']*?)\s*(?:#.*)?$")


def dotted(path: Path) -> str:
    """Give a path as it is written in messages, quoting what is not a bare key.

    >>> dotted(("cutter", 0, "length of cut"))
    'cutter.0."length of cut"'
    """
    parts = (str(part) for part in path)
    return ".".join(part if _BARE_KEY.fullmatch(part) else json.dumps(part)[:80] for part in parts)


@dataclass(frozen=True, slots=True)
class Places:
    """Where every key of one file stands: line and column, 1-based, by dotted key."""

    file: str
    spots: Mapping[str, tuple[int, int]]

    def put(self, problem: Problem) -> Problem:
        """Give the problem with its place; a key that is not written gets its table's, or only the file."""
        key = problem.key
        while key and key not in self.spots:
            key = key.rpartition(".")[0]
        return problem.at(self.file, *self.spots[key]) if key else problem.at(self.file)


@dataclass(frozen=True, slots=True)
class Tables:
    """A TOML file that could be read: its data, and where its keys stand."""

    data: dict[str, Any]
    places: Places


def read_tables(text: bytes, file: str, several: Collection[str] = ()) -> Tables:
    """Read TOML from bytes: UTF-8, a BOM allowed, at most 1 MiB; ``several`` are tables that there may be many of.

    Raises Refusal with one Problem, placed, for text that is too large, not UTF-8 or not TOML.
    """
    plain = _decoded(text, file)
    try:
        data = tomllib.loads(plain)
        spots = locate_keys(plain)
    except RecursionError:
        raise Refusal([Problem("arrays or tables are nested too deeply", "a few levels", file=file)]) from None
    except ValueError as wrong:  # tomllib's own error, or a number of thousands of digits
        raise Refusal([_syntax_problem(plain, str(wrong), file, several)]) from None
    return Tables(data, Places(file, {dotted(path): spot for path, spot in spots.items()}))


def _decoded(text: bytes, file: str) -> str:
    if len(text) > MOST_BYTES:
        raise Refusal([Problem(f"the file has {len(text)} bytes or more", f"at most {MOST_BYTES} bytes", file=file)])
    body = text.removeprefix(b"\xef\xbb\xbf")
    try:
        plain = body.decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError as wrong:
        line, start = body.count(b"\n", 0, wrong.start) + 1, body.rfind(b"\n", 0, wrong.start) + 1
        found = f"byte 0x{body[wrong.start]:02X} is not UTF-8 text"
        column = len(body[start : wrong.start].decode("utf-8")) + 1
        raise Refusal([Problem(found, "UTF-8", "save the file as UTF-8", "", file, line, column)]) from None
    for hostile, found, allowed in _HOSTILE:
        if match := hostile.search(plain):
            raise Refusal([Problem(found, allowed).at(file, *_Lines(plain).place(match.start()))])
    return plain


class _Lines:
    """Turns an offset into line and column, both 1-based."""

    def __init__(self, text: str) -> None:
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def place(self, offset: int) -> tuple[int, int]:
        line = bisect.bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1

    def offset(self, line: int, column: int) -> int:
        return self._starts[min(line, len(self._starts)) - 1] + column - 1


def locate_keys(text: str) -> dict[Path, tuple[int, int]]:
    """Give line and column (1-based) of every key and array element of right TOML text with LF ends.

    An array of tables stands where its first [[header]] is, its elements at their own headers.

    >>> locate_keys('[scale]\\nfrets = 20\\n')
    {('scale',): (1, 2), ('scale', 'frets'): (2, 1)}
    """
    scanner = _Scanner(text)
    scanner.scan()
    lines = _Lines(text)
    return {path: lines.place(offset) for path, offset in scanner.offsets.items()}


class _Lost(Exception):
    """The scanner met text that is not TOML."""


@dataclass(frozen=True, slots=True)
class _Statement:
    """One header or one key with its value: where it starts, what it names, where its value starts."""

    offset: int
    path: Path
    value: int


class _Scanner:
    """Walks TOML text once and notes where each key stands."""

    def __init__(self, text: str) -> None:
        self.offsets: dict[Path, int] = {}
        self.statements: list[_Statement] = []
        self.duplicate: tuple[Path, int, int] | None = None  # path, its first offset, its second
        self._text = text
        self._at = 0
        self._table: Path = ()
        self._defined: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}

    def scan(self) -> None:
        """Walk the whole text; raises _Lost where it is not TOML."""
        self._skip(_GAP)
        while self._at < len(self._text):
            if self._text.startswith("[", self._at):
                self._header()
            else:
                self._key_and_value(self._table)
            self._skip(_REST_OF_LINE)
            self._skip(_GAP)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self._text, self._at)
        self._at = match.end() if match else self._at

    def _take(self, mark: str) -> bool:
        found = self._text.startswith(mark, self._at)
        self._at += len(mark) if found else 0
        return found

    def _must(self, mark: str) -> None:
        if not self._take(mark):
            raise _Lost

    def _key(self) -> list[tuple[str, int]]:
        parts: list[tuple[str, int]] = []
        while True:
            self._skip(_SPACE)
            match = _KEY_PART.match(self._text, self._at)
            if match is None:
                raise _Lost
            parts.append((_unquoted(match[0]), self._at))
            self._at = match.end()
            self._skip(_SPACE)
            if not self._take("."):
                return parts

    def _header(self) -> None:
        start = self._at
        self._must("[")
        array = self._take("[")
        parts = self._key()
        path: Path = ()
        for name, offset in parts[:-1]:
            path = (*path, name)
            self.offsets.setdefault(path, offset)
            path = (*path, self._counts[path]) if path in self._counts else path
        path = (*path, parts[-1][0])
        if array:
            self._counts[path] = self._counts.get(path, -1) + 1
            self.offsets.setdefault(path, parts[-1][1])
            path = (*path, self._counts[path])
        self._define(path, start, parts[-1][1])
        self.offsets[path] = parts[-1][1]
        self._table = path
        self._must("]]" if array else "]")

    def _key_and_value(self, table: Path) -> None:
        start = self._at
        path = table
        parts = self._key()
        for name, offset in parts:
            path = (*path, name)
            self.offsets.setdefault(path, offset)
        self._define(path, start, parts[0][1])
        self._must("=")
        self._skip(_SPACE)
        self._value(path)

    def _define(self, path: Path, start: int, offset: int) -> None:
        self._skip(_SPACE)
        self.statements.append(_Statement(start, path, self._at + 1))
        if path in self._defined and self.duplicate is None:
            self.duplicate = (path, self._defined[path], offset)
        self._defined.setdefault(path, offset)

    def _value(self, path: Path) -> None:
        if self._take("["):
            self._array(path)
        elif self._take("{"):
            self._inline_table(path)
        else:
            match = _SCALAR.match(self._text, self._at)
            if match is None:
                raise _Lost
            self._at = match.end()

    def _array(self, path: Path) -> None:
        index = 0
        self._skip(_GAP)
        while not self._take("]"):
            self.offsets[(*path, index)] = self._at
            self._value((*path, index))
            self._skip(_GAP)
            if not self._take(","):
                self._must("]")
                return
            self._skip(_GAP)
            index += 1

    def _inline_table(self, path: Path) -> None:
        self._skip(_SPACE)
        while not self._take("}"):
            self._key_and_value(path)
            self._skip(_SPACE)
            if not self._take(","):
                self._must("}")
                return
            self._skip(_SPACE)


def _unquoted(part: str) -> str:
    if part.startswith("'"):
        return part[1:-1]
    if part.startswith('"'):
        try:
            return str(tomllib.loads(f"key = {part}")["key"])
        except tomllib.TOMLDecodeError:
            raise _Lost from None
    return part


def _syntax_problem(text: str, message: str, file: str, several: Collection[str]) -> Problem:
    """Make a Problem of tomllib's message; the place and the key come from the scanner where it has none."""
    scanner, lines = _Scanner(text), _Lines(text)
    with contextlib.suppress(_Lost, RecursionError):  # as far as it came: the statement that lost it is noted
        scanner.scan()
    stated = _TOMLLIB_PLACE.search(message)
    what = message[: stated.start()] if stated else message
    if scanner.duplicate is not None and what.startswith(("Cannot", "Duplicate")):
        path, first, second = scanner.duplicate
        many = f"write [[{path[0]}]] for each of them" if path in {(name,) for name in several} else ""
        hint = f"{many or 'leave one of the two'}; the first is on line {lines.place(first)[0]}"
        return Problem("is written twice", "each key once", hint, dotted(path), file, *lines.place(second))
    found = f"not TOML: {what[:1].lower()}{what[1:]}"
    offset = lines.offset(int(stated[1]), int(stated[2])) if stated and stated[1] else None
    before = [statement for statement in scanner.statements if offset is None or statement.offset <= offset]
    if not before:
        return Problem(found).at(file, *lines.place(offset or 0))
    statement = before[-1]
    place = lines.place(statement.offset if offset is None else offset)
    value = text[statement.value :].lstrip()
    if place[0] != lines.place(statement.offset)[0] and not value.startswith(MANY_LINES):
        return Problem(found).at(file, *place)  # the statement before is whole: this line names no key
    hint = _syntax_hint(value.split("\n", 1)[0], "in" if _IN_INCHES.search(text) else "mm")
    return Problem(found, "", hint, dotted(statement.path)).at(file, *place)


def _syntax_hint(value: str, unit: str) -> str:
    if point := _POINT_FIRST.match(value):
        return f"write a nought before the point: {point[1]}0.{point[2]}"
    if point := _POINT_LAST.match(value):
        return f"write a nought behind the point: {point[1]}.0"
    if comma := _COMMA_NUMBER.match(value):
        return f"write a decimal point: {comma[1]}.{comma[2]}"
    if value.lstrip().startswith("["):
        return "close the list with ]"
    if (bare := _BARE_TEXT.match(value)) and len(bare[1]) <= 40:
        said = f"{bare[1]} {unit}" if _FRACTION.fullmatch(bare[1]) else bare[1]
        return f'put text and lengths with a unit in quotation marks: "{said}"'
    return ""
