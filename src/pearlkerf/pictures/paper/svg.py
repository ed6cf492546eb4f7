"""A drawing as SVG: one unit is one millimetre, one group for each layer, Y turned downward."""

import math
from xml.sax.saxutils import escape, quoteattr

from pearlkerf.pictures.drawing import PENS, Arc, Circle, Drawing, Layer, Line, Path, Point, Text, Thing, points_of

BORDER_MM = 10.0  # free space round the drawing
LABEL_ROOM_MM = 55.0  # above and below, for labels that stand square to the board
CAPITAL = 0.72  # height of a capital over the type size, near enough for any sans serif


def write_svg(drawing: Drawing) -> bytes:
    """Write a drawing as SVG 1.1 in true size, UTF-8; ``width`` and ``height`` are in mm."""
    points = points_of(drawing.things)
    left, right = min(x for x, _ in points) - BORDER_MM, max(x for x, _ in points) + BORDER_MM
    low, high = min(y for _, y in points) - LABEL_ROOM_MM, max(y for _, y in points) + LABEL_ROOM_MM
    width, height = _number(right - left), _number(high - low)
    box = f"{_number(left)} {_number(-high)} {width} {height}"
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="{box}">',
        f"<title>{escape(drawing.title)}</title>",
        *(line for layer in PENS for line in _group(drawing, layer)),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _group(drawing: Drawing, layer: Layer) -> list[str]:
    things = drawing.of(layer)
    if not things:
        return []
    pen = PENS[layer]
    dashes = f' stroke-dasharray="{" ".join(_number(dash) for dash in pen.dashes_mm)}"' if pen.dashes_mm else ""
    head = f'<g id="{layer}" fill="none" stroke="black" stroke-width="{_number(pen.width_mm)}"{dashes}>'
    return [head, *(_element(thing) for thing in things), "</g>"]


def _element(thing: Thing) -> str:
    match thing:
        case Line():
            (x1, y1), (x2, y2) = _down(thing.start), _down(thing.end)
            return f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>'
        case Path():
            name = "polygon" if thing.ends == "closed" else "polyline"
            corners = " ".join(",".join(_down(corner)) for corner in thing.corners)
            return f'<{name} points="{corners}"/>'
        case Circle():
            x, y = _down(thing.centre)
            return f'<circle cx="{x}" cy="{y}" r="{_number(thing.radius_mm)}"/>'
        case Arc():
            return _arc(thing)
        case Text():
            return _text(thing)


def _arc(arc: Arc) -> str:
    """Counter-clockwise with Y up is sweep 0 with Y down."""
    (x1, y1), (x2, y2) = _down(_on(arc, arc.start_deg)), _down(_on(arc, arc.end_deg))
    radius, large = _number(arc.radius_mm), int(arc.end_deg - arc.start_deg > 180.0)
    return f'<path d="M {x1} {y1} A {radius} {radius} 0 {large} 0 {x2} {y2}"/>'


def _on(arc: Arc, angle_deg: float) -> Point:
    angle = math.radians(angle_deg)
    return arc.centre[0] + arc.radius_mm * math.cos(angle), arc.centre[1] + arc.radius_mm * math.sin(angle)


def _text(text: Text) -> str:
    x, y = _down(text.at)
    turn = f" transform={quoteattr(f'rotate({_number(-text.angle_deg)} {x} {y})')}" if text.angle_deg else ""
    size = _number(text.height_mm / CAPITAL)
    face = f'font-family="sans-serif" font-size="{size}" text-anchor="{text.anchor}" fill="black" stroke="none"'
    return f'<text x="{x}" y="{y}" {face}{turn}>{escape(text.text)}</text>'


def _down(point: Point) -> tuple[str, str]:
    return _number(point[0]), _number(-point[1])


def _number(value: float) -> str:
    """Give a number to a millionth of a millimetre, never with an exponent or as -0."""
    return f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
