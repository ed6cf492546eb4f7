"""The card of pieces of inlays: how they are cut, which lies where, and in which order they are let into the board."""

from collections.abc import Sequence
from typing import Final

from pearlkerf.board.inlays import InlayBlank
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import figure_in
from pearlkerf.machine.materials import kind_of
from pearlkerf.pictures.card.card import draw_pages
from pearlkerf.pictures.card.model import Card
from pearlkerf.pictures.card.parts import cautions, inlays, setup_pages
from pearlkerf.pictures.card.style import Cell, Flow, Paper, heading, new_page, prose, small_heading, table, together
from pearlkerf.pictures.sheets import Sheet
from pearlkerf.setups.blank_rows import BlankRow
from pearlkerf.setups.model import Setup
from pearlkerf.setups.row_words import BACKING_MM
from pearlkerf.setups.used_places import used_lines

SHELL_CAUTION: Final = (
    "Of 26 people who sawed nacre 6 had an inflammation of the lungs by its dust, and in some it went on (Eur Respir J "
    "1997;10:780-786). Cut it wet or with extraction at the cutter, with a mask made for such dust, and never leave "
    "the machine; wipe up wet, do not sweep or blow."
)
# common practice, no source
ASSEMBLY: Final = (
    "Before anything is taken off its board, write each piece's number on it, or lay the sheet of the blanks beside "
    "it: numbers on card, sheet and picture are one and the same.",
    "Take pieces off with the solvent of the tape's glue, or slide a thin blade under the tape; shell that is pried "
    "breaks. What was held by a skin is sanded on its back, flat on fine paper, until the skin is gone.",
    "Blow out and vacuum every pocket, and chisel the corners that are left to the hand, before the first dry fit.",
    "Dry fit every piece in its own pocket, the side that showed on the machine up: it goes in by the thumb alone, all "
    "round alike, and down to the floor. A piece that binds at one place is filed there, never hammered.",
    "Glue in the order of the table, from the nut end on, one piece at a time; where a piece lies in another's hole, "
    "the outer one first.",
    "Take a glue that fills the gap all round, gel or epoxy tinted like the wood; weigh pieces down flat until it is "
    "hard.",
    "Level and radius with a block once it is hard, wet where shell is sanded, no further than the allowance that the "
    "depths were computed with.",
)
AFTERWARDS: Final = (
    "When a piece breaks it is cut again from what is left: pearlkerf pieces with --only. Say first in its "
    "[[inlay_blank]] what is gone, beside what stands there already; one line for each of these tables:"
)
SHARES: Final = (0.7, 2.2, 2.2, 0.7, 1.6, 0.8)
HEAD: Final = ("number", "piece", "goes into", "blank", "its middle there, X Y", "turned")


def draw_pieces_card(card: Card, sheet: Sheet = "A4") -> bytes:
    """Draw the card of the pieces of a board's inlays as PDF."""
    unit = card.layout.board.unit
    return draw_pages(card.title, "pieces", lambda width: _story(card, Paper(width, unit)), sheet)


def _story(card: Card, paper: Paper) -> list[Flow]:
    rows = [each.setup.row for each in card.setups if each.setup.row is not None]
    flow = [*setup_pages(card, paper), heading("Which piece lies where")]
    for row in rows:
        flow += _lies(row, paper)
    flow += used_told([each.setup for each in card.setups], card.layout.board.inlay_blanks, paper)
    flow += [new_page(), heading("Into the board"), *paper.points(ASSEMBLY), *inlays(card, paper)]
    if any(kind_of(row.material) == "shell" for row in rows):
        flow.append(together([heading("Dust of shell"), prose(SHELL_CAUTION)]))
    return [*flow, *cautions(paper)]


def _lies(row: BlankRow, paper: Paper) -> list[Flow]:
    what = f"{len(row.blanks)} blank{'s' * (len(row.blanks) > 1)} in a row"
    backing = in_unit(f"a flat backing board at least {BACKING_MM:.1f} mm thick", paper.unit)
    cells: list[list[Cell]] = [[prose(name, "label") for name in HEAD]]
    for piece in row.pieces:
        at = " ".join(figure_in(each, paper.unit, 2) for each in piece.at)
        goes = "a spare" if piece.spare else piece.place.name
        line = (str(piece.number), piece.name, goes, str(piece.blank), at, f"{piece.turn_deg:.1f}°")
        cells.append([prose(each, "small") for each in line])
    return [small_heading(f"{row.material}: {what} on {backing}"), table(cells, SHARES, paper.width_mm)]


def used_told(setups: Sequence[Setup], blanks: Sequence[InlayBlank], paper: Paper) -> list[Flow]:
    """Say what the board file is told of the blanks afterwards, so that what is left of them can be cut again."""
    lines = used_lines(setups, blanks, paper.unit)
    told = [part for each in lines for part in (paper.words(each.of, "small strong"), prose(each.line, "small"))]
    head = small_heading("Afterwards, in the board file: what of the blanks is gone")
    return [together([head, prose(AFTERWARDS, "small"), *told])]
