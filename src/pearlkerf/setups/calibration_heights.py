"""What a calibration piece shows of Z: two grooves a known depth apart, and two fields of lanes side by side.

    ||  '  ||    ||    |||    ===    ||
    1     depth depth  lanes  lanes   2     the row between slot 1 and slot 2
            1     2    in Y   in X

The depths are measured from the top beside them, so that what Z was zeroed on drops out of their difference.
A mill whose spindle leans cuts every lane deeper at one side: lanes side by side then have steps between them.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from pearlkerf.files.lengths import Unit, as_written
from pearlkerf.layout.limits import FLOOR, ROUNDING_MM
from pearlkerf.layout.lines import Line
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.notches import NOTCH_APART_MM
from pearlkerf.setups.scrap import BETWEEN_MM, EDGE_MM, Scrap

# the shallow groove, and the deepest that a calliper's rod is wanted in; figures to remember
SHALLOW_MM: Final[Mapping[Unit, float]] = {"mm": 0.5, "in": 0.508}
DEEPEST_MM: Final = 5.1
DEPTH_STEP_MM: Final[Mapping[Unit, float]] = {"mm": 0.5, "in": 0.508}
# a difference below this shows nothing of a wrong screw
LEAST_DIFFERENCE_MM: Final = 1.0
# lanes are so deep, and so many diameters apart: each leaves a strip of the one before
LANE_DEPTH_MM: Final = 0.3
LANE_APART: Final = 0.8
MOST_LANES: Final = 3
DEPTHS: Final = "depth 2 less depth 1"
# a step of so much between lanes is felt with a fingernail (common practice, no source)
FELT_MM: Final = 0.01


@dataclass(frozen=True, slots=True)
class Groove:
    """A groove of the row: its name, its line, its depth."""

    name: str
    line: Line
    depth_mm: float


@dataclass(frozen=True, slots=True)
class Measured:
    """One thing to measure on a piece: what, how, what it should be, and what a wrong figure says."""

    what: str
    how: str
    figure_mm: float
    says: str


def row_mm(cutter: Cutter, tall_mm: float) -> float:
    """Give how far slot 2 stands from slot 1 at least, middle to middle, so that the row fits between them."""
    width = cutter.diameter_mm
    parts = (_after_notch_mm(width), width, width, _field_mm(width, tall_mm), tall_mm)
    return sum(parts) + len(parts) * BETWEEN_MM + width


def _after_notch_mm(width: float) -> float:
    """Give how far the notch beside slot 1 reaches from the middle of slot 1."""
    return width + NOTCH_APART_MM + width / 2


def _lanes(width: float, tall_mm: float) -> int:
    """Give how many lanes a field has: those in X lie within the height of the row."""
    return min(MOST_LANES, 1 + math.floor((tall_mm - width) / (LANE_APART * width) + ROUNDING_MM))


def _field_mm(width: float, tall_mm: float) -> float:
    return width * (1 + LANE_APART * (_lanes(width, tall_mm) - 1))


@dataclass(frozen=True, slots=True)
class Depths:
    """Both grooves' depths, mm; the deep one as deep as cutter and scrap allow, None where that shows nothing."""

    shallow_mm: float
    deep_mm: float | None

    @classmethod
    def of(cls, cutter: Cutter, scrap: Scrap, unit: Unit) -> "Depths":
        """Give those that a cutter cuts in scrap, in steps of a unit."""
        step, shallow = DEPTH_STEP_MM[unit], SHALLOW_MM[unit]
        most = min(DEEPEST_MM, cutter.reach_mm, scrap.thickness_mm - FLOOR.least_mm)
        deep = math.floor(most / step + ROUNDING_MM) * step
        return cls(shallow, deep if deep - shallow >= LEAST_DIFFERENCE_MM - ROUNDING_MM else None)


def row(cutter: Cutter, depths: Depths, first_mm: float, tall_mm: float) -> Iterator[Groove]:
    """Give the grooves of the row, slot 1 standing at ``first_mm``: depths, lanes along Y, lanes along X."""
    width, low = cutter.diameter_mm, EDGE_MM
    x = first_mm + _after_notch_mm(width) + BETWEEN_MM
    for number, depth in enumerate((depths.shallow_mm, depths.deep_mm), 1):
        if depth is not None and depths.deep_mm is not None:
            middle = x + width / 2
            yield Groove(f"depth {number}", Line((middle, low), (middle, low + tall_mm)), depth)
        x += width + BETWEEN_MM
    lanes = _lanes(width, tall_mm)
    if lanes < 2:
        return
    for lane in range(lanes):
        middle = x + width * (0.5 + LANE_APART * lane)
        yield Groove(f"lane {lane + 1} along Y", Line((middle, low), (middle, low + tall_mm)), LANE_DEPTH_MM)
    x += _field_mm(width, tall_mm) + BETWEEN_MM
    for lane in range(lanes):
        y = low + width * (0.5 + LANE_APART * lane)
        yield Groove(f"lane {lane + 1} along X", Line((x, y), (x + tall_mm, y)), LANE_DEPTH_MM)


def height_measures(cutter: Cutter, depths: Depths, tall_mm: float) -> Iterator[Measured]:
    """Give what to measure of the row."""
    if depths.deep_mm is not None:
        between = depths.deep_mm - depths.shallow_mm
        yield Measured(
            "depth 1",
            "by a calliper's rod, from the top beside it",
            depths.shallow_mm,
            "deeper or shallower: Z was touched off so much too low or too high, or the top is not flat there",
        )
        yield Measured(
            DEPTHS,
            "both from the top beside them",
            between,
            f"Z runs too far or too short: multiply its steps by {as_written(between)} / what you measure",
        )
    if _lanes(cutter.diameter_mm, tall_mm) < 2:
        return
    slope = 1000 * FELT_MM / (LANE_APART * cutter.diameter_mm)
    felt = f"a step of {FELT_MM:.2f} mm is {slope:.1f} in 1000"
    for way, sides, upper in (("Y", "left", "to the left"), ("X", "near side", "toward you")):
        yield Measured(
            f"lanes along {way}",
            "steps from lane to lane, by fingernail or dial gauge",
            0.0,
            f"the spindle is out of tram, {felt}. Each lane deeper at its {sides}: its upper end leans {upper}; "
            "set its mount square and cut again",
        )
