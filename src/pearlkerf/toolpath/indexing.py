"""From a layout to the setups in which a machine cuts it: each as it is where it fits the travel, else in positions."""

from collections.abc import Sequence
from dataclasses import replace

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.model import Hole, Layout, Setup
from pearlkerf.layout.positions import by_marks, on_carrier, zero_marks
from pearlkerf.layout.windows import Reach
from pearlkerf.machine.model import Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.plan import plan
from pearlkerf.toolpath.moves import Toolpath
from pearlkerf.toolpath.span import reach_x_mm
from pearlkerf.toolpath.tolerances import POSITIONS_ROOM_MM, QUITE_ENOUGH_ROOM_MM, ROUNDING_MM
from pearlkerf.toolpath.trace import trace


def in_positions(layout: Layout, machine: Machine) -> Layout:
    """Give a layout whose setups fit a machine's travel in X, as far as that can be.

    A setup that fits stays as it is (on a machine with a carrier X 0 must lie within the travel too);
    one that does not comes in the fewest positions, on the carrier, or, where there is none, with X
    zeroed again on slots that are there by then.  One for which nothing helps also stays as it is:
    who plans it refuses it.  The warnings say which setups come in positions.
    """
    setups: list[Setup] = []
    told: list[Problem] = []
    for setup in layout.setups:
        found = _positions(layout, setup, machine)
        setups += found
        if found != (setup,):
            told.append(_in_positions(setup, found, machine))
    return replace(layout, setups=tuple(setups), warnings=(*layout.warnings, *told)) if told else layout


def _positions(layout: Layout, setup: Setup, machine: Machine) -> tuple[Setup, ...]:
    if setup.zero or _fits(_roughly(setup), machine):
        return (setup,)
    try:
        workplan = plan(setup, machine)
    except Refusal:
        return (setup,)
    reaches = _reaches(workplan, trace(workplan))
    if _fits(reaches, machine):
        return (setup,)
    travel = machine.travel.x_mm - POSITIONS_ROOM_MM
    if machine.carrier is not None:
        return on_carrier(setup, reaches, travel, machine.carrier) or (setup,)
    return by_marks(setup, reaches, travel, zero_marks(layout, setup)) or (setup,)


def _fits(reaches: Sequence[Reach], machine: Machine) -> bool:
    """Say whether all reaches lie within one travel, on a machine with a carrier together with X 0."""
    zero = [(0.0, 0.0)] if machine.carrier is not None else []
    lows, highs = zip(*reaches, *zero, strict=True)
    return bool(max(highs) - min(lows) <= machine.travel.x_mm + ROUNDING_MM)


def _roughly(setup: Setup) -> list[Reach]:
    """Give reaches that are surely not too small, without planning: most boards fit well within the travel."""
    ends = [feature.centre if isinstance(feature, Hole) else feature.start for feature in setup.features]
    ends += [feature.centre if isinstance(feature, Hole) else feature.end for feature in setup.features]
    wide = max(each.diameter_mm if isinstance(each, Hole) else each.width_mm for each in setup.features)
    room = wide + QUITE_ENOUGH_ROOM_MM
    return [(x - room, x + room) for x in setup.placement.to_machine(ends)[:, 0].tolist()]


def _reaches(workplan: Workplan, toolpath: Toolpath) -> tuple[Reach, ...]:
    """Give the reach in X of every feature, in the setup's order, over all cuts that it needs."""
    of_feature: dict[int, list[Reach]] = {}
    for stage, path in zip(workplan.stages, toolpath.paths, strict=True):
        for operation, cut in zip(stage.operations, path.cuts, strict=True):
            of_feature.setdefault(id(operation.feature), []).append(reach_x_mm(cut.moves))
    spans = [of_feature[id(feature)] for feature in toolpath.setup.features]
    return tuple((min(low for low, _ in span), max(high for _, high in span)) for span in spans)


def _in_positions(setup: Setup, found: Sequence[Setup], machine: Machine) -> Problem:
    count = "1 position" if len(found) == 1 else f"{len(found)} positions"
    way = "on the carrier" if machine.carrier is not None else "with X zeroed again on slots that are cut already"
    surer = "" if machine.carrier is not None else "dowels move it more surely: [carrier] pitch = 50 in the profile"
    return Problem(
        key="board.length",
        found=f"the {setup.name} setup is longer than the {machine.travel.x_mm:.1f} mm of travel in X of {machine.name}"
        f": it is cut in {count}, {way}",
        hint=surer,
    )
