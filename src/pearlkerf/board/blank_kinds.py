"""The kinds of value that only an [[inlay_blank]] holds: places of it that are used, and places of pieces."""

from dataclasses import dataclass
from typing import Any, Final

from pearlkerf.board.inlays import PiecePlace, UsedPlace
from pearlkerf.board.kinds import named_alone
from pearlkerf.files.lengths import Unit, shown
from pearlkerf.files.toml_values import Checked, Length, Number, Text, Whole, WrongValue

MOST_BLANKS: Final = 999
ALONG: Final = Length(0, 1000)
BLANK: Final = Whole(1, MOST_BLANKS)


def _places(value: object, names: str, allowed: str, unit: Unit | None) -> tuple[float, ...]:
    """Give a list of as many lengths as there are names; raises WrongValue."""
    count = len(names.split())
    if not isinstance(value, list) or len(value) != count:
        found = f"a list of {len(value)}" if isinstance(value, list) else f"{shown(value)} is not a list"
        raise WrongValue(found, allowed, f"write [{', '.join(names.split())}]")
    return tuple(ALONG.take(each, unit) for each in value)


def _named(value: object, names: tuple[str, ...], usual: dict[str, Any], allowed: str) -> dict[str, Any]:
    """Give a value of several named parts, of which those in ``usual`` may be left out; raises WrongValue."""
    if not isinstance(value, dict):
        raise WrongValue(f"{shown(value)} is no place on a blank", allowed)
    whole = {**usual, **value}
    named_alone(whole, names, "place", allowed)
    return whole


@dataclass(frozen=True, slots=True)
class UsedKind(Checked):
    """{ blank = …, box = [x0, y0, x1, y1] }; taken as a UsedPlace."""

    allowed: str = "{ blank = 1, box = [0, 0, 12, 25] }, from the blank's lower left corner"

    def take(self, value: object, unit: Unit | None) -> UsedPlace:
        """Give the place that is gone."""
        whole = _named(value, ("blank", "box"), {"blank": 1}, self.allowed)
        low_x, low_y, high_x, high_y = _places(whole["box"], "x0 y0 x1 y1", self.allowed, unit)
        if low_x >= high_x or low_y >= high_y:
            raise WrongValue("the box has no length or no width", self.allowed, "write its low corner first")
        return UsedPlace(BLANK.take(whole["blank"], unit), (low_x, low_y, high_x, high_y))


@dataclass(frozen=True, slots=True)
class PlaceKind(Checked):
    """{ piece = …, blank = …, at = [x, y], turn = … }; taken as a PiecePlace."""

    allowed: str = '{ piece = "wave 5/3", blank = 1, at = [12.5, 8], turn = 90 }'

    def take(self, value: object, unit: Unit | None) -> PiecePlace:
        """Give the place of a piece."""
        whole = _named(value, ("piece", "blank", "at", "turn"), {"blank": 1, "turn": 0}, self.allowed)
        x, y = _places(whole["at"], "x y", self.allowed, unit)
        turn = Number(-360, 360, "degrees").take(whole["turn"], unit)
        name = Text(120, 1).take(whole["piece"], unit)
        return PiecePlace(name, BLANK.take(whole["blank"], unit), (x, y), turn % 360)
