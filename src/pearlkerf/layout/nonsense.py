"""What in a board cannot be computed at all: frets that are not there, widths below nothing, impossible surfaces.

Each is told, then left out, so that the cross-checks can look at all the rest in the same go.
"""

import math
from dataclasses import replace
from typing import Literal, TypeVar

from pearlkerf.board.model import Board, FaceDots, Radius, Scale, SideDots
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.checks import one_of, up
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.groups import GROUPS, INLAYS, TRIED
from pearlkerf.layout.inlay_sense import real_inlays
from pearlkerf.layout.limits import ROUNDING_MM, WALL
from pearlkerf.layout.measured import real_places
from pearlkerf.layout.names import in_ranges
from pearlkerf.layout.outline import surface
from pearlkerf.layout.outline_checks import real_widths, without_extent
from pearlkerf.layout.scale_checks import real_scale
from pearlkerf.layout.sizes import fit_asked_mm, size_asked_mm

FLAT = Radius(math.inf, math.inf)
Dots = TypeVar("Dots", FaceDots, SideDots)


def without_nonsense(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board without what cannot be computed, and a problem for each thing left out."""
    if board.scale.frets < 1:
        raise Refusal([Problem(key="scale.frets", found=f"{board.scale.frets} frets", allowed="at least 1")])
    if not board.scale.there:
        raise Refusal(
            [Problem(key="scale.left_out", found="every fret is left out", allowed="at least one that is not")]
        )
    nowhere = list(without_extent(board))
    if nowhere:
        raise Refusal(nowhere)
    board, unreal = real_scale(board)
    board, bent = real_widths(board)
    unreal += bent
    board, unplaced = real_inlays(board)
    unreal += unplaced
    board, problems = _with_real_widths(board)
    problems = unreal + problems
    board, unreal = real_places(board)
    problems += unreal
    radius, impossible = _possible_radius(board)
    problems += impossible
    face, side, scale = board.face_dots, board.side_dots, board.scale
    face, wrong = _real_strings(board)
    problems += wrong
    if face is not None:
        face, wrong = _real_frets("face_dots", face, scale)
        problems += wrong
    if side is not None:
        side, wrong = _real_frets("side_dots", side, scale)
        problems += wrong
    return replace(board, radius=radius, face_dots=face, side_dots=side), problems


def _with_real_widths(board: Board) -> tuple[Board, list[Problem]]:
    """A fit may be negative, but must leave a width or diameter."""
    problems = []
    for group in (each for each in TRIED if each != INLAYS):
        table = GROUPS[group].table
        part = getattr(board, table)
        if part is not None and size_asked_mm(board, group) + fit_asked_mm(board, group) <= ROUNDING_MM:
            problems.append(_no_width(f"{table}.fit", size_asked_mm(board, group), fit_asked_mm(board, group)))
            board = replace(board, **{table: replace(part, fit_mm=0.0)})
    return board, problems


def _no_width(key: str, width: float, fit: float) -> Problem:
    return Problem(
        key=key,
        found=f"a fit of {fit:.2f} mm leaves nothing of {width:.2f} mm",
        allowed=f"more than {-width:.2f} mm",
        hint="a fit is the small step that a coupon tells, such as -0.03 mm or 0.05 mm",
    )


def _possible_radius(board: Board) -> tuple[Radius, list[Problem]]:
    """The finished edge must have some thickness; the largest fall is at one of the ends.

    The fall R - sqrt(R**2 - w**2) is convex in R and w together, and both change linearly along the
    board, so that no place between the ends falls more than both of them.
    """
    radius = board.radius
    if math.isinf(radius.nut_mm) != math.isinf(radius.end_mm):
        round_one = min(radius.nut_mm, radius.end_mm)
        return FLAT, [Problem(
            key="board.radius",
            found=f"one end is flat, the other has a radius of {round_one:.2f} mm",
            allowed="flat at both ends, or a radius at each",
            hint="give the flat end a large radius, 3000 mm falls by less than 0.2 mm over 60 mm of width",
        )]  # fmt: skip
    room = board.thickness_mm - board.crown_allowance_mm - WALL.least_mm
    too_round = max(_falls_at_corners_mm(board)) > room + ROUNDING_MM
    return (FLAT, [_too_round(board, room)]) if too_round else (radius, [])


def _falls_at_corners_mm(board: Board) -> list[float]:
    """Give how far the surface falls to every corner of the board; infinite where it does not reach."""
    x, y = edges_of(board).finished.corners.T
    radii, falls = surface(board).radius_mm(x), surface(board).fall_mm(x, y)
    return [fall if r >= abs(half) else math.inf for fall, r, half in zip(falls, radii, y.tolist(), strict=True)]


def _half_widths_mm(board: Board) -> tuple[float, float]:
    """Give the greatest half widths toward the nut and toward the far end, on boards of one taper those at the ends."""
    sides = edges_of(board).finished
    if not board.widths:
        nut, end = sides.end_widths_mm
        return nut / 2, end / 2
    widest = float(abs(sides.corners[:, 1]).max())
    return widest, widest


def _too_round(board: Board, room: float) -> Problem:
    """The radius that falls by s over half a width w is (w**2 + s**2) / 2 s."""
    if room <= 0:
        return Problem(
            key="board.thickness",
            found=f"a board of {as_written(board.thickness_mm)} keeps no edge after "
            f"{as_written(board.crown_allowance_mm)} are off the crown",
            allowed=f"at least {WALL.least_mm:.2f} mm of finished edge",
            hint=f"use a blank of at least {up(board.crown_allowance_mm + WALL.least_mm)} mm and more for the radius",
        )
    needed = [half if room >= half else (half**2 + room**2) / (2 * room) for half in _half_widths_mm(board)]
    thicker = board.thickness_mm + max(_falls_at_corners_mm(board)) - room
    return Problem(
        key="board.radius",
        found=f"a radius of {board.radius.nut_mm:.2f} mm at the nut end and {board.radius.end_mm:.2f} mm at the "
        f"bridge end leaves no edge on a board {as_written(board.thickness_mm)} thick",
        allowed=f"at least {WALL.least_mm:.2f} mm of finished edge",
        hint=one_of(
            f"use at least {up(needed[0])} mm at the nut end and {up(needed[1])} mm at the bridge end",
            f"use a blank of at least {up(thicker)} mm" if math.isfinite(thicker) else "",
        ),
    )


def _real_frets(table: str, dots: Dots, scale: Scale) -> tuple[Dots, list[Problem]]:
    """Frets are named once and lie on the scale; doubles are some of them."""
    problems = [*_wrong_frets(table, dots.frets, scale), *_wrong_doubles(table, dots, "double", scale.frets)]
    frets = tuple(dict.fromkeys(n for n in dots.frets if n in scale.there))
    dots = replace(dots, frets=frets, double=tuple(n for n in dots.double if n in frets))
    if isinstance(dots, FaceDots):
        problems += _wrong_triples(dots, scale)
        dots = replace(dots, triple=tuple(n for n in dots.triple if n in frets and n not in dots.double))
    return dots, problems


def _wrong_triples(dots: FaceDots, scale: Scale) -> list[Problem]:
    return _wrong_doubles("face_dots", dots, "triple", scale.frets) + [
        Problem(key=f"face_dots.triple.{index}", found=f"fret {n} is to have two dots, and three", allowed="either",
                hint=f"leave {n} out of face_dots.double or out of face_dots.triple")
        for index, n in enumerate(dots.triple) if n in dots.double
    ]  # fmt: skip


def _real_strings(board: Board) -> tuple[FaceDots | None, list[Problem]]:
    """Dots between strings need two strings at least."""
    dots, strings = board.face_dots, board.strings
    if dots is None or not dots.between or (strings is not None and strings.count > 1):
        return dots, []
    return replace(dots, between=""), [Problem(
        key="face_dots.across",
        found=f'dots lie between the two outer strings of the {dots.between} side, and nobody says how many there are',
        allowed="at least two strings", hint="write count = … into [strings], or a length for across")]  # fmt: skip


def _wrong_frets(table: str, frets: tuple[int, ...], scale: Scale) -> list[Problem]:
    problems, count = [], scale.frets
    for index, n in enumerate(frets):
        key = f"{table}.frets.{index}"
        if not 1 <= n <= count:
            more = f"make scale.frets at least {n}" if n > count else ""
            problems.append(Problem(
                key=key, found=f"fret {n} is not on the board", allowed=f"1 to {count}",
                hint=one_of(f"leave {n} out of {table}.frets", more)))  # fmt: skip
        elif n not in scale.there:
            problems.append(Problem(
                key=key, found=f"fret {n} is left out of the scale", allowed=" ".join(in_ranges(scale.there)),
                hint=f"name the fret at whose nut side the dot lies, or leave {n} out of {table}.frets"))  # fmt: skip
        elif n in frets[:index]:
            problems.append(Problem(
                key=key, found=f"fret {n} is named twice", allowed="each fret once",
                hint=f"leave the second {n} out; two dots in one space are asked for by {table}.double"))  # fmt: skip
    return problems


def _wrong_doubles(
    table: str, dots: FaceDots | SideDots, name: Literal["double", "triple"], count: int
) -> list[Problem]:
    """Spaces with several dots are named once, and have one."""
    problems: list[Problem] = []
    several: tuple[int, ...] = getattr(dots, name)
    for index, n in enumerate(several):
        key = f"{table}.{name}.{index}"
        if n not in dots.frets:
            add = f"add {n} to {table}.frets" if 1 <= n <= count else ""
            problems.append(Problem(
                key=key, found=f"fret {n} has no dot, so it cannot have {'two' if name == 'double' else 'three'}",
                allowed=f"frets named in {table}.frets",
                hint=one_of(add, f"leave {n} out of {table}.{name}")))  # fmt: skip
        elif n in several[:index]:
            problems.append(Problem(
                key=key, found=f"fret {n} is named twice", allowed="each fret once",
                hint=f"leave the second {n} out of {table}.{name}"))  # fmt: skip
    return problems
