"""Cross-checks of face dots: shell against the radius, pockets against slots, edges, each other and the glue face."""

import math
from collections.abc import Iterator
from itertools import pairwise

from pearlkerf.board.model import FaceDots
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.checks import Remark, at_least, at_most, down, named, one_of, up, weigh, wood
from pearlkerf.layout.dot_walls import Wall, check_walls, walls_to_slots_mm
from pearlkerf.layout.face_dots import Depths, pocket_depths
from pearlkerf.layout.features import Hole
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import FLOOR, PROUDEST_MM, ROUNDING_MM, SHELL, WALL


def check_shell(laid: Laid) -> Iterator[Remark]:
    """The shell is thick enough to end flush under the radius, and is not sanded thin."""
    dots = laid.board.face_dots
    if dots is None or not laid.face_dots:
        return
    depths = {hole.name: pocket_depths(laid, dots, hole.centre) for hole in laid.face_dots}
    name, worst = max(depths.items(), key=lambda item: item[1].shallowest_mm - item[1].deepest_mm)
    if worst.shallowest_mm > worst.deepest_mm + ROUNDING_MM:
        yield Remark("refused", _too_thin(dots, name, worst))
        return
    left = worst.deepest_mm - laid.board.crown_allowance_mm - worst.greatest_fall_mm
    yield from weigh(left, SHELL, lambda limit_mm: Problem(
        key="face_dots.thickness",
        found=f"{left:.2f} mm of shell is left at the rim of {name} after levelling, where it is thinnest",
        allowed=f"{SHELL.advised_mm:.2f} mm is advised, thinner shell shows the glue and the wood under it",
        hint=f"use shell at least {up(dots.thinnest_mm + limit_mm - left)} mm thick",
    ))  # fmt: skip
    yield from _very_proud(dots, left)


def _too_thin(dots: FaceDots, name: str, worst: Depths) -> Problem:
    fall = worst.greatest_fall_mm - worst.least_fall_mm
    needed = fall + dots.shell_left_mm + dots.proud_mm
    proud = dots.thinnest_mm - fall - dots.shell_left_mm
    if dots.proud_mm >= dots.thinnest_mm - ROUNDING_MM and proud >= 0:
        return Problem(
            key="face_dots.proud",
            found=f"shell {as_written(dots.thinnest_mm)} thick cannot stand {as_written(dots.proud_mm)} proud and stay "
            "in its pocket",
            allowed=f"at most {down(proud)} mm",
            hint=f"set proud to at most {down(proud)} mm, or use shell at least {up(needed)} mm thick",
        )
    return Problem(
        key="face_dots.thickness",
        found=f"shell {as_written(dots.thinnest_mm)} thick is too thin for {name}: the finished surface falls by "
        f"{fall:.2f} mm under it, {as_written(dots.proud_mm)} stands proud and {as_written(dots.shell_left_mm)} must "
        "be left",
        allowed=f"at least {up(needed)} mm",
        hint=one_of(
            f"use shell at least {up(needed)} mm thick", f"set proud to at most {down(proud)} mm" if proud >= 0 else ""
        ),
    )


def _very_proud(dots: FaceDots, left_mm: float) -> Iterator[Remark]:
    """Where shells differ in thickness, the pocket is made for the thinnest, and the thickest stands prouder."""
    proudest = dots.thickest_mm - left_mm
    if dots.thickest_mm > dots.thinnest_mm and proudest > PROUDEST_MM + ROUNDING_MM:
        yield Remark("doubtful", Problem(
            key="face_dots.thickness",
            found=f"shell {as_written(dots.thickest_mm)} thick will stand up to {proudest:.2f} mm proud",
            allowed=f"{PROUDEST_MM:.2f} mm is easily levelled",
            hint="sort the shell by thickness, or level it wet, a little at a time",
        ))  # fmt: skip


