"""The outline of a cut as one closed shape, to be filled on a page, with no more corners than the eye can see there."""

import math
from typing import Final

import shapely

from pearlkerf.layout.features import Feature
from pearlkerf.pictures.board.model import Manner
from pearlkerf.pictures.drawing import Arc, Layer, Path, Thing
from pearlkerf.pictures.features import outline, straightened

CHORDS: Final = 8  # of each round end: on a page it is a few pixels wide
UNSEEN_PX: Final = 0.1  # a line that is straightened within this looks the same, also where a page is enlarged
PLAIN_CORNERS: Final = 8  # a path of so few is drawn as it is


def shape(feature: Feature, layer: Layer, manner: Manner) -> tuple[Thing, ...]:
    """Give the walls of a cut: those that are drawn in pieces, straight and round, as one closed path."""
    things = outline(feature, layer)
    arcs = [each for each in things if isinstance(each, Arc)]
    if not arcs:
        return tuple(_as_seen(each, manner) for each in things)
    corners = []
    for arc in arcs:  # one round end, and on round the other; the straight walls lie between
        (x, y), r = arc.centre, arc.radius_mm
        for step in range(CHORDS + 1):
            angle = math.radians(arc.start_deg + (arc.end_deg - arc.start_deg) * step / CHORDS)
            corners.append((x + r * math.cos(angle), y + r * math.sin(angle)))
    return (Path(layer, tuple(corners)),)


def _as_seen(thing: Thing, manner: Manner) -> Thing:
    """Give a closed path of many corners with those that can be seen on the page."""
    if not isinstance(thing, Path) or thing.ends != "closed" or len(thing.corners) <= PLAIN_CORNERS:
        return thing
    return Path(thing.layer, straightened(shapely.LinearRing(thing.corners), manner.mm(UNSEEN_PX)))
