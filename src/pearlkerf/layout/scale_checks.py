"""What in a scale cannot be: a place that stands square beyond the frets, strings that run beside the board."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, down, one_of
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.frets import line_at, spreads_mm
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import ROUNDING_MM, STEEPEST_FRET_DEG


def real_scale(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board with square frets where slanted ones cannot be worked out, and why they cannot."""
    if not board.scale.slanted:
        return board, []
    problems = [*_no_spread(board), *_square_beyond(board)]
    if not problems:
        problems += _too_steep(board)
    straight = replace(board.scale, length_mm=board.scale.middle_mm, treble_mm=None)
    return (replace(board, scale=straight), problems) if problems else (board, [])


def _no_spread(board: Board) -> Iterator[Problem]:
    if board.strings is None or board.strings.at_bridge_mm is None:
        yield Problem(
            key="strings.spread_at_bridge",
            found="frets slant, and nobody says how far the outer strings lie apart at the bridge",
            allowed="the distance between the outer strings' centres there",
            hint="write spread_at_bridge = … into [strings], as the bridge has it",
        )


def _square_beyond(board: Board) -> Iterator[Problem]:
    square, last = board.scale.square_at, board.scale.frets
    if square > last:
        yield Problem(
            key="scale.square_at",
            found=f"fret {square:g} is to stand square, the board ends with fret {last}",
            allowed=f"0 to {last}, 0 is the nut",
            hint=one_of(f"use at most {last}", f"make scale.frets at least {math.ceil(square)}"),
        )


def _too_steep(board: Board) -> Iterator[Problem]:
    """A fret that slants more than STEEPEST_FRET_DEG is a slip of the pen, and may run out over the nut end."""
    slants = [(abs(_slant_deg(board, number)), number) for number in (0, board.scale.frets)]
    worst, number = max(slants)
    if worst > STEEPEST_FRET_DEG:
        bass, treble = board.scale.length_mm, board.scale.treble_mm
        yield Problem(
            key="scale.length",
            found=f"{'the nut' if number == 0 else f'fret {number}'} would slant by {worst:.1f} degrees between scales "
            f"of {bass:.2f} and {treble:.2f} mm",
            allowed=f"at most {STEEPEST_FRET_DEG:.0f} degrees",
            hint="bring the two scale lengths nearer to each other, or move square_at toward the middle",
        )


def _slant_deg(board: Board, number: int) -> float:
    along_x, along_y = line_at(board, 1 - 2 ** (-number / 12), 0.0).along
    return math.degrees(math.atan2(along_x, along_y))


def check_treble_is_shorter(laid: Laid) -> Iterator[Remark]:
    """The bass side's scale is the longer one, on all but very few instruments: asked, not refused."""
    scale = laid.board.scale
    if scale.treble_mm is not None and scale.treble_mm > scale.length_mm:
        yield Remark("doubtful", Problem(
            key="scale.length",
            found=f"the treble side's scale, {scale.treble_mm:.2f} mm, is longer than the bass side's, "
            f"{scale.length_mm:.2f} mm: is that meant?",
            allowed="the bass side's is usually the longer one",
            hint="if not, change the two with each other; a left-handed board has the same figures, hand mirrors it",
        ))  # fmt: skip


def check_strings_on_board(laid: Laid) -> Iterator[Remark]:
    """The outer strings run over the board, at the nut and at the last fret."""
    board, strings = laid.board, laid.board.strings
    if strings is None:
        return
    (nut, bridge), edges = spreads_mm(board), edges_of(board).finished
    for key, x, share in (("spread_at_nut", 0.0, 0.0), ("spread_at_bridge", *_last(laid))):
        spread, width = nut + (bridge - nut) * share, edges.width_mm(x)
        if spread > width + ROUNDING_MM:
            most = width if share == 0 else nut + (width - nut) / share
            at = "the nut" if share == 0 else "the last fret"
            yield Remark("refused", Problem(
                key=f"strings.{key}",
                found=f"the outer strings lie {spread:.2f} mm apart at {at}, where the board is {width:.2f} mm wide",
                allowed=f"at most {down(most)} mm",
                hint=f"use a {key} of at most {down(most)} mm, 6 mm less is usual, or a wider board",
            ))  # fmt: skip


def _last(laid: Laid) -> tuple[float, float]:
    x = float(laid.frets_mm[-1])
    return x, x / laid.board.scale.middle_mm


def check_frets_clear_of_nut(laid: Laid) -> Iterator[Remark]:
    """The slot of the first fret lies wholly beyond the nut end."""
    first, end = laid.lines[1].beside(-laid.half_slot_mm), laid.edges.finished.ends.nut
    left = end.apart_mm(first)
    if laid.board.scale.slanted and left < -ROUNDING_MM:
        yield Remark("refused", Problem(
            key="scale.length", found="the first fret's slot runs out over the nut end",
            allowed="beyond the nut end from edge to edge", hint="bring the two scale lengths nearer to each other",
        ))  # fmt: skip


SCALE_CHECKS = (check_treble_is_shorter, check_strings_on_board, check_frets_clear_of_nut)