def check_wood_under_pockets(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood under them."""
    dots = laid.board.face_dots
    if dots is None or not laid.face_dots:
        return
    deepest = min(laid.face_dots, key=lambda hole: hole.floor_mm)
    left = laid.board.thickness_mm + deepest.floor_mm
    fall = max(-hole.shallowest_mm for hole in laid.face_dots) - laid.board.crown_allowance_mm - dots.shell_left_mm

    def thin(limit_mm: float) -> Problem:
        thinner = dots.thinnest_mm - (limit_mm - left)
        enough = thinner >= fall + dots.shell_left_mm + dots.proud_mm
        return Problem(
            key="face_dots.thickness",
            found=f"{wood(left)} stays under {deepest.name}, whose pocket ends {-deepest.floor_mm:.2f} mm below the "
            "top of the blank",
            allowed=at_least(FLOOR),
            hint=one_of(
                f"use shell at most {down(thinner)} mm thick" if enough else "",
                f"use a blank of at least {up(laid.board.thickness_mm + limit_mm - left)} mm",
            ),
        )

    yield from weigh(left, FLOOR, thin)


def check_pockets_between_slots(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood to the slots beside them, and to the nut end."""
    dots = laid.board.face_dots
    if dots is None or not laid.face_dots:
        return
    along = [walls_to_slots_mm(laid, hole, hole.centre) for hole in laid.face_dots]
    walls = [Wall(left, left, hole) for left, hole in zip(along, laid.face_dots, strict=True)]
    yield from check_walls(laid, dots, walls)


def check_pockets_at_edges(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood to the edge of the finished outline, or to the binding."""
    dots = laid.board.face_dots
    if dots is None or not laid.face_dots:
        return
    near = min(laid.face_dots, key=lambda hole: _to_edge_mm(laid, hole))
    left = _to_edge_mm(laid, near)
    spaced = dots.spacing_mm is not None and near.number in (*dots.double, *dots.triple)
    beside = not spaced and dots.across_mm != 0.0
    edge = "edge of the board" if laid.board.binding is None else "binding"

    def at_edge(limit_mm: float) -> Problem:
        bad = [hole.number for hole in laid.face_dots if _to_edge_mm(laid, hole) < limit_mm - ROUNDING_MM]
        spacing = _widest_spacing_mm(laid, dots, limit_mm)
        return Problem(
            key=f"face_dots.{'spacing' if spaced else 'across' if beside else 'diameter'}",
            found=f"{wood(left)} stays between {near.name} and the {edge}",
            allowed=at_least(WALL),
            hint=one_of(
                f"bring across to {down(abs(dots.across_mm) - (limit_mm - left))} mm or less" if beside else "",
                at_most(spacing, "a spacing") if spaced and spacing >= near.diameter_mm + limit_mm else "",
                at_most(dots.diameter_mm - 2 * (limit_mm - left), "a diameter"),
                f"leave {named(bad)} out of face_dots.frets",
            ),
        )

    yield from weigh(left, WALL, at_edge)


def _to_edge_mm(laid: Laid, hole: Hole) -> float:
    """Give the wood between a pocket and the edge of the core."""
    return laid.edges.core.distance_mm(hole.centre) - hole.diameter_mm / 2


def _widest_spacing_mm(laid: Laid, dots: FaceDots, limit_mm: float) -> float:
    """Give the spacing at which every double leaves just this much wood to the edge."""
    centres = laid.edges.core.inside(limit_mm + (dots.diameter_mm + dots.fit_mm) / 2)
    widths = [centres.width_mm(hole.centre[0]) / (2 if hole.number in dots.triple else 1)
              for hole in laid.face_dots if hole.number in (*dots.double, *dots.triple)]  # fmt: skip
    return min(widths, default=0.0)


def check_double_pockets(laid: Laid) -> Iterator[Remark]:
    """The two pockets of a double leave wood between them.

    Without a spacing of their own they lie twice as far from each other as from the edges.
    """
    dots = laid.board.face_dots
    if dots is None or (dots.spacing_mm is None and not dots.off_centre):
        return
    many, diameter = (*dots.double, *dots.triple), dots.diameter_mm + dots.fit_mm
    apart = [math.dist(one.centre, other.centre) for one, other in pairwise(laid.face_dots)
             if one.number == other.number]  # fmt: skip
    if not apart:
        return
    spacing = min(apart) if dots.spacing_mm is None else dots.spacing_mm
    key = "face_dots.across" if dots.spacing_mm is None else "face_dots.spacing"

    def touch(limit_mm: float) -> Problem:
        wider = diameter + limit_mm
        return Problem(
            key=key,
            found=f"{wood(spacing - diameter)} stays between the two dots of {named(many)}"
            if not dots.triple
            else f"{wood(spacing - diameter)} stays between dots of {named(many)}",
            allowed=at_least(WALL),
            hint=one_of(
                f"use a spacing of at least {up(wider)} mm"
                if dots.spacing_mm is not None and wider <= _widest_spacing_mm(laid, dots, limit_mm)
                else "",
                at_most(spacing - limit_mm - dots.fit_mm, "a diameter"),
                f"leave {named(dots.double)} out of face_dots.double" if dots.double else "",
            ),
        )

    yield from weigh(spacing - diameter, WALL, touch)


FACE_DOT_CHECKS = (
    check_shell,
    check_wood_under_pockets,
    check_pockets_between_slots,
    check_pockets_at_edges,
    check_double_pockets,
)
