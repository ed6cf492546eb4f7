"""A shank wider than its cutter, held against the crown beside a cut, before anything is written.

       |  shank  |
__     |_________|      no cut is deeper than the cutter reaches, each from the wood over it;
  ``--..|  | |          what stands higher beside it the shank would rub on
        `--| |
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.moves import Arc, Cut, CutterPath, Drill, Feed, Toolpath, follow
from pearlkerf.toolpath.tolerances import CLEAR_OF_CROWN_MM, CROWN_STEP_MM, ROUNDING_MM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Rub:
    """How far a shank would come too low at the worst of its cuts, mm, and which that is."""

    by_mm: float
    cut: str


def shank_meets_wood(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each cutter whose shank would rub on a crowned top, by how much.

    It stays CLEAR_OF_CROWN_MM above the raw top.  On a flat one no shank can come lower than the wood while no cut
    is deeper than its cutter reaches.
    """
    if toolpath.setup.stock.crown is None:
        return
    for path in toolpath.paths:
        cutter = path.cutter
        if cutter.kind == "saw" or cutter.shank_radius_mm <= cutter.radius_mm + ROUNDING_MM:
            continue
        worst = max((_rub(cut, path, toolpath.setup) for cut in path.cuts), key=lambda rub: rub.by_mm)
        if worst.by_mm > ROUNDING_MM:
            least = cutter.reach_mm + worst.by_mm
            yield Problem(
                key="cutter.reach",
                found=f"cutter {cutter.number} reaches {as_written(cutter.reach_mm)}, where its shank begins, "
                f"{2 * cutter.shank_radius_mm:.2f} mm wide: it would come {worst.by_mm:.2f} mm too low over the crown "
                f"beside {worst.cut}",
                allowed=f"a reach of at least {least:.2f} mm",
                hint=f"use a cutter that reaches {least + 0.005:.2f} mm or more, or say its shank in the profile if it "
                "is narrower",
            )


def _rub(cut: Cut, path: CutterPath, setup: Setup) -> Rub:
    points = _points(cut)
    board = setup.placement.to_board(points[:, :2])
    radius = path.cutter.shank_radius_mm
    inward = np.maximum(np.abs(board[:, 1]) - radius, 0.0)
    top = np.maximum(*(setup.stock.top_mm(board[:, 0] + along, inward) for along in (-radius, radius)))
    by = top + CLEAR_OF_CROWN_MM - points[:, 2] - path.cutter.reach_mm
    return Rub(float(by.max(initial=0.0)), cut.name)


def _points(cut: Cut) -> Floats:
    """Give (n, 3) places of the tip, mm, CROWN_STEP_MM apart at most."""
    points: list[Floats] = []
    for start, move, end in follow(cut.moves):
        if isinstance(move, Feed | Arc):
            points.append(_between(np.array(start), np.array(end), move))
        elif isinstance(move, Drill):
            points.append(np.array([[move.x_mm, move.y_mm, move.bottom_mm]]))
    return np.concatenate(points) if points else np.zeros((0, 3))


def _between(start: Floats, end: Floats, move: Feed | Arc) -> Floats:
    if isinstance(move, Feed):
        steps = max(math.ceil(np.linalg.norm(end[:2] - start[:2]) / CROWN_STEP_MM), 1)
        return start + (end - start) * np.linspace(0.0, 1.0, steps + 1)[:, None]
    first, sweep = move.turn_rad(*start[:2])
    share = np.linspace(0.0, 1.0, max(math.ceil(move.radius_mm * abs(sweep) / CROWN_STEP_MM), 1) + 1)
    around = first + sweep * share
    return np.column_stack(
        [
            move.centre_x_mm + move.radius_mm * np.cos(around),
            move.centre_y_mm + move.radius_mm * np.sin(around),
            start[2] + (end[2] - start[2]) * share,
        ]
    )
