"""The parts of a job card as flowing blocks: programs and setups, what is needed, what to measure, cautions."""

import math
from typing import Final

from pearlkerf.machine.woods import find_wood
from pearlkerf.pictures.card import words
from pearlkerf.pictures.card.model import Card, ProgramRow, SetupRow
from pearlkerf.pictures.card.rows import WIRE_OVERHANG_MM
from pearlkerf.pictures.card.section import draw_section
from pearlkerf.pictures.card.style import (
    Flow,
    boxes,
    gap,
    heading,
    large,
    picture,
    prose,
    small_heading,
    table,
    together,
)
from pearlkerf.pictures.setup import draw_players_view, draw_setup

WIRE_COLUMNS: Final = 4
LEVEL_MM: Final = 0.005  # less than this rounds to 0.00


def programs_and_setups(card: Card, width_mm: float) -> list[Flow]:
    """The title, and every setup with its picture, its boxes to tick and its programs in the order to run."""
    board = card.layout.board
    facts = [f"{board.wood or 'wood not named'}", f"{board.hand}-handed", f"scale {board.scale.in_words(2)}"]
    flow: list[Flow] = [
        large(card.title),
        prose(f"{', '.join(facts)}. Machine: {card.machine}"),
        prose(words.PRECEDENCE),
    ]
    number = 1
    for setup in card.setups:
        rows = [row for row in card.programs if row.setup == setup.name]
        flow += _setup(card, setup, width_mm)
        for row in rows:
            flow.append(_program(row, number, width_mm))
            number += 1
    return flow


def _setup(card: Card, setup: SetupRow, width_mm: float) -> list[Flow]:
    before = {"face": words.BEFORE_FACE, "edge": words.BEFORE_EDGE, "treble": words.BEFORE_EDGE}.get(
        setup.setup.kind, ()
    )
    if setup.setup.kind == "face" and card.layout.board.state == "radiused":
        before = (words.BEFORE_RADIUSED, *before[1:])
    top = [
        heading(f"{setup.name.capitalize()} setup"),
        prose(f"Stock: {setup.stock}"),
        picture(draw_setup(setup.setup).without("dot-numbers"), width_mm),
    ]
    if setup.setup.kind == "edge" and card.layout.side_dots:
        seen = draw_players_view(setup.setup.stock.outline, setup.setup.features)
        top += [small_heading("As the player will see them"), picture(seen, width_mm)]
    lying = [_point(sentence) for sentence in setup.lying]
    ticks = [small_heading("Tick before every start"), boxes((*before, *words.BEFORE_EVERY), width_mm)]
    return [together(top), *lying, together(ticks), gap(3)]


def _point(sentence: str) -> Flow:
    """One sentence of a list."""
    return prose(f"{sentence[:1].upper()}{sentence[1:]}.", "bullet")


def _program(row: ProgramRow, number: int, width_mm: float) -> Flow:
    cutter = [("cutter", f"{row.cutter_number}", 0.7), (row.cutter_kind, f"{row.cutter_diameter_mm:.2f} mm", 1.35)]
    notes = [_point(note) for note in row.notes]
    if row.tip_above_mm is not None:
        head = f"{number}.  {row.file}: shows {row.cuts}"
        figures = [*cutter, *_pointing_figures(row, row.tip_above_mm)]
        notes.append(_point(f"it stops, from the nut end on, at {'; '.join(row.stops)}"))
    else:
        head = f"{number}.  {row.file}: {row.cuts}"
        figures = [*cutter, *_cutting_figures(row)]
    labels, values, shares = zip(*figures, strict=True)
    cells = [[prose(label, "label") for label in labels], [prose(value, "figure") for value in values]]
    return together([small_heading(head), table(cells, shares, width_mm, "figures"), *notes, gap(3)])


def _cutting_figures(row: ProgramRow) -> list[tuple[str, str, float]]:
    """Label, figure and share of the width."""
    return [
        ("speed, rpm", f"{row.speed_rpm:.0f}", 1.0),
        ("feed, mm/min", f"{row.feed_mm_min:.0f}", 1.1),
        ("plunge, mm/min", f"{row.plunge_feed_mm_min:.0f}", 1.3),
        ("deepest, mm", f"{row.deepest_mm:.2f}", 1.1),
        ("bite, mm", f"{row.bite_mm:.2f}", 0.8),
        ("time", row.time, 1.8),
    ]


