"""From a layout to a job card's lists: what is needed, how deep the dots lie, what to measure afterwards."""

import math
from collections.abc import Mapping, Sequence
from typing import Final

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.model import Layout
from pearlkerf.layout.side_dots import edge_of
from pearlkerf.pictures.card.model import (
    Card,
    CardRows,
    MeasureRow,
    NeedRow,
    ProgramRow,
    SetupRow,
    SunkRow,
    WireRow,
)
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.words import sentences

WIRE_OVERHANG_MM: Final = 3.0
"""How far fretwire stands past each edge before it is trimmed: common practice, no source."""

ROD_SPARE_MM: Final = 2.0
"""Length of side-dot rod over the hole's depth, to be trimmed flush: common practice, no source."""


BRITTLE_MM: Final = 1.0
"""A cutter thinner than this breaks easily, so that a spare is at hand: common practice, no source."""


def fill_card(
    clampings: Clampings, machine: str, programs: Sequence[ProgramRow], run_outs: Mapping[str, tuple[str, ...]]
) -> Card:
    """Give the whole job card of a board on a machine; ``programs`` in the order to run.

    ``run_outs`` says by the names of setups how far their cuts run out.
    """
    setups = tuple(setup_row(setup, run_outs.get(setup.name, ())) for setup in clampings.setups)
    layout = clampings.layout
    return Card(layout.board.title, machine, layout, setups, tuple(programs), card_rows(clampings, programs))


def setup_row(setup: Setup, run_out: Sequence[str]) -> SetupRow:
    """Give how one clamping lies, and how far its cuts run out."""
    return SetupRow(setup.name, (*sentences(setup), *run_out), stock_size(setup), setup)


def card_rows(clampings: Clampings, programs: Sequence[ProgramRow] = ()) -> CardRows:
    """Give the lists of a card that follow from layout and setups; the cutters come from ``programs``."""
    layout = clampings.layout
    wire = wire_rows(layout)
    beside = _dowels_needed(clampings) or _scrap_needed(layout)
    needs = (*_dots_needed(layout), *_wire_needed(layout, wire), *_cutters_needed(programs), *beside)
    return CardRows(needs, wire, sunk_rows(layout), measure_rows(layout))


def stock_size(setup: Setup) -> str:
    """Give the size of a setup's stock in words, along X, along Y and upright."""
    length, width = (setup.stock.outline.max(axis=0) - setup.stock.outline.min(axis=0)).tolist()
    return f"{length:.1f} × {width:.1f} mm in plan, {setup.stock.thickness_mm:.1f} mm high" + (
        f" (standing {setup.stock.thickness_mm + setup.raised_mm:.1f} mm tall)" if setup.raised_mm else ""
    )


def wire_rows(layout: Layout) -> tuple[WireRow, ...]:
    """Give the length of wire to cut for every fret: the width there and an overhang, rounded up to 1 mm."""
    if layout.board.fret_slots is None:
        return ()
    return tuple(
        WireRow(row.fret, row.width_mm, float(math.ceil(row.width_mm + 2 * WIRE_OVERHANG_MM)))
        for row in layout.fret_rows
    )


def sunk_rows(layout: Layout) -> tuple[SunkRow, ...]:
    """Give how far each face dot lies below the raw face: pocket depth less the dot's thickness.

    All figures are from the raw face at the dot's centre.
    """
    dots = layout.board.face_dots
    if dots is None:
        return ()
    rows = []
    for hole in layout.face_dots:
        depth = raw_top_mm(layout, *hole.centre) - hole.floor_mm
        finished = raw_top_mm(layout, *hole.centre) - finished_top_mm(layout, *hole.centre)
        rows.append(SunkRow(hole.name, depth, depth - dots.thinnest_mm, depth - dots.thickest_mm, finished))
    return tuple(rows)


def raw_top_mm(layout: Layout, x_mm: float, y_mm: float) -> float:
    """Height of the raw face at a point, 0 at its crown line."""
    return 0.0 if layout.board.state == "flat" else -float(layout.surface.fall_mm(x_mm, y_mm))


def finished_top_mm(layout: Layout, x_mm: float, y_mm: float) -> float:
    """Height of the finished face at a point, from the raw face's crown line."""
    return -layout.board.crown_allowance_mm - float(layout.surface.fall_mm(x_mm, y_mm))


def measure_rows(layout: Layout) -> tuple[MeasureRow, ...]:
    """Give what to measure after cutting, before anything is glued, and what the figures should be."""
    rows: list[MeasureRow] = []
    slots = {slot.number: slot for slot in layout.slots}
    if layout.board.fret_slots is not None and layout.board.fret_slots.state == "to cut" and slots:
        width = layout.slots[0].width_mm
        rows.append(MeasureRow("fret slots", "width, by feeler gauge in a few of them", f"{width:.2f} mm"))
    for number in _chosen(tuple(slots)):
        rows += _slot_measures(layout, slots[number])
    rows += _trim_measures(layout)
    for hole in _first_and_last(layout.face_dots):
        depth = raw_top_mm(layout, *hole.centre) - hole.floor_mm
        rows.append(MeasureRow(f"{hole.name}, pocket", "diameter", f"{hole.diameter_mm:.2f} mm"))
        rows.append(MeasureRow(f"{hole.name}, pocket", "depth from the raw face, at its centre", f"{depth:.2f} mm"))
    for hole in _first_and_last(layout.side_dots):
        along, height = hole.centre[0], abs(hole.centre[1])
        corner = "nut corner" if layout.edges.begins_at_nut(edge_of(layout, hole)) else "corner of the straight run"
        rows.append(MeasureRow(hole.name, f"{corner} to its centre, along the edge", f"{along:.2f} mm"))
        rows.append(MeasureRow(hole.name, "glue face to its centre", f"{height:.2f} mm"))
        rows.append(MeasureRow(hole.name, "depth", f"{-hole.floor_mm:.2f} mm"))
    return tuple(rows)


