"""From a workplan to a toolpath: each operation traced, then laid where the board lies."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.layout.features import Slot
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.model import Operation, Stage, Strategy, Workplan
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.channels import cut_channel
from pearlkerf.toolpath.holes import bore, drill, drill_spotted
from pearlkerf.toolpath.moves import Cut, CutterPath, Toolpath, lay_moves
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.pocket_rests import clear_what_is_left, clear_where_there_is_room
from pearlkerf.toolpath.pockets import clear
from pearlkerf.toolpath.saw import saw
from pearlkerf.toolpath.slots import cut_full_width, cut_side_passes


def from_its_start(slot: Slot, cutter: Cutter, setup: Setup) -> str:  # noqa: ARG001 - a saw is asked the same
    """Name the side of the board on which a mill enters a slot: where it begins along its own line."""
    return f"{setup.ends[1]} end" if slot.runs_along_x else setup.low_side


def as_fed(slot: Slot, cutter: Cutter, setup: Setup) -> str:  # noqa: ARG001 - a mill is asked the same
    """Name the side of the board on which a saw, which feeds its one way, enters a slot."""
    return setup.low_side if cutter.feeds_away else setup.high_side


@dataclass(frozen=True, slots=True)
class Tracing:
    """How a strategy is traced.

    What draws it, of a feature a cutter's cut in a stock, by a pen; and which side of the board it enters first, where
    it enters at one.
    """

    draw: Callable[..., None]
    first_side: Callable[[Any, Cutter, Setup], str] | None = None


TRACINGS: Final[Mapping[Strategy, Tracing]] = MappingProxyType(
    {
        "plunge": Tracing(drill),
        "spotted plunge": Tracing(drill_spotted),
        "bore": Tracing(bore),
        "full width": Tracing(cut_full_width, from_its_start),
        "side passes": Tracing(cut_side_passes, from_its_start),
        "sawn": Tracing(saw, as_fed),
        "ring by ring": Tracing(clear),
        "where there is room": Tracing(clear_where_there_is_room),
        "what is left": Tracing(clear_what_is_left),
        "round it": Tracing(cut_channel),
    }
)


def trace(workplan: Workplan) -> Toolpath:
    """Trace every operation of a workplan, in machine axes."""
    paths = tuple(_trace_stage(stage, workplan) for stage in workplan.stages)
    return Toolpath(workplan.setup, workplan.machine, paths)


def _trace_stage(stage: Stage, workplan: Workplan) -> CutterPath:
    cuts = tuple(_trace_operation(operation, stage, workplan) for operation in stage.operations)
    return CutterPath(stage.cutter, stage.figures, cuts, stage.notes)


def _trace_operation(operation: Operation, stage: Stage, workplan: Workplan) -> Cut:
    feature, cutter, setup, tracing = operation.feature, stage.cutter, workplan.setup, TRACINGS[operation.strategy]
    pen = Pen(stage.figures, workplan.machine)
    before = () if operation.after is None else (operation.after,)
    tracing.draw(feature, cutter, setup.stock, pen, *before)
    first = "" if tracing.first_side is None else f", {tracing.first_side(feature, cutter, setup)} first"
    return Cut(f"{feature.name}{first}", feature.group, feature.number, lay_moves(pen.moves, setup.placement))
