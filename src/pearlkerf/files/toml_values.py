"""The kinds of value that a table may hold, each with what it allows; made for ``Annotated`` fields.

The bare numbers of a file mean its unit; None for it (the file's own unit could not be read) takes
bare numbers without judging their size.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, Literal, Protocol

from pearlkerf.files.lengths import LengthError, Unit, parse_length_mm, shown

NAMES: Final = {"mm": "mm", "in": "inches"}
HIGHEST_RATIO: Final = 64  # six octaves
NEAR: Final = 0.6  # share of letters in common from which a word is offered as the one that was meant


class WrongValue(ValueError):
    """A value that cannot be taken: what was found, what is allowed, how to mend it."""

    def __init__(self, found: str, allowed: str = "", hint: str = "") -> None:
        self.found, self.allowed, self.hint = found, allowed, hint
        super().__init__(found)


class Kind(Protocol):
    """One kind of value: the words for what it allows, and the check that takes or refuses it."""

    @property
    def allowed(self) -> str:
        """Say what may stand here."""

    def take(self, value: object, unit: Unit | None) -> Any:
        """Give the value as the program holds it; raises WrongValue."""


class Checked:
    """Marks a Kind as the only check of a field."""


def nearest(word: str, right: list[str]) -> str:
    """Give the right word nearest to a mistyped one, or nothing.

    >>> nearest("thicknes", ["length", "thickness"])
    'thickness'
    """
    from difflib import get_close_matches  # only mistakes need it

    lowered = {candidate.lower(): candidate for candidate in right}
    close = get_close_matches(word.lower()[:80], list(lowered), n=1, cutoff=NEAR)
    return lowered[close[0]] if close else ""


def mm_text(length_mm: float, unit: Unit | None = "mm") -> str:
    """Give a length for a message, in mm and, in a file of inches, in inches too.

    >>> mm_text(6.35, "in")
    '6.35 mm (0.25 in)'
    """
    return f"{length_mm:g} mm ({length_mm / 25.4:.4g} in)" if unit == "in" else f"{length_mm:g} mm"


@dataclass(frozen=True, slots=True)
class Length(Checked):
    """A length within two bounds, both allowed; taken as float mm."""

    lowest_mm: float
    highest_mm: float

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"a length, {self.lowest_mm:g} to {self.highest_mm:g} mm"

    def take(self, value: object, unit: Unit | None) -> float:
        """Give the length in mm."""
        try:
            length_mm = parse_length_mm(value, unit or "mm")  # type: ignore[arg-type]
        except LengthError as wrong:
            raise WrongValue(wrong.found, wrong.allowed, wrong.hint) from None
        unknown_unit = unit is None and not isinstance(value, str)
        if not unknown_unit and not self.lowest_mm <= length_mm <= self.highest_mm:
            size = "small" if length_mm < self.lowest_mm else "large"
            written = f"{shown(value)}: " if isinstance(value, str) else ""
            bounds = f"{mm_text(self.lowest_mm, unit)} to {mm_text(self.highest_mm, unit)}"
            raise WrongValue(f"{written}{mm_text(length_mm, unit)} is too {size}", bounds, self._unit_hint(value, unit))
        return length_mm

    def _unit_hint(self, value: object, unit: Unit | None) -> str:
        if isinstance(value, str) or unit is None:
            return ""
        other: Unit = "in" if unit == "mm" else "mm"
        fits = self.lowest_mm <= parse_length_mm(value, other) <= self.highest_mm  # type: ignore[arg-type]
        plausible = fits and value != 0
        return f'bare numbers here are {NAMES[unit]}; did you mean "{shown(value)} {other}"?' if plausible else ""


@dataclass(frozen=True, slots=True)
class LengthOr(Checked):
    """A length, or one word in its place; the word is taken as None."""

    word: str
    length: Length

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f'"{self.word}", or {self.length.allowed}'

    def take(self, value: object, unit: Unit | None) -> float | None:
        """Give the length in mm, or None for the word."""
        if value == self.word:
            return None
        if isinstance(value, str) and nearest(value, [self.word]):
            raise WrongValue(f"{shown(value)} is not a length", self.allowed, f'did you mean "{self.word}"?')
        return self.length.take(value, unit)


@dataclass(frozen=True, slots=True)
class LengthOrPair(Checked):
    """One length, or a pair [smallest, largest]; taken as a pair of float mm."""

    length: Length

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"{self.length.allowed}; or a pair [thinnest, thickest]"

    def take(self, value: object, unit: Unit | None) -> tuple[float, float]:
        """Give smallest and largest in mm."""
        if not isinstance(value, list):
            length_mm = self.length.take(value, unit)
            return length_mm, length_mm
        if len(value) != 2:
            raise WrongValue(f"a list of {len(value)}", self.allowed, "write [thinnest, thickest]")
        first_mm, second_mm = (self.length.take(part, unit) for part in value)
        if first_mm > second_mm:
            hint = f"write [{shown(value[1])}, {shown(value[0])}]"
            raise WrongValue(
                f"the first, {first_mm:g} mm, is more than the second, {second_mm:g} mm", self.allowed, hint
            )
        return first_mm, second_mm


@dataclass(frozen=True, slots=True)
class Number(Checked):
    """A finite number within two bounds, both allowed, in a unit that is only named."""

    lowest: float
    highest: float
    unit: str

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"a number, {self.lowest:g} to {self.highest:g} {self.unit}"

    def take(self, value: object, unit: Unit | None) -> float:  # noqa: ARG002 - a Kind's signature
        """Give the number as a float."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            hint = "leave the quotation marks out" if isinstance(value, str) else ""
            raise WrongValue(f"{shown(value)} is not a number", self.allowed, hint)
        if not math.isfinite(value) if isinstance(value, float) else False:
            raise WrongValue(f"{value} is not a finite number", self.allowed)
        if not self.lowest <= value <= self.highest:
            size = "small" if value < self.lowest else "large"
            raise WrongValue(f"{shown(value)} {self.unit} is too {size}", self.allowed)
        return float(value)


