"""Numbers as RS-274 words: a count of the profile's least step turned into text, once.

A point on X Y Z I J K R Q P F, none on G M N S T H; no exponent, no minus zero.
"""

import math
from dataclasses import dataclass, field
from typing import Final, Literal

from pearlkerf.machine.model import Dialect
from pearlkerf.program.tolerances import MM_PER_INCH, WHOLE_ROUNDING

# feeds need no more than a tenth of a millimetre a minute, or a thousandth of an inch
FEED_DECIMALS: Final = {"mm": 1, "in": 3}


@dataclass(frozen=True, slots=True)
class Numbers:
    """How a profile writes lengths and feeds."""

    unit: Literal["mm", "in"]
    decimals: int
    step_mm: float = field(init=False)  # the least step

    def __post_init__(self) -> None:
        """Work out the step once: it is asked for at every word."""
        object.__setattr__(self, "step_mm", self.mm_per_unit / float(10**self.decimals))

    @classmethod
    def of(cls, dialect: Dialect) -> "Numbers":
        """Give the numbers of a dialect."""
        return cls(dialect.unit, dialect.decimals)

    @property
    def mm_per_unit(self) -> float:
        """Millimetres in one unit of the program."""
        return MM_PER_INCH if self.unit == "in" else 1.0

    def steps(self, length_mm: float) -> int:
        """Give the nearest whole number of steps."""
        return round(length_mm / self.step_mm)

    def steps_up(self, height_mm: float) -> int:
        """Give the number of steps that is not below a height: depths round shallower."""
        return math.ceil(height_mm / self.step_mm - WHOLE_ROUNDING)

    def length(self, steps: int) -> str:
        """Write a count of steps as a number of the program's unit.

        >>> Numbers("mm", 3).length(-1500), Numbers("mm", 3).length(0), Numbers("in", 4).length(62)
        ('-1.5', '0.0', '0.0062')
        """
        return _decimal(steps, self.decimals)

    def feed(self, feed_mm_min: float) -> str:
        """Write a feed, rounded down to a step of feeds but never to nothing.

        >>> Numbers("mm", 3).feed(216.09), Numbers("in", 4).feed(216.0)
        ('216.0', '8.503')
        """
        decimals = FEED_DECIMALS[self.unit]
        steps = math.floor(feed_mm_min / self.mm_per_unit * 10**decimals + WHOLE_ROUNDING)
        return _decimal(max(1, steps), decimals)


def _decimal(count: int, decimals: int) -> str:
    whole, part = divmod(abs(count), 10**decimals)
    fraction = f"{part:0{decimals}d}".rstrip("0") or "0"
    return f"{'-' if count < 0 else ''}{whole}.{fraction}"
