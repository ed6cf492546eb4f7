"""The layout as a drawing at full size: what the paper template, the SVG and the DXF all show.

    right-handed board, seen from above, nut at the left

      |  |  |  |  fret labels                     treble
      +--+--+--+--+--------------------+
      |  |  | +|  |                    |
      +--+--+--+--+--------------------+ - fold   bass
      |    +    +    strip for the bass edge |
      +--------------------------------+          meets the glue face

Folded down over the bass edge, a mark at distance t from the fold lies t below the face.  So a side
dot at height h above the glue face is drawn at t = edge height - h, and at its distance along the
edge from the nut corner; on a left-handed board the same holds at the other side of the board.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from pearlkerf.layout.edge import Edge, LongEdge
from pearlkerf.layout.features import Hole, Pocket
from pearlkerf.layout.model import Layout
from pearlkerf.layout.side_dots import dotted_edges
from pearlkerf.pictures.drawing import (
    MM_PER_INCH,
    Circle,
    Drawing,
    Line,
    Path,
    Text,
    Thing,
    cross,
    plain,
    points_of,
)
from pearlkerf.pictures.features import outline

NUMBER_HEIGHT_MM: Final = 2.0
POCKET_NUMBER_MM: Final = 1.2
NOTE_HEIGHT_MM: Final = 1.8
TITLE_HEIGHT_MM: Final = 3.5
LABEL_GAP_MM: Final = 2.0  # from the wood's edge to a label
LABEL_PITCH: Final = 0.7  # height of a label's capitals over the narrowest fret space, at most
FOLD_MARK_MM: Final = 6.0  # how far the fold shows beyond the ends of the board
STRIP_FOLDED: Final = "Strip for the {} edge: fold it down along the edge, from dash to dash, the print outside."
STRIP_CUT: Final = "Strip for the {} edge: once the board has its outline, cut the strip off and lay it on the edge."
STRIP_RULE: Final = "The strip's outer line must meet the glue face, its end {}."
STRIP_NOTES_MM: Final = 7.0  # room for what stands below a strip
EDGE_STEP_MM: Final = 5.0  # points along the strip's lower line, where it is curved


def edge_height_mm(layout: Layout, edge: Edge, along_mm: float) -> float:
    """Give the height of a raw edge above the glue face, as the board lies on the bench before cutting."""
    if layout.board.state == "flat":
        return layout.board.thickness_mm
    return layout.board.thickness_mm - float(layout.surface.fall_mm(*edge.at(along_mm)))


def draw_layout(layout: Layout) -> Drawing:
    """Draw a layout at full size, in mm, by layer: the form that every file format is written from."""
    title = plain(layout.board.title)
    things: list[Thing] = [*_wood(layout), *_frets(layout)]
    for slot in (*layout.slots, *layout.trims):
        things += outline(slot, "slots")
    things += _trim_labels(layout)
    for dot in layout.face_dots:
        things += outline(dot, "face-dots")
        things += cross("face-dot-centres", dot.centre, _arm_mm(dot))
    for pocket in layout.pockets:
        things += outline(pocket, "inlays")
        things.append(_pocket_number(pocket))
    for group, edge in _dotted(layout):
        things += _strip(layout, edge, [dot for dot in layout.side_dots if dot.group == group])
    lowest = min(y for _, y in points_of(things))
    at = (0.0, lowest - 2 * TITLE_HEIGHT_MM)
    things.append(Text("title", at, f"{title} (1:1, millimetres)", TITLE_HEIGHT_MM))
    return Drawing(title, tuple(things))


def _pocket_number(pocket: Pocket) -> Text:
    """Give a pocket's number, over the middle of it."""
    at = pocket.anchor[0], pocket.region.bounds[3] + 0.5
    return Text("inlay-numbers", at, str(pocket.number), POCKET_NUMBER_MM, "middle")


def _arm_mm(dot: Hole) -> float:
    """Half the length of a centre cross: past the dot's rim, so that both can be seen."""
    return dot.diameter_mm / 2 + min(1.5, dot.diameter_mm / 2)


def _wood(layout: Layout) -> list[Thing]:
    board = layout.board
    things: list[Thing] = [
        Path("outline", tuple((float(x), float(y)) for x, y in layout.edges.finished.corners)),
        Line("centre-line", (0.0, 0.0), (layout.edges.finished.far_mm, 0.0)),
        Text("notes", (-LABEL_GAP_MM, 0.0), "nut end", NOTE_HEIGHT_MM, "middle", 90.0),
    ]
    if board.binding is not None:
        things += [_whole(edge) for edge in (layout.edges.core.low, layout.edges.core.high)]
    if board.blank is not None:
        things.append(Path("blank", tuple((float(x), float(y)) for x, y in layout.edges.wood.corners)))
    return things


def _whole(edge: LongEdge) -> Thing:
    (near, far), joints = edge.ends, edge.joints
    return Path("binding", (near, *joints, far), "open") if joints else Line("binding", near, far)


