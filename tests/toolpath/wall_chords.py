"""The rings along a pocket's walls, as programs without arcs have them: with as few chords as keep near to them."""

import numpy as np
import shapely

from pearlkerf.toolpath.rings import along_walls
from pearlkerf.toolpath.strokes import chords
from pearlkerf.toolpath.tolerances import LONGER_CHORD_MM


def with_long_chords(ring: np.ndarray) -> np.ndarray:
    """Give a closed ring with fewer of its points."""
    points = [(float(x), float(y)) for x, y in ring]
    return np.array([points[0], *(chord.end for chord in chords(points, LONGER_CHORD_MM))])


def wall_rings(pocket: shapely.MultiPolygon, radius_mm: float) -> list[np.ndarray]:
    """Give the rings on which a cutter runs along every wall of a pocket, (n, 2) each, closed."""
    return [with_long_chords(ring) for part in along_walls(pocket, radius_mm) for ring in part]
