"""Side dots: holes in the bass edge, the treble edge or both, all at one height clear of the radiused surface."""

from typing import Final

from pearlkerf.board.model import SideDots
from pearlkerf.layout.edge import Edge
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Ground
from pearlkerf.layout.groups import GROUPS
from pearlkerf.layout.model import DotRow
from pearlkerf.layout.outline import edge_thickness_mm

BASS: Final = "side dots"
TREBLE: Final = "treble side dots"


def side_dots(ground: Ground) -> tuple[Hole, ...]:
    """Give the holes of all side dots in their edge setup's axes, the bass edge's first, nut end first."""
    dots = ground.board.side_dots
    if dots is None or not dots.frets:
        return ()
    height = side_dot_height_mm(ground, dots)
    return tuple(
        _hole(dots, group, number, place, -edge.side * height)
        for group, edge in dotted_edges(ground, dots)
        for number in sorted(dots.frets)
        for place in _places(ground, dots, group, number)
    )


def dotted_edges(ground: Ground, dots: SideDots) -> tuple[tuple[str, Edge], ...]:
    """Give the edges that have dots, each with the group that its dots belong to."""
    edges = (("bass", BASS, ground.edges.bass), ("treble", TREBLE, ground.edges.treble))
    return tuple((group, edge) for name, group, edge in edges if dots.edges in (name, "both"))


def edge_of(ground: Ground, hole: Hole) -> Edge:
    """Give the edge that a side dot lies in."""
    return ground.edges.treble if hole.group == TREBLE else ground.edges.bass


def _hole(dots: SideDots, group: str, number: int, place: tuple[str, float], y: float) -> Hole:
    name, along = place
    return Hole(
        group=group,
        number=number,
        name=name,
        centre=(along, y),
        diameter_mm=dots.diameter_mm + dots.fit_mm,
        floor_mm=-dots.depth_mm,
        shallowest_mm=-dots.depth_mm,
        deepest_mm=-dots.depth_mm,
    )


def _places(ground: Ground, dots: SideDots, group: str, number: int) -> list[tuple[str, float]]:
    """Give names and distances along the edge, from midway between where both frets meet it."""
    edge, name = dict(dotted_edges(ground, dots))[group], f"{GROUPS[group].one} {number}"
    before, after = (edge.crossing(line)[0] for line in ground.space(number))
    along = edge.along_mm((before + after) / 2)
    if number not in dots.double:
        return [(name, along)]
    away = dots.pair_spacing_mm / 2
    return [(f"{name}, nut side", along - away), (f"{name}, bridge side", along + away)]


def height_interval_mm(ground: Ground, dots: SideDots) -> tuple[float, float]:
    """Give the least and the greatest height above the glue face that serves every dot, mm.

        d/2 + margin <= h <= edge thickness - d/2 - margin

    with the finished edge's thickness at every dot.  The interval is empty where the edge is too thin.
    """
    needed = dots.diameter_mm / 2 + dots.margin_mm
    return needed, min(_finished_edges_mm(ground, dots)) - needed


def side_dot_height_mm(ground: Ground, dots: SideDots) -> float:
    """Give the one height of all side dots above the glue face, mm.

    "auto" is the mean of the largest and the smallest middle of the finished edge at the dots,
    clamped into the interval that serves every dot.
    """
    if dots.height_mm is not None:
        return dots.height_mm
    middles = [edge / 2 for edge in _finished_edges_mm(ground, dots)]
    low, high = height_interval_mm(ground, dots)
    return max(low, min(high, (max(middles) + min(middles)) / 2))


def _finished_edges_mm(ground: Ground, dots: SideDots) -> list[float]:
    """Give the finished edge's thickness at every hole."""
    taken = ground.board.crown_allowance_mm
    return [
        edge_thickness_mm(ground, edge, edge.x_mm(along), taken)
        for group, edge in dotted_edges(ground, dots)
        for number in dots.frets
        for _, along in _places(ground, dots, group, number)
    ]


def side_dot_row(ground: Ground, hole: Hole) -> DotRow:
    """Give what the bench wants to know of one side dot; wood left is the least beside the hole's wall."""
    edge, along, height = edge_of(ground, hole), hole.centre[0], abs(hole.centre[1])
    x = edge.x_mm(along)
    above = edge_thickness_mm(ground, edge, x, ground.board.crown_allowance_mm) - height
    return DotRow(
        fret=hole.number,
        name=hole.name,
        x_mm=x,
        y_mm=edge.y_mm(x),
        along_mm=along,
        height_mm=height,
        depth_mm=-hole.floor_mm,
        wood_left_mm=min(height, above) - hole.diameter_mm / 2,
    )
