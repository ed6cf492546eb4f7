"""Tabs between a piece and its blank: places of its channel where it is not cut through, on flat runs, never at a tip.

_____________        ___________
channel, cut through |   | cut through        seen along the channel: above the tab the channel
_____________________|tab|_______________     is cut like everywhere, below it in sections
"""

import math
from dataclasses import replace
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.channels import Channel
from pearlkerf.outlines.limits import QUARTER

Floats = NDArray[np.float64]

# a tab is so long along the channel and so much of the thinnest blank's thickness high, at least so high; wood and soft
# metal of these are sawn or filed through in a moment (common practice, no source)
TAB_MM: Final = 1.2
TAB_SHARE: Final = 0.35
LEAST_TAB_MM: Final = 0.4
# an outline is flat where it turns by no more than this over a tab and the cutter beside it
FLAT_DEG: Final = 12.0
# fewer than this hold nothing; of longer outlines every so many millimetres have one
LEAST_TABS: Final = 2
TAB_EVERY_MM: Final = 25.0
# outlines are looked at this often for flat runs, mm
STEP_MM: Final = 0.2
# sections between tabs are nowhere rounder than their cutter and so much mm: its way along a wall keeps up to 0.0042 mm
# more than its radius from it, chords of buffers up to 0.0003 of the radius, and it comes into no end just as round
ROOM_MM: Final = 0.01


def tab_height_mm(thinnest_mm: float) -> float:
    """Give how high tabs are left in a blank.

    >>> tab_height_mm(2.0), tab_height_mm(0.8)
    (0.7, 0.4)
    """
    return round(max(LEAST_TAB_MM, TAB_SHARE * thinnest_mm), 6)


def with_tabs(channel: Channel, diameter_mm: float, tabs_z_mm: float, key: str) -> Channel:
    """Give a channel that is cut through between tabs alone, and down to ``tabs_z_mm`` over them.

    Raises Refusal where its outline has not flat runs enough for LEAST_TABS.
    """
    assert channel.counts is not None
    ring = shapely.orient_polygons(channel.counts).exterior
    places = _places(ring, TAB_MM + diameter_mm)
    if len(places) < LEAST_TABS:
        low_x, low_y, high_x, high_y = ring.bounds
        raise Refusal([Problem(
            key=key,
            found=f"{channel.name}, {high_x - low_x:.2f} by {high_y - low_y:.2f} mm, has {len(places)} flat "
            f"run{'s' * (len(places) != 1)} for tabs {TAB_MM:.2f} mm long",
            allowed=f"at least {LEAST_TABS}, each {TAB_MM + diameter_mm:.2f} mm long and turning {FLAT_DEG:g} degrees "
            "at most",
            hint='write hold = "tape" or hold = "skin", or take a thinner piece_cutter',
        )])  # fmt: skip
    width = 2 * math.sqrt(channel.region.area)
    strips = [_strip(ring, along, width) for along in places]
    left = shapely.difference(channel.region, shapely.union_all(strips))
    radius = diameter_mm / 2 + ROOM_MM
    open_to_it = shapely.buffer(shapely.buffer(left, -radius, quad_segs=QUARTER), radius, quad_segs=QUARTER)
    parts = shapely.get_parts(shapely.intersection(open_to_it, channel.region))
    sections = tuple(sorted((part for part in parts if part.geom_type == "Polygon"), key=lambda part: part.bounds))
    return replace(channel, between=sections, tabs_z_mm=tabs_z_mm, last=None)


def _places(ring: shapely.LinearRing, long_mm: float) -> list[float]:
    """Give places along an outline for tabs, as far from each other as they come, the flattest first."""
    count = max(8, math.ceil(ring.length / STEP_MM))
    along = np.linspace(0, ring.length, count, endpoint=False)
    steps = max(1, round(long_mm / 2 / (ring.length / count)))
    points = shapely.get_coordinates(shapely.line_interpolate_point(ring, along))
    ways = np.roll(points, -1, axis=0) - points
    turns = np.abs(np.angle(_complex(np.roll(ways, -1, axis=0)) / _complex(ways)))
    window = np.array([np.roll(turns, -shift) for shift in range(-steps, steps + 1)]).sum(axis=0)
    flat = np.flatnonzero(window <= math.radians(FLAT_DEG))
    wanted = max(LEAST_TABS, math.ceil(ring.length / TAB_EVERY_MM))
    found: list[float] = []
    while len(found) < wanted and len(flat):
        apart = np.array(
            [min((_apart(along[each], other, ring.length) for other in found), default=0.0) for each in flat]
        )
        best = int(np.lexsort((along[flat], np.round(window[flat], 6), -np.round(apart, 3)))[0])
        if found and apart[best] < 2 * long_mm:
            break
        found.append(float(along[flat[best]]))
    return found


def _complex(ways: Floats) -> NDArray[np.complex128]:
    return np.asarray(ways[:, 0] + 1j * ways[:, 1])


def _apart(one: float, other: float, length: float) -> float:
    away = abs(one - other)
    return min(away, length - away)


def _strip(ring: shapely.LinearRing, along: float, width_mm: float) -> shapely.Polygon:
    """Give a strip TAB_MM long, across the channel from the piece's line outward, at a place along that."""
    ends = [shapely.get_coordinates(shapely.line_interpolate_point(ring, (along + by) % ring.length))[0]
            for by in (-TAB_MM / 2, TAB_MM / 2)]  # fmt: skip
    way = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    outward = np.array([way[1], -way[0]])  # of a counter-clockwise outline
    middle = (ends[0] + ends[1]) / 2
    low, high = middle - way * TAB_MM / 2 - outward * 0.2, middle + way * TAB_MM / 2 - outward * 0.2
    return shapely.Polygon([low, high, high + outward * width_mm, low + outward * width_mm])
