"""From a workplan to a toolpath: each operation traced, then laid where the board lies."""

from dataclasses import replace
from typing import Final

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.model import Operation, Stage, Workplan
from pearlkerf.setups.model import Placement, Setup
from pearlkerf.toolpath.holes import bore, drill, drill_spotted
from pearlkerf.toolpath.moves import Cut, CutterPath, Toolpath, lay_moves
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.saw import saw
from pearlkerf.toolpath.slots import cut_full_width, cut_side_passes

HOLE_STRATEGIES: Final = {"plunge": drill, "spotted plunge": drill_spotted, "bore": bore}
SLOT_STRATEGIES: Final = {"full width": cut_full_width, "side passes": cut_side_passes, "sawn": saw}
# a slot along X is traced as one along Y, then turned; so it too is approached from low Y
QUARTER_TURN: Final = Placement(angle_deg=90.0)


def trace(workplan: Workplan) -> Toolpath:
    """Trace every operation of a workplan, in machine axes."""
    paths = tuple(_trace_stage(stage, workplan) for stage in workplan.stages)
    return Toolpath(workplan.setup, workplan.machine, paths)


def _trace_stage(stage: Stage, workplan: Workplan) -> CutterPath:
    cuts = tuple(_trace_operation(operation, stage, workplan) for operation in stage.operations)
    return CutterPath(stage.cutter, stage.figures, cuts, stage.notes)


def _trace_operation(operation: Operation, stage: Stage, workplan: Workplan) -> Cut:
    feature, cutter, stock = operation.feature, stage.cutter, workplan.setup.stock
    pen = Pen(stage.figures, workplan.machine)
    name = feature.name
    if isinstance(feature, Hole):
        HOLE_STRATEGIES[operation.strategy](feature, cutter, stock, pen)
    elif isinstance(feature, Slot):
        lengthwise = feature.start[1] == feature.end[1]
        SLOT_STRATEGIES[operation.strategy](_quarter_back(feature) if lengthwise else feature, cutter, stock, pen)
        if lengthwise:
            pen.moves = list(lay_moves(pen.moves, QUARTER_TURN))
        name = f"{feature.name}, {_first_side(feature, cutter, workplan.setup)} first"
    moves = lay_moves(pen.moves, workplan.setup.placement)
    return Cut(name, feature.group, feature.number, moves)


def _quarter_back(slot: Slot) -> Slot:
    """Give a slot that runs along X, level in flat wood, as one that runs along Y; QUARTER_TURN lays it back."""
    start, end = QUARTER_TURN.to_board([slot.end, slot.start]).tolist()
    return replace(slot, start=(start[0], start[1]), end=(end[0], end[1]))


def _first_side(slot: Slot, cutter: Cutter, setup: Setup) -> str:
    """Name the side of the board on which a slot is entered: a saw feeds its one way, a mill begins at low Y."""
    if slot.start[1] == slot.end[1]:
        return f"{setup.ends[1]} end"
    return setup.low_side if cutter.kind != "saw" or cutter.feeds_away else setup.high_side
