"""Cross-checks of side dots: height in the radiused edge, depth in the board, slots, face dots, each other.

Distances are taken in plan or in height, whichever is greater: two holes that are apart in one are apart.
"""

import math
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from pearlkerf.board.model import SideDots
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.binding import to_slot_tips_mm
from pearlkerf.layout.checks import Remark, at_least, at_most, down, named, one_of, up, weigh, wood
from pearlkerf.layout.dot_walls import Wall, check_walls, walls_to_slots_mm
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import FLOOR, ROUNDING_MM, WALL
from pearlkerf.layout.side_dots import dotted_edges, edge_of, height_interval_mm
from pearlkerf.layout.slots import deepest_mm


def check_height(laid: Laid) -> Iterator[Remark]:
    """One height serves every side dot, clear of the glue face and of the finished, radiused surface."""
    dots = laid.board.side_dots
    if dots is None or not laid.side_dots:
        return
    low, high = height_interval_mm(laid, dots)
    if low > high + ROUNDING_MM:
        yield Remark("refused", _edge_too_thin(laid, dots, low, high))
    elif dots.height_mm is not None and not low - ROUNDING_MM <= dots.height_mm <= high + ROUNDING_MM:
        yield Remark("refused", Problem(
            key="side_dots.height",
            found=f"side dots {as_written(dots.height_mm)} above the glue face do not keep "
            f"{as_written(dots.margin_mm)} of wood on both sides in the finished edge",
            allowed=f"from {up(low)} to {down(high)} mm",
            hint=f'use height = "auto", or from {up(low)} to {down(high)} mm' if up(low) <= down(high)
            else 'use height = "auto"',
        ))  # fmt: skip


def _edge_too_thin(laid: Laid, dots: SideDots, low: float, high: float) -> Problem:
    missing = low - high
    ways = (
        at_most(dots.diameter_mm - missing, "a diameter"),
        f"use a margin of at most {down(dots.margin_mm - missing / 2)} mm" if dots.margin_mm > missing / 2 else "",
        f"use a blank of at least {up(laid.board.thickness_mm + missing)} mm",
    )
    return Problem(
        key="side_dots.diameter",
        found=f"the finished edge is {low + high:.2f} mm thick at the thinnest place that has a dot, too thin for "
        f"a dot of {as_written(dots.diameter_mm)} with {as_written(dots.margin_mm)} of wood on both sides",
        allowed=f"at least {up(2 * low)} mm of finished edge",
        hint=one_of(*ways),
    )


def check_depth(laid: Laid) -> Iterator[Remark]:
    """Side dots leave wood behind them."""
    dots = laid.board.side_dots
    if dots is None or not laid.side_dots:
        return
    width = min(laid.edges.finished.width_mm(edge_of(laid, hole).x_mm(hole.centre[0])) for hole in laid.side_dots)
    left = width - dots.depth_mm * len(dotted_edges(laid, dots))
    yield from weigh(left, FLOOR, lambda limit_mm: Problem(
        key="side_dots.depth",
        found=f"holes {as_written(dots.depth_mm)} deep leave {wood(left)} where the board is {width:.2f} mm wide",
        allowed=at_least(FLOOR),
        hint=at_most(dots.depth_mm + (left - limit_mm) / len(dotted_edges(laid, dots)), "a depth") + " (3 mm is usual)",
    ))  # fmt: skip


def check_between_slots(laid: Laid) -> Iterator[Remark]:
    """Side dots leave wood to the slots that come out of the edge beside them, or end inside it, and to the nut end."""
    dots = laid.board.side_dots
    if dots is None or not laid.side_dots:
        return
    walls = [_wall(laid, dots, hole) for hole in laid.side_dots]
    yield from check_walls(laid, dots, walls, partial(_nearer_pair, laid, dots))


def _nearer_pair(laid: Laid, dots: SideDots, short: Sequence[Wall], limit_mm: float) -> tuple[str, ...] | None:
    """Where only doubles are too near: offer a smaller spacing if the two then leave wood, one dot if one fits."""
    bad = [wall.hole for wall in short]
    if not all(hole.number in dots.double for hole in bad):
        return None
    diameter = dots.diameter_mm + dots.fit_mm
    spacing = dots.pair_spacing_mm - 2 * (limit_mm - min(wall.along_mm for wall in short))
    one_fits = all(_room_mm(laid, dots, hole) - diameter / 2 >= limit_mm for hole in bad)
    return (
        at_most(spacing, "a spacing") if spacing >= diameter + limit_mm else "",
        f"leave {named(hole.number for hole in bad)} out of side_dots.double" if one_fits else "",
    )


def _room_mm(laid: Laid, dots: SideDots, hole: Hole) -> float:
    """Give the way from the middle of a side dot's fret space to the nearer slot's wall, all down the hole."""
    edge, along = edge_of(laid, hole), hole.centre[0]
    before, after = laid.space(hole.number)
    skew = abs(edge.at(along, -dots.depth_mm)[0] - edge.at(along)[0])
    return before.beyond_mm(edge.crossing(after)) / 2 - laid.half_slot_mm - skew


