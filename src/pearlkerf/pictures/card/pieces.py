"""The card of pieces of inlays: how they are cut, which lies where, and in which order they are let into the board."""

from collections.abc import Sequence
from typing import Final

from pearlkerf.board.inlays import InlayBlank
from pearlkerf.layout.features import Identity
from pearlkerf.machine.materials import kind_of
from pearlkerf.pictures.card.assembly import Assembly
from pearlkerf.pictures.card.card import draw_pages
from pearlkerf.pictures.card.model import Card
from pearlkerf.pictures.card.parts import cautions, inlays, setup_pages
from pearlkerf.pictures.card.style import (
    Cell,
    Flow,
    Paper,
    heading,
    new_page,
    picture,
    prose,
    small_heading,
    table,
    together,
)
from pearlkerf.pictures.sheets import Sheet
from pearlkerf.setups.blank_rows import BlankRow
from pearlkerf.setups.model import Setup
from pearlkerf.setups.used_places import used_lines, with_others

SHELL_CAUTION: Final = (
    "Of 26 people who sawed nacre 6 had an inflammation of the lungs by its dust, and in some it went on (Eur Respir J "
    "1997;10:780-786). Cut it wet or with extraction at the cutter, with a mask made for such dust, and never leave "
    "the machine; wipe up wet, do not sweep or blow."
)
# common practice, no source
ASSEMBLY: Final = (
    "Before anything is taken off its board, write each piece's number on it, or lay the sheet of the blanks beside "
    "it: numbers and names on card, sheet and picture are one and the same.",
    "Take pieces off with the solvent of the tape's glue, or slide a thin blade under the tape; shell that is pried "
    "breaks. What was held by a skin is sanded on its back, flat on fine paper, until the skin is gone.",
    "Blow out and vacuum every pocket, and chisel the corners that are left to the hand, before the first dry fit.",
    "Dry fit every piece in its own pocket, the side that showed on the machine up: it goes in by the thumb alone, all "
    "round alike, and down to the floor. A piece that binds at one place is filed there, never hammered.",
    "Glue in the order of the table, one piece at a time, a tick for each; where a piece lies in another's hole, the "
    "outer one comes first there.",
    "Take a glue that fills the gap all round, gel or epoxy tinted like the wood; weigh pieces down flat until it is "
    "hard.",
    "Where slots are cut through a piece afterwards, scrape off the glue and level nothing yet: the card of that visit "
    "says how high pieces may stand. Else level and radius with a block once the glue is hard, wet where shell is "
    "sanded, no further than the allowance that the depths were computed with: the table says where each top stands.",
)
# of blanks that differ from the file (common practice, no source)
BLANKS: Final = (
    "Measure every blank before it is stuck down. A longer or wider one does no harm: its low left corner lies where "
    "it is told, and the next one's too. One that is shorter or narrower is cut whole while it is so by no more than "
    "0.5 mm; else look on the sheet whether what lies on it keeps clear of its edge, or give it an [[inlay_blank]] of "
    "its own with its own size, and make the programs anew.",
    "One that is thicker than told is not cut through, and its piece stands higher; one that is thinner may end below "
    "the finished face. Sort them out, or say the thinnest and the thickest in the file: pockets follow it.",
    "Stick the blanks on the places of the sheet: fix it on the backing board, its measuring bars checked, or "
    "scribe its lines; low edges against a straight edge along X.",
)
TOGETHER: Final = (
    "Pieces that share a pocket go into it together: dry fit all of them before the first is glued, then glue them one "
    "after the other while the glue is soft, the gap between them as even as that to the wood. So lie"
)
AFTERWARDS: Final = (
    "Once all this is cut, put each of these lines in place of the used of its table. So nothing is ever cut in a "
    "hole, and a piece that breaks or is lost can be cut again from what is left."
)
AGAIN: Final = (
    'When a piece breaks: pearlkerf pieces BOARD -m MACHINE -o again --only "{}", with your board, machine and piece. '
    "Where the file lays the piece by place, take it out there first."
)
SHARES: Final = (0.32, 0.5, 1.9, 2.9, 2.5, 0.95, 1.35, 1.1)
HEAD: Final = (
    *("", "no.", "piece, its pocket", "cut from, its middle there", "its middle on the board"),
    *("deep", "its top, glued", "chisel"),
)


