"""Cross-checks of dots: shell against the radius, pockets against edges, side dots against everything near."""

import math
from collections.abc import Iterator

from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Laid, Remark, weigh
from pearlkerf.layout.face_dots import pocket_depths
from pearlkerf.layout.limits import (
    DOUBTFUL_SHELL_MM,
    DOUBTFUL_WALL_MM,
    ROUNDING_MM,
    THINNEST_FLOOR_MM,
    THINNEST_WALL_MM,
)
from pearlkerf.layout.model import Hole
from pearlkerf.layout.outline import edge_angle_rad, half_width_mm
from pearlkerf.layout.side_dots import centre_line_x_mm, height_interval_mm

WALL_ALLOWED = f"at least {THINNEST_WALL_MM:.2f} mm of wood, {DOUBTFUL_WALL_MM:.0f} mm is advised"


def check_shell(laid: Laid) -> Iterator[Remark]:
    """The shell is thick enough to end flush under the radius, and not sanded thin."""
    dots = laid.board.face_dots
    if dots is None:
        return
    depths = {hole.name: pocket_depths(laid.board, dots, laid.surface, hole.centre) for hole in laid.face_dots}
    name, worst = max(depths.items(), key=lambda item: item[1].shallowest_mm - item[1].deepest_mm)
    fall = worst.greatest_fall_mm - worst.least_fall_mm
    needed = fall + dots.shell_left_mm + dots.proud_mm
    if worst.shallowest_mm > worst.deepest_mm + ROUNDING_MM:
        yield Remark("refused", Problem(
            key="face_dots.thickness",
            found=f"shell of {dots.thinnest_mm:.2f} mm is too thin for {name}: under it the finished surface falls "
            f"by {fall:.2f} mm, {dots.proud_mm:.2f} mm stand proud and {dots.shell_left_mm:.2f} mm must be left",
            allowed=f"at least {needed:.2f} mm",
            hint=f"use shell at least {math.ceil(needed * 100 - ROUNDING_MM) / 100:.2f} mm thick, "
            "a smaller dot, or less proud",
        ))  # fmt: skip
        return
    left = worst.deepest_mm - laid.board.crown_allowance_mm - worst.greatest_fall_mm
    thin = Problem(
        key="face_dots.thickness",
        found=f"{left:.2f} mm of shell are left at the rim of {name} after levelling",
        allowed=f"{DOUBTFUL_SHELL_MM:.1f} mm is advised, below it the wood may show through",
        hint=f"use shell at least {dots.thinnest_mm + DOUBTFUL_SHELL_MM - left:.2f} mm thick",
    )
    yield from weigh(left, 0.0, DOUBTFUL_SHELL_MM, thin)


def check_face_dot_edges(laid: Laid) -> Iterator[Remark]:
    """Pockets leave wood to the board's edge, and the two of a double to each other."""
    if not laid.face_dots:
        return
    board, cosine = laid.board, math.cos(edge_angle_rad(laid.board))

    def to_edge(hole: Hole) -> float:
        return (half_width_mm(board, hole.centre[0]) - abs(hole.centre[1])) * cosine - hole.diameter_mm / 2

    near = min(laid.face_dots, key=to_edge)
    edge = Problem(
        key="face_dots.spacing" if near.centre[1] else "face_dots.diameter",
        found=f"{near.name} leaves {to_edge(near):.2f} mm of wood to the board's edge",
        allowed=WALL_ALLOWED,
        hint="use a smaller spacing or diameter",
    )
    yield from weigh(to_edge(near), THINNEST_WALL_MM, DOUBTFUL_WALL_MM, edge)
    pairs = [hole for hole in laid.face_dots if hole.centre[1]]
    if not pairs:
        return
    tight = min(pairs, key=lambda hole: abs(hole.centre[1]))
    between = 2 * abs(tight.centre[1]) - tight.diameter_mm
    twin = Problem(
        key="face_dots.spacing",
        found=f"the two dots of fret {tight.number} leave {between:.2f} mm of wood between them",
        allowed=WALL_ALLOWED,
        hint=f"use a spacing of at least {tight.diameter_mm + DOUBTFUL_WALL_MM:.2f} mm",
    )
    yield from weigh(between, THINNEST_WALL_MM, DOUBTFUL_WALL_MM, twin)


