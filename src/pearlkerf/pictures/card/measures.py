"""What to measure before the board is taken off, and what the figures should be."""

from collections.abc import Sequence
from typing import TypeVar

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import as_written, told_in
from pearlkerf.layout.features import Hole, Pocket, Slot
from pearlkerf.layout.model import Layout
from pearlkerf.layout.side_dots import edge_of
from pearlkerf.pictures.card.model import MeasureRow
from pearlkerf.setups.model import Setup

Cut = TypeVar("Cut", Hole, Pocket)


def raw_top_mm(layout: Layout, x_mm: float, y_mm: float) -> float:
    """Height of the raw face at a point, 0 at its crown line."""
    return 0.0 if layout.board.state == "flat" else -float(layout.surface.fall_mm(x_mm, y_mm))


def finished_top_mm(layout: Layout, x_mm: float, y_mm: float) -> float:
    """Height of the finished face at a point, from the raw face's crown line."""
    return -layout.board.crown_allowance_mm - float(layout.surface.fall_mm(x_mm, y_mm))


def measured_in(setup: Setup, setups: Sequence[Setup], rows: Sequence[MeasureRow]) -> tuple[MeasureRow, ...]:
    """Give the rows that are measured in a setup: of what it cuts; in the first, of what no setup cuts too.

    At a second visit all else was measured at the first.
    """
    own = {feature.identity for feature in setup.features}
    cut = {feature.identity for each in setups for feature in each.features}
    first = setup is setups[0] and setup.lying.glued is None
    return tuple(row for row in rows if row.of in own or (first and row.of not in cut))


def measure_rows(layout: Layout) -> tuple[MeasureRow, ...]:
    """Give what to measure before anything is glued, and what the figures should be."""
    rows: list[MeasureRow] = []
    slots = {slot.number: slot for slot in layout.slots}
    if layout.board.fret_slots is not None and layout.board.fret_slots.state == "to cut" and slots:
        first = layout.slots[0]
        how, width = "width by feeler gauge", in_unit(as_written(first.width_mm), layout.board.unit)
        rows.append(MeasureRow("fret slots", how, width, first.identity))
    for number in _chosen(tuple(slots)):
        rows += _slot_measures(layout, slots[number])
    rows += _trim_measures(layout)
    unit = layout.board.unit
    for hole in _first_and_last(layout.face_dots):
        what, depth = f"{hole.name}, pocket", raw_top_mm(layout, *hole.centre) - hole.floor_mm
        across = in_unit(as_written(hole.diameter_mm), unit)
        rows.append(MeasureRow(what, "diameter", across, hole.identity))
        rows.append(MeasureRow(what, "depth at its centre", told_in(depth, unit), hole.identity))
    for pocket in _first_and_last(layout.pockets):
        (x, y), how = pocket.anchor, "depth at the middle of its box, or beside it"
        depth = raw_top_mm(layout, x, y) - float(pocket.floor.z_mm(x, y))
        rows.append(MeasureRow(f"{pocket.name}, pocket", how, told_in(depth, unit), pocket.identity))
    for hole in _first_and_last(layout.side_dots):
        rows += _side_measures(layout, hole)
    return tuple(rows)


def _side_measures(layout: Layout, hole: Hole) -> list[MeasureRow]:
    corner = "nut corner" if layout.edges.begins_at_nut(edge_of(layout, hole)) else "corner of the straight run"
    figures = (
        (f"{corner} to its centre, along the edge", hole.centre[0]),
        ("glue face to its centre", abs(hole.centre[1])),
        ("depth", -hole.floor_mm),
    )
    unit = layout.board.unit
    return [MeasureRow(hole.name, how, told_in(figure, unit), hole.identity) for how, figure in figures]


def _slot_measures(layout: Layout, slot: Slot) -> list[MeasureRow]:
    x, name, unit = slot.line.x_mm(), slot.name, layout.board.unit
    wall = slot.line.beside(-slot.width_mm / 2).x_mm()
    how = f"{layout.origin} to near wall (middle)"
    rows = [MeasureRow(name, how, f"{told_in(wall, unit)} ({told_in(x, unit)})", slot.identity)]
    fret_slots = layout.board.fret_slots
    if fret_slots is None or fret_slots.state == "already cut":
        return rows
    places = ((x, 0.0), slot.ends[1])
    middle, side = (raw_top_mm(layout, *place) - float(slot.floor.z_mm(*place)) for place in places)
    how = "depth in the middle, at its ends"
    return [*rows, MeasureRow(name, how, f"{told_in(middle, unit)}, {told_in(side, unit)}", slot.identity)]


def _trim_measures(layout: Layout) -> list[MeasureRow]:
    """How deep they are, and the board's length, where both its ends are there to be measured."""
    blank, trims = layout.board.blank, layout.trims
    if blank is None or not trims:
        return []
    names = " and ".join(trim.name for trim in trims)
    depth = -float(trims[0].floor.z_mm(trims[0].line.x_mm(), 0.0))
    rows = [MeasureRow(names, "depth on the centre line", told_in(depth, layout.board.unit), trims[0].identity)]
    if len(trims) > 1:
        how = "from wall to wall, those toward the board"
    elif min(blank.beyond_nut_mm, blank.beyond_end_mm) == 0:
        how = "from the wall toward the board to the board's other end"
    else:
        return rows
    ends = layout.edges.finished.ends
    length = told_in(ends.far.x_mm() - ends.nut.x_mm(), layout.board.unit)
    return [MeasureRow(names, how, length, trims[0].identity), *rows]


def _chosen(numbers: Sequence[int]) -> list[int]:
    """The first, the twelfth and the last."""
    return sorted({numbers[0], numbers[-1], *(n for n in numbers if n == 12)}) if numbers else []


def _first_and_last(features: Sequence[Cut]) -> list[Cut]:
    return [] if not features else [features[0], features[-1]] if len(features) > 1 else [features[0]]