def draw_pieces_card(card: Card, assembly: Assembly, sheet: Sheet = "A4") -> bytes:
    """Draw the card of the pieces of a board's inlays as PDF."""
    unit = card.layout.board.unit
    return draw_pages(card.title, "pieces", lambda width: _story(card, assembly, Paper(width, unit)), sheet)


def _story(card: Card, assembly: Assembly, paper: Paper) -> list[Flow]:
    setups = [each.setup for each in card.setups]
    rows = [setup.row for setup in setups if setup.row is not None]
    before = together([small_heading("The blanks"), *paper.points(BLANKS)])
    flow: list[Flow] = [*setup_pages(card, paper), before, new_page(), *_into_the_board(assembly, paper)]
    flow += [*_spares(rows, paper), *paper.points((*ASSEMBLY, *shared_pockets(rows))), *_corners(assembly, paper)]
    again = prose(AGAIN.format(rows[0].pieces[0].name), "small")
    flow += [*used_told(setups, card.layout.board.inlay_blanks, paper), again, *inlays(card, paper)]
    return [*flow, *dust_told(rows), *cautions(paper)]


def shared_pockets(rows: Sequence[BlankRow]) -> list[str]:
    """Say of each pocket that several pieces share which these are, in one sentence; nothing where none do."""
    lying: dict[Identity, list[str]] = {}
    for piece in sorted((each for row in rows for each in row.pieces if not each.spare), key=lambda each: each.number):
        lying.setdefault(piece.place, []).append(f"{piece.number} {piece.name}")
    told = [f"{place.name}: {', '.join(names)}" for place, names in lying.items() if len(names) > 1]
    return [f"{TOGETHER} {'; '.join(told)}."] if told else []


def _into_the_board(assembly: Assembly, paper: Paper) -> list[Flow]:
    """Give the assembly sheet: the board with its pieces in, and a row for each piece in the order of gluing."""
    cells: list[list[Cell]] = [[prose(name, "label") for name in HEAD]]
    for row in assembly.rows:
        named = [prose(row.name, "small strong"), prose(row.pocket, "small")]
        told = (row.blank, row.lies, row.deep, row.top, row.chisel)
        cells.append([prose("☐"), prose(str(row.number), "strong"), named, *(prose(each, "small") for each in told)])
    seen = [] if assembly.board is None else [picture(assembly.board, paper.width_mm)]
    first = together([heading("Into the board, in the order of gluing"), *seen])
    return [first, table(cells, SHARES, paper.width_mm)]


def dust_told(rows: Sequence[BlankRow]) -> list[Flow]:
    """Tell of the dust of shell where blanks are of it."""
    if not any(kind_of(row.material) == "shell" for row in rows):
        return []
    return [together([heading("Dust of shell"), prose(SHELL_CAUTION)])]


def _spares(rows: Sequence[BlankRow], paper: Paper) -> list[Flow]:
    spares = [(row, piece) for row in rows for piece in row.pieces if piece.spare]
    if not spares:
        return []
    named = "; ".join(f"{piece.number} {piece.name} ({row.material}, blank {piece.blank})" for row, piece in spares)
    return [paper.words(f"Spares, to be kept: {named}.", "small")]


def _corners(assembly: Assembly, paper: Paper) -> list[Flow]:
    """Give the pockets whose corners are chiselled, drawn large."""
    if not assembly.corners:
        return []
    unit = "mm" if paper.unit == "mm" else "inches"
    how = f"At each stroke of a corner so much wood is left for the chisel, in {unit}; dashes show what it comes to."
    pairs = [assembly.corners[index : index + 2] for index in range(0, len(assembly.corners), 2)]
    half = paper.width_mm / 2 - 4.0
    cells = [[picture(each, half) for each in pair] + [prose("")] * (2 - len(pair)) for pair in pairs]
    return [together([small_heading("For the chisel"), prose(how, "small"), table(cells, (1.0, 1.0), paper.width_mm)])]


def used_told(setups: Sequence[Setup], blanks: Sequence[InlayBlank], paper: Paper) -> list[Flow]:
    """Say what the board file is told of the blanks afterwards, so that what is left of them can be cut again."""
    lines = used_lines(setups, blanks, paper.unit)
    told = [part for each in lines for part in (paper.words(each.of, "small strong"), prose(each.line, "small"))]
    head = small_heading("Afterwards, in the board file: what of the blanks is gone")
    return [together([head, prose(AFTERWARDS + with_others(setups), "small"), *told])]
