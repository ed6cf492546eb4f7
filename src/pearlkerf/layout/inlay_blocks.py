"""A block that fills its fret space: it follows taper and slant, beside the slots and the edges.

slot n-1            slot n
 | |  .------------.  | |     beside_frets from the slots' walls,
 | |  |            |  | |     beside_edges from the edges, or the binding
"""

import shapely

from pearlkerf.board.inlays import Inlay
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.lines import Line

# lines run from edge to edge, and are carried on by so much, mm: past any edge, and short of where slanted ones meet
BEYOND_MM = 20.0


def filling(laid: Laid, inlay: Inlay, number: int) -> shapely.Polygon:
    """Give the block that fills a fret space; raises Refusal where nothing of it is left."""
    core = shapely.Polygon(laid.edges.core.corners)
    inner = shapely.buffer(core, -inlay.beside_edges_mm, join_style="mitre")
    before, after = laid.walls(number)
    near, far = before.beside(inlay.beside_frets_mm), after.beside(-inlay.beside_frets_mm)
    whole = shapely.intersection(inner, _between(near, far)) if near.beyond_mm(far.middle) > 0 else shapely.Polygon()
    # what an edge that bends cuts off is no block
    parts = [each for each in shapely.get_parts(whole) if each.geom_type == "Polygon" and each.area > 0]
    if not parts:
        raise Refusal([
            Problem(key=inlay.key("beside_frets"),
                    found=f"nothing of a block is left in the space of fret {number}, "
                    f"{before.beyond_mm(after.middle):.2f} mm from wall to wall",
                    allowed="a block that has a length and a width",
                    hint=f"use less beside_frets or beside_edges, or leave {number} out of its frets")])  # fmt: skip
    largest: shapely.Polygon = max(parts, key=lambda each: each.area)
    return largest


def _between(near: Line, far: Line) -> shapely.Polygon:
    """Give the area between two lines, carried on beyond both their ends."""
    corners = [
        (end[0] + sign * line.along[0] * BEYOND_MM, end[1] + sign * line.along[1] * BEYOND_MM)
        for line, ends in ((near, (near.start, near.end)), (far, (far.end, far.start)))
        for end, sign in zip(ends, (-1, 1) if line is near else (1, -1), strict=True)
    ]
    return shapely.Polygon(corners)
