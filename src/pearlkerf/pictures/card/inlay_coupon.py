"""The card of a coupon of one inlay: how its pockets and pieces are cut, how they are tried, what each of them says."""

from collections.abc import Iterator
from typing import Final

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import figure_in
from pearlkerf.pictures.card.card import draw_pages
from pearlkerf.pictures.card.parts import cautions, setup_pages
from pearlkerf.pictures.card.pieces import dust_told, used_told
from pearlkerf.pictures.card.scrap import (
    COUNTING,
    WHY_IT_HOLDS,
    ScrapCard,
    in_table,
    left_out_told,
    now_told,
    trial_table,
)
from pearlkerf.pictures.card.style import Cell, Flow, Paper, heading, prose, small_heading, table, together
from pearlkerf.pictures.sheets import Sheet
from pearlkerf.setups.inlay_coupons import InlayCoupon

SHARES: Final = (1.0, 1.0, 0.8, 1.6, 2.4)
# common practice, no source
BEFORE: Final = (
    "Take off what is cut from the blank with the solvent of the tape's glue, or slide a thin blade under the tape; "
    "shell that is pried breaks. What was held by a skin is sanded on its back until the skin is gone; tabs are sawn "
    "through and filed flush."
)
NUMBERED: Final = (
    "Write each piece's number on it before it is taken off: on the sheet of the blanks, on the picture and here "
    "they are one and the same. A larger number is a wider gap, which is a smaller piece."
)
# how pieces are tried in their one pocket; how one is tried in pockets says their group
FROM_ONE_UP: Final = (
    "Try the pieces in the pocket from number 1, the largest, up. The first that enters by the fingers alone and sinks "
    "to the floor is the one; glue wants no more room."
)
NOT_PRESSED: Final = (
    "Try dry, the side that showed on the machine up, and never press with a tool: what sits fast comes out with a "
    "strip of tape on its face."
)
ONLY_TRIED: Final = (
    "All of it is for trying: once the board's gap is what you found, its pockets and pieces are made for that gap "
    "together, and what is cut here fits none of them."
)


def draw_inlay_coupon_card(coupon: InlayCoupon, of: ScrapCard, sheet: Sheet = "A4") -> bytes:
    """Draw the card of a coupon of one inlay as PDF."""
    unit = of.card.layout.board.unit
    return draw_pages(of.card.title, "fit coupon", lambda width: _story(coupon, of, Paper(width, unit)), sheet)


def _story(coupon: InlayCoupon, of: ScrapCard, paper: Paper) -> list[Flow]:
    measured = {measure.name: measure for measure in of.measures}
    flow = [*setup_pages(of.card, paper), heading(f"What is tried of {coupon.name}, and how")]
    flow += [prose(COUNTING)] if coupon.several == "pockets" else []
    flow += [prose(WHY_IT_HOLDS), *paper.points([*_first(coupon)])]
    if coupon.several == "pockets":
        flow.append(trial_table(coupon.trial, coupon.samples, (measured, paper)))
    else:
        flow.append(_pieces_table(coupon, paper))
    flow += [*left_out_told(of.remarks, paper), *used_told([coupon.pieces], of.card.layout.board.inlay_blanks, paper)]
    return [*flow, *dust_told([coupon.row]), *cautions(paper, of.card.layout.board.wood)]


def _first(coupon: InlayCoupon) -> Iterator[str]:
    """Give what is done before anything is tried, and how."""
    if coupon.several == "pieces":
        yield NUMBERED
    yield BEFORE
    if coupon.chiselled:
        many = f"the {coupon.chiselled} corners" if coupon.chiselled > 1 else "the corner"
        pockets = "every pocket" if coupon.several == "pockets" else "the pocket"
        yield f"Chisel {many} of {pockets} that are left to the hand, as you will on the board, before you try."
    yield NOT_PRESSED
    yield ONLY_TRIED


def _pieces_table(coupon: InlayCoupon, paper: Paper) -> Flow:
    """Say of each piece its gap in the one pocket, where it lies, and what is written into the board file."""
    trial = coupon.trial
    names = ("piece", "gap", "blank", "its middle there, X Y", in_table(trial))
    cells: list[list[Cell]] = [[prose(name, "label") for name in names]]
    for piece, gap in zip(coupon.row.pieces, coupon.gaps_mm, strict=True):
        at = " ".join(figure_in(each, paper.unit, 2) for each in piece.at)
        line = (f"piece {piece.number}", f"{gap:.3f} mm", str(piece.blank), at,
                f'{trial.at[-1]} = "{gap:.3f} mm"' + now_told(trial, gap))  # fmt: skip
        cells.append([paper.words(each, "strong" if place == 1 else "body") for place, each in enumerate(line)])
    (pocket,) = coupon.samples
    read = f"Pieces for {pocket.feature.name}, {trial.depth_mm:.2f} mm deep, by cutter {trial.cutter.number}"
    how = f"{FROM_ONE_UP} Write its line into the board file."
    head = [small_heading(in_unit(read, paper.unit)), paper.words(how)]
    return together([*head, table(cells, SHARES, paper.width_mm)])
