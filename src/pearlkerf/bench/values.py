"""What people type in a field, and what then stands in the file; and back, a file's value as a field shows it.

    field           file
    0.58            0.58            a bare number, in the file's unit
    25 1/2 in       "25 1/2 in"     a length that says its own
    3, 5, 7         [3, 5, 7]
    1.4 to 1.6      [1.4, 1.6]      where one figure or two may stand
    10 in | 16 in   { nut = "10 in", end = "16 in" }, typed in a field for each

Nothing is judged here: what cannot stand where it is typed is refused by who reads the file, beside its field.
"""

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.board.kinds import (
    AcrossKind,
    EndKind,
    RadiusKind,
    ScaleLength,
    StationKind,
    StringsKind,
    WidthAtKind,
)
from pearlkerf.board.writer import quoted
from pearlkerf.files.toml_keys import Key
from pearlkerf.files.toml_values import (
    Choice,
    Flag,
    Kind,
    Length,
    LengthOr,
    LengthOrPair,
    Number,
    Numbers,
    Ratio,
    Text,
    Whole,
    WholeOrName,
)
from pearlkerf.machine.holding import Span

WHOLE: Final = re.compile(r"[+-]?[0-9]{1,18}")
DECIMAL: Final = re.compile(r"[+-]?(?:[0-9]+\.[0-9]*|\.[0-9]+)")
BETWEEN: Final = re.compile(r"\s*(?:,|;|\n|\bto\b)\s*")
LONE_COMMA: Final = re.compile(r"(?<![0-9.,])[0-9]+,[0-9]+(?![0-9.,])")
KEPT: Final = "\0"  # what no field holds
BETWEEN_FIGURES: Final = re.compile(r"[\s,;]+")
BETWEEN_ROWS: Final = re.compile(r"\s*[;\n]\s*")

Typed = str | Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Field:
    """How values of a kind are typed.

    ``control`` is what the page shows; ``parts`` names the fields of a value of several, ``alone`` says that one may
    stand for all of them; ``take`` makes one value of what is typed.
    """

    control: str
    take: Callable[[str], Any]
    parts: tuple[str, ...] = ()
    alone: bool = False
    words: tuple[str, ...] = ()


def bare(text: str) -> Any:
    """Give a number for what is written as one, else the text.

    >>> bare("0.58"), bare("12"), bare("25 1/2 in"), bare("6,5")
    (0.58, 12, '25 1/2 in', '6,5')
    """
    if WHOLE.fullmatch(text):
        return int(text)
    return float(text) if DECIMAL.fullmatch(text) else text


def number_or_name(text: str) -> Any:
    """Give a whole number, or a name; one that is made of figures stands in quotation marks.

    >>> number_or_name("3"), number_or_name("6+"), number_or_name('"3"')
    (3, '6+', '3')
    """
    quoted = len(text) > 1 and text[0] == text[-1] == '"'
    return text[1:-1] if quoted else bare(text)


def as_text(text: str) -> str:
    """Give what is typed as it is."""
    return text


def truth(text: str) -> Any:
    """Give true or false for these words, else the text."""
    return {"true": True, "false": False}.get(text, text)


def one_or_more(text: str) -> Any:
    """Give one value, or a list of them where several are typed.

    >>> one_or_more("1.4"), one_or_more("1.4 to 1.6"), one_or_more("-20, 20"), one_or_more("1,5")
    (1.4, [1.4, 1.6], [-20, 20], '1,5')
    """
    values = lengths(text)
    return values[0] if len(values) == 1 else values


def several(text: str) -> list[Any]:
    """Give a list of values, parted by commas."""
    return [bare(part) for part in BETWEEN.split(text.strip()) if part]


def lengths(text: str) -> list[Any]:
    """Give a list of lengths; a lone comma between figures, as decimals are written in many countries, parts none.

    It is left to who reads the file, who refuses it: 1,5 is nobody's 1 and 5.

    >>> lengths("35.47, 68,95 mm"), lengths("35.47,68.95"), lengths("12,15,18")
    ([35.47, '68,95 mm'], [35.47, 68.95], [12, 15, 18])
    """
    held = LONE_COMMA.sub(lambda lone: lone[0].replace(",", KEPT), text.strip())
    return [bare(part.replace(KEPT, ",")) for part in BETWEEN.split(held) if part]


