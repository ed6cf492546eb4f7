"""Written lengths ("25 1/2 in", "6 mm") to millimetres, exactly.

    length   = [sign] number unit
    number   = decimal | fraction | whole (space or "-") fraction
    unit     = mm | cm | in | " | thou

Fractions are carried exactly; the result is rounded once, to the nearest float.
"""

import math
import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Final, Literal

Unit = Literal["mm", "in"]

MM_PER_UNIT: Final = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),  # exact since 1959: International Yard and Pound Agreement
    '"': Fraction(254, 10),
    "thou": Fraction(254, 10_000),
}
LONGEST_MM: Final = 100_000  # 100 m: far beyond any board or machine, far below float's end
LONGEST_TEXT: Final = 60  # characters; "25 63/64 in" has 11
FRACTION_SLASH: Final = "\u2044"  # what Unicode makes of the stroke in a fraction that is one sign
FINEST_FRACTION: Final = 64  # of an inch: as rules are divided
MOST_WRITTEN: Final = 4  # decimals of a mm: 1/16 in has them, 1.5875
SAME_MM: Final = 1e-9  # figures of one length differ by no more in their last bits
MOST_DECIMALS: Final = 6  # of a bare figure in inches, a micro-inch: more of them say nothing to a person

WRITTEN: Final = """mm, cm, in, " or thou, such as "6 mm", "1/64 in" or "25 1/2 in\""""

_NUMBER: Final = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?: (?P<decimal>\d+\.\d+|\.\d+)
      | (?: (?P<whole>\d+) (?:\s+|\s*-\s*) )? (?P<over>\d+)\s*/\s*(?P<under>\d+)
      | (?P<integer>\d+)
    )\s*(?P<unit>[^\d\s./⁄+-].*)?""",
    re.ASCII | re.VERBOSE | re.DOTALL,
)
_BARE: Final = re.compile(r"\s*[+-]?[0-9]*\.?[0-9]+\s*", re.ASCII)
_EXPONENT: Final = re.compile(r"\s*[+-]?[\d.]+[eE][+-]?\d+", re.ASCII)
_NEAR: Final = {
    "inch": "in", "inches": "in", "ins": "in", "inn": "in", "zoll": "in", "″": "in", "”": "in", "“": "in", "''": "in",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mil": "thou", "mils": "thou",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "thous": "thou",
}  # fmt: skip


class LengthError(ValueError):
    """A written length that cannot be taken: what was found, what is allowed, how to mend it."""

    def __init__(self, found: str, allowed: str = "", hint: str = "") -> None:
        self.found, self.allowed, self.hint = found, allowed, hint
        super().__init__(found)


def parse_length_mm(value: int | float | str, unit: Unit) -> float:
    """Give a length in mm, as written in a file whose bare numbers are in ``unit``.

    A number is taken as its shortest decimal form (what the file says), so 0.023 in is exactly
    0.5842 mm; a string must say its own unit.  Raises LengthError for anything else: no unit, an
    unknown unit, a comma, an exponent in a string, a denominator of 0, NaN, infinity, a truth value.

    >>> parse_length_mm("25 1/2 in", "mm"), parse_length_mm(0.023, "in"), parse_length_mm('1/4"', "mm")
    (647.7, 0.5842, 6.35)
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise LengthError(f"{shown(value)} is not a length", WRITTEN, 'write a number, or a string such as "6 mm"')
    exact_mm = _written_mm(value, unit) if isinstance(value, str) else _bare_mm(value, unit)
    if abs(exact_mm) > LONGEST_MM:
        raise LengthError(f"the length {shown(value)} is too large", f"at most {LONGEST_MM // 1000} m")
    return float(exact_mm)


def read_length_mm(text: str, unit: Unit) -> float:
    """Give a length in mm that a person typed: a bare number is in ``unit``, anything else says its own.

    Raises LengthError as ``parse_length_mm`` does.

    >>> read_length_mm("0.25", "in"), read_length_mm("25 1/2 in", "mm")
    (6.35, 647.7)
    """
    return parse_length_mm(float(text) if _BARE.fullmatch(text) else text, unit)


def write_length(length_mm: float, unit: Unit) -> str:
    """Give a length as TOML that reads back as the same float, in a file whose bare numbers are in ``unit``.

    In inches: a fraction that a rule has, else few decimals, else mm.  Raises LengthError where none of
    them gives the same float.

    >>> write_length(647.7, "mm"), write_length(647.7, "in"), write_length(0.5842, "in"), write_length(6.5, "in")
    ('647.7', '"25 1/2 in"', '0.023', '"6.5 mm"')
    """
    shortest_mm = repr(float(length_mm)).removesuffix(".0")
    if unit == "mm":
        return shortest_mm
    texts = (_inch_fraction(length_mm), *_inch_decimals(length_mm), f"{Decimal(shortest_mm):f} mm")
    for text in texts:
        quoted = not text[-1].isdigit()
        if len(text) <= LONGEST_TEXT and parse_length_mm(text if quoted else float(text), "in") == length_mm:
            return f'"{text}"' if quoted else text
    raise LengthError(f"{shortest_mm} mm cannot be written in a file of inches", hint="write the file in mm")


def figure_in(length_mm: float, unit: Unit, decimals: int = 2) -> str:
    """Give a length as a bare figure for people: so many decimals in mm, one more in inches; never minus zero.

    >>> figure_in(35.182, "mm"), figure_in(35.182, "in"), figure_in(0.58, "in", 3), figure_in(-0.001, "mm")
    ('35.18', '1.385', '0.0228', '0.00')
    """
    more = 0 if unit == "mm" else 1
    return f"{round(length_mm / float(MM_PER_UNIT[unit]), decimals + more) + 0.0:.{decimals + more}f}"


