"""The cuts of a program, with names: from its comments, else from the features of its setup.

A cut is a run of motions that holds at least one feed; a comment before it names it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.pictures.page.model import ProgramRun
from pearlkerf.reading.motions import RAPID, Reading
from pearlkerf.setups.model import Setup

# a cut belongs to a feature if the middle of its feeds lies this near to it; neighbours lie farther apart
NEAR_MM: Final = 1.0
_CLAIM: Final = re.compile(r"setup=")
_CONTINUED: Final = "- "


@dataclass(frozen=True, slots=True)
class Cut:
    """One named cut: motions ``first`` to ``last``, the feature it belongs to (-1: none), its lowest tip."""

    name: str
    first: int
    last: int
    feature: int
    lowest_mm: float


def find_cuts(run: ProgramRun) -> tuple[Cut, ...]:
    """Give the cuts of a program in their order; empty where it could not be read."""
    if run.reading is None or len(run.reading.motions.kind) == 0:
        return ()
    named = list(_named_runs(run.reading))
    spans = [span for _, span in named]
    features = _nearest_features(run.reading, spans, run.setup)
    cuts: list[Cut] = []
    for (name, (first, last)), feature in zip(named, features, strict=True):
        called = name or (run.setup.features[feature].name if run.setup and feature >= 0 else "")
        cut = Cut(called, first, last, feature, _lowest_mm(run.reading, first, last))
        if cuts and not name and called and cuts[-1].name == called:
            before = cuts.pop()
            cut = Cut(called, before.first, last, feature, min(before.lowest_mm, cut.lowest_mm))
        cuts.append(cut)
    return tuple(
        Cut(cut.name or f"cut {number}", cut.first, cut.last, cut.feature, cut.lowest_mm)
        for number, cut in enumerate(cuts, 1)
    )


def _named_runs(reading: Reading) -> Iterator[tuple[str, tuple[int, int]]]:
    """Give each run of motions that follows one comment, or, where none names it, each run of feeds."""
    motions = reading.motions
    lines, names = _names(reading)
    comment = np.searchsorted(lines, motions.line, side="right") - 1
    feeding = motions.kind != RAPID
    for first, last in _runs(comment):
        if not feeding[first : last + 1].any():
            continue
        name = names[comment[first]] if comment[first] >= 0 else ""
        if name:
            yield name, (first, last)
            continue
        for start, end in _runs(feeding[first : last + 1]):
            if feeding[first + start]:
                yield "", (first + start, first + end)


def _names(reading: Reading) -> tuple[NDArray[np.int64], list[str]]:
    """Lines (m,) of the comments and the names they give; a claim of the header names nothing."""
    lines: list[int] = []
    names: list[str] = []
    ends = -1
    for line, text in reading.comments:
        if text.startswith(_CONTINUED) and line == ends + 1 and names:
            names[-1] += " " + text.removeprefix(_CONTINUED)
        else:
            lines.append(line)
            names.append("" if _CLAIM.match(text) else text.strip())
        ends = line
    return np.array(lines, dtype=np.int64), names


def _runs(values: NDArray[np.generic]) -> Iterator[tuple[int, int]]:
    """Give first and last index of every run of equal values."""
    breaks = np.flatnonzero(values[1:] != values[:-1]) + 1
    starts = [0, *breaks.tolist()]
    yield from zip(starts, [each - 1 for each in [*breaks.tolist(), len(values)]], strict=True)


def _lowest_mm(reading: Reading, first: int, last: int) -> float:
    heights = reading.motions.end[first : last + 1, 2]
    known = heights[~np.isnan(heights)]
    return float(known.min()) if len(known) else float("nan")


def _nearest_features(reading: Reading, spans: list[tuple[int, int]], setup: Setup | None) -> list[int]:
    if setup is None or not setup.features or not spans:
        return [-1] * len(spans)
    middles = setup.placement.to_board(np.array([_middle(reading, first, last) for first, last in spans]))
    low, high, reach = _axes(setup)
    along = high - low
    length2 = (along**2).sum(axis=1)
    share = ((middles[:, None] - low) * along).sum(axis=2) / np.where(length2 > 0.0, length2, 1.0)  # none of a hole
    share = np.clip(share, 0.0, 1.0)
    apart = np.linalg.norm(middles[:, None] - (low + share[..., None] * along), axis=2) - reach
    apart = np.where(np.isnan(apart), np.inf, apart)
    nearest = apart.argmin(axis=1)
    return [int(each) if apart[row, each] <= NEAR_MM else -1 for row, each in enumerate(nearest)]


def _middle(reading: Reading, first: int, last: int) -> NDArray[np.float64]:
    motions = reading.motions
    part = slice(first, last + 1)
    where = motions.end[part][motions.kind[part] != RAPID]
    low = where[where[:, 2] <= 0.0]
    middle: NDArray[np.float64] = (low if len(low) else where)[:, :2].mean(axis=0)
    return middle


def _axes(setup: Setup) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Start and end (m, 2) of every feature's axis and its half width (m,)."""
    ends = np.array([each.ends for each in setup.features])
    return ends[:, 0], ends[:, 1], np.array([each.width_mm for each in setup.features]) / 2