def written_out(text: str) -> Any:
    """Give the value of TOML that is typed as TOML, else as ``bare`` does: for kinds that no field is made for."""
    if text.startswith(("{", "[", '"')):
        try:
            return tomllib.loads(f"value = {text}")["value"]
        except (ValueError, RecursionError):
            return text
    return truth(bare(text)) if isinstance(bare(text), str) else bare(text)


FIELDS: Final[Mapping[type, Field]] = MappingProxyType({
    Length: Field("length", bare),
    LengthOr: Field("length", bare),
    LengthOrPair: Field("length", one_or_more),
    AcrossKind: Field("length", bare, words=("bass", "treble")),
    Number: Field("figure", bare),
    Whole: Field("figure", bare),
    WholeOrName: Field("figure", number_or_name),
    Numbers: Field("figure", several),
    Ratio: Field("figure", as_text),
    Choice: Field("choice", as_text),
    Flag: Field("flag", truth),
    Text: Field("text", as_text),
    StationKind: Field("figure", several),
    StringsKind: Field("figure", several),
    Span: Field("length", lengths),
    RadiusKind: Field("length", bare, ("nut", "end"), alone=True, words=("flat",)),
    ScaleLength: Field("length", bare, ("bass", "treble"), alone=True),
    WidthAtKind: Field("length", bare, ("fret", "width")),
    EndKind: Field("length", bare, ("arc",), alone=True, words=("square", "slanted")),
})  # fmt: skip
OF_OTHERS: Final = Field("text", written_out)


def field_of(kind: Kind | None) -> Field:
    """Give how values of a kind are typed."""
    return FIELDS.get(type(kind), OF_OTHERS)


def typed_value(key: Key, typed: Typed) -> Any:
    """Give what stands in the file for what is typed; None where nothing is, and the key is left out."""
    field = field_of(key.kind)
    if isinstance(typed, Mapping):
        parts = {name: field.take(text.strip()) for name, text in typed.items() if text.strip()}
        return parts or None
    text = typed.strip() if field.control != "text" else typed
    if not text and not (key.required and field.control == "text"):
        return None
    if field.alone and text.startswith("{"):
        return written_out(text)
    return _list(field, text) if key.many else field.take(text)


def _list(field: Field, text: str) -> list[Any]:
    if text.startswith("["):
        found = written_out(text)
        return found if isinstance(found, list) else [found]
    if field is OF_OTHERS:
        return [written_out(row) for row in text.splitlines() if row.strip()]
    if field.take is as_text:
        return [field.take(part.strip()) for part in text.split(",") if part.strip()]
    if field.take is several:  # rows
        return [several(row) for row in BETWEEN_ROWS.split(text) if row]
    if field.control == "length":
        return lengths(text)
    if "," in text:
        return [field.take(part) for part in BETWEEN.split(text) if part]
    return [field.take(part) for part in BETWEEN_FIGURES.split(text) if part]


def shown_value(key: Key, value: Any) -> Typed:
    """Give a file's value as its field shows it: a text, or one for each part."""
    field = field_of(key.kind)
    if field.take is number_or_name and isinstance(value, list):
        return ", ".join(
            f'"{each}"' if isinstance(each, str) and WHOLE.fullmatch(each) else _plain(each) for each in value
        )
    if isinstance(value, dict) and field.parts and set(value) <= set(field.parts):
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, list) and field is OF_OTHERS:
        return "\n".join(_toml(row) if isinstance(row, dict | list) else _plain(row) for row in value)
    if isinstance(value, list) and value and all(isinstance(row, list) for row in value):
        return "\n".join(", ".join(map(_plain, row)) for row in value)
    return _plain(value)


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return ", ".join(map(_plain, value))
    return _toml(value) if isinstance(value, dict) else str(value)


def _toml(value: Any) -> str:
    """Write a value as it stands within a line of TOML."""
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{name} = {_toml(part)}' for name, part in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return quoted(value) if isinstance(value, str) else _plain(value)