def told_in(length_mm: float, unit: Unit, decimals: int = 2) -> str:
    """Give a length for people, with its unit.

    >>> told_in(35.182, "mm"), told_in(35.182, "in"), told_in(448.0, "mm", 1)
    ('35.18 mm', '1.385 in', '448.0 mm')
    """
    return f"{figure_in(length_mm, unit, decimals)} {unit}"


def _inch_fraction(length_mm: float) -> str:
    parts = round(length_mm / float(MM_PER_UNIT["in"]) * FINEST_FRACTION)
    whole, rest = divmod(Fraction(abs(parts), FINEST_FRACTION), 1)
    sign = "-" if parts < 0 else ""
    return f"{sign}{whole}" if rest == 0 else f"{sign}{f'{whole} ' if whole else ''}{rest} in"


def _inch_decimals(length_mm: float) -> Iterator[str]:
    for decimals in range(1, MOST_DECIMALS + 1):
        yield f"{length_mm / float(MM_PER_UNIT['in']):.{decimals}f}"


def as_written(length_mm: float, decimals: int = 2) -> str:
    """Give a length that a person wrote, in mm: so many decimals, or more of them where it has more, up to four.

    >>> as_written(6.0), as_written(3.175), as_written(0.5842), as_written(2.123456)
    ('6.00 mm', '3.175 mm', '0.5842 mm', '2.12 mm')
    """
    for more in range(decimals, MOST_WRITTEN + 1):
        if math.isclose(float(f"{length_mm:.{more}f}"), length_mm, abs_tol=SAME_MM):
            return f"{length_mm:.{more}f} mm"
    return f"{length_mm:.{decimals}f} mm"


def shown(value: object) -> str:
    """Give a value as a message shows it: short, printable, text in quotation marks."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > 10**LONGEST_TEXT:
        return "a number of very many digits"
    shown = f'"{value}"' if isinstance(value, str) else str(value)
    shown = "".join(letter if letter.isprintable() else "?" for letter in shown)
    return shown if len(shown) <= LONGEST_TEXT else f"{shown[: LONGEST_TEXT - 3]}..."


def _bare_mm(value: int | float, unit: Unit) -> Fraction:
    if isinstance(value, float) and not math.isfinite(value):
        raise LengthError(f"{value} is not a length", "a finite number")
    number = Fraction(value) if isinstance(value, int) else Fraction(repr(value))
    return number * MM_PER_UNIT[unit]


def _written_mm(text: str, unit: Unit) -> Fraction:
    stripped = text.strip()
    if not stripped or len(text) > LONGEST_TEXT:
        raise LengthError(f"{shown(text)} is not a length", WRITTEN)
    if "," in stripped:
        hint = f'write a decimal point: "{stripped.replace(",", ".")}"' if stripped.count(",") == 1 else ""
        raise LengthError(f"{shown(text)} has a comma", "digits and a decimal point", hint)
    if plain := _fraction_in_full(stripped):
        raise LengthError(f"{shown(text)} has a fraction that is one sign", "digits and /", f'write "{plain}"')
    if _EXPONENT.match(stripped):
        raise LengthError(f"{shown(text)} has an exponent", "plain digits", "write the number out in digits")
    match = _NUMBER.fullmatch(stripped)
    if match is None:
        raise LengthError(f"{shown(text)} is not a length", WRITTEN, _form_hint(stripped))
    return _number(match, text) * _unit(match["unit"], text, unit)


def _number(match: re.Match[str], text: str) -> Fraction:
    sign = -1 if match["sign"] == "-" else 1
    if match["under"] is None:
        return sign * Fraction(match["decimal"] or match["integer"])
    whole, over, under = int(match["whole"] or 0), int(match["over"]), int(match["under"])
    if under == 0:
        raise LengthError(f"{shown(text)} divides by 0", "a denominator of 1 or more")
    if match["whole"] is not None and over >= under:
        raise LengthError(
            f"{shown(text)}: after a whole number the fraction must be less than 1",
            'such as "25 1/2 in"',
        )
    return sign * (whole + Fraction(over, under))


def _unit(unit: str | None, text: str, usual: Unit) -> Fraction:
    if unit is None:
        bare = "" if "/" in text else ", or leave the quotation marks out"
        raise LengthError(f"{shown(text)} has no unit", WRITTEN, f'write "{text.strip()} {usual}"{bare}')
    name = unit.strip()
    if name not in MM_PER_UNIT:
        from difflib import get_close_matches  # only mistakes need it

        close = get_close_matches(name.lower(), list(MM_PER_UNIT), n=1, cutoff=0.5)
        right = _NEAR.get(name.lower()) or (close[0] if close else "")
        raise LengthError(f"unknown unit {shown(name)}", WRITTEN, f'did you mean "{right}"?' if right else "")
    return MM_PER_UNIT[name]


def _fraction_in_full(text: str) -> str:
    """Write a fraction that is one sign (½) in digits; nothing where there is none.

    >>> _fraction_in_full("25½ in"), _fraction_in_full('¼"'), _fraction_in_full("25 1/2 in")
    ('25 1/2 in', '1/4 in', '')
    """
    if all(letter.isascii() for letter in text):
        return ""
    from unicodedata import normalize  # only mistakes need it

    whole = "".join(
        f" {plain.replace(FRACTION_SLASH, '/')} " if FRACTION_SLASH in (plain := normalize("NFKD", letter)) else letter
        for letter in text
    )
    inches = whole.replace('"', " in").replace("″", " in")
    return " ".join(inches.split()) if whole != text and FRACTION_SLASH not in text else ""


def _form_hint(text: str) -> str:
    if any(not letter.isascii() for letter in text):
        return 'write plain digits, - and /, such as "1/4 in"'
    return ""
