"""A program's own motion as points, sampled by these tests alone, and what a cutter opens along them.

Shares no code with the project: words by a regular expression, areas by shapely's buffers.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely

INCH = 25.4
ARC_STEP = math.radians(1.0)
SLIVER_MM2 = 1e-6
QUARTER = 90  # segments of a quarter circle: a disc of 3 mm radius is 0.0001 mm short between two corners


@dataclass
class Path:
    """Where the tip of one cutter goes while it feeds: runs of (n, 3) points, mm, and where it rapids between."""

    runs: list[np.ndarray] = field(default_factory=list)
    rapids: list[np.ndarray] = field(default_factory=list)  # (2, 3) each, in order with the runs
    order: list[tuple[str, int]] = field(default_factory=list)  # ("run" or "rapid", index)


def sample(text: str) -> dict[int, Path]:
    """Give the paths of a program by cutter; knows G0 to G3 by I and J, G82 and G83, G20 and G21, absolute."""
    paths: dict[int, Path] = {}
    at, scale, motion, cutter = np.full(3, np.nan), 1.0, "0", 0
    sticky: dict[str, float] = {}
    for line in text.splitlines():
        named = re.search(r"\(setup=\S+ cutter=(\d+)", line)
        cutter = int(named[1]) if named else cutter
        words = re.findall(r"([A-Z])([-+]?\d*\.?\d+)", re.sub(r"\(.*?\)", "", line))
        codes = [f"{float(value):g}" for letter, value in words if letter == "G"]
        scale = INCH if "20" in codes else 1.0 if "21" in codes else scale
        motion = next((code for code in codes if code in ("0", "1", "2", "3", "82", "83")), motion)
        if "4" in codes or "53" in codes:
            continue
        given = {letter: float(value) * scale for letter, value in words if letter in "XYZIJR"}
        if not set(given) & set("XYZ"):
            continue
        path = paths.setdefault(cutter, Path())
        if motion in ("82", "83"):
            sticky |= given
            low, high = sticky["Z"], sticky["R"]
            place = np.array([given.get("X", at[0]), given.get("Y", at[1])])
            _add(path, "rapid", np.array([at, [*place, max(at[2], high)]]))
            _add(path, "run", np.array([[*place, high], [*place, low]]))
            at = np.array([*place, high])
            continue
        end = np.array([given.get(axis, old) for axis, old in zip("XYZ", at, strict=True)])
        if motion in ("2", "3"):
            centre = at[:2] + np.array([given.get("I", 0.0), given.get("J", 0.0)])
            _add(path, "run", np.array(list(_arc(at, end, centre, motion == "3"))))
        else:
            _add(path, "run" if motion == "1" else "rapid", np.array([at, end]))
        at = end
    return paths


def _add(path: Path, what: str, points: np.ndarray) -> None:
    into = path.runs if what == "run" else path.rapids
    path.order.append((what, len(into)))
    into.append(points)


def _arc(start: np.ndarray, end: np.ndarray, centre: np.ndarray, left: bool) -> Iterator[np.ndarray]:
    first, last = (math.atan2(*(point[:2] - centre)[::-1]) for point in (start, end))
    sweep = (last - first if left else first - last) % (2 * math.pi) or 2 * math.pi
    radius = math.dist(start[:2], centre)
    for share in np.linspace(0.0, 1.0, max(2, math.ceil(sweep / ARC_STEP)) + 1)[:-1]:
        angle = first + (sweep if left else -sweep) * share
        yield np.array([centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle),
                        start[2] + (end[2] - start[2]) * share])  # fmt: skip
    yield end


def opened(path: Path, radius: float, below: float, within: shapely.Geometry) -> shapely.Geometry:
    """Give what a flat cutter opens at or below a height, by motion whose points lie within an area.

    Slivers that buffers of a line across itself leave, below a millionth of a mm2, are closed.
    """
    lines = []
    for run in path.runs:
        low = run[run[:, 2] <= below]
        if len(low) and shapely.contains_xy(within, low[:, 0], low[:, 1]).all():
            lines.append(shapely.LineString(low[:, :2]) if len(low) > 1 and np.ptp(low[:, :2], axis=0).any()
                         else shapely.Point(low[0, :2]))  # fmt: skip
    area = shapely.union_all([line.buffer(radius, quad_segs=QUARTER) for line in lines])
    kept = [ring for ring in area.interiors if shapely.Polygon(ring).area > SLIVER_MM2]
    return shapely.Polygon(area.exterior, kept)


def calliper(area: shapely.Geometry) -> tuple[float, float, float]:
    """Give the least and the greatest width of an area over all directions, and the diameter of a disc as large."""
    corners = shapely.get_coordinates(shapely.convex_hull(area))
    angles = np.radians(np.arange(0.0, 180.0, 2.0))
    across = corners @ np.stack([np.cos(angles), np.sin(angles)])
    widths = np.ptp(across, axis=0)
    return float(widths.min()), float(widths.max()), 2 * math.sqrt(area.area / math.pi)
