"""A drawing as an SVG file in true size: one unit is one millimetre, one group for each layer."""

from typing import Final
from xml.sax.saxutils import escape

from pearlkerf.pictures.drawing import LAYOUT_PENS, Drawing, Layer, points_of
from pearlkerf.pictures.svg import element, number

BORDER_MM: Final = 10.0  # free space round the drawing
LABEL_ROOM_MM: Final = 55.0  # above and below, for labels that stand square to the board


def write_svg(drawing: Drawing) -> bytes:
    """Write a layout's drawing as SVG 1.1 in true size, UTF-8; ``width`` and ``height`` are in mm."""
    points = points_of(drawing.things)
    left, right = min(x for x, _ in points) - BORDER_MM, max(x for x, _ in points) + BORDER_MM
    low, high = min(y for _, y in points) - LABEL_ROOM_MM, max(y for _, y in points) + LABEL_ROOM_MM
    width, height = number(right - left), number(high - low)
    box = f"{number(left)} {number(-high)} {width} {height}"
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="{box}">',
        f"<title>{escape(drawing.title)}</title>",
        *(line for layer in LAYOUT_PENS for line in _group(drawing, layer)),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _group(drawing: Drawing, layer: Layer) -> list[str]:
    things = drawing.of(layer)
    if not things:
        return []
    pen = LAYOUT_PENS[layer]
    dashes = f' stroke-dasharray="{" ".join(number(dash) for dash in pen.dashes_mm)}"' if pen.dashes_mm else ""
    head = f'<g id="{layer}" fill="none" stroke="black" stroke-width="{number(pen.width_mm)}"{dashes}>'
    return [head, *(element(thing) for thing in things), "</g>"]
