"""Holes: drilled where a cutter has the hole's diameter, bored by a helix where it is smaller.

A bore starts over the centre, swings out along a half circle in the air, goes down as a helix at the
full radius, makes a full turn at the floor, and swings back to the centre before it lifts: the wall
is met and left along its tangent, so no line shows where the cutter came.  Counter-clockwise inside
a hole with a clockwise spindle is climb milling.
"""

import math

from pearlkerf.layout.features import Hole
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.toolpath.moves import Drill
from pearlkerf.toolpath.pen import Pen
from pearlkerf.toolpath.tolerances import (
    ABOVE_MM,
    DWELL_TURNS,
    HELIX_START_MM,
    LEAST_SPOT_MM,
    LONGEST_DWELL_S,
    ROUNDING_MM,
    SPOT_FEED,
    SPOT_SHARE,
    STEEPEST_DEG,
    STEP_OVER,
    WHOLE_ROUNDING,
)


def drill(hole: Hole, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Drill a hole with a cutter of its diameter: pecks, and a short dwell for a flat floor."""
    x, y = hole.centre
    top = highest_top_mm(hole, stock)
    pen.approach(x, y, hole.approach)
    pen.descend(top + ABOVE_MM)
    pen.drill(_whole(hole, cutter, top, pen))
    pen.leave(top)


def _whole(hole: Hole, cutter: Cutter, top: float, pen: Pen) -> Drill:
    return Drill(
        x_mm=hole.centre[0],
        y_mm=hole.centre[1],
        above_mm=top + ABOVE_MM,
        top_mm=top,
        bottom_mm=hole.floor_mm - cutter.point_length_mm,
        peck_mm=pen.figures.bite_mm,
        dwell_s=_dwell_s(pen),
        feed_mm_min=pen.figures.plunge_feed_mm_min,
    )


def _dwell_s(pen: Pen) -> float:
    return min(LONGEST_DWELL_S, DWELL_TURNS * 60 / pen.figures.speed_rpm)


def drill_spotted(hole: Hole, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Drill a hole whose wood leads a point astray: the same bit makes a slow, short start, then drills."""
    x, y = hole.centre
    top = highest_top_mm(hole, stock)
    bottom = hole.floor_mm - cutter.point_length_mm
    start = max(top - max(LEAST_SPOT_MM, SPOT_SHARE * cutter.point_length_mm), bottom)
    pen.approach(x, y, hole.approach)
    pen.descend(top + ABOVE_MM)
    pen.drill(
        Drill(
            x_mm=x,
            y_mm=y,
            above_mm=top + ABOVE_MM,
            top_mm=top,
            bottom_mm=start,
            peck_mm=min(pen.figures.bite_mm, top - start),
            dwell_s=_dwell_s(pen),
            feed_mm_min=SPOT_FEED * pen.figures.plunge_feed_mm_min,
        )
    )
    pen.drill(_whole(hole, cutter, top, pen))
    pen.leave(top)


def bore(hole: Hole, cutter: Cutter, stock: Stock, pen: Pen) -> None:
    """Bore a hole with a smaller cutter, ring by ring, each ring a helix with a full turn at the floor."""
    x, y = hole.centre
    top = highest_top_mm(hole, stock)
    above = top + HELIX_START_MM
    pen.approach(x, y, hole.approach)
    pen.descend(top + ABOVE_MM)
    for radius in ring_radii_mm(hole.diameter_mm, cutter.diameter_mm):
        pen.feed(x, y, above)
        _swing(pen, (x, y), radius)
        turns = helix_turns(above - hole.floor_mm, radius, pen.figures.bite_mm)
        for _ in range(turns):
            pen.turn((x, y), 2 * math.pi, (above - hole.floor_mm) / turns)
        pen.turn((x, y), 2 * math.pi)
        _swing(pen, (x, y), radius)
        pen.feed(x, y, top + ABOVE_MM)
    pen.leave(top)


def ring_radii_mm(hole_diameter_mm: float, cutter_diameter_mm: float) -> tuple[float, ...]:
    """Radii of the rings that open a whole disc, inner first; one where the cutter reaches the centre.

    >>> ring_radii_mm(6.0, 3.0), [round(r, 3) for r in ring_radii_mm(6.0, 1.0)]
    ((1.5,), [0.4, 1.1, 1.8, 2.5])
    """
    outer = (hole_diameter_mm - cutter_diameter_mm) / 2
    if outer <= cutter_diameter_mm / 2 + ROUNDING_MM:
        return (outer,)
    inner = STEP_OVER * cutter_diameter_mm / 2
    steps = math.ceil((outer - inner) / (STEP_OVER * cutter_diameter_mm) - WHOLE_ROUNDING)
    return (*(inner + (outer - inner) * step / steps for step in range(steps)), outer)


def helix_turns(drop_mm: float, radius_mm: float, bite_mm: float) -> int:
    """Fewest turns whose pitch is within the bite and the steepest ramp.

    >>> helix_turns(1.5, 1.7, 0.5)
    3
    """
    pitch = min(bite_mm, 2 * math.pi * radius_mm * math.tan(math.radians(STEEPEST_DEG)))
    return max(1, math.ceil(drop_mm / pitch - WHOLE_ROUNDING))


def highest_top_mm(hole: Hole, stock: Stock) -> float:
    """Highest raw top over a hole's disc: the crown line is the highest of a crowned top."""
    radius = hole.diameter_mm / 2
    y = hole.centre[1]
    nearest = math.copysign(max(abs(y) - radius, 0.0), y)
    return float(stock.top_mm(hole.centre[0], nearest))


def _swing(pen: Pen, centre: tuple[float, float], radius: float) -> None:
    """Swing along a half circle from a bore's centre out to its ring, or from the ring back to the centre."""
    pen.turn((centre[0] + radius / 2, centre[1]), math.pi)
