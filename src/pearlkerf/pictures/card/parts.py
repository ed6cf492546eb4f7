"""The parts of a job card as flowing blocks: a page for each setup, what is needed, glue, cautions."""

import math
from collections.abc import Sequence
from typing import Final

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import as_written, figure_in, told_in, write_length
from pearlkerf.machine.materials import SHELL_DUST
from pearlkerf.machine.woods import find_wood
from pearlkerf.pictures.card import words
from pearlkerf.pictures.card.measures import measured_in
from pearlkerf.pictures.card.model import Card, MeasureRow, SetupRow, Step, WireRow
from pearlkerf.pictures.card.rows import WIRE_OVERHANG_MM
from pearlkerf.pictures.card.section import draw_section
from pearlkerf.pictures.card.steps import sentence, steps_of
from pearlkerf.pictures.card.style import (
    Cell,
    Flow,
    Paper,
    figured,
    gap,
    heading,
    led,
    new_page,
    picture,
    prose,
    small_heading,
    table,
    together,
)
from pearlkerf.pictures.setup import draw_players_view, draw_setup

FRET_BLOCKS: Final = 3  # frets stand in so many columns
FRET_SHARES: Final = (0.6, 1.2, 1.0, 1.1)
MEASURE_SHARES: Final = (0.28, 9.0)
STEP_SHARES: Final = (0.32, 5.8, 1.32)  # box, what is done, the program's number and minutes
LEVEL_MM: Final = 0.005  # less than this rounds to 0.00


def setup_pages(card: Card, paper: Paper) -> list[Flow]:
    """Give a page for each setup: its picture, its steps in the order of the hand, what is measured at its end."""
    board = card.layout.board
    facts = told(paper, f"{board.hand}-handed, scale {board.scale.in_words(2)}")
    first = f"{board.wood or 'wood not named'}, {facts}. Machine: {card.machine}. {words.PRECEDENCE}"
    flow: list[Flow] = [prose(first, "small")]
    for row in card.setups:
        flow += _setup_page(card, row, paper)
    return flow


def told(paper: Paper, text: str) -> str:
    """Give words of our own in the card's unit, to stand beside those of people."""
    return in_unit(text, paper.unit)


def _setup_page(card: Card, row: SetupRow, paper: Paper) -> list[Flow]:
    setup = row.setup
    part = row.about("part")
    top = [
        heading(f"{row.name.capitalize()} setup" + (f": {setup.row.material}" if setup.row is not None else "")),
        paper.words(f"Stock: {row.stock}. {sentence(part)}", "small"),
        picture(draw_setup(setup, row.around).without("dot-numbers"), paper.width_mm),
    ]
    if setup.kind in ("edge", "treble") and card.layout.side_dots:
        seen = draw_players_view(setup.stock.outline, setup.features)
        top += [small_heading("As the player will see them"), picture(seen, paper.width_mm)]
    steps = [_step(step, paper) for step in steps_of(card, row)]
    flow: list[Flow] = [] if row is card.setups[0] else [new_page()]
    flow += [together(top), table(steps, STEP_SHARES, paper.width_mm)]
    minded = [each for each in row.about("mind") if each not in SHELL_DUST]  # that stands where all is cleared
    flow += [paper.words(sentence(minded), "small")] if minded else []
    measures = measured_in(setup, [each.setup for each in card.setups], card.rows.measures)
    return [*flow, *_foot(measures, paper)]


def _step(step: Step, paper: Paper) -> list[Cell | None]:
    """One row: its box, what is done, and at the right edge the program's number and minutes."""
    more = [paper.words(each, "small") for each in step.more if each]
    run = [prose(f"{step.number}", "number"), prose(step.time, "time")] if step.number else None
    return [prose("☐", "box"), [led(step.lead, told(paper, step.do)), *more], run]


def _foot(rows: Sequence[MeasureRow], paper: Paper) -> list[Flow]:
    """What is measured before the board is taken off, a line for each feature."""
    if not rows:
        return []
    lines: list[list[Cell]] = []
    for what in dict.fromkeys(row.what for row in rows):
        figures = [(told(paper, f" {row.how}"), told(paper, row.figure)) for row in rows if row.what == what]
        lines.append([prose("☐"), figured(what, figures, "small")])
    head = small_heading("Before the board is taken off: measure")
    return [together([head, table(lines, MEASURE_SHARES, paper.width_mm)])]