def check_side_dot_height(laid: Laid) -> Iterator[Remark]:
    """One height serves every side dot, clear of the glue face and of the finished, radiused surface."""
    dots = laid.board.side_dots
    if dots is None:
        return
    low, high = height_interval_mm(laid.board, dots, laid.frets_mm)
    if low > high + ROUNDING_MM:
        yield Remark("refused", Problem(
            key="side_dots.diameter",
            found=f"the finished edge is {low + high:.2f} mm thick at its thinnest, too thin for a hole of "
            f"{dots.diameter_mm:.2f} mm with {dots.margin_mm:.2f} mm of wood above and below",
            allowed=f"at least {2 * low:.2f} mm of finished edge",
            hint=f"use side dots of at most {dots.diameter_mm - (low - high):.2f} mm, a smaller side_dots.margin, "
            f"or a blank of at least {laid.board.thickness_mm + low - high:.2f} mm"))  # fmt: skip
    elif dots.height_mm is not None and not low - ROUNDING_MM <= dots.height_mm <= high + ROUNDING_MM:
        yield Remark("refused", Problem(
            key="side_dots.height",
            found=f"side dots {dots.height_mm:.2f} mm above the glue face leave less than {dots.margin_mm:.2f} mm "
            "of wood beside the hole",
            allowed=f"from {low:.2f} to {high:.2f} mm",
            hint='use height = "auto"'))  # fmt: skip


def check_side_dot_depth(laid: Laid) -> Iterator[Remark]:
    """Side dots leave wood behind them and lie on the board; the two of a double leave wood between them."""
    dots = laid.board.side_dots
    if dots is None or not laid.side_dots:
        return
    width = min(2 * half_width_mm(laid.board, centre_line_x_mm(laid.board, hole)) for hole in laid.side_dots)
    if dots.depth_mm > width - THINNEST_FLOOR_MM:
        yield Remark("refused", Problem(
            key="side_dots.depth", found=f"holes {dots.depth_mm:.2f} mm deep go through a board {width:.2f} mm wide",
            allowed=f"at most {width - THINNEST_FLOOR_MM:.2f} mm", hint="3 mm is usual"))  # fmt: skip
    if not dots.double:
        return
    between = dots.pair_spacing_mm - dots.diameter_mm - dots.fit_mm
    twin = Problem(
        key="side_dots.spacing",
        found=f"the two holes of a double leave {between:.2f} mm of wood between them",
        allowed=WALL_ALLOWED,
        hint=f"use a spacing of at least {dots.diameter_mm + DOUBTFUL_WALL_MM:.2f} mm",
    )
    yield from weigh(between, THINNEST_WALL_MM, DOUBTFUL_WALL_MM, twin)


def check_side_against_face(laid: Laid) -> Iterator[Remark]:
    """Side-dot holes leave wood to the pockets of face dots, which come from above."""
    pairs = [(_wood_between_mm(laid, side, face), side, face) for side in laid.side_dots for face in laid.face_dots
             if side.number == face.number]  # fmt: skip
    if not pairs:
        return
    wood, side, face = min(pairs, key=lambda pair: pair[0])
    problem = Problem(
        key="side_dots.depth",
        found=f"{side.name} comes within {max(wood, 0.0):.2f} mm of {face.name}",
        allowed=WALL_ALLOWED,
        hint="use shallower or lower side dots, or set the face dots nearer to the centre line",
    )
    yield from weigh(wood, THINNEST_WALL_MM, DOUBTFUL_WALL_MM, problem)


def _wood_between_mm(laid: Laid, side: Hole, face: Hole) -> float:
    """Least wood between a side-dot hole and a pocket: the widest of the gaps in height, across and along."""
    x = centre_line_x_mm(laid.board, side)
    half = half_width_mm(laid.board, x)
    radius, pocket = side.diameter_mm / 2, face.diameter_mm / 2
    bass = -1.0 if laid.board.hand == "right" else 1.0
    below = laid.board.thickness_mm + face.floor_mm - abs(side.centre[1]) - radius
    across = (half + side.floor_mm) - (bass * face.centre[1] + pocket)
    along = abs(x - face.centre[0]) - radius - pocket
    return max(below, across, along)
