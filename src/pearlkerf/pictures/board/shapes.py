"""The outline of a cut as one closed shape, to be filled on a page."""

import math
from typing import Final

from pearlkerf.layout.features import Feature
from pearlkerf.pictures.drawing import Arc, Layer, Path, Thing
from pearlkerf.pictures.features import outline

CHORDS: Final = 8  # of each round end: on a page it is a few pixels wide


def shape(feature: Feature, layer: Layer) -> tuple[Thing, ...]:
    """Give the walls of a cut: those that are drawn in pieces, straight and round, as one closed path."""
    things = outline(feature, layer)
    arcs = [each for each in things if isinstance(each, Arc)]
    if not arcs:
        return things
    corners = []
    for arc in arcs:  # one round end, and on round the other; the straight walls lie between
        (x, y), r = arc.centre, arc.radius_mm
        for step in range(CHORDS + 1):
            angle = math.radians(arc.start_deg + (arc.end_deg - arc.start_deg) * step / CHORDS)
            corners.append((x + r * math.cos(angle), y + r * math.sin(angle)))
    return (Path(layer, tuple(corners)),)
