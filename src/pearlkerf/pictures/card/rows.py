"""From a layout to a job card's lists: what is needed, how deep the dots lie, what to measure afterwards."""

import math
from collections.abc import Mapping, Sequence
from typing import Final

from pearlkerf.files.lengths import Unit, as_written, parse_length_mm
from pearlkerf.layout.features import Feature
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.around import Around
from pearlkerf.pictures.assembled import draw_assembled, of_fits
from pearlkerf.pictures.card.measures import finished_top_mm, measure_rows, raw_top_mm
from pearlkerf.pictures.card.model import (
    NOTHING_BESIDE,
    Beside,
    Card,
    CardRows,
    Changes,
    NeedRow,
    ProgramRow,
    SetupRow,
    SunkRow,
    WireRow,
)
from pearlkerf.pictures.inlay_words import inlays_told
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.topics import Claim, Reason, Topic
from pearlkerf.setups.words import by_topic

WIRE_OVERHANG_MM: Final = 3.0
"""How far fretwire stands past each edge before it is trimmed: common practice, no source."""

ROD_SPARE_MM: Final = 2.0
"""Length of side-dot rod over the hole's depth, to be trimmed flush: common practice, no source."""


BRITTLE_MM: Final = 1.0
"""A cutter thinner than this breaks easily, so that a spare is at hand: common practice, no source."""


def fill_card(
    clampings: Clampings,
    machine: str,
    programs: Sequence[ProgramRow],
    beside: Mapping[str, Beside],
    changes: Changes = "file",
) -> Card:
    """Give the whole job card of a board on a machine; ``programs`` in the order to run.

    ``beside`` says by the names of setups what their motion says of them.
    """
    layout = clampings.layout
    setups = tuple(
        setup_row(setup, beside.get(setup.name, NOTHING_BESIDE), there_already(layout, setup))
        for setup in clampings.setups
    )
    rows = card_rows(clampings, programs)
    told = inlays_told(clampings.fits)
    seen = draw_assembled(layout, of_fits(clampings.fits))
    return Card(layout.board.title, machine, layout, setups, tuple(programs), rows, changes, told, seen)


def setup_row(setup: Setup, beside: Beside, there: tuple[Feature, ...] = ()) -> SetupRow:
    """Give what is told of one clamping, and what is drawn round it; ``there`` are slots that were sawn before."""
    # where figures say how far cuts run out and where clamps stand, no reason need say that they do
    needless = [("held", Reason)] if beside.run_out else []
    told = [
        (topic, str(said)) for topic, said in by_topic(setup)
        if not isinstance(said, Claim) and (topic, type(said)) not in needless
    ]  # fmt: skip
    held: list[tuple[Topic, str]] = [("held", words) for words in beside.run_out]
    around = Around(beside.room, bool(beside.run_out), there)
    return SetupRow(setup.name, (*told, *held), stock_size(setup), setup, around, beside.dry_run)


def there_already(layout: Layout, setup: Setup) -> tuple[Feature, ...]:
    """Give the slots of a board that were sawn before this job, as they lie in the face."""
    slots = layout.board.fret_slots
    return layout.slots if setup.kind == "face" and slots is not None and slots.state == "already cut" else ()


def card_rows(clampings: Clampings, programs: Sequence[ProgramRow] = ()) -> CardRows:
    """Give the lists of a card that follow from layout and setups; the cutters come from ``programs``."""
    layout = clampings.layout
    wire = wire_rows(layout)
    beside = _dowels_needed(clampings) or _scrap_needed(layout)
    glued = any(setup.lying.glued for setup in clampings.setups)
    let_in = () if glued else (*_dots_needed(layout), *_pieces_needed(layout))
    needs = (
        *let_in,
        *_wire_needed(layout, wire),
        *_cutters_needed(programs),
        *beside,
    )
    return CardRows(needs, wire, () if glued else sunk_rows(layout), measure_rows(layout))


