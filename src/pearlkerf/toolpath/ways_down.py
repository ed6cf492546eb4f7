r"""How a tip comes down in the wood, at a stopped slot's end: a little back, down by one bite, to the end again.

        ----------.  the stroke before          ------------.
plunge   ______   |_.                   ramp      __    ..-''
the stroke       \__|                                ''-.____
"""

import math

import numpy as np

from pearlkerf.toolpath.layers import Stroke
from pearlkerf.toolpath.tolerances import BACK_WITHIN, ROUNDING_MM, STEEPEST_DEG

STEEPEST = math.tan(math.radians(STEEPEST_DEG))


def by_plunge(before: Stroke, stroke: Stroke, radius_mm: float) -> tuple[Stroke, ...]:
    """Give how a tip plunges to where a stroke begins; nothing where it goes on along a floor, or comes from above."""
    start = stroke.along[:1]
    if before.along[-1] != start[0] or before.z[-1] - stroke.z[0] <= ROUNDING_MM:
        return ()
    place = np.array([_towards(stroke, float(start[0]), BACK_WITHIN * radius_mm)])
    z = np.concatenate([before.at(place), stroke.at(place), stroke.z[:1]])
    return (Stroke(np.concatenate([place, place, start]), z),)


def by_ramp(before: Stroke, stroke: Stroke, radius_mm: float) -> tuple[Stroke, ...]:
    """Give how it ramps down, at STEEPEST_DEG to the stroke before at most, and comes back along the stroke itself."""
    start, drop = float(stroke.along[0]), float(np.max(before.at(stroke.along) - stroke.z))
    first = _towards(stroke, start, BACK_WITHIN * radius_mm)
    last = _towards(stroke, first, drop / STEEPEST)
    passed = np.abs(stroke.along - start)
    on_ramp = stroke.along[(passed > abs(first - start)) & (passed < abs(last - start))]
    along = np.concatenate([[start, first], on_ramp, [last]])
    share = np.maximum(np.abs(along - start) - abs(first - start), 0.0) / abs(last - first)
    down = Stroke(along, before.at(along) + (stroke.at(along) - before.at(along)) * share)
    back = stroke.along[passed < abs(last - start)][::-1]
    return down, Stroke(back, stroke.at(back))


def ramped_mm(span: tuple[float, float], radius_mm: float) -> float:
    """Give how deep a ramp goes that is as long as a span, all but what the tip goes back first."""
    return (span[1] - span[0] - BACK_WITHIN * radius_mm) * STEEPEST


def _towards(stroke: Stroke, start_mm: float, way_mm: float) -> float:
    """Give the place so far along a stroke from another, or its end."""
    end = float(stroke.along[-1])
    return start_mm + math.copysign(min(way_mm, abs(end - start_mm)), end - start_mm)
