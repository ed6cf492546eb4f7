"""The card of a drilling strip: how to make it, how to drill a board's edge with it, where each hole is."""

from typing import Final

from pearlkerf.pictures.card.card import draw_pages
from pearlkerf.pictures.card.parts import cautions, setup_pages
from pearlkerf.pictures.card.scrap import ScrapCard
from pearlkerf.pictures.card.style import Flow, Paper, gap, heading, picture, prose, small_heading, table
from pearlkerf.pictures.setup import draw_players_view
from pearlkerf.pictures.sheets import Sheet
from pearlkerf.setups.drilling_strip import STOP_OUT_MM, DrillingStrip

# all of it common practice, no source
READY: Final = (
    "Ease the burr off both sides, never the walls of the holes.",
    f"Fix a flat stop to the strip's nut end, square to it, that stands out {STOP_OUT_MM:.0f} mm toward the board.",
)
DRILLING: Final = (
    "The board is cut to its outline, its binding on and scraped flush: the strip lies on the finished bass edge.",
    "Board and strip stand on one flat bench or plate, glue face down: the strip's lower edge is the glue face.",
    "The dimple is at the nut end and looks outward, toward you. Push the stop against the nut end, and clamp board "
    "and strip together, flat on the bench: no gap between strip and edge, none below either.",
    "Put a collar on the drill, or a flag of tape: the strip's thickness and the dot's depth, from the lips.",
    "Drill in short pecks, the drill square to the strip; draw it out often, the chips pack in a guided hole.",
    "Try it first on scrap of the same wood, clamped in the same way, and look where the holes come out.",
)


def draw_strip_card(strip: DrillingStrip, of: ScrapCard, sheet: Sheet = "A4") -> bytes:
    """Draw a drilling strip's card as PDF."""
    unit = of.card.layout.board.unit
    return draw_pages(of.card.title, "drilling strip", lambda width: _story(strip, of, Paper(width, unit)), sheet)


def _story(strip: DrillingStrip, of: ScrapCard, paper: Paper) -> list[Flow]:
    board, layout = of.card.layout.board, of.card.layout
    dots = board.side_dots
    assert dots is not None
    thick = strip.scrap.thickness_mm
    deep = thick + dots.depth_mm
    rows = [[prose(name, "label") for name in ("hole", "from the nut end", "above the lower edge", "width")]]
    for hole in strip.holes:
        along, high = hole.centre[0], abs(hole.centre[1])
        cells = (hole.name, f"{along:.2f} mm", f"{high:.2f} mm", f"{hole.diameter_mm:.2f} mm")
        rows.append([paper.words(cell, "strong" if place == 1 else "body") for place, cell in enumerate(cells)])
    return [
        *setup_pages(of.card, paper),
        heading("The board's edge, drilled by hand"),
        small_heading("The strip"),
        *paper.points(READY),
        small_heading("Drilling"),
        *paper.points(DRILLING),
        paper.words(f"Collar at {deep:.2f} mm: the strip's {thick:.2f} mm and the dots' {dots.depth_mm:.2f} mm."),
        small_heading("Clamped on, as the player will see the holes"),
        picture(draw_players_view(strip.setup.stock.outline, layout.side_dots), paper.width_mm),
        table(rows, [2.0, 1.4, 1.6, 1.0], paper.width_mm),
        gap(2),
        *cautions(paper, board.wood),
    ]