def _blocks(cells: Sequence[Sequence[Cell]], form: tuple[int, Sequence[float]], paper: Paper) -> Flow:
    """Set rows of cells in several columns of blocks, read downward; ``form`` is how many, and the shares of each."""
    blocks, shares = form
    depth = -(-len(cells) // blocks)
    empty: list[Cell] = [prose("")] * len(shares)
    rows = [
        [cell for block in range(blocks)
         for cell in (cells[block * depth + k] if block * depth + k < len(cells) else empty)]
        for k in range(depth)
    ]  # fmt: skip
    return table(rows, [*shares] * blocks, paper.width_mm)


def at_hand(card: Card, paper: Paper) -> list[Flow]:
    """What is needed, where the frets lie and how long their wire is, and how deep the dots will lie."""
    needs = [[paper.words(row.amount, "strong"), prose(row.what), paper.words(row.detail)] for row in card.rows.needs]
    flow: list[Flow] = [new_page(), heading("To have at hand"), table(needs, [1.0, 1.4, 4.6], paper.width_mm)]
    if card.rows.wire:
        flow.append(_frets(card, paper))
    if card.rows.sunk:
        flow.append(_sunk(card, paper))
    return flow


def inlays(card: Card, paper: Paper) -> list[Flow]:
    """What the cutters make of the drawings of inlays, and what is left to the hand."""
    if not card.inlays:
        return []
    blocks = [[small_heading(each.name), *paper.points(each.told)] for each in card.inlays]
    seen = [] if card.assembled is None else [picture(card.assembled, paper.width_mm)]
    return [together([heading("Inlays"), *seen, *blocks[0]]), *(together(each) for each in blocks[1:])]


def _stops(card: Card, paper: Paper) -> list[Flow]:
    """Where the pointing runs stop, in order."""
    runs = [row for row in card.programs if row.stops]
    lines = [f"{row.file} stops, from the nut end on, at {'; '.join(row.stops)}." for row in runs]
    return [together([small_heading("Pointing runs"), *(paper.words(each, "small") for each in lines)])] if runs else []


def _frets(card: Card, paper: Paper) -> Flow:
    total = told_in(sum(row.cut_mm for row in card.rows.wire), paper.unit, 0)
    over = told_in(WIRE_OVERHANG_MM, paper.unit, 1)
    how = f"Wire: the board's width there and {over} past each edge, rounded up. Sum: {total}."
    if card.layout.board.binding is not None:
        how += " Nip the tang back at both ends, so that it ends inside the binding."
    unit = paper.unit
    names = ("fret", f"from the {_origin(card)}, {unit}", f"width, {unit}", "wire")
    head: list[Cell] = [prose(name, "label") for name in names]
    cells = [_fret(row, paper) for row in card.rows.wire]
    depth = -(-len(cells) // FRET_BLOCKS)
    columns = [cells[k * depth : (k + 1) * depth] for k in range(FRET_BLOCKS)]
    headed = [cell for column in columns if column for cell in [head, *column]]
    form = (sum(bool(column) for column in columns), FRET_SHARES)
    return together([small_heading("Frets, and the wire for each"), prose(how, "small"), _blocks(headed, form, paper)])


def _origin(card: Card) -> str:
    return card.layout.origin.partition(",")[0]


def _fret(row: WireRow, paper: Paper) -> list[Cell]:
    cut = write_length(row.cut_mm, paper.unit).strip('"')
    cut = cut if cut.endswith(paper.unit) else f"{cut} {paper.unit}"
    place, width = figure_in(row.from_nut_mm, paper.unit), figure_in(row.width_mm, paper.unit, 1)
    return [prose(f"{row.fret}", "small strong"), prose(place, "small"), prose(width, "small"), prose(cut, "small")]


def _sunk(card: Card, paper: Paper) -> Flow:
    dots, board = card.layout.board.face_dots, card.layout.board
    assert dots is not None
    rows = [[prose(name, "label") for name in ("face dot", "pocket", "the dot's top", "the finished face")]]
    for row in card.rows.sunk:
        tops = dict.fromkeys((_beside_raw(row.below_thickest_mm), _beside_raw(row.below_mm)))
        cells = (row.name, f"{row.depth_mm:.2f} mm deep", " to ".join(tops), _beside_raw(row.finished_below_mm))
        rows.append([paper.words(cell, "small") for cell in cells])
    shaped = math.isinf(board.radius.nut_mm) or board.state == "radiused"
    taken = as_written(board.crown_allowance_mm) + ("" if shaped else " at the crown, radiusing more beside it")
    why = (
        "All from the raw face, at the dot's centre. Where a dot lies below, it looks wrong and is right: levelling "
        f"takes {taken}. "
        f"The thinnest dot then stands {as_written(dots.proud_mm)} above the finished face and is levelled with it."
    )
    return together(
        [
            small_heading("How far the dots lie below the raw face, and why"),
            paper.words(why, "small"),
            picture(draw_section(card.layout), paper.width_mm),
            table(rows, [2.0, 1.2, 2.2, 1.4], paper.width_mm),
        ]
    )


def _beside_raw(below_mm: float) -> str:
    if abs(below_mm) < LEVEL_MM:
        return "level"
    return f"{below_mm:.2f} mm below" if below_mm > 0 else f"{-below_mm:.2f} mm above"


def last_page(card: Card, paper: Paper) -> list[Flow]:
    """Gluing and levelling, where pointing runs stop, and the cautions."""
    flow: list[Flow] = []
    if any((card.rows.wire, card.layout.face_dots, card.layout.side_dots)):
        flow += [new_page(), heading("Gluing and levelling"), *paper.points(words.GLUING), gap(2)]
    return [*flow, *_stops(card, paper), *cautions(paper, card.layout.board.wood)]


def cautions(paper: Paper, wood: str = "") -> list[Flow]:
    """The usual cautions, and what is known of the wood's dust, deferring to those who know the workplace."""
    known = find_wood(wood)
    of_wood = [(f"{known.name.capitalize()} dust", f"{known.dust}.")] if known is not None and known.dust else []
    rows = [[prose(name, "strong"), prose(text, "small")] for name, text in (*of_wood, *words.CAUTIONS)]
    block = [heading("Cautions"), prose(words.PRECEDENCE, "small"), table(rows, [1.2, 5.0], paper.width_mm)]
    return [together(block)]