@dataclass(frozen=True, slots=True)
class Numbers(Checked):
    """A list of exactly so many numbers; taken as a tuple of floats."""

    names: tuple[str, ...]
    number: Number

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        number = self.number
        return f"[{', '.join(self.names)}], each {number.lowest:g} to {number.highest:g} {number.unit}"

    def take(self, value: object, unit: Unit | None) -> tuple[float, ...]:
        """Give the numbers."""
        if not isinstance(value, list) or len(value) != len(self.names):
            found = f"a list of {len(value)}" if isinstance(value, list) else f"{shown(value)} is not a list"
            raise WrongValue(found, self.allowed, f"write {len(self.names)} numbers: [{', '.join(self.names)}]")
        return tuple(self.number.take(part, unit) for part in value)


@dataclass(frozen=True, slots=True)
class Whole(Checked):
    """A whole number within two bounds, both allowed."""

    lowest: int
    highest: int

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"a whole number, {self.lowest} to {self.highest}"

    def take(self, value: object, unit: Unit | None) -> int:  # noqa: ARG002 - a Kind's signature
        """Give the whole number."""
        if isinstance(value, bool) or not isinstance(value, int):
            raise WrongValue(f"{shown(value)} is not a whole number", self.allowed)
        if not self.lowest <= value <= self.highest:
            size = "small" if value < self.lowest else "large"
            raise WrongValue(f"{shown(value)} is too {size}", self.allowed)
        return value


@dataclass(frozen=True, slots=True)
class WholeOrName(Checked):
    """A whole number within two bounds, or the name of something that has a number."""

    whole: Whole

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return self.whole.allowed

    def take(self, value: object, unit: Unit | None) -> int | str:
        """Give the whole number, or the name as it is."""
        return value if isinstance(value, str) else self.whole.take(value, unit)


@dataclass(frozen=True, slots=True)
class Ratio(Checked):
    """A ratio of two whole numbers above 1, as text; taken as a Fraction."""

    allowed: str = 'a ratio above 1 and up to 64, such as "9/8"'

    def take(self, value: object, unit: Unit | None) -> Fraction:  # noqa: ARG002 - a Kind's signature
        """Give the ratio."""
        if not isinstance(value, str) or not re.fullmatch(r"[0-9]{1,9}(?:/[0-9]{1,9})?", value.replace(" ", "")):
            hint = "put it in quotation marks" if isinstance(value, int | float) else ""
            raise WrongValue(f"{shown(value)} is not a ratio", self.allowed, hint)
        above, _, below = value.replace(" ", "").partition("/")
        if not int(below or 1) or not 1 < Fraction(int(above), int(below or 1)) <= HIGHEST_RATIO:
            raise WrongValue(f"{shown(value)} cannot be a step", self.allowed)
        return Fraction(int(above), int(below or 1))


@dataclass(frozen=True, slots=True)
class Choice(Checked):
    """One of a few words."""

    words: tuple[str, ...]

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return " or ".join(f'"{word}"' for word in self.words)

    def take(self, value: object, unit: Unit | None) -> str:  # noqa: ARG002 - a Kind's signature
        """Give the word."""
        if isinstance(value, str) and value in self.words:
            return value
        near = nearest(value, list(self.words)) if isinstance(value, str) else ""
        raise WrongValue(f"{shown(value)} is not known here", self.allowed, f'did you mean "{near}"?' if near else "")


@dataclass(frozen=True, slots=True)
class Text(Checked):
    """Any text up to a number of characters."""

    longest: int = 200
    shortest: int = 0

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return f"text of {self.shortest} to {self.longest} characters"

    def take(self, value: object, unit: Unit | None) -> str:  # noqa: ARG002 - a Kind's signature
        """Give the text as it is."""
        if not isinstance(value, str):
            raise WrongValue(f"{shown(value)} is not text", self.allowed, "put it in quotation marks")
        if not self.shortest <= len(value) <= self.longest:
            raise WrongValue(f"text of {len(value)} characters", self.allowed)
        return value


@dataclass(frozen=True, slots=True)
class Flag(Checked):
    """true or false."""

    @property
    def allowed(self) -> str:
        """Say what may stand here."""
        return "true or false"

    def take(self, value: object, unit: Unit | None) -> Literal[True, False]:  # noqa: ARG002 - a Kind's signature
        """Give the truth value."""
        if not isinstance(value, bool):
            hint = "leave the quotation marks out" if value in ("true", "false") else ""
            raise WrongValue(f"{shown(value)} is neither true nor false", self.allowed, hint)
        return value
