"""From a layout to the setups that cut it: one clamping each, its stock, its features, how the board lies."""

import math

from pearlkerf.board.model import Board
from pearlkerf.layout.binding import on_edge_lying, on_face_lying
from pearlkerf.layout.edges import Sides
from pearlkerf.layout.model import DotRow, Layout
from pearlkerf.layout.outline import edge_outline
from pearlkerf.layout.surfaces import Stock
from pearlkerf.layout.trims import lying as trims_lying
from pearlkerf.setups.model import Clampings, Setup

# the ends' difference in width, and a shell's depth below the raw face, that are worth a sentence
WORTH_A_WORD_MM = 0.02


def set_up(layout: Layout) -> Clampings:
    """Give the setups that cut a board, face before edge; one in which nothing is to be cut is left out."""
    setups = (_face_setup(layout), _edge_setup(layout))
    return Clampings(layout, tuple(setup for setup in setups if setup.features), layout.warnings)


def _face_setup(layout: Layout) -> Setup:
    """Give the face setup: playing face up, the face dots, the slots that are to be cut, and the trims."""
    board = layout.board
    crown = layout.surface if board.state == "radiused" else None
    return Setup(
        name="face",
        wood=board.wood,
        stock=Stock(layout.edges.wood.corners, board.thickness_mm, crown),
        features=(*layout.face_dots, *layout.to_cut, *layout.trims),
        lying=(*_face_lying(layout), *trims_lying(layout.trims)),
        low_side="bass side" if board.hand == "right" else "treble side",
    )


def _edge_setup(layout: Layout) -> Setup:
    """Give the edge setup: bass edge up and level, side dots.

    The stock counts as thick as the board's least width; packed up level, it stands as tall as the greatest.
    """
    board = layout.board
    least, greatest = sorted(layout.edges.finished.end_widths_mm)
    return Setup(
        name="edge",
        wood=board.wood,
        stock=Stock(edge_outline(layout), least),
        features=layout.side_dots,
        lying=_edge_lying(layout),
        low_side="glue face" if board.hand == "right" else "playing face",
        raised_mm=greatest - least,
    )


def _face_lying(layout: Layout) -> tuple[str, ...]:
    board = layout.board
    toward = "toward" if board.hand == "right" else "away from"
    return (
        f"playing face up, nut end at the left, bass edge {toward} the operator",
        "X0 at the nut end of the finished board, Y0 on its centre line, Z0 on top of the wood at the centre line",
        *_blank(board),
        "the playing face is already radiused"
        if board.state == "radiused"
        else "the top of the blank is flat within 0.1 mm, touch it off at five places",
        "the glue face lies flat on the bed, clamped so that it cannot move",
        *on_face_lying(layout),
        *_below_raw(layout.face_dot_rows),
    )


def _blank(board: Board) -> tuple[str, ...]:
    blank = board.blank
    if blank is None:
        bound_later = board.binding is not None and board.binding.put_on == "after"
        return ("the core is cut to its outline" if bound_later else "the board is cut to its outline",)
    return (
        f"the blank is {blank.width_mm:.2f} mm wide, the board lies in the middle of it",
        f"X0 lies {blank.beyond_nut_mm:.2f} mm right of the left end of the blank",
    )


def _below_raw(rows: tuple[DotRow, ...]) -> tuple[str, ...]:
    """Say of shell that lies below the raw face that this is right: it looks wrong at the bench."""
    below = max((row.below_raw_mm or 0.0 for row in rows), default=0.0)
    if below < WORTH_A_WORD_MM:
        return ()
    return (
        f"face dots may lie up to {below:.2f} mm below the raw face, which is right",
        "radiusing brings the face down to them",
    )


def _edge_lying(layout: Layout) -> tuple[str, ...]:
    board = layout.board
    looks = "away from" if board.hand == "right" else "toward"
    glue = "" if board.hand == "right" else ", the dots lie at negative Y"
    first = () if board.blank is None else ("cut the board to its outline first, before this setup",)
    tall = max(layout.edges.finished.end_widths_mm)
    return (
        *first,
        *on_edge_lying(board),
        f"bass edge up and level, nut end at the left, playing face {looks} the operator",
        f"X0 at the nut corner of the edge, Y0 on the glue face, Z0 on the edge{glue}",
        *_packing(layout.edges.finished),
        "the places of the first and of the last dot touch off within 0.1 mm of each other",
        f"the board stands {tall:.1f} mm tall, hold it against a square fence",
    )


def _packing(sides: Sides) -> tuple[str, ...]:
    """Say how the board is packed up level: on its treble edge, the bass edge leans by the whole taper."""
    nut_width, end_width = sides.end_widths_mm
    grows = end_width - nut_width
    if abs(grows) < WORTH_A_WORD_MM:
        return ("both ends are equally wide, no packing is needed",)
    narrow, wide = ("nut end", "bridge end") if grows > 0 else ("bridge end", "nut end")
    lean = math.degrees(abs(sides.low.angle_rad + sides.high.angle_rad))
    return (
        f"standing on its treble edge the board is packed up {abs(grows):.2f} mm at the {narrow}",
        f"the {wide} is so much wider, unpacked the edge would lean by {lean:.2f} degrees",
    )
