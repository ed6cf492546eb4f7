"""What in a scale cannot be: a place that stands square beyond the frets, strings that run beside the board."""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pearlkerf.board.model import Board, Scale
from pearlkerf.board.shares import share_at
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, down, one_of
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.frets import line_at, spreads_mm
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import ROUNDING_MM, STEEPEST_FRET_DEG
from pearlkerf.layout.partials import real_partials


def real_scale(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board with plain steps, and with square frets, where others cannot be worked out, and why not."""
    scale, problems = board.scale, [*_steps(board.scale), *_names(board.scale), *_left_out(board.scale)]
    problems += _forward_of_zero(scale)
    if any(problem.key.startswith(("scale.steps", "scale.cents")) for problem in problems):
        board = replace(board, scale=replace(scale, steps=(), cents=()))
    board, slanted = _real_slant(board)
    board, partial = real_partials(board)
    return board, problems + slanted + partial


def _steps(scale: Scale) -> Iterator[Problem]:
    """Steps rise, from above the open string to the one at which they begin again."""
    for key, steps, shown in (("steps", scale.steps, str), ("cents", scale.cents, "{:g} cents".format)):
        for index, (before, after) in enumerate(pairwise((0 if key == "cents" else 1, *steps))):
            if after <= before:
                yield Problem(
                    key=f"scale.{key}.{index}",
                    found=f"{shown(after)} comes after {shown(before) if index else 'the open string'}",
                    allowed="each step higher than the one before, the last is where they begin again",
                    hint="put them in order" if index else "leave the open string itself out",
                )


def _names(scale: Scale) -> Iterator[Problem]:
    """A name for each fret that is there, each another."""
    if not scale.names:
        return
    if len(scale.names) != len(scale.there):
        yield Problem(key="scale.names", found=f"{len(scale.names)} names of {len(scale.there)} frets that are there",
                      allowed="one each, from the nut on", hint="frets that are left out have no name")  # fmt: skip
    for index, name in enumerate(scale.names):
        if name in scale.names[:index]:
            yield Problem(key=f"scale.names.{index}", found=f'two frets are called "{name}"', allowed="each its own",
                          hint=f'call one "{name}+", or otherwise')  # fmt: skip


def _left_out(scale: Scale) -> Iterator[Problem]:
    for index, number in enumerate(scale.left_out):
        if number > scale.frets:
            yield Problem(key=f"scale.left_out.{index}", found=f"fret {number} is left out of {scale.frets}",
                          allowed=f"1 to {scale.frets}", hint=f"leave {number} out of left_out")  # fmt: skip
        elif number in scale.left_out[:index]:
            yield Problem(key=f"scale.left_out.{index}", found=f"fret {number} is left out twice", allowed="once",
                          hint=f"leave the second {number} out of left_out")  # fmt: skip


def _forward_of_zero(scale: Scale) -> Iterator[Problem]:
    if scale.zero_fret and scale.nut_forward_mm:
        yield Problem(key="scale.nut_forward", found="the nut is to stand forward, but strings run over a zero fret",
                      allowed="0 with a zero fret, which stands where the scale says",
                      hint="leave nut_forward out, or leave zero_fret out")  # fmt: skip


def _real_slant(board: Board) -> tuple[Board, list[Problem]]:
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
    along_x, along_y = line_at(board, share_at(board.scale, number), 0.0).along
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
