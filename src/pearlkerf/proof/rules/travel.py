"""Rule 4: the span of all motion fits the machine's travel; the first motion lifts the cutter."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import in_mm
from pearlkerf.proof.tolerances import ROUNDING_MM
from pearlkerf.reading.motions import RAPID, Finding


def motion_fits_travel(run: Run, together: Sequence[Run]) -> Iterator[Finding]:
    """Prove that all motion of the setup's programs fits the travel, and that every section first lifts.

    A rapid counts with its whole box, as some controllers do not move straight; an arc with its whole
    swing, to within ARC_SAGITTA_MM on the strict side.  Where zero lies is the operator's: what
    counts is the span, in X and Y of all programs of the setup (``together``, this one the last), in
    Z of each section alone (Z is zeroed for each cutter).  Where the axes stand at the start nobody
    knows: the first motion is Z alone, up to clearance.  Limits compare within ROUNDING_MM.
    """
    yield from _unknown_places(run)
    yield from _first_lifts(run)
    travel = run.machine.travel
    spans = [_span(each, 0, len(each.reading.motions.kind)) for each in together]
    low = np.fmin.reduce([span[0] for span in spans])
    high = np.fmax.reduce([span[1] for span in spans])
    for axis, name, limit in ((0, "X", travel.x_mm), (1, "Y", travel.y_mm)):
        yield from _fits(run, axis, (low[axis], high[axis]), limit, f"the setup's programs span {{}} in {name}")
    for section in run.sections:
        low, high = _span(run, section.first, section.last)
        yield from _fits(run, 2, (low[2], high[2]), travel.z_mm, f"cutter {section.cutter.number} spans {{}} in Z")


def one_zero_serves_all(runs: Sequence[Run]) -> Iterator[Finding]:
    """Prove that the zero of a board cut in positions lies within the travel, with all motion that counts from it.

    Positions whose setups name the same ``zero`` keep it while the board is moved: their programs
    span one travel together.  X 0 and Y 0 are places that the tip must reach.
    """
    for zero in dict.fromkeys(run.setup.zero for run in runs if run.setup.zero):
        together = [run for run in runs if run.setup.zero == zero]
        spans = [_span(run, 0, len(run.reading.motions.kind)) for run in together]
        low = np.fmin.reduce([np.zeros(3), *(span[0] for span in spans)])
        high = np.fmax.reduce([np.zeros(3), *(span[1] for span in spans)])
        travel = together[-1].machine.travel
        for axis, name, limit in ((0, "X", travel.x_mm), (1, "Y", travel.y_mm)):
            wording = f"the programs with the zero of {zero}, and that zero, span {{}} in {name}"
            yield from _fits(together[-1], axis, (low[axis], high[axis]), limit, wording)


def _fits(run: Run, axis: int, span_mm: tuple[float, float], limit: float, wording: str) -> Iterator[Finding]:
    low, high = span_mm
    if high - low > limit + ROUNDING_MM:
        message = (
            f"{wording.format(in_mm(high - low))}, from {low:.2f} to {high:.2f}; the machine travels {limit:.2f} mm"
        )
        yield run.finding(4, message, _farthest(run, axis))


def _span(run: Run, first: int, last: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Give the lowest and highest (3,) positions of some motions, mm; nan where nothing is known."""
    motions, pieces = run.reading.motions, run.pieces
    rows = np.flatnonzero((pieces.motion >= first) & (pieces.motion < last) & (pieces.slack > 0))
    slack = pieces.slack[rows]
    low, high = np.full(3, np.nan), np.full(3, np.nan)
    for axis in range(3):
        ends = np.concatenate([motions.start[first:last, axis], motions.end[first:last, axis]])
        known, on_arcs = ends[~np.isnan(ends)], pieces.start[rows, axis]
        if len(known):
            low[axis] = min(known.min(), (on_arcs - slack).min(initial=np.inf))
            high[axis] = max(known.max(), (on_arcs + slack).max(initial=-np.inf))
    return low, high


def _farthest(run: Run, axis: int) -> int:
    """Give the line that goes farthest from where most of the program moves."""
    end = run.reading.motions.end[:, axis]
    off = np.abs(np.nan_to_num(end - np.nanmedian(end)))
    return run.line(int(np.argmax(off)))


def _unknown_places(run: Run) -> Iterator[Finding]:
    motions = run.reading.motions
    unknown = np.isnan(motions.end).any(axis=1) | np.isnan(motions.start).any(axis=1)
    feeding = np.flatnonzero(unknown & (motions.kind != RAPID))
    if len(feeding):
        yield run.finding(4, "moves at feed from or to a place that nobody knows; first go to X, Y and Z by G0",
                          run.line(feeding[0]))  # fmt: skip
    never = np.isnan(motions.end).all(axis=0)
    if len(motions.kind) and never.any():
        yield run.finding(4, f"never says where {' and '.join(np.array(list('XYZ'))[never])} is", run.line(0))


def _first_lifts(run: Run) -> Iterator[Finding]:
    motions, clearance = run.reading.motions, run.machine.motion.clearance_mm
    for section in run.sections:
        if section.first >= section.last:
            continue
        start, end = motions.start[section.first], motions.end[section.first]
        stays = all(np.isnan(b) or a == b for a, b in zip(start[:2], end[:2], strict=True))
        if not stays or not end[2] >= clearance - ROUNDING_MM:
            message = (
                f"cutter {section.cutter.number} does not first go straight up: where it stands nobody knows, so its "
                f"first motion must be Z alone, to {clearance:.2f} or more"
            )
            yield run.finding(4, message, run.line(section.first))
