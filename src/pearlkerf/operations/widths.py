"""What a cutter really makes: its diameter and its runout, and what of it the path allows for.

A path is laid for the cutter's diameter.  Runout widens what it cuts by as much as the indicator
reads in all: the tooth that stands out most cuts the wall.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pearlkerf.machine.model import Cutter
from pearlkerf.operations.model import Strategy, Workplan
from pearlkerf.operations.strategies import STRATEGIES

# differences smaller than a program can say are none
ROUNDING_MM = 0.0005


@dataclass(frozen=True, slots=True)
class TrueWidth:
    """The width or diameter that one cutter gives one kind of feature, mm.

    ``wanted_mm`` is what the board asks for, its fit included.
    """

    setup: str
    group: str
    cutter: Cutter
    strategy: Strategy
    wanted_mm: float

    @property
    def own_mm(self) -> float:
        """What the cutter makes in one pass: diameter, or a saw's kerf, and runout."""
        return self.cutter.width_mm + self.cutter.runs_out_mm

    @property
    def makes_mm(self) -> float:
        """What is to be expected of the whole cut."""
        return self.own_mm if STRATEGIES[self.strategy].own_width else self.wanted_mm + self.cutter.runs_out_mm

    def __str__(self) -> str:
        """Say it in the maker's words."""
        cutter, runout = self.cutter, self.cutter.runs_out_mm
        width = self.own_mm - runout
        sum_of = f"{width:.3f} mm + runout {runout:.3f} mm = " if runout else ""
        true = f"{sum_of}{self.own_mm:.3f} mm wide"
        head = f"{self.group}, {self.wanted_mm:.3f} mm wanted: cutter {cutter.number} is {true}"
        if not STRATEGIES[self.strategy].own_width:
            beside = (self.wanted_mm - width) / 2
            head += f"; its path runs {beside:.3f} mm off the middle ({self.strategy}), which allows for {width:.3f} mm"
        else:
            head += f"; it makes its own width ({self.strategy}), which no path can allow for"
        return f"{head}; expect {self.makes_mm:.3f} mm{self._mend()}"

    def _mend(self) -> str:
        over = self.makes_mm - self.wanted_mm
        if abs(over) < ROUNDING_MM:
            return ""
        told = f", {abs(over):.3f} mm {'more' if over > 0 else 'less'} than wanted"
        if not STRATEGIES[self.strategy].own_width:
            return f"{told}: fit less {over:.3f} mm allows for the runout, as does the fit that a coupon shows"
        return f"{told}: a narrower end mill would allow for it"


def true_widths(workplans: Iterable[Workplan]) -> tuple[TrueWidth, ...]:
    """Give what is to be expected of every group of features, cutter and size, in the order of cutting, each once."""
    found = [
        TrueWidth(plan.setup.kind, each.feature.group, stage.cutter, each.strategy, each.feature.width_mm)
        for plan in workplans
        for stage in plan.stages
        for each in stage.operations
        if STRATEGIES[each.strategy].tells_width
    ]
    return tuple(dict.fromkeys(found))
