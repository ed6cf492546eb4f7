"""A toolpath and what is read back of the programs that were written from it: the same, to half a last digit.

Heights are rounded up, so that nothing is cut deeper: by less than a last digit.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pearlkerf.jobs.model import Job
from pearlkerf.program.write import files_of
from pearlkerf.reading.motions import ARC, LINE, RAPID, Motions
from pearlkerf.reading.reader import read_program
from pearlkerf.toolpath.moves import Arc, CutterPath, Drill, Feed, Move, TraverseHeight, TraversePlane

INCH = 25.4
CHORD_MM = 0.005  # what chords may lie beside the arc that they stand for


@dataclass
class Walk:
    """A place in the motions that were read, and the last digit that they were written with."""

    motions: Motions
    digit_mm: float
    unit: str
    row: int = 0

    def skip_rises_again(self) -> None:
        """Pass over the rise that is said once more after a stop: it moves nothing where nobody moved the axes."""
        motions = self.motions
        while self.row < len(motions.kind) - 1 and self.row > 0:
            start, end = motions.start[self.row], motions.end[self.row]
            again = motions.kind[self.row] == RAPID and np.array_equal(start[:2], end[:2], equal_nan=True)
            if not again or motions.end[self.row - 1, 2] != end[2]:
                return
            self.row += 1

    def next(self) -> int:
        assert self.row < len(self.motions.kind), "the program ends before the toolpath does"
        self.row += 1
        return self.row - 1


def assert_same_way(job: Job, texts: dict[str, bytes]) -> None:
    """Hold every program's motions against the toolpath that it was written from."""
    paths = {
        (toolpath.setup.name, path.cutter.number): path for toolpath in job.toolpaths for path in toolpath.paths
    }  # fmt: skip
    dialect = job.machine.dialect
    digit = 10**-dialect.decimals * (INCH if dialect.unit == "in" else 1.0)
    for file, (setup, cutters) in files_of(job.toolpaths).items():
        walk = Walk(read_program(texts[file], dwell_unit=dialect.dwell_unit).motions, digit, dialect.unit)
        for number in cutters:
            _assert_path(paths[setup, number], job, walk)
        assert walk.row == len(walk.motions.kind), "the program goes on after the toolpath ends"


def _assert_path(path: CutterPath, job: Job, walk: Walk) -> None:
    at: list[int | None] = [None, None, None]
    for move in _all_moves(path, job.machine.motion.clearance_mm):
        if isinstance(move, Drill):
            _assert_drilled(move, walk)
            at[2] = _up(move.above_mm, walk.digit_mm)
            continue
        target = _target(move)
        steps = [
            old if value is None else _up(value, walk.digit_mm) if axis == 2 else round(value / walk.digit_mm)
            for axis, (value, old) in enumerate(zip(target, at, strict=True))
        ]
        if isinstance(move, Arc) and not job.machine.dialect.arcs:
            _assert_chords(move, steps, walk)
        elif steps != at:
            _assert_motion(move, target, steps[:2] == at[:2], walk)
        if at[2] is None:  # the section's first rise, which a stop to start the spindle by hand has said again
            walk.skip_rises_again()
        at = steps


def _all_moves(path: CutterPath, clearance_mm: float) -> Iterator[Move]:
    yield TraverseHeight(clearance_mm)
    for cut in path.cuts:
        yield from cut.moves
    yield TraverseHeight(clearance_mm)


def _target(move: Move) -> tuple[float | None, float | None, float | None]:
    if isinstance(move, TraverseHeight):
        return None, None, move.z_mm
    assert not isinstance(move, Drill)
    return move.x_mm, move.y_mm, None if isinstance(move, TraversePlane) else move.z_mm


def _up(height_mm: float, digit_mm: float) -> int:
    return math.ceil(height_mm / digit_mm - 1e-6)


def _assert_place(row: int, target: tuple[float | None, float | None, float | None], walk: Walk) -> None:
    end, digit = walk.motions.end[row], walk.digit_mm
    for axis, value in enumerate(target):
        if value is not None and axis < 2:
            assert abs(end[axis] - value) <= digit / 2 + 1e-9, (target, end)
        elif value is not None:
            assert -1e-6 * digit - 1e-9 <= end[axis] - value < digit, (target, end)


