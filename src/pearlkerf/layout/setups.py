"""Setups: one clamping each, its stock, its features, how the board lies."""

from pearlkerf.board.model import Board
from pearlkerf.layout.model import Crown, Feature, Hole, Setup, Slot, Stock
from pearlkerf.layout.outline import edge_outline, wood_outline


def face_setup(board: Board, surface: Crown, slots: tuple[Slot, ...], dots: tuple[Hole, ...]) -> Setup:
    """Give the face setup: playing face up, slots and face dots."""
    to_cut = slots if board.fret_slots and board.fret_slots.state == "to cut" else ()
    features: tuple[Feature, ...] = (*dots, *to_cut)
    stock = Stock(wood_outline(board), board.thickness_mm, surface if board.state == "radiused" else None)
    low_side = "bass side" if board.hand == "right" else "treble side"
    return Setup("face", board.wood, stock, features, _face_lying(board), low_side=low_side)


def edge_setup(board: Board, dots: tuple[Hole, ...]) -> Setup:
    """Give the edge setup: bass edge up and level, side dots."""
    stock = Stock(edge_outline(board), max(board.nut_width_mm, board.end_width_mm))
    low_side = "glue face" if board.hand == "right" else "playing face"
    return Setup("edge", board.wood, stock, tuple(dots), _edge_lying(board), low_side=low_side)


def _face_lying(board: Board) -> tuple[str, ...]:
    toward = "toward" if board.hand == "right" else "away from"
    state = "already radiused, glue face flat on the bed" if board.state == "radiused" else "still flat"
    blank = "a blank wider than the outline" if board.blank else "cut to its outline"
    return (
        f"playing face up, nut end at the left, bass edge {toward} the operator",
        "X0 at the nut end of the finished board, Y0 on the centre line, Z0 on top of the wood at the crown line",
        f"the board is {state}, {blank}",
        "clamped flat within 0.1 mm over five touched points",
    )


def _edge_lying(board: Board) -> tuple[str, ...]:
    toward = "away from" if board.hand == "right" else "toward"
    packing = board.end_width_mm - board.nut_width_mm
    lower, higher = ("nut end", "far end") if packing > 0 else ("far end", "nut end")
    packed = (
        f"a board that stands on its treble edge is packed up {abs(packing):.2f} mm at the {lower}, "
        f"as the {higher} is so much wider"
        if abs(packing) > 0.005
        else "both ends are equally wide, no packing is needed"
    )
    first = () if board.blank is None else ("cut the board to its outline before this setup",)
    return (
        *first,
        f"bass edge up and level, nut end at the left, playing face {toward} the operator",
        "X0 at the nut corner of the edge, Y0 on the glue face, Z0 on the edge",
        packed,
        "the places of the first and of the last dot touch off within 0.1 mm",
        f"the board stands {max(board.nut_width_mm, board.end_width_mm):.1f} mm tall, hold it against a square fence",
    )
