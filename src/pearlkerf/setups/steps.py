"""The sizes that a coupon tries: differences from a dot's or a tang's own, in even steps."""

from dataclasses import dataclass
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.limits import ROUNDING_MM

MOST_STEPS: Final = 15


@dataclass(frozen=True, slots=True)
class Steps:
    """Sizes to try, as differences from the size of a dot or a tang, mm: from ``first`` to ``last`` by ``by``."""

    first_mm: float = -0.05
    last_mm: float = 0.10
    by_mm: float = 0.025

    def __str__(self) -> str:
        """Give them as the programs' heads write them.

        >>> str(Steps())
        '-0.0500/0.1000/0.0250'
        """
        return "/".join(f"{each:.4f}" for each in (self.first_mm, self.last_mm, self.by_mm))

    def values_mm(self) -> tuple[float, ...]:
        """Give every step; raises Refusal where they are none, or too many to tell apart.

        >>> Steps().values_mm()
        (-0.05, -0.025, 0.0, 0.025, 0.05, 0.075, 0.1)
        """
        if self.by_mm <= 0 or self.last_mm < self.first_mm or (self.last_mm - self.first_mm) / self.by_mm > 1e6:
            raise Refusal([_bad_steps(self, "steps run upward", "give --smallest, --largest and a --step above 0")])
        count = int((self.last_mm - self.first_mm) / self.by_mm + ROUNDING_MM) + 1
        if count > MOST_STEPS:
            by = (self.last_mm - self.first_mm) / (MOST_STEPS - 1)
            raise Refusal([_bad_steps(self, f"{count} sizes", f"use --step {by:.3f} mm or more")])
        return tuple(round(self.first_mm + number * self.by_mm, 6) for number in range(count))


def _bad_steps(steps: Steps, found: str, hint: str) -> Problem:
    told = f"from {steps.first_mm:.3f} to {steps.last_mm:.3f} mm by {steps.by_mm:.3f} mm: {found}"
    return Problem(key="--step", found=told, allowed=f"1 to {MOST_STEPS} sizes, upward", hint=hint)


# of a gap, on each side: whole hundredths, as figures are written
USUAL_GAPS: Final = Steps(-0.03, 0.05, 0.01)