def _slot_measures(layout: Layout, slot: Slot) -> list[MeasureRow]:
    x, name = slot.line.x_mm(), slot.name
    wall = slot.line.beside(-slot.width_mm / 2).x_mm()
    rows = [MeasureRow(name, f"{layout.origin} to the slot's near wall (to its middle)", f"{wall:.2f} ({x:.2f}) mm")]
    fret_slots = layout.board.fret_slots
    if fret_slots is None or fret_slots.state == "already cut":
        return rows
    places = ((x, 0.0), slot.ends[1])
    middle, side = (raw_top_mm(layout, *place) - float(slot.floor.z_mm(*place)) for place in places)
    figure = f"{middle:.2f} mm, {side:.2f} mm"
    return [*rows, MeasureRow(name, "depth from the raw face: on the centre line, at the slot's ends", figure)]


def _trim_measures(layout: Layout) -> list[MeasureRow]:
    """How deep they are, and the board's length, where both its ends are there to be measured."""
    blank, trims = layout.board.blank, layout.trims
    if blank is None or not trims:
        return []
    names = " and ".join(trim.name for trim in trims)
    depth = -float(trims[0].floor.z_mm(trims[0].line.x_mm(), 0.0))
    rows = [MeasureRow(names, "depth on the centre line", f"{depth:.2f} mm")]
    if len(trims) > 1:
        how = "from wall to wall, those toward the board"
    elif min(blank.beyond_nut_mm, blank.beyond_end_mm) == 0:
        how = "from the wall toward the board to the board's other end"
    else:
        return rows
    ends = layout.edges.finished.ends
    return [MeasureRow(names, how, f"{ends.far.x_mm() - ends.nut.x_mm():.2f} mm"), *rows]


def _chosen(numbers: Sequence[int]) -> list[int]:
    """The first, the twelfth and the last."""
    return sorted({numbers[0], numbers[-1], *(n for n in numbers if n == 12)}) if numbers else []


def _first_and_last(holes: Sequence[Hole]) -> list[Hole]:
    return [] if not holes else [holes[0], holes[-1]] if len(holes) > 1 else [holes[0]]


def _dots_needed(layout: Layout) -> list[NeedRow]:
    needs, face, side = [], layout.board.face_dots, layout.board.side_dots
    if face is not None and layout.face_dots:
        thick = f"{face.thinnest_mm:.2f} mm thick"
        if face.thickest_mm > face.thinnest_mm:
            thick = f"{face.thinnest_mm:.2f} to {face.thickest_mm:.2f} mm thick"
        needs.append(NeedRow(str(len(layout.face_dots)), "face dots", f"{face.diameter_mm:.2f} mm across, {thick}"))
    if side is not None and layout.side_dots:
        count = len(layout.side_dots)
        rod = math.ceil(count * (side.depth_mm + ROD_SPARE_MM))
        detail = f"{side.diameter_mm:.2f} mm rod, {side.depth_mm + ROD_SPARE_MM:.1f} mm each, {rod} mm in all"
        needs.append(NeedRow(str(count), "side dots", detail))
    return needs


def _wire_needed(layout: Layout, wire: Sequence[WireRow]) -> list[NeedRow]:
    slots = layout.board.fret_slots
    if slots is None or not wire:
        return []
    total = sum(row.cut_mm for row in wire)
    detail = f"{len(wire)} pieces, for a slot {slots.width_mm + slots.fit_mm:.2f} mm wide"
    return [NeedRow(f"{total:.0f} mm", "fretwire", detail)]


def _cutters_needed(programs: Sequence[ProgramRow]) -> list[NeedRow]:
    cutters = dict.fromkeys((row.cutter_number, row.cutter_kind, row.cutter_diameter_mm) for row in programs)
    return [
        NeedRow("2" if diameter < BRITTLE_MM else "1", f"cutter {number}", _cutter_detail(kind, diameter))
        for number, kind, diameter in sorted(cutters)
    ]


def _cutter_detail(kind: str, diameter_mm: float) -> str:
    spare = ", one of them to spare" if diameter_mm < BRITTLE_MM else ""
    return f"{kind}, {diameter_mm:.2f} mm{spare}"


def _dowels_needed(clampings: Clampings) -> list[NeedRow]:
    """What a carrier needs; nothing for a board."""
    holes = [each for setup in clampings.setups for each in setup.features if each.group == "dowels"]
    if not holes:
        return []
    size = f"{holes[0].width_mm:.2f} mm thick, {-min(hole.floor_at_crown_mm for hole in holes):.1f} mm long at most"
    return [NeedRow("1", "strip of plywood", "as long, wide and thick as the first setup says"),
            NeedRow("2", "dowels", size)]  # fmt: skip


def _scrap_needed(layout: Layout) -> list[NeedRow]:
    wood = layout.board.wood or "the same wood"
    return [NeedRow("1", "piece of scrap", f"{wood}, as thick as the board, for the fit coupons")]
