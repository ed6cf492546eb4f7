"""Side dots: holes in the bass edge, all at one height that stays clear of the radiused surface."""

from pearlkerf.board.model import SideDots
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Ground
from pearlkerf.layout.model import DotRow
from pearlkerf.layout.outline import edge_thickness_mm


def side_dots(ground: Ground) -> tuple[Hole, ...]:
    """Give the holes of all side dots in the edge setup's axes, nut end first."""
    dots = ground.board.side_dots
    if dots is None or not dots.frets:
        return ()
    y = -ground.edges.bass.side * side_dot_height_mm(ground, dots)
    return tuple(
        _hole(dots, number, name, along, y)
        for number in sorted(dots.frets)
        for name, along in _places(ground, dots, number)
    )


def _hole(dots: SideDots, number: int, name: str, along: float, y: float) -> Hole:
    return Hole(
        group="side dots",
        number=number,
        name=name,
        centre=(along, y),
        diameter_mm=dots.diameter_mm + dots.fit_mm,
        floor_mm=-dots.depth_mm,
        shallowest_mm=-dots.depth_mm,
        deepest_mm=-dots.depth_mm,
    )


def _places(ground: Ground, dots: SideDots, number: int) -> list[tuple[str, float]]:
    """Give names and distances along the edge, from midway between where both frets meet it."""
    edge = ground.edges.bass
    before, after = (edge.crossing(line)[0] for line in ground.space(number))
    along = edge.along_mm((before + after) / 2)
    if number not in dots.double:
        return [(f"side dot {number}", along)]
    away = dots.pair_spacing_mm / 2
    return [(f"side dot {number}, nut side", along - away), (f"side dot {number}, bridge side", along + away)]


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
    edge, taken = ground.edges.bass, ground.board.crown_allowance_mm
    along = [place for number in dots.frets for _, place in _places(ground, dots, number)]
    return [edge_thickness_mm(ground, edge, edge.x_mm(place), taken) for place in along]


def side_dot_row(ground: Ground, hole: Hole) -> DotRow:
    """Give what the bench wants to know of one side dot; wood left is the least beside the hole's wall."""
    edge, along, height = ground.edges.bass, hole.centre[0], abs(hole.centre[1])
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
