"""Speeds and feeds: the cutter's own numbers, else a cautious table by diameter and wood."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CuttingFigures:
    """What one cutter does in one wood on one machine, after every limit."""

    speed_rpm: float
    feed_mm_min: float  # along the path, cutter engaged
    plunge_feed_mm_min: float  # straight down, and the vertical part of ramps and helices
    bite_mm: float  # depth of one pass
    sources: tuple[str, ...]  # for each figure, where it comes from, as a sentence
