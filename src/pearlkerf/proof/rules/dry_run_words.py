"""Rule 1, the dry run: where a head names the pointing run of its setup, it is that setup's, and as long as told."""

import re
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import key_of
from pearlkerf.proof.tolerances import DRY_RUN_TOLD, MINUTES_ROUNDED, POINTED_ABOVE_MM, POINTING_FEED_MM_MIN
from pearlkerf.reading.duration import durations
from pearlkerf.reading.motions import LINE, RAPID, Event, Motions
from pearlkerf.setups.dry_run import DryRun, dry_run_words

_TOLD: Final = re.compile(
    r"dry run of the .*?, (?:its pointing run, .*?|(\S+)), spindle off, (\d{1,4}) stops, (\d{1,4}) min of moves",
    re.ASCII | re.IGNORECASE,
)


def is_dry_run_told_right(run: Run, text: str) -> bool:
    """Say whether a sentence names the setup's own pointing run, its stops, and the minutes of its moves.

    It stops at every place of the setup, or at those of a part of it; the minutes are those of a walk over so
    many of them, down at POINTING_FEED_MM_MIN or as slowly as the slowest cutter plunges, within DRY_RUN_TOLD
    of it and MINUTES_ROUNDED.
    """
    told = _TOLD.fullmatch(text)
    if told is None or run.setup.is_trial:
        return False
    file, stops, minutes = told[1] or "", int(told[2]), int(told[3])
    if key_of(text) != key_of(dry_run_words(run.setup.name, DryRun(stops, minutes), file)):
        return False
    if file and not re.fullmatch(rf"\d+-{run.setup.name}-pointing\.\w+", file, re.ASCII | re.IGNORECASE):
        return False
    places = np.array([place for shape in run.shapes for _, place in shape.places])
    if not 0 < stops <= len(places):
        return False
    plunges = [cutting_figures(run.machine, each, run.setup.wood).plunge_feed_mm_min for each in run.machine.cutters]
    part = stops / len(places) / 60
    # whoever hurries stops as high over the wood as is usual, whoever takes longest goes down to it
    least = part * _walk_s(run, places, POINTING_FEED_MM_MIN, POINTED_ABOVE_MM)
    most = part * _walk_s(run, places, min(POINTING_FEED_MM_MIN, *plunges), 0.0)
    return least * (1 - DRY_RUN_TOLD) - MINUTES_ROUNDED <= minutes <= most * (1 + DRY_RUN_TOLD) + MINUTES_ROUNDED


def _walk_s(run: Run, places: NDArray[np.float64], down_mm_min: float, above_mm: float) -> float:
    """Give the seconds of a walk over places (n, 2), mm: over each at clearance, down to above the wood, up again."""
    places = places[np.lexsort(places.T[::-1])]
    high = run.machine.motion.clearance_mm
    over = np.column_stack([places, np.full(len(places), high)])
    low = np.column_stack([places, np.full(len(places), min(above_mm, high))])
    way = np.concatenate([over[:1], np.stack([over, low, over], axis=1).reshape(-1, 3)])
    kind = np.tile([RAPID, LINE, RAPID], len(places)).astype(np.int8)
    count = len(kind)
    motions = Motions(
        kind=kind,
        start=way[:-1],
        end=way[1:],
        plane=np.full(count, 17, dtype=np.int8),
        centre=np.full((count, 3), np.nan),
        sweep=np.zeros(count),
        feed=np.where(kind == LINE, down_mm_min, np.nan),
        speed=np.full(count, np.nan),
        spindle=np.zeros(count, dtype=np.int8),
        cutter=np.full(count, -1, dtype=np.int32),
        in_cycle=np.zeros(count, dtype=np.int8),
        line=np.ones(count, dtype=np.int32),
    )
    stops = [Event("stop", before, 1) for before in range(2, count, 3)]
    return float(durations(motions, run.machine, stops).sum())
