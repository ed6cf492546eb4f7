"""Scrap wood, and how the parts of a coupon are set out on it: in rows, clear of its edges.

+--------------------------------------------+
|  o   o   o          |  |  |  |  |          |    parts in rows from the low left corner, the next
|  '   "   '"         |' |" |'"|  |          |    row above, then, to their right, slots that run
|  o   o   o   o   o  |  |  |  |  |          |    from edge to edge
|  '   "   '"  ""  ""'|  |  |  |  |          |
+--------------------------------------------+
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.errors import Problem
from pearlkerf.layout.limits import FLOOR, ROUNDING_MM
from pearlkerf.layout.lines import Point

# what is cut stays this clear of the scrap's edges: a saw-rough edge is no reference (common practice, no source)
EDGE_MM: Final = 4.0
# wood between two parts of a coupon: none weakens another, and every notch lies nearest to what it numbers
BETWEEN_MM: Final = 3.0
# offered lengths are whole millimetres, offered thicknesses halves
LENGTH_STEP_MM: Final = 1.0
THICKNESS_STEP_MM: Final = 0.5
OPTION: Final = "--scrap"


@dataclass(frozen=True, slots=True)
class Scrap:
    """A rectangular piece of scrap: along X, along Y, upright."""

    length_mm: float
    width_mm: float
    thickness_mm: float

    def __str__(self) -> str:
        """Give its size as the option and the programs' heads write it.

        >>> str(Scrap(200.0, 40.0, 6.5))
        '200.000x40.000x6.500'
        """
        return "x".join(f"{side:.3f}" for side in (self.length_mm, self.width_mm, self.thickness_mm))


@dataclass(frozen=True, slots=True)
class Part:
    """The room that one part of a coupon takes; ``across`` it runs from one long edge to the other."""

    width_mm: float
    height_mm: float
    across: bool = False


def set_out(parts: Sequence[Part], scrap: Scrap) -> tuple[Point, ...] | None:
    """Give the low left corner of every part, in the order given, mm; None where they do not fit."""
    columns = [part for part in parts if part.across]
    taken = sum(part.width_mm + BETWEEN_MM for part in columns)
    rest = [part for part in parts if not part.across]
    right = scrap.length_mm - EDGE_MM - taken + (0.0 if rest else BETWEEN_MM)
    places = _rows(rest, right)
    if places is None or right < EDGE_MM - ROUNDING_MM:
        return None
    tops = [y + part.height_mm for part, (_, y) in zip(rest, places, strict=True)]
    tops += [EDGE_MM + part.height_mm for part in columns]
    if max(tops, default=0.0) > scrap.width_mm - EDGE_MM + ROUNDING_MM:
        return None
    found, x = iter(places), EDGE_MM
    if rest:
        x = max(left + part.width_mm for part, (left, _) in zip(rest, places, strict=True)) + BETWEEN_MM
    corners: list[Point] = []
    for part in parts:
        if part.across:
            corners.append((x, (scrap.width_mm - part.height_mm) / 2))
            x += part.width_mm + BETWEEN_MM
        else:
            corners.append(next(found))
    return tuple(corners)


def _rows(parts: Sequence[Part], right_mm: float) -> list[Point] | None:
    """Set parts side by side from the low left corner, and in a new row above where one would pass ``right_mm``."""
    x = y = EDGE_MM
    tallest, corners = 0.0, []
    for part in parts:
        if part.width_mm > right_mm - EDGE_MM + ROUNDING_MM:
            return None
        if x + part.width_mm > right_mm + ROUNDING_MM:
            x, y, tallest = EDGE_MM, y + tallest + BETWEEN_MM, 0.0
        corners.append((x, y))
        x, tallest = x + part.width_mm + BETWEEN_MM, max(tallest, part.height_mm)
    return corners


def least_length_mm(parts: Sequence[Part], width_mm: float) -> float | None:
    """Give the least whole length of scrap of this width that holds the parts; None where none does."""
    longest = 2 * EDGE_MM + sum(part.width_mm + BETWEEN_MM for part in parts)
    for steps in range(math.ceil(2 * EDGE_MM / LENGTH_STEP_MM), math.ceil(longest / LENGTH_STEP_MM) + 1):
        if set_out(parts, Scrap(steps * LENGTH_STEP_MM, width_mm, 1.0)) is not None:
            return steps * LENGTH_STEP_MM
    return None


def least_width_mm(parts: Sequence[Part], length_mm: float) -> float | None:
    """Give the least whole width of scrap of this length that holds the parts; None where none does."""
    tallest = 2 * EDGE_MM + sum(part.height_mm + BETWEEN_MM for part in parts)
    for steps in range(math.ceil(2 * EDGE_MM / LENGTH_STEP_MM), math.ceil(tallest / LENGTH_STEP_MM) + 1):
        if set_out(parts, Scrap(length_mm, steps * LENGTH_STEP_MM, 1.0)) is not None:
            return steps * LENGTH_STEP_MM
    return None


def least_thickness_mm(deepest_mm: float) -> float:
    """Give the least offered thickness that leaves enough wood under the deepest cut."""
    return math.ceil((deepest_mm + FLOOR.least_mm) / THICKNESS_STEP_MM - ROUNDING_MM) * THICKNESS_STEP_MM


def too_thin(scrap: Scrap, deepest_mm: float) -> list[Problem]:
    """Refuse scrap that leaves too little wood under the deepest cut."""
    left = scrap.thickness_mm - deepest_mm
    if left >= FLOOR.least_mm - ROUNDING_MM:
        return []
    return [
        Problem(
            key=OPTION,
            found=f"scrap {scrap.thickness_mm:.2f} mm thick leaves {left:.2f} mm under the deepest cut, "
            f"{deepest_mm:.2f} mm",
            allowed=f"at least {FLOOR.least_mm:.2f} mm must stay",
            hint=f"use scrap at least {least_thickness_mm(deepest_mm):.1f} mm thick",
        )
    ]


def too_small(parts: Sequence[Part], scrap: Scrap, fewer: str) -> Problem:
    """Give the problem of scrap that does not hold the parts, and what would; ``fewer`` says how to need less."""
    length, width = least_length_mm(parts, scrap.width_mm), least_width_mm(parts, scrap.length_mm)
    offers = [f"{length:.0f} mm long at this width"] if length is not None else []
    offers += [f"{width:.0f} mm wide at this length"] if width is not None else []
    if not offers:
        tallest = max(part.height_mm for part in parts) + 2 * EDGE_MM
        wide = math.ceil(tallest / LENGTH_STEP_MM) * LENGTH_STEP_MM
        offers = [f"{least_length_mm(parts, wide) or 0.0:.0f} mm long and {wide:.0f} mm wide"]
    return Problem(
        key=OPTION,
        found=f"scrap {scrap.length_mm:.1f} mm long and {scrap.width_mm:.1f} mm wide does not hold what is to be cut, "
        f"{EDGE_MM:.1f} mm clear of its edges",
        allowed=f"at least {', or '.join(offers)}",
        hint=f"use such scrap, or {fewer}",
    )