def _pointing_figures(row: ProgramRow, tip_above_mm: float) -> list[tuple[str, str, float]]:
    """Label, figure and share of the width."""
    return [
        ("spindle", "off", 1.0),
        ("tip over the wood, mm", f"{tip_above_mm:.2f}", 2.0),
        ("stops", f"{len(row.stops)}", 0.8),
        ("time between them", row.time, 1.8),
    ]


def at_hand(card: Card, width_mm: float) -> list[Flow]:
    """What is needed, the lengths of fretwire, and how deep the dots will lie."""
    flow: list[Flow] = [heading("To have at hand")]
    needs = [[prose(row.amount, "strong"), prose(row.what), prose(row.detail)] for row in card.rows.needs]
    flow.append(table(needs, [1.0, 1.4, 4.6], width_mm))
    if card.rows.wire:
        title = small_heading("Fretwire: the length to cut for each fret")
        total = sum(row.cut_mm for row in card.rows.wire)
        how = f"The board's width there and {WIRE_OVERHANG_MM:.0f} mm past each edge, rounded up. Sum: {total:.0f} mm."
        if card.layout.board.binding is not None:
            how += " Nip the tang back at both ends, so that it ends inside the binding."
        flow.append(together([title, prose(how), _wire(card, width_mm)]))
    if card.rows.sunk:
        flow.append(_sunk(card, width_mm))
    return flow


def _wire(card: Card, width_mm: float) -> Flow:
    cells = [f"fret {row.fret}:  {row.cut_mm:.0f} mm" for row in card.rows.wire]
    depth = -(-len(cells) // WIRE_COLUMNS)
    columns = [cells[k * depth : (k + 1) * depth] for k in range(WIRE_COLUMNS)]
    rows = [[prose(column[k] if k < len(column) else "") for column in columns] for k in range(depth)]
    return table(rows, [1.0] * WIRE_COLUMNS, width_mm)


def _sunk(card: Card, width_mm: float) -> Flow:
    dots, board = card.layout.board.face_dots, card.layout.board
    assert dots is not None
    rows = [[prose(name, "label") for name in ("face dot", "pocket", "the dot's top", "the finished face")]]
    for row in card.rows.sunk:
        tops = dict.fromkeys((_beside_raw(row.below_thickest_mm), _beside_raw(row.below_mm)))
        cells = (row.name, f"{row.depth_mm:.2f} mm deep", " to ".join(tops), _beside_raw(row.finished_below_mm))
        rows.append([prose(cell) for cell in cells])
    shaped = math.isinf(board.radius.nut_mm) or board.state == "radiused"
    taken = f"{board.crown_allowance_mm:.2f} mm" + ("" if shaped else " at the crown, radiusing more beside it")
    why = (
        "All from the raw face, at the dot's centre. Where a dot lies below, it looks wrong and is right: levelling "
        f"takes {taken}. "
        f"The thinnest dot then stands {dots.proud_mm:.2f} mm above the finished face and is levelled with it."
    )
    return together(
        [
            small_heading("How far the dots lie below the raw face, and why"),
            prose(why),
            picture(draw_section(card.layout), width_mm),
            table(rows, [2.0, 1.2, 2.2, 1.4], width_mm),
        ]
    )


def _beside_raw(below_mm: float) -> str:
    if abs(below_mm) < LEVEL_MM:
        return "level"
    return f"{below_mm:.2f} mm below" if below_mm > 0 else f"{-below_mm:.2f} mm above"


def after_cutting(card: Card, width_mm: float) -> list[Flow]:
    """What to measure, then gluing and levelling."""
    flow: list[Flow] = [heading("After cutting, before gluing: measure")]
    rows = [
        [prose("☐", "strong"), prose(row.what), prose(row.how), prose(row.figure, "strong")]
        for row in card.rows.measures
    ]
    if rows:
        flow.append(table(rows, [0.3, 1.9, 3.2, 1.9], width_mm))
    if not any((card.rows.wire, card.layout.face_dots, card.layout.side_dots)):
        return flow if rows else []
    glue = [small_heading("Gluing and levelling"), *(prose(note, "bullet") for note in words.GLUING)]
    return [*flow, gap(2), together(glue)]


def cautions(width_mm: float, wood: str = "") -> list[Flow]:
    """The usual cautions, and what is known of the wood's dust, deferring to those who know the workplace."""
    known = find_wood(wood)
    of_wood = [(f"{known.name.capitalize()} dust", f"{known.dust}.")] if known is not None and known.dust else []
    rows = [[prose(name, "strong"), prose(text)] for name, text in (*of_wood, *words.CAUTIONS)]
    return [together([heading("Cautions"), prose(words.PRECEDENCE), table(rows, [1.2, 5.0], width_mm)])]
