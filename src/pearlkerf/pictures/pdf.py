"""A drawing's things set down on a PDF page in true size."""

import math
from typing import TYPE_CHECKING, Final

from pearlkerf.pictures.drawing import MM_PER_INCH, PENS, Arc, Circle, Layer, Line, Path, Point, Text, Thing, points_of
from pearlkerf.pictures.fonts import CAPITAL, REGULAR, set_in_type, text_width_mm

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


POINTS_PER_MM: Final = 72 / MM_PER_INCH


def set_down(canvas: "Canvas", thing: Thing) -> None:
    """Set one thing down; the canvas counts in mm, X to the right and Y up."""
    _take_pen(canvas, thing.layer)
    match thing:
        case Line():
            canvas.line(*thing.start, *thing.end)
        case Path():
            _path(canvas, thing)
        case Circle():
            filled = _take_ground(canvas, thing.layer)
            canvas.circle(*thing.centre, thing.radius_mm, fill=int(filled))
            canvas.setFillGray(0.0)
        case Arc():
            (x, y), r = thing.centre, thing.radius_mm
            canvas.arc(x - r, y - r, x + r, y + r, thing.start_deg, thing.end_deg - thing.start_deg)
        case Text():
            _text(canvas, thing)


def corners_of(text: Text) -> list[Point]:
    """Give the four corners of a text as it is set, from the foot of its descenders to its capitals' top."""
    size = text.height_mm / CAPITAL
    width = text_width_mm(set_in_type(text.text), size)
    back = {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    turn = math.radians(text.angle_deg)
    c, s = math.cos(turn), math.sin(turn)
    corners = [(u - back, v) for u in (0.0, width) for v in (-0.25 * size, text.height_mm)]
    return [(text.at[0] + c * u - s * v, text.at[1] + s * u + c * v) for u, v in corners]


def extent_of(things: tuple[Thing, ...]) -> list[Point]:
    """Give points whose box holds the things, texts with their lengths."""
    texts = [corner for thing in things if isinstance(thing, Text) for corner in corners_of(thing)]
    return points_of(things) + texts


def _take_pen(canvas: "Canvas", layer: Layer) -> None:
    pen = PENS[layer]
    canvas.setLineWidth(pen.width_mm)
    canvas.setStrokeGray(pen.grey)
    canvas.setDash(list(pen.dashes_mm))


def _path(canvas: "Canvas", path: Path) -> None:
    line = canvas.beginPath()
    line.moveTo(*path.corners[0])
    for corner in path.corners[1:]:
        line.lineTo(*corner)
    if path.ends == "closed":
        line.close()
    filled = path.ends == "closed" and _take_ground(canvas, path.layer)
    canvas.drawPath(line, stroke=1, fill=int(filled))
    canvas.setFillGray(0.0)


def _take_ground(canvas: "Canvas", layer: Layer) -> bool:
    """Take the colour that hides what lies under a layer; say whether it has one."""
    ground = PENS[layer].ground
    if ground:
        canvas.setFillColor("#ffffff" if ground == "paper" else ground)
    return bool(ground)


def _text(canvas: "Canvas", text: Text) -> None:
    words = set_in_type(text.text)
    canvas.saveState()
    canvas.setFont(REGULAR, text.height_mm / CAPITAL)
    canvas.translate(*text.at)
    canvas.rotate(text.angle_deg)
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[text.anchor](0, 0, words)
    canvas.restoreState()