def _assert_feed(row: int, feed_mm_min: float, walk: Walk) -> None:
    written, digit = float(walk.motions.feed[row]), 0.001 * INCH if walk.unit == "in" else 0.1
    assert feed_mm_min - digit < written <= max(feed_mm_min + 1e-6 * digit, digit), (feed_mm_min, written)


def _assert_motion(move: Move, target: tuple, upright: bool, walk: Walk) -> None:
    row = walk.next()
    _assert_place(row, target, walk)
    kind = walk.motions.kind[row]
    if isinstance(move, TraverseHeight | TraversePlane):
        assert kind == RAPID
        return
    _assert_feed(row, move.feed_mm_min, walk)
    if isinstance(move, Feed) or upright:  # an arc shorter than a step is none
        assert kind == LINE
        return
    assert kind == ARC and walk.motions.sweep[row] > 0
    centre = walk.motions.centre[row][:2]
    # half a step each of start and offset, and a step that brings the two radii together
    assert np.abs(centre - (move.centre_x_mm, move.centre_y_mm)).max() <= 2 * walk.digit_mm + 1e-9
    _assert_sweep(move, row, walk)


def _assert_sweep(move: Arc, row: int, walk: Walk) -> None:
    start = walk.motions.start[row][:2] - (move.centre_x_mm, move.centre_y_mm)
    first = math.atan2(start[1], start[0])
    wanted = (math.atan2(move.y_mm - move.centre_y_mm, move.x_mm - move.centre_x_mm) - first) % (2 * math.pi)
    radius = math.hypot(move.x_mm - move.centre_x_mm, move.y_mm - move.centre_y_mm)
    assert abs(walk.motions.sweep[row] - wanted) * radius <= 8 * walk.digit_mm


def _assert_chords(move: Arc, steps: list, walk: Walk) -> None:
    radius = math.hypot(move.x_mm - move.centre_x_mm, move.y_mm - move.centre_y_mm)
    rows = []
    if walk.row and _steps_of(walk.row - 1, walk) == steps:
        return
    while not rows or _steps_of(rows[-1], walk) != steps:
        rows.append(walk.next())
        assert walk.motions.kind[rows[-1]] == LINE
        _assert_feed(rows[-1], move.feed_mm_min, walk)
    _assert_place(rows[-1], _target(move), walk)
    ends = np.concatenate([walk.motions.start[rows[:1]], walk.motions.end[rows]])
    middles = (ends[1:] + ends[:-1]) / 2
    off = np.hypot(*(middles[:, :2] - (move.centre_x_mm, move.centre_y_mm)).T) - radius
    assert (np.abs(off) <= CHORD_MM + walk.digit_mm).all(), off
    low, high = min(ends[0, 2], ends[-1, 2]), max(ends[0, 2], ends[-1, 2])
    assert ((ends[:, 2] >= low) & (ends[:, 2] <= high + walk.digit_mm)).all()


def _steps_of(row: int, walk: Walk) -> list[int]:
    return [round(value / walk.digit_mm) for value in walk.motions.end[row].tolist()]


def _assert_drilled(hole: Drill, walk: Walk) -> None:
    """At the hole's place down from above it, in pecks to its floor, and up again."""
    digit, rows, deep = walk.digit_mm, [], False
    above = _up(hole.above_mm, digit) * digit
    while not rows or not deep or abs(walk.motions.end[rows[-1], 2] - above) > digit / 2:
        rows.append(walk.next())
        end = walk.motions.end[rows[-1]]
        assert max(abs(end[0] - hole.x_mm), abs(end[1] - hole.y_mm)) <= digit / 2 + 1e-9, (hole, end)
        deep |= walk.motions.in_cycle[rows[-1]] in (0, 82, 83) and end[2] - hole.bottom_mm < digit
    ends, kinds = walk.motions.end[rows], walk.motions.kind[rows]
    assert len(rows) and abs(ends[-1, 2] - above) < 1e-9
    assert 0 <= ends[:, 2].min() - hole.bottom_mm + 1e-6 * digit < digit
    cut = ends[kinds == LINE][:, 2]
    for row in np.array(rows)[kinds == LINE]:
        if walk.motions.end[row, 2] < walk.motions.start[row, 2]:
            _assert_feed(int(row), hole.feed_mm_min, walk)
    deeper = np.diff(np.minimum.accumulate(np.concatenate([[hole.top_mm], cut])))
    assert (-deeper <= max(hole.peck_mm, digit) + digit + 1e-9).all() or walk.motions.in_cycle[rows[0]]
