"""The kinds of value that only a board file holds: radii, scale lengths of two sides, widths where edges bend."""

from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.files.lengths import Unit, shown
from pearlkerf.files.toml_values import Checked, Length, LengthOr, Whole, WrongValue, nearest

FLAT: Final = float("inf")
RADIUS: Final = Length(50, 10000)
SCALE: Final = Length(100, 2000)
MOST_FRETS: Final = 120


def named_alone(value: dict[str, Any], names: tuple[str, ...], what: str, allowed: str) -> None:
    """Refuse a value of several named parts that has another, or lacks one; raises WrongValue."""
    for name in value:
        if name not in names:
            near = nearest(name, list(names))
            hint = f'did you mean "{near}"?' if near else ""
            raise WrongValue(f'unknown key "{name[:80]}" in the {what}', allowed, hint)
    missing = [name for name in names if name not in value]
    if missing:
        raise WrongValue(f'the {what} has no "{missing[0]}"', allowed, f"write {missing[0]} = … too")


@dataclass(frozen=True, slots=True)
class RadiusKind(Checked):
    """A radius, "flat", or { nut = …, end = … }; taken as a pair of float mm."""

    allowed: str = 'a length, "flat", or { nut = "10 in", end = "16 in" }'

    def take(self, value: object, unit: Unit | None) -> tuple[float, float]:
        """Give the radius at the nut end and at the far end, mm."""
        if isinstance(value, dict):
            return self._pair(value, unit)
        return self._one(value, unit), self._one(value, unit)

    def _one(self, value: object, unit: Unit | None) -> float:
        length = LengthOr("flat", RADIUS).take(value, unit)
        return FLAT if length is None else length

    def _pair(self, value: dict[str, Any], unit: Unit | None) -> tuple[float, float]:
        named_alone(value, ("nut", "end"), "radius", self.allowed)
        return self._one(value["nut"], unit), self._one(value["end"], unit)


@dataclass(frozen=True, slots=True)
class ScaleLength(Checked):
    """A scale length, or { bass = …, treble = … }; taken as mm of the bass side, and of the treble side or None."""

    allowed: str = 'a length, 100 to 2000 mm, or { bass = "27 in", treble = "25 1/2 in" }'

    def take(self, value: object, unit: Unit | None) -> tuple[float, float | None]:
        """Give the length, or both."""
        if not isinstance(value, dict):
            return SCALE.take(value, unit), None
        named_alone(value, ("bass", "treble"), "scale length", self.allowed)
        return SCALE.take(value["bass"], unit), SCALE.take(value["treble"], unit)


@dataclass(frozen=True, slots=True)
class WidthAtKind(Checked):
    """{ fret = …, width = … }; taken as both."""

    allowed: str = "{ fret = 12, width = 62 }"

    def take(self, value: object, unit: Unit | None) -> tuple[int, float]:
        """Give the fret and the width there, mm."""
        if not isinstance(value, dict):
            raise WrongValue(f"{shown(value)} is no width at a fret", self.allowed)
        named_alone(value, ("fret", "width"), "width at a fret", self.allowed)
        return Whole(1, MOST_FRETS).take(value["fret"], unit), Length(5, 300).take(value["width"], unit)


@dataclass(frozen=True, slots=True)
class StationKind(Checked):
    """[distance, bass edge, treble edge]; taken as mm."""

    allowed: str = "[distance from the nut end, bass edge, treble edge], the bass edge below 0"

    def take(self, value: object, unit: Unit | None) -> tuple[float, float, float]:
        """Give all three."""
        if not isinstance(value, list) or len(value) != len(("distance", "bass", "treble")):
            found = f"a list of {len(value)}" if isinstance(value, list) else f"{shown(value)} is not a list"
            raise WrongValue(found, self.allowed, "write [150, -17, 17]")
        along, edge = Length(0, 2000), Length(-200, 200)
        return along.take(value[0], unit), edge.take(value[1], unit), edge.take(value[2], unit)


@dataclass(frozen=True, slots=True)
class AcrossKind(Checked):
    """A length from the centre line, or between which strings: "bass" or "treble"; taken as float mm, or the word."""

    allowed: str = 'a length, -150 to 150 mm, or "bass" or "treble"'

    def take(self, value: object, unit: Unit | None) -> str | float:
        """Give the length in mm, or the word."""
        if value in ("bass", "treble"):
            return str(value)
        if isinstance(value, str) and (near := nearest(value, ["bass", "treble"])):
            raise WrongValue(f"{shown(value)} is not known here", self.allowed, f'did you mean "{near}"?')
        return Length(-150, 150).take(value, unit)


@dataclass(frozen=True, slots=True)
class StringsKind(Checked):
    """[from, to], two strings; taken as both numbers, the lower first."""

    allowed: str = "two strings, such as [4, 6]"

    def take(self, value: object, unit: Unit | None) -> tuple[int, int]:
        """Give the lower number and the higher."""
        if not isinstance(value, list) or len(value) != len(("from", "to")):
            found = f"a list of {len(value)}" if isinstance(value, list) else f"{shown(value)} is not a list"
            raise WrongValue(found, self.allowed, "write [4, 6]; one string is [4, 4]")
        one, other = (Whole(1, 24).take(each, unit) for each in value)
        return min(one, other), max(one, other)


@dataclass(frozen=True, slots=True)
class EndKind(Checked):
    """How the far end lies: "square", "slanted", or { arc = radius }; taken as the word, or as float mm."""

    allowed: str = '"square", "slanted" or { arc = 60 }'

    def take(self, value: object, unit: Unit | None) -> str | float:
        """Give the word, or the arc's radius, mm."""
        if isinstance(value, dict):
            named_alone(value, ("arc",), "end", self.allowed)
            return Length(10, 1000).take(value["arc"], unit)
        if value not in ("square", "slanted"):
            near = nearest(value, ["square", "slanted"]) if isinstance(value, str) else ""
            raise WrongValue(f"{shown(value)} is not known here", self.allowed, near and f'did you mean "{near}"?')
        return str(value)
