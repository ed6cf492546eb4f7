"""Rule 1, what people are told of cuts that run out of the wood: as far as they do, and no clamp where they are.

A head tells of all programs of its setup; each of them is held to be no worse than told.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from pearlkerf.proof.inches import told_in_mm
from pearlkerf.proof.runs import Run
from pearlkerf.proof.tolerances import DEPTH_TOLD_MM, ROOM_TOLD_MM
from pearlkerf.reading.motions import ARC, RAPID
from pearlkerf.setups.run_outs import GRIP_MM, RunOut, Strokes, free_for_clamps, run_out_of

_N: Final = r"(-?\d+\.\d+)"
_PAST: Final = rf"up to {_N} mm past the (\w+ \w+), to Y {_N}"
_RUNS_OUT: Final = re.compile(
    rf"cuts run out {_PAST}(?:, and {_PAST})?, as deep as Z {_N}, at X {_N} to {_N}", re.ASCII | re.IGNORECASE
)
_STRETCH: Final = rf"(?:up to {_N} mm|from {_N} mm on|{_N} to {_N} mm)"
_CLAMPS: Final = re.compile(
    rf"clamps up to {_N} mm above the wood, over an edge by (?P<grip>\d+(?:\.\d+)?) mm at most, may stand at X "
    rf"(?P<places>{_STRETCH}(?:, {_STRETCH})*)",
    re.ASCII | re.IGNORECASE,
)
_NO_ROOM: Final = re.compile(rf"nothing {_N} mm above the wood has room along its edges", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, eq=False)
class OutOfWood:
    """What a program does past the long edges of its wood: its strokes, and how far they run out, None where none."""

    strokes: tuple[Strokes, ...]
    out: RunOut | None


def out_of_wood(run: Run) -> OutOfWood:
    """Give what a program that cuts does past the long edges; a pointing run does nothing there."""
    strokes = tuple(_strokes(run)) if run.setup.purpose == "cut" else ()
    return OutOfWood(strokes, run_out_of(run.setup, strokes) if strokes else None)


def is_run_out_told_right(run: Run, own: OutOfWood, text: str) -> bool:
    """Say whether a sentence tells of cuts that run out, and of clamps, what this program keeps to."""
    text = told_in_mm(text, run.machine.dialect)
    runs_out, clamps = _RUNS_OUT.fullmatch(text), _CLAMPS.fullmatch(text)
    if runs_out is not None:
        return own.out is None or _covers(run, own.out, runs_out)
    if clamps is not None:
        free = (
            free_for_clamps(run.setup, own.strokes, run.machine, float(clamps[1]) - ROOM_TOLD_MM) if own.strokes else ()
        )
        told = list(_stretches(clamps["places"]))
        if float(clamps["grip"]) > GRIP_MM:
            return False
        return not own.strokes or all(any(_within(each, other) for other in free) for each in told)
    return _NO_ROOM.fullmatch(text) is not None


def untold(run: Run, own: OutOfWood, texts: list[str]) -> Iterator[str]:
    """Give what the head must say of cuts that run out and does not."""
    if own.out is None:
        return
    texts = [told_in_mm(text, run.machine.dialect) for text in texts]
    if not any(_RUNS_OUT.fullmatch(text) for text in texts):
        yield "cuts run out up to ... past the edge, to Y ..."
    by_saw = any(section.cutter.kind == "saw" for section in run.sections)
    told = any(_CLAMPS.fullmatch(text) or _NO_ROOM.fullmatch(text) for text in texts)
    if run.setup.scrap is None and not by_saw and not told:
        yield "clamps up to ... above the wood, over an edge by ... at most, may stand at X ..."


def _covers(run: Run, own: RunOut, told: re.Match[str]) -> bool:
    """Say whether a program's cuts run out no farther than told, on each side, in depth and along the board."""
    edges = [side.replace("side", "edge") for side in (run.setup.low_side, run.setup.high_side)]
    past = {str(told[n + 1]).casefold(): float(told[n]) for n in (1, 4) if told[n]}
    to_y = {str(told[n + 1]).casefold(): float(told[n + 2]) for n in (1, 4) if told[n]}
    for edge, far, y, way in zip(edges, own.past_mm, own.to_y_mm, (-1, 1), strict=True):
        if far <= 0.0:
            continue
        if edge.casefold() not in past or far > past[edge.casefold()] + ROOM_TOLD_MM:
            return False
        if (y - to_y[edge.casefold()]) * way > ROOM_TOLD_MM:
            return False
    deepest, first, last = (float(told[n]) for n in (7, 8, 9))
    along = first - ROOM_TOLD_MM <= own.x_mm[0] and own.x_mm[1] <= last + ROOM_TOLD_MM
    return along and own.deepest_mm >= deepest - DEPTH_TOLD_MM


def _stretches(text: str) -> Iterator[tuple[float, float]]:
    for up_to, begins, low, high in re.findall(_STRETCH, text, re.ASCII | re.IGNORECASE):
        if up_to:
            yield -math.inf, float(up_to)
        elif begins:
            yield float(begins), math.inf
        else:
            yield float(low), float(high)


def _within(inner: tuple[float, float], outer: tuple[float, float]) -> bool:
    return inner[0] >= outer[0] - ROOM_TOLD_MM and inner[1] <= outer[1] + ROOM_TOLD_MM


def _strokes(run: Run) -> Iterator[Strokes]:
    """Give the strokes of every cutter from where it is known to be, traverses left out; arcs by their chords."""
    motions = run.reading.motions
    known = ~(np.isnan(motions.start).any(axis=1) | np.isnan(motions.end).any(axis=1))
    known &= (motions.kind != RAPID) | (motions.start[:, :2] == motions.end[:, :2]).all(axis=1)
    radius = np.where(motions.kind == ARC, np.linalg.norm(motions.centre - motions.start, axis=1), 0.0)
    wider = radius * (1 - np.cos(motions.sweep / 2))
    for section in run.sections:
        rows = np.flatnonzero(known[section.first : section.last]) + section.first
        if len(rows):
            start, end = motions.start[rows], motions.end[rows]
            yield Strokes(section.cutter, start, end, np.minimum(start[:, 2], end[:, 2]), wider[rows])
