"""A mill's own figures against what it bears: far beyond, they are refused unless the profile means them."""

from collections.abc import Collection, Iterator
from typing import Final

from pearlkerf.errors import Problem
from pearlkerf.machine.cutting import cutting_figures, slender
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.slender import MOST_BEND_MM, MOST_STRESS_MPA

# keys that a profile may name as meant, however far beyond what a mill bears
MEANT: Final = ("cutter.bite", "cutter.feed")
# the wood whose forces are reckoned with
DENSE: Final = "ebony"


def check_own_figures(machine: Machine, unusual: Collection[str]) -> Iterator[Problem]:
    """Give a problem for each mill that its own bite or feed would break or bend far (``slender``)."""
    for index, cutter in enumerate(machine.cutters):
        key = "bite" if cutter.bite_mm is not None else "feed"
        own = cutter.bite_mm is not None or cutter.feed_mm_min is not None
        if cutter.kind == "end mill" and own and f"cutter.{key}" not in unusual:
            yield from _too_much(machine, cutter, f"cutter.{index}.{key}")


def _too_much(machine: Machine, cutter: Cutter, key: str) -> Iterator[Problem]:
    figures = cutting_figures(machine, cutter, DENSE)
    load = figures.load
    if load is None or (load.bend_mm <= MOST_BEND_MM and load.stress_mpa <= MOST_STRESS_MPA):
        return
    beam, chip = slender(cutter), figures.feed_mm_min / figures.speed_rpm / cutter.flutes
    most = min(beam.most_by_bend_mm(chip, MOST_BEND_MM), beam.most_by_stress_mm(chip, MOST_STRESS_MPA))
    yield Problem(
        key=key,
        found=f"cutter {cutter.number} would bend by {1000 * load.bend_mm:.0f} um and be stressed by "
        f"{load.stress_mpa:.0f} MPa in dense wood, {figures.bite_mm:.3f} mm deep at {chip:.4f} mm a tooth: it breaks",
        allowed=f"at most {1000 * MOST_BEND_MM:.0f} um and {MOST_STRESS_MPA:.0f} MPa",
        hint=f"write bite = {most:.3f} or less, or leave it out, or take a shorter cutter; if it is meant so, write "
        f'unusual = ["cutter.{key.rpartition(".")[2]}"] at the top of the file',
    )
