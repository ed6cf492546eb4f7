"""From a board's setups to those of a machine: each as it is where it fits the travel, else in positions."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Identity
from pearlkerf.layout.model import Layout
from pearlkerf.machine.carriers import longest_pitch_mm
from pearlkerf.machine.model import Machine
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.plan import plan
from pearlkerf.setups.marks_later import lie_anew
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.positions import by_marks, on_carrier, zero_marks
from pearlkerf.setups.windows import Reach, nearest_better_pitch
from pearlkerf.toolpath.moves import Toolpath, reach_mm
from pearlkerf.toolpath.tolerances import POSITIONS_ROOM_MM, QUITE_ENOUGH_ROOM_MM, ROUNDING_MM
from pearlkerf.toolpath.trace import trace

# the zero mark: a place that the tip must reach as well
ZERO: Final[Reach] = (0.0, 0.0)


def in_positions(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings of a board whose setups fit a machine's travel in X, as far as that can be.

    A setup that fits the travel together with X 0 stays as it is; one that does not comes in the
    fewest positions, on the carrier, or, where there is none, with X zeroed again on slots that are
    there by then.  One that would fit, were it not for X 0, stays as it is where no slot makes one
    position of it; so does one for which nothing helps, which is refused where it is planned.  The
    warnings say so.  A position that is zeroed again lies as it was measured there, or straight.

    Raises Refusal where marks of positions are wrong.
    """
    setups: list[Setup] = []
    told: list[Problem] = []
    for setup in clampings.setups:
        found, warnings = _placed(clampings.layout, setup, machine)
        found, doubts = lie_anew(clampings.layout, found)
        setups += found
        told += [*warnings, *doubts]
    return replace(clampings, setups=tuple(setups), warnings=(*clampings.warnings, *told)) if told else clampings


def _placed(layout: Layout, setup: Setup, machine: Machine) -> tuple[tuple[Setup, ...], list[Problem]]:
    """Give a setup as it is, or its positions, with what the maker should be told of them."""
    stays = (setup,)
    if setup.kind not in ("face", "edge", "treble") or _span_mm([*_roughly(setup), ZERO]) <= machine.travel.x_mm:
        return stays, []
    try:
        workplan = plan(setup, machine)
    except Refusal:
        return stays, []
    reaches = _reaches(workplan, trace(workplan))
    if _span_mm([*reaches, ZERO]) <= machine.travel.x_mm + ROUNDING_MM:
        return stays, []
    found = _positions(layout, setup, reaches, machine)
    fits = _span_mm(reaches) <= machine.travel.x_mm + ROUNDING_MM
    if fits and len(found) != 1 and machine.carrier is None:
        return stays, [_zero_beyond(setup, _span_mm([*reaches, ZERO]), machine)]
    return (found, [_in_positions(setup, found, reaches, machine)]) if found else (stays, [])


def _positions(layout: Layout, setup: Setup, reaches: Sequence[Reach], machine: Machine) -> tuple[Setup, ...]:
    travel = machine.travel.x_mm - POSITIONS_ROOM_MM
    if machine.carrier is not None:
        return on_carrier(setup, reaches, travel, machine.carrier)
    return by_marks(setup, reaches, travel, zero_marks(layout, setup))


def _span_mm(reaches: Sequence[Reach]) -> float:
    return max(high for _, high in reaches) - min(low for low, _ in reaches)


def _roughly(setup: Setup) -> list[Reach]:
    """Give reaches that are surely not too small, without planning: most boards fit well within the travel."""
    ends = [end for feature in setup.features for end in feature.ends]
    room = max(feature.width_mm for feature in setup.features) + QUITE_ENOUGH_ROOM_MM
    return [(x - room, x + room) for x in setup.placement.to_machine(ends)[:, 0].tolist()]


def _reaches(workplan: Workplan, toolpath: Toolpath) -> tuple[Reach, ...]:
    """Give the reach in X of every feature, in the setup's order, over all cuts that it needs."""
    of_feature: dict[Identity, list[Reach]] = {}
    for stage, path in zip(workplan.stages, toolpath.paths, strict=True):
        for operation, cut in zip(stage.operations, path.cuts, strict=True):
            low, high = reach_mm(cut.moves)
            of_feature.setdefault(operation.feature.identity, []).append((float(low[0]), float(high[0])))
    spans = [of_feature[feature.identity] for feature in toolpath.setup.features]
    return tuple((min(low for low, _ in span), max(high for _, high in span)) for span in spans)


def _in_positions(setup: Setup, found: Sequence[Setup], reaches: Sequence[Reach], machine: Machine) -> Problem:
    count = "1 position" if len(found) == 1 else f"{len(found)} positions"
    way = "on the carrier" if machine.carrier is not None else "with X zeroed again on slots that are cut already"
    return Problem(
        key="board.length",
        found=f"the {setup.name} setup is longer than the {machine.travel.x_mm:.1f} mm of travel in X of {machine.name}"
        f": it is cut in {count}, {way}",
        hint=_better(reaches, machine),
    )


def _better(reaches: Sequence[Reach], machine: Machine) -> str:
    """Say what would move the board more surely, or in fewer positions."""
    if machine.carrier is None:
        return "dowels move it more surely: [carrier] pitch = 50 in the profile"
    travel = machine.travel.x_mm
    most = math.floor(longest_pitch_mm(machine.carrier.dowel_mm, travel))
    better = nearest_better_pitch(reaches, travel - POSITIONS_ROOM_MM, machine.carrier.pitch_mm, most)
    return f"with pitch = {better} in [carrier] it would be fewer" if better else ""


def _zero_beyond(setup: Setup, span_mm: float, machine: Machine) -> Problem:
    """Tell of a setup whose cuts fit the travel, but not together with its X 0."""
    return Problem(
        key="board.length",
        found=f"the cuts of the {setup.name} setup fit the {machine.travel.x_mm:.1f} mm of travel in X of "
        f"{machine.name}, but from X0 on it spans {span_mm:.1f} mm: the tip cannot stand on X0",
        hint="zero X at a stop of known length beyond X0, or move the board on a carrier, [carrier] pitch = 50 in the "
        "profile",
    )