def _frets(layout: Layout) -> list[Thing]:
    """Fret lines, their numbers inside the outline at the bass edge, and labels beyond the treble edge."""
    sign = layout.edges.bass.side
    gaps = [after - before for before, after in pairwise([0.0, *layout.frets_mm.tolist()])]
    height = min(NUMBER_HEIGHT_MM, LABEL_PITCH * min(gaps))
    measured = "   measured" if any(row.off_mm is not None for row in layout.fret_rows) else ""
    measured += "   on the centre line" if layout.board.scale.slanted else ""
    things: list[Thing] = []
    for row in layout.fret_rows:
        fret, x, line = plain(row.called) or str(row.fret), row.x_mm, layout.line(row.fret)
        (bass_x, bass_y), (treble_x, treble_y) = (line.start, line.end) if sign < 0 else (line.end, line.start)
        half, beyond = abs(bass_y), abs(treble_y)
        things.append(Line("frets", line.start, line.end))
        inside = sign * (half - 1.2) if sign < 0 else half - 1.2 - height
        things.append(Text("numbers", (bass_x - 0.6, inside), fret, height, "end"))
        label = f"{fret}   {x:.3f} mm   {x / MM_PER_INCH:.4f} in{measured}"
        outside = (treble_x + height / 2, -sign * (_label_start_mm(layout, beyond) + LABEL_GAP_MM))
        things.append(Text("numbers", outside, label, height, "start" if sign < 0 else "end", 90.0))
    return things


def _trim_labels(layout: Layout) -> list[Thing]:
    """Each trim's name, beyond the treble edge."""
    sign = layout.edges.bass.side
    height = NOTE_HEIGHT_MM
    return [
        Text("notes", (trim.end[0] + height / 2, -sign * (trim.end[1] + LABEL_GAP_MM)), trim.name, height,
             "start" if sign < 0 else "end", 90.0)
        for trim in layout.trims
    ]  # fmt: skip


def _label_start_mm(layout: Layout, half_mm: float) -> float:
    """Labels begin beyond the blank, where there is one, and beyond the treble edge's strip."""
    if any(edge is layout.edges.treble for _, edge in _dotted(layout)):
        half_mm += layout.board.thickness_mm + STRIP_NOTES_MM
    return half_mm if layout.board.blank is None else max(half_mm, layout.board.blank.width_mm / 2)


def _dotted(layout: Layout) -> Sequence[tuple[str, Edge]]:
    dots = layout.board.side_dots
    return dotted_edges(layout, dots) if dots is not None and layout.side_dots else ()


def _strip(layout: Layout, edge: Edge, dots: Sequence[Hole]) -> list[Thing]:
    """The strip for an edge: fold, lower line that meets the glue face, and a cross for every side dot."""
    stations = _stations(layout, edge)
    lower = [edge.at(along, edge_height_mm(layout, edge, along)) for along in stations]
    things: list[Thing] = [
        Line("fold", edge.at(-FOLD_MARK_MM, 0.0), edge.at(edge.length_mm + FOLD_MARK_MM, 0.0)),
        Path("edge-strip", (edge.at(0.0), *lower, edge.at(edge.length_mm)), "open"),
    ]
    upright = edge.side < 0
    angle = math.degrees(edge.side * edge.angle_rad) + (0.0 if upright else 180.0)
    for dot in dots:
        things += _side_dot(layout, edge, dot)
    for fret, along in sorted({dot.number: dot.centre[0] for dot in dots}.items()):
        radius = dots[0].diameter_mm / 2
        out = edge_height_mm(layout, edge, along) - 0.6
        at = edge.at(along + 2 * radius + 1.0, out)
        things.append(Text("numbers", at, str(fret), 1.5, "start" if upright else "end", angle))
    name = "bass" if edge is layout.edges.bass else "treble"
    end = "the nut end" if layout.edges.begins_at_nut(edge) else "the corner where the straight run begins"
    notes = ((STRIP_FOLDED if layout.board.blank is None else STRIP_CUT).format(name), STRIP_RULE.format(end))
    for row, note in enumerate(notes, start=1):
        out = _strip_foot_mm(layout, edge, stations) + row * 1.6 * NOTE_HEIGHT_MM
        at = edge.at(4.0, out)
        things.append(Text("notes", at, note, NOTE_HEIGHT_MM, "start" if upright else "end", angle))
    return things


def _strip_foot_mm(layout: Layout, edge: Edge, stations: list[float]) -> float:
    """How far from its edge the strip, and the blank where there is one, reach near the nut."""
    blank = layout.board.blank
    beside = 0.0 if blank is None else (blank.width_mm - layout.board.nut_width_mm) / 2
    return max(beside, *(edge_height_mm(layout, edge, along) for along in stations))


def _stations(layout: Layout, edge: Edge) -> list[float]:
    """Places along the edge where the strip's lower line has a corner: two on a flat blank, many on a crowned one."""
    if layout.board.state == "flat":
        return [0.0, edge.length_mm]
    count = max(2, math.ceil(edge.length_mm / EDGE_STEP_MM) + 1)
    return [float(along) for along in np.linspace(0.0, edge.length_mm, count)]


def _side_dot(layout: Layout, edge: Edge, dot: Hole) -> list[Thing]:
    along, height = dot.centre[0], abs(dot.centre[1])
    out = edge_height_mm(layout, edge, along) - height
    arm = _arm_mm(dot)
    return [
        Circle("side-dots", edge.at(along, out), dot.diameter_mm / 2),
        Line("side-dot-centres", edge.at(along - arm, out), edge.at(along + arm, out)),
        Line("side-dot-centres", edge.at(along, out - arm), edge.at(along, out + arm)),
    ]