def _wall(laid: Laid, dots: SideDots, hole: Hole) -> Wall:
    """A hole is square to the edge, so its bottom lies a little nearer to one of the slots than its mouth."""
    mouth, bottom = (edge_of(laid, hole).at(hole.centre[0], -depth) for depth in (0.0, dots.depth_mm))
    along = min(walls_to_slots_mm(laid, hole, mouth), walls_to_slots_mm(laid, hole, bottom))
    tips = to_slot_tips_mm(laid.board)
    if not laid.slots or not tips:
        return Wall(along, along, hole)
    nut_end = min(laid.lines[0].beyond_mm(place) for place in (mouth, bottom)) - hole.diameter_mm / 2
    before_tips = tips - dots.depth_mm
    under = min(_height_between_mm(laid, hole, slot) for slot in laid.slots)
    return Wall(min(max(along, before_tips, under), nut_end), along, hole)


def _height_between_mm(laid: Laid, hole: Hole, slot: Slot) -> float:
    floor = laid.board.thickness_mm - deepest_mm(laid, slot)
    return floor - abs(hole.centre[1]) - hole.diameter_mm / 2


def check_between_side_dots(laid: Laid) -> Iterator[Remark]:
    """Side dots leave wood between each other along the edge."""
    dots = laid.board.side_dots
    if dots is None or len(laid.side_dots) < 2:
        return
    holes = sorted(laid.side_dots, key=lambda hole: (hole.group, hole.centre[0]))
    pairs = [(one, other) for one, other in pairwise(holes) if one.group == other.group]
    if not pairs:
        return
    first, second = min(pairs, key=lambda pair: pair[1].centre[0] - pair[0].centre[0])
    apart = second.centre[0] - first.centre[0]
    between = apart - first.diameter_mm

    def touch(limit_mm: float) -> Problem:
        twins = first.number == second.number
        spacing = first.diameter_mm + limit_mm
        fits = all(
            _room_mm(laid, dots, hole) >= (spacing + hole.diameter_mm) / 2 + WALL.least_mm
            for hole in holes
            if hole.number in dots.double
        )
        smaller = at_most(apart - limit_mm - dots.fit_mm, "a diameter")
        return Problem(
            key="side_dots.diameter" if dots.spacing_mm is None else "side_dots.spacing",
            found=f"{wood(between)} stays between {first.name}, and {second.name}",
            allowed=at_least(WALL),
            hint=one_of(
                f"use a spacing of at least {up(spacing)} mm" if twins and fits else "",
                smaller if dots.spacing_mm is not None or not twins else "",
                f"leave {named([second.number])} out of side_dots.{'double' if twins else 'frets'}",
            ),
        )

    yield from weigh(between, WALL, touch)


def check_against_pockets(laid: Laid) -> Iterator[Remark]:
    """Side-dot holes leave wood to the pockets of face dots, which come from above."""
    dots = laid.board.side_dots
    pairs = [(_wood_to_pocket_mm(laid, side, face), side, face) for side in laid.side_dots for face in laid.face_dots]
    if dots is None or not pairs:
        return
    left, side, face = min(pairs, key=lambda pair: pair[0])

    def meet(limit_mm: float) -> Problem:
        bad = [(hole, pocket) for wall, hole, pocket in pairs if wall < limit_mm - ROUNDING_MM]
        missing = limit_mm - min(_across_mm(laid, hole, pocket) for hole, pocket in bad)
        return Problem(
            key="side_dots.depth",
            found=f"{wood(left)} stays between {side.name} and {face.name}",
            allowed=at_least(WALL),
            hint=one_of(
                at_most(dots.depth_mm - missing, "a depth"),
                f"leave {named(side.number for side, _ in bad)} out of side_dots.frets",
            ),
        )

    yield from weigh(left, WALL, meet)


def _wood_to_pocket_mm(laid: Laid, side: Hole, face: Hole) -> float:
    """Least wood between a hole from the edge and a pocket from above."""
    below = laid.board.thickness_mm + face.floor_mm - abs(side.centre[1]) - side.diameter_mm / 2
    along, across = _in_edge_axes(laid, side, face)
    aside = max(abs(along) - side.diameter_mm / 2, 0.0)
    in_plan = math.hypot(aside, max(across + side.floor_mm, 0.0)) - face.diameter_mm / 2
    return max(below, in_plan)


def _across_mm(laid: Laid, side: Hole, face: Hole) -> float:
    """Wood between a hole's bottom and a pocket, square to the edge alone."""
    return _in_edge_axes(laid, side, face)[1] + side.floor_mm - face.diameter_mm / 2


def _in_edge_axes(laid: Laid, side: Hole, face: Hole) -> tuple[float, float]:
    """Give where a pocket's centre lies from a side dot's place: along the edge, and square to it into the wood."""
    return edge_of(laid, side).seen_from(side.centre[0], face.centre)


SIDE_DOT_CHECKS = (check_height, check_depth, check_between_slots, check_between_side_dots, check_against_pockets)
