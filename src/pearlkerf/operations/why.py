"""Why a cutter takes what it takes, in sentences for people."""

from collections.abc import Sequence
from typing import Final

from pearlkerf.layout.features import Feature
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.woods import leads_astray, say_wood
from pearlkerf.operations.choose import POINTED
from pearlkerf.operations.model import Operation, Strategy
from pearlkerf.operations.tolerances import HOLE_CUTTER_MATCH_MM, ROUNDING_MM, SLOT_CUTTER_MATCH_MM
from pearlkerf.setups.model import Setup

WHY: Final[dict[Strategy, str]] = {
    "plunge": f"it has their diameter, within {HOLE_CUTTER_MATCH_MM} mm, and goes straight down",
    "spotted plunge": "it has their diameter, its point goes in a little first, slowly, as this wood leads it astray",
    "bore": "a helix inside the wall, as no cutter has their diameter",
    "full width": f"it is as wide as they are, within {SLOT_CUTTER_MATCH_MM} mm",
    "side passes": "wall by wall, as none is as wide as they are and it is the widest that goes in",
    "sawn": f"its kerf is as wide as they are, within {SLOT_CUTTER_MATCH_MM} mm, and they go through both edges",
}


def why(operations: Sequence[Operation], cutter: Cutter, setup: Setup, machine: Machine) -> tuple[str, ...]:
    """Say why a cutter takes some operations, one sentence for each strategy and group."""
    told = {
        (operation.feature.group, operation.strategy): _sentence(operation, cutter, setup, machine)
        for operation in operations
    }
    return tuple(dict.fromkeys(told.values()))


def _sentence(operation: Operation, cutter: Cutter, setup: Setup, machine: Machine) -> str:
    feature, strategy = operation.feature, operation.strategy
    reason = WHY[strategy]
    if strategy == "bore" and leads_astray(setup.wood):
        drill = _spared(feature, setup, machine)
        if drill is not None:
            instead = f"a helix inside the wall, rather than down with cutter {drill.number}, a {drill.kind}"
            reason = f"{instead}: {say_wood(setup.wood)}"
    if strategy == "full width":
        saws = [each for each in machine.cutters if each.kind == "saw" and each.kerf_mm is not None]
        reason += ", and no saw can cut these" if saws else ""
    return f"cutter {cutter.number} takes {feature.group}: {reason}"


def _spared(feature: Feature, setup: Setup, machine: Machine) -> Cutter | None:
    """Give the drill of a bore's diameter that would reach its floor and is not used."""
    depth = feature.depth_below_top_mm(setup.stock)
    return next((each for each in machine.cutters if each.kind in POINTED
                 and abs(each.diameter_mm - feature.width_mm) <= HOLE_CUTTER_MATCH_MM + ROUNDING_MM
                 and each.reach_mm >= depth + each.point_length_mm), None)  # fmt: skip
