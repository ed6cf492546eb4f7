"""The feed of one move: the cutter's figures, less where a move runs steeply down or an axis is slow."""

import math

from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Machine


def feed_for(
    delta_mm: tuple[float, float, float], length_mm: float, figures: CuttingFigures, machine: Machine
) -> float:
    """Give the feed for a move of ``length_mm`` along its path, mm/min.

    The downward part stays within the plunge feed, each axis within its own limit.
    """
    limits = machine.motion.feed_limit_mm_min
    feed = figures.feed_mm_min
    for part, limit in zip(delta_mm, limits, strict=True):
        if part:
            feed = min(feed, limit * length_mm / abs(part))
    if delta_mm[2] < 0:
        feed = min(feed, figures.plunge_feed_mm_min * length_mm / -delta_mm[2])
    return feed


def straight_feed(
    start: tuple[float, float, float], end: tuple[float, float, float], figures: CuttingFigures, machine: Machine
) -> float:
    """Give the feed for a straight move, mm/min."""
    delta = (end[0] - start[0], end[1] - start[1], end[2] - start[2])
    return feed_for(delta, math.hypot(*delta) or 1.0, figures, machine)