def stock_size(setup: Setup) -> str:
    """Give the size of a setup's stock in words, along X, along Y and upright."""
    length, width = (setup.stock.outline.max(axis=0) - setup.stock.outline.min(axis=0)).tolist()
    return f"{length:.1f} mm × {width:.1f} mm in plan, {setup.stock.thickness_mm:.1f} mm high" + (
        f" (standing {setup.stock.thickness_mm + setup.raised_mm:.1f} mm tall)" if setup.raised_mm else ""
    )


def wire_rows(layout: Layout) -> tuple[WireRow, ...]:
    """Give the length of wire to cut for every fret: the width there and an overhang, up to what a rule shows.

    Rounded up to 1 mm, or to a sixteenth of an inch.
    """
    if layout.board.fret_slots is None:
        return ()
    return tuple(
        WireRow(
            row.fret,
            row.x_mm,
            row.width_mm,
            _up_on_rule_mm(row.width_mm + 2 * WIRE_OVERHANG_MM, layout.board.unit),
        )
        for row in layout.fret_rows
    )


def _up_on_rule_mm(length_mm: float, unit: Unit) -> float:
    """Give the next greater length that a rule shows: a millimetre, or a sixteenth of an inch.

    >>> _up_on_rule_mm(58.2, "mm"), _up_on_rule_mm(58.2, "in")  # 2 5/16 in
    (59.0, 58.7375)
    """
    return float(math.ceil(length_mm)) if unit == "mm" else parse_length_mm(
        f"{math.ceil(length_mm / 25.4 * 16)}/16 in", unit
    )  # fmt: skip


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


def _dots_needed(layout: Layout) -> list[NeedRow]:
    needs, face, side = [], layout.board.face_dots, layout.board.side_dots
    if face is not None and layout.face_dots:
        thick = f"{as_written(face.thinnest_mm)} thick"
        if face.thickest_mm > face.thinnest_mm:
            thick = f"{as_written(face.thinnest_mm)} to {as_written(face.thickest_mm)} thick"
        needs.append(
            NeedRow(str(len(layout.face_dots)), "face dots", f"{as_written(face.diameter_mm)} across, {thick}")
        )
    if side is not None and layout.side_dots:
        count = len(layout.side_dots)
        rod = math.ceil(count * (side.depth_mm + ROD_SPARE_MM))
        detail = f"{as_written(side.diameter_mm)} rod, {side.depth_mm + ROD_SPARE_MM:.1f} mm each, {rod} mm in all"
        needs.append(NeedRow(str(count), "side dots", detail))
    return needs


def _pieces_needed(layout: Layout) -> list[NeedRow]:
    """What is let into the pockets of inlays: how many pieces of each, of what, how thick."""
    needs = []
    for inlay in layout.board.inlays:
        count = sum(piece.inlay == inlay for part in layout.inlays for piece in part.pieces)
        thinnest, thickest = inlay.thickness_of(layout.board.inlay_blanks)
        thick = as_written(thinnest) if thinnest == thickest else f"{as_written(thinnest)} to {as_written(thickest)}"
        needs.append(NeedRow(str(count), f"pieces of {inlay.called}", f"{inlay.material or 'shell'}, {thick} thick"))
    return needs


def _wire_needed(layout: Layout, wire: Sequence[WireRow]) -> list[NeedRow]:
    slots = layout.board.fret_slots
    if slots is None or not wire:
        return []
    total = sum(row.cut_mm for row in wire)
    detail = f"{len(wire)} pieces, for a slot {as_written(slots.width_mm + slots.fit_mm)} wide"
    return [NeedRow(f"{total:.0f} mm", "fretwire", detail)]


def _cutters_needed(programs: Sequence[ProgramRow]) -> list[NeedRow]:
    cutters = dict.fromkeys((row.cutter_number, row.cutter_kind, row.cutter_diameter_mm) for row in programs)
    return [
        NeedRow("2" if diameter < BRITTLE_MM else "1", f"cutter {number}", _cutter_detail(kind, diameter))
        for number, kind, diameter in sorted(cutters)
    ]


def _cutter_detail(kind: str, diameter_mm: float) -> str:
    spare = ", one of them to spare" if diameter_mm < BRITTLE_MM else ""
    return f"{kind}, {as_written(diameter_mm)}{spare}"


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
