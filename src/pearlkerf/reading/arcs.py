"""Arcs by centre and by radius, NISTIR 6556 section 3.5.3."""

import math
from typing import Final

from pearlkerf.reading.controller import AXES, Controller
from pearlkerf.reading.modes import Block
from pearlkerf.reading.motions import ARC, PLANE_AXES
from pearlkerf.reading.recording import sweeps_about
from pearlkerf.reading.tolerances import (
    LEAST_CHORD_MM,
    RADIUS_TOLERANCE_INCH_MM,
    RADIUS_TOLERANCE_MM,
    ROUNDING_DEG,
    ROUNDING_MM,
)
from pearlkerf.reading.words import refuse

Point = tuple[float, float]

# G2, as the motion in force is kept
CLOCKWISE: Final = 20
# letters of the offsets along the first and second axis of each plane
PLANE_OFFSETS: Final = {17: "IJ", 18: "KI", 19: "JK"}
# section 3.5.3.1: by radius, an arc near a half turn or a full one hangs on the last digit; the report
# calls up to 165 and 195 to 345 degrees safe
SAFE_BY_RADIUS_DEG: Final = ((0.0, 165.0), (195.0, 345.0))


def run_arc(block: Block, controller: Controller, line: int) -> None:
    """Carry out G2 or G3: the plane's axes turn, the third moves linearly along (a helix)."""
    first, second, own = PLANE_AXES[controller.plane]
    clockwise = controller.motion == CLOCKWISE
    if not any(AXES[axis] in block.words for axis in (first, second)):
        raise refuse("an arc needs an axis word of its plane (section 3.5.3)", line, block.column)
    at, end = controller.at, controller.target(block, line)
    start2, end2 = (at[first], at[second]), (end[first], end[second])
    if any(math.isnan(value) for value in (*start2, *end2)):
        raise refuse("an arc from a place that nobody knows", line, block.column)
    _refuse_alien_offsets(block, controller.plane, line)
    if "R" in block.words:
        centre2 = _centre_by_radius(block, controller, start2, end2, line)
    else:
        centre2 = _centre_by_offsets(block, controller, start2, end2, line)
    centre = [0.0, 0.0, 0.0]
    centre[first], centre[second], centre[own] = centre2[0], centre2[1], at[own]
    controller.recording.arc(controller.plane, (centre[0], centre[1], centre[2]), clockwise)
    controller.go(ARC, end, line)


def radius_mismatch_mm(start: Point, end: Point, centre: Point) -> float:
    """Give how much farther one end lies from the centre than the other."""
    return abs(math.dist(start, centre) - math.dist(end, centre))


def radius_tolerance_mm(controller: Controller) -> float:
    """Give the standard's tolerance for the two radii of an arc, in the program's unit."""
    return (RADIUS_TOLERANCE_INCH_MM if controller.units == 200 else RADIUS_TOLERANCE_MM) + ROUNDING_MM


def centre_of_radius(start: Point, end: Point, radius: float, clockwise: bool) -> Point | None:
    """Give the centre of an arc by radius (negative: more than a half turn); None where no arc fits.

    The centre lies on the chord's bisector at h = sqrt(R**2 - (c/2)**2), to the left of the way from
    start to end for a counter-clockwise arc of at most a half turn (section 3.5.3.1).
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(dx, dy)
    if chord <= ROUNDING_MM or chord / 2 > abs(radius) + ROUNDING_MM:
        return None
    height = math.sqrt(max(radius * radius - chord * chord / 4, 0.0))
    left = height if (radius > 0) != clockwise else -height
    return (start[0] + dx / 2 - left * dy / chord, start[1] + dy / 2 + left * dx / chord)


def _refuse_alien_offsets(block: Block, plane: int, line: int) -> None:
    for letter in "IJK":
        if letter in block.words and letter not in PLANE_OFFSETS[plane]:
            column = block.words[letter].column
            raise refuse(f"the offset {letter} does not lie in the plane G{plane} (section 3.5.3.2)", line, column)


def _centre_by_radius(block: Block, controller: Controller, start: Point, end: Point, line: int) -> Point:
    radius, clockwise = block.words["R"], controller.motion == CLOCKWISE
    if any(letter in block.words for letter in "IJK"):
        raise refuse("an arc has either R or offsets, not both (section 3.5.3)", line, radius.column)
    centre = centre_of_radius(start, end, radius.value * controller.scale, clockwise)
    if centre is None:
        raise refuse(
            "no arc of this radius joins its ends: they are one place, or too far apart (section 3.5.3.1)",
            line,
            radius.column,
        )
    turn = abs(math.degrees(float(sweeps_about(start, end, centre, clockwise))))
    if not any(low <= turn <= high + ROUNDING_DEG for low, high in SAFE_BY_RADIUS_DEG):
        raise refuse(
            f"an arc by radius of {turn:.1f} degrees hangs on its last digits: write I, J or K, or keep to 165 "
            "degrees, or 195 to 345 (section 3.5.3.1)",
            line,
            radius.column,
        )
    return centre


def _centre_by_offsets(block: Block, controller: Controller, start: Point, end: Point, line: int) -> Point:
    offsets = [block.words.get(letter) for letter in PLANE_OFFSETS[controller.plane]]
    if not any(offsets):
        raise refuse("an arc needs R or an offset of its plane (section 3.5.3)", line, block.column)
    along, across = (word.value * controller.scale if word else 0.0 for word in offsets)
    centre = (start[0] + along, start[1] + across)
    if math.dist(start, centre) <= LEAST_CHORD_MM:
        raise refuse("the arc's centre is its start: it has no radius", line, block.column)
    mismatch = radius_mismatch_mm(start, end, centre)
    if mismatch > radius_tolerance_mm(controller):
        raise refuse(
            f"the arc's ends lie {mismatch:.4f} mm unequally far from its centre; at most "
            f"{radius_tolerance_mm(controller):.5g} mm is allowed (section 3.5.3.2)",
            line,
            block.column,
        )
    if ROUNDING_MM < math.dist(start, end) < LEAST_CHORD_MM:
        raise refuse("the arc's ends are all but one place: a full turn, or none?", line, block.column)
    return centre
