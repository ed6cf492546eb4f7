"""Why a cutter takes what it takes, in sentences for people."""

from collections.abc import Sequence

from pearlkerf.layout.features import Feature
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.woods import leads_astray, say_wood
from pearlkerf.operations.choose import POINTED
from pearlkerf.operations.model import Operation
from pearlkerf.operations.strategies import STRATEGIES
from pearlkerf.operations.tolerances import HOLE_CUTTER_MATCH_MM, ROUNDING_MM
from pearlkerf.setups.model import Setup


def why(operations: Sequence[Operation], cutter: Cutter, setup: Setup, machine: Machine) -> tuple[str, ...]:
    """Say why a cutter takes some operations, one sentence for each strategy and group."""
    told = {
        (operation.feature.group, operation.strategy): _sentence(operation, cutter, setup, machine)
        for operation in operations
    }
    return tuple(dict.fromkeys(told.values()))


def _sentence(operation: Operation, cutter: Cutter, setup: Setup, machine: Machine) -> str:
    feature, strategy = operation.feature, operation.strategy
    reason = STRATEGIES[strategy].why
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
