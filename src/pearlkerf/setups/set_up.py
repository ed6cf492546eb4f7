"""From a layout to the setups that cut it: one clamping each, its stock, its features, how the board lies."""

import math
from collections.abc import Iterator
from typing import Literal

from pearlkerf.board.model import Board
from pearlkerf.layout.edge import Edge
from pearlkerf.layout.edges import Edges
from pearlkerf.layout.model import Layout
from pearlkerf.layout.outline import edge_outline
from pearlkerf.layout.surfaces import Stock
from pearlkerf.setups.lying import (
    NUT_CORNER,
    NUT_END,
    NUT_LINE,
    RUN_CORNER,
    ZERO_FRET,
    BelowRaw,
    BindingFirst,
    BindingIsOn,
    BindingToCome,
    Datum,
    End,
    InBlank,
    IntoBinding,
    Lying,
    NutLine,
    OnGlueFace,
    OnOtherEdge,
    Outlined,
    OutlineFirst,
    Packing,
    Top,
    TrimIsEnd,
)
from pearlkerf.setups.model import Clampings, Setup

# the ends' difference in width, and a shell's depth below the raw face, that are worth a sentence
WORTH_A_WORD_MM = 0.02


def set_up(layout: Layout) -> Clampings:
    """Give the setups that cut a board, face before edges; one in which nothing is to be cut is left out."""
    edges = layout.edges
    setups = (_face_setup(layout), _edge_setup(layout, "edge", edges.bass), _edge_setup(layout, "treble", edges.treble))
    return Clampings(layout, tuple(setup for setup in setups if setup.features), layout.warnings)


def _face_setup(layout: Layout) -> Setup:
    """Give the face setup: playing face up, the face dots, the slots that are to be cut, and the trims."""
    board = layout.board
    crown = layout.surface if board.state == "radiused" else None
    return Setup(
        kind="face",
        wood=board.wood,
        stock=Stock(layout.edges.wood.corners, board.thickness_mm, crown),
        features=layout.cut_in("face"),
        lying=_lying_on_face(layout),
        up="playing face up",
        low_side="bass side" if board.hand == "right" else "treble side",
    )


def _edge_setup(layout: Layout, kind: Literal["edge", "treble"], edge: Edge) -> Setup:
    """Give the setup of the bass edge, or of the treble edge: that edge up and level, side dots.

    The stock counts as thick as the board's least width; packed up level, it stands as tall as the greatest.
    """
    board = layout.board
    least, greatest = sorted(layout.edges.standing_mm(edge))
    return Setup(
        kind=kind,
        wood=board.wood,
        stock=Stock(edge_outline(layout, edge), least),
        features=layout.cut_in(kind),
        lying=_lying_on_edge(layout, edge, "treble" if kind == "edge" else "bass"),
        up="bass edge up" if kind == "edge" else "treble edge up",
        low_side="glue face" if edge.side < 0 else "playing face",
        raised_mm=greatest - least,
    )


def _lying_on_face(layout: Layout) -> Lying:
    board = layout.board
    below = max((row.below_raw_mm or 0.0 for row in layout.face_dot_rows), default=0.0)
    return Lying(
        zero=_zero(board),
        wood=(_outline(layout), Top(board.state)),
        rests=OnGlueFace(),
        to_mind=(
            *_nut_line(layout),
            *_binding(layout),
            *((BelowRaw(below),) if below >= WORTH_A_WORD_MM else ()),
            *(TrimIsEnd(trim.name) for trim in layout.trims),
        ),
    )


def _zero(board: Board) -> Datum:
    if board.scale.zero_fret:
        return ZERO_FRET
    return NUT_LINE if board.scale.slanted else NUT_END


def _nut_line(layout: Layout) -> Iterator[NutLine]:
    if _zero(layout.board) != NUT_END:
        along_x, along_y = layout.lines[0].along
        from_end = round(-layout.edges.finished.ends.nut.x_mm(), 6)  # the nut's own line lies a bit or two off its end
        what: Literal["nut", "zero fret"] = "zero fret" if layout.board.scale.zero_fret else "nut"
        yield NutLine(what, from_end, math.degrees(math.atan2(-along_x, along_y)))


def _outline(layout: Layout) -> InBlank | Outlined:
    board = layout.board
    if board.blank is not None:
        (near, _), _ = layout.edges.wood.box_mm
        (_, low), (_, high) = layout.edges.wood.box_mm
        return InBlank(board.blank.width_mm, -near, (low + high) / 2)
    return Outlined("core" if board.binding is not None and board.binding.put_on == "after" else "board")


def _binding(layout: Layout) -> Iterator[BindingIsOn | BindingToCome]:
    board, binding, core = layout.board, layout.board.binding, layout.edges.core
    if binding is None:
        return
    if binding.put_on == "before":
        yield BindingIsOn(binding.thickness_mm)
    else:
        inside = (core.width_mm(0.0), core.width_mm(board.length_mm))
        yield BindingToCome(binding.thickness_mm, (board.nut_width_mm, board.end_width_mm), inside)


def _lying_on_edge(layout: Layout, edge: Edge, below: Literal["bass", "treble"]) -> Lying:
    edges = layout.edges
    return Lying(
        zero=NUT_CORNER if edges.begins_at_nut(edge) else RUN_CORNER,
        rests=OnOtherEdge(max(edges.standing_mm(edge)), _packing(edges, edge), below),
        first=tuple(_before_edge(layout.board)),
    )


def _before_edge(board: Board) -> Iterator[OutlineFirst | BindingFirst | IntoBinding]:
    if board.blank is not None:
        yield OutlineFirst()
    if board.binding is not None:
        if board.binding.put_on == "after":
            yield BindingFirst()
        yield IntoBinding(board.binding.thickness_mm)


def _packing(edges: Edges, edge: Edge) -> Packing | None:
    """Give how the board is packed up level: standing on one edge, the other leans by the whole taper."""
    at_nut, at_far = edges.standing_mm(edge)
    grows = at_far - at_nut
    if abs(grows) < WORTH_A_WORD_MM:
        return None
    below = edges.across_from(edge)
    (near, near_y), (far, far_y) = below.ends
    lean = math.degrees(abs(edge.angle_rad + below.side * math.atan((far_y - near_y) / (far - near))))
    ends: tuple[End, End] = ("nut end", "bridge end") if grows > 0 else ("bridge end", "nut end")
    return Packing(abs(grows), *ends, lean)
