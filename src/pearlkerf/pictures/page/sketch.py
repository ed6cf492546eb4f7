"""Drawings on the page: SVG whose look is the style sheet's, a class for each layer."""

from html import escape
from itertools import groupby
from typing import Final

from pearlkerf.pictures.drawing import Drawing, Text, points_of
from pearlkerf.pictures.svg import PAGE, element, number
from pearlkerf.pictures.view import WIDE_MM

ROOM_MM: Final = 2.0  # round a drawing
SIDE_MM: Final = 6.0  # more at the right, where a browser's own typeface may run wider than the card's


def draw_sketch(drawing: Drawing) -> str:
    """Set a drawing as wide as the card's into a figure, its title above it."""
    heights = [y for _, y in points_of(drawing.things)]
    tops = [thing.at[1] + thing.height_mm for thing in drawing.things if isinstance(thing, Text)]
    low, high = min(heights) - ROOM_MM, max(*heights, *tops) + ROOM_MM
    box = f"0 {number(-high, PAGE)} {number(WIDE_MM + SIDE_MM, PAGE)} {number(high - low, PAGE)}"
    groups = (
        f'<g class="{layer}">{"".join(element(thing, PAGE) for thing in things)}</g>'
        for layer, things in groupby(drawing.things, key=lambda thing: thing.layer)
    )
    return (
        f'<figure class="sketch"><figcaption>{escape(drawing.title)}</figcaption>'
        f'<svg viewBox="{box}" role="img" aria-label="{escape(drawing.in_words)}">{"".join(groups)}</svg></figure>'
    )
