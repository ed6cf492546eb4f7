"""Slots that were sawn by hand: where they were measured, beside where the formula puts them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.board.shares import shares
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, one_of
from pearlkerf.layout.frets import formula_mm
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import MEASURED_OFF, ROUNDING_MM


def frets_mm(board: Board) -> NDArray[np.float64]:
    """Give every fret's distance from the nut: as measured where it was, else by the formula.

    Returns (frets,) float, mm, read-only.
    """
    measured = board.fret_slots.measured_mm if board.fret_slots else ()
    places = np.array(measured, dtype=np.float64) if measured else formula_mm(board)
    places.setflags(write=False)
    return places


def fitting_scale_mm(measured: NDArray[np.float64], share: NDArray[np.float64]) -> float:
    """Give the scale length that measured places fit best, by least squares: sum m c / sum c**2, c = 1 - 2**(-n/12).

    ``share`` is c for each; where the nut stands forward, so much is added to the places.
    """
    return float((measured * share).sum() / (share**2).sum())


def real_places(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board without measured places that are not those of its frets, one for each, in order."""
    slots = board.fret_slots
    if slots is None or not slots.measured_mm:
        return board, []
    there, places = board.scale.there, (0.0, *slots.measured_mm)
    count, problems = len(there), []
    if len(slots.measured_mm) != count:
        problems.append(
            Problem(
                key="fret_slots.measured",
                found=f"{len(slots.measured_mm)} measured places of {count} slots",
                allowed=f"one for each, {count} in all, from the nut end",
                hint=f"measure {count} slots"
                + ("" if board.scale.left_out else f", or set scale.frets to {len(slots.measured_mm)}"),
            )
        )
    problems += [
        Problem(
            key=f"fret_slots.measured.{index}", found=f"fret {_nth(there, index)} was measured at {after:.2f} mm, "
            f"{'fret ' + str(_nth(there, index - 1)) if index else 'the nut end'} at {before:.2f} mm",
            allowed="each farther from the nut end than the one before", hint="measure both again")
        for index, (before, after) in enumerate(pairwise(places)) if after <= before + ROUNDING_MM
    ]  # fmt: skip
    return (replace(board, fret_slots=replace(slots, measured_mm=())), problems) if problems else (board, [])


def _nth(there: Sequence[int], index: int) -> int:
    """Give the number of one of the frets that are there; of one too many, as if they went on."""
    return there[index] if index < len(there) else there[-1] + index - len(there) + 1


def check_measured(laid: Laid) -> Iterator[Remark]:
    """Measured places are those of slots that are there, near to where this scale puts them."""
    slots = laid.board.fret_slots
    if slots is None or not slots.measured_mm:
        return
    if slots.state != "already cut":
        yield Remark("refused", Problem(
            key="fret_slots.measured", found='measured places of slots that are "to cut"',
            allowed='state = "already cut"',
            hint='use state = "already cut", or leave measured out: the formula then says where they lie'))  # fmt: skip
        return
    off = np.abs(laid.frets_mm - formula_mm(laid.board))
    worst = int(np.argmax(off))
    if off[worst] > MEASURED_OFF.least_mm + ROUNDING_MM:
        yield Remark("refused", _off(laid, worst, MEASURED_OFF.least_mm))
    elif off[worst] > MEASURED_OFF.advised_mm + ROUNDING_MM:
        yield Remark("doubtful", _off(laid, worst, MEASURED_OFF.advised_mm))


def _off(laid: Laid, index: int, limit_mm: float) -> Problem:
    place, right = float(laid.frets_mm[index]), float(formula_mm(laid.board)[index])
    many = int((np.abs(laid.frets_mm - formula_mm(laid.board)) > limit_mm).sum())
    others = f", {many - 1} more are more than {limit_mm:g} mm off" if many > 1 else ""
    scale = laid.board.scale
    share, places = shares(scale)[np.array(scale.there)], laid.frets_mm + scale.nut_forward_mm
    fits = fitting_scale_mm(places, share)
    left = float(np.abs(places - fits * share).max())
    return Problem(
        key=f"fret_slots.measured.{index}",
        found=f"fret {scale.there[index]} was measured at {place:.2f} mm, {abs(place - right):.2f} mm "
        f"{'beyond' if place > right else 'short of'} where a scale of {scale.middle_mm:.2f} mm puts it, "
        f"{right:.2f} mm{others}",
        allowed=f"within {MEASURED_OFF.least_mm:.2f} mm, {MEASURED_OFF.advised_mm:.2f} mm is told",
        hint=one_of(
            f"use a scale.length of {fits:.2f} mm, which the measured places fit"
            if left <= limit_mm and not scale.slanted
            else "",
            "measure it again from the nut end",
        ),
    )


MEASURED_CHECKS = (check_measured,)
