"""Fit coupons: pockets, slots and side-dot holes in small steps of size on scrap, each with its notches.."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.layout.surfaces import Stock
from pearlkerf.setups.lying import SCRAP_CORNER, HeldScrap, Lying
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.samples import Place, Sample, Trial, room, sample
from pearlkerf.setups.scrap import (
    EDGE_MM,
    Part,
    Scrap,
    least_length_mm,
    least_thickness_mm,
    set_out,
    too_small,
    too_thin,
)
from pearlkerf.setups.steps import Steps

# where nobody says what scrap there is: a strip of this width, its length in steps of 5 mm
USUAL_WIDTH_MM: Final = 42.0
USUAL_STEP_MM: Final = 5.0
# a shorter strip cannot be held at its ends (common practice, no source)
USUAL_LEAST_MM: Final = 80.0


@dataclass(frozen=True, slots=True)
class Coupon:
    """A coupon on its scrap."""

    setup: Setup
    scrap: Scrap
    steps: Steps
    trials: tuple[Trial, ...]
    samples: tuple[Sample, ...]


def lay_out_coupon(
    layout: Layout, trials: Sequence[Trial], steps: Steps, scrap: Scrap | None, tries: str = ""
) -> Coupon:
    """Set out a coupon on scrap, or on a strip of usual width as long as it needs; ``tries`` is what it claims to try.

    Raises Refusal where there is nothing to try, or where the scrap is too small or too thin.
    """
    if not any(trial.sizes_mm for trial in trials):
        raise Refusal([Problem(found="there is nothing to try on a coupon: the board has no dots, and no slots to cut",
                               allowed="at least one of them",
                               hint="add face_dots, side_dots or fret_slots to the board")])  # fmt: skip
    parts = [room(trial) for trial in trials for _ in trial.sizes_mm]
    deepest = max(trial.depth_mm for trial in trials)
    piece = scrap or _usual(parts, layout.board.thickness_mm, deepest)
    corners = set_out(parts, piece)
    problems = too_thin(piece, deepest)
    if corners is None:
        problems.append(too_small(parts, piece, "try fewer sizes, with a greater --step"))
    if problems or corners is None:
        raise Refusal(problems)
    samples = tuple(_samples(trials, corners, piece))
    return Coupon(replace(_setup(layout, samples, steps, piece), tries=tries), piece, steps, tuple(trials), samples)


def _usual(parts: Sequence[Part], thickness_mm: float, deepest_mm: float) -> Scrap:
    width = max(USUAL_WIDTH_MM, max(part.height_mm for part in parts) + 2 * EDGE_MM)
    length = max(USUAL_LEAST_MM, least_length_mm(parts, width) or 0.0)
    length += -length % USUAL_STEP_MM
    return Scrap(length, width, max(thickness_mm, least_thickness_mm(deepest_mm)))


def _samples(trials: Sequence[Trial], corners: Sequence[Point], scrap: Scrap) -> Iterator[Sample]:
    numbered = [(trial, number) for trial in trials for number in range(1, len(trial.sizes_mm) + 1)]
    for mark, ((trial, number), corner) in enumerate(zip(numbered, corners, strict=True), 1):
        yield sample(trial, Place(number, corner, scrap), mark)


def _setup(layout: Layout, samples: Sequence[Sample], steps: Steps, scrap: Scrap) -> Setup:
    return Setup(
        kind="coupon",
        wood=layout.board.wood,
        stock=stock_of(scrap),
        features=(*(each.feature for each in samples), *(notch for each in samples for notch in each.notches)),
        lying=Lying(SCRAP_CORNER, rests=HeldScrap(at_ends=any(each.feature.through for each in samples))),
        scrap=scrap,
        steps=steps,
        low_side="near edge",
        ends=("left", "right"),
        up="the scrap's better face up",
    )


def stock_of(scrap: Scrap) -> Stock:
    """Give scrap as a setup's stock: zero at its low left corner, on top."""
    corners = [[0.0, 0.0], [scrap.length_mm, 0.0], [scrap.length_mm, scrap.width_mm], [0.0, scrap.width_mm]]
    outline = np.array(corners, dtype=np.float64)
    outline.setflags(write=False)
    return Stock(outline, scrap.thickness_mm)


def piece_title(title: str, what: str) -> str:
    """Give what a piece on scrap is called: "A small board, fit coupon"."""
    return f"{title}, {what}"


def on_scrap(layout: Layout, setups: tuple[Setup, ...], what: str) -> Clampings:
    """Give these setups in place of the board's, and a title that says what they are."""
    board = replace(layout.board, title=piece_title(layout.board.title, what))
    return Clampings(replace(layout, board=board, warnings=()), setups)
