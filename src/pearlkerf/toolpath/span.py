"""The box that a setup's motion needs, held against the machine's travel."""

import math
from collections.abc import Iterator

from pearlkerf.errors import Problem
from pearlkerf.machine.model import Machine
from pearlkerf.toolpath.moves import Toolpath, TraverseHeight, TraversePlane, reach_mm
from pearlkerf.toolpath.tolerances import ROUNDING_MM

# what in the board makes a setup long (X), wide (Y) or deep (Z)
KEYS = {"face": ("board.length", "board.end_width", "fret_slots.depth"),
        "edge": ("board.length", "board.thickness", "side_dots.depth"),
        "treble": ("board.length", "board.thickness", "side_dots.depth"),
        "carrier": ("carrier.pitch", "board.end_width", "carrier.thickness"),
        "coupon": ("--scrap", "--scrap", "fret_slots.depth"),
        "calibration": ("--scrap", "--scrap", "--cutter"),
        "strip": ("--strip", "--strip", "--strip"),
        "pieces": ("--apart", "inlay_blank.0.width", "inlay_blank.0.thickness")}  # fmt: skip
SMALLER = {
    "--scrap": "use smaller scrap, or ",
    "--apart": "lay blanks nearer together, or cut a part with --only, or use ",
}


def beyond_travel(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each axis whose travel is shorter than the span of a setup's motion."""
    travel = toolpath.machine.travel
    has_mm, keys = (travel.x_mm, travel.y_mm, travel.z_mm), KEYS[toolpath.setup.kind]
    for axis, key, needed, has in zip("xyz", keys, span_mm(toolpath), has_mm, strict=True):
        if needed > has + ROUNDING_MM:
            yield Problem(
                key=key,
                found=f"the {toolpath.setup.name} setup needs {needed:.1f} mm of travel in {axis.upper()}",
                allowed=f"at most {has:.1f} mm, travel.{axis} of {toolpath.machine.name}",
                hint=SMALLER.get(key, "use ")
                + f"a machine with at least {math.ceil(needed)} mm in {axis.upper()}"
                + (_by_dowels(toolpath.machine) if key == "board.length" else ""),
            )


def _by_dowels(machine: Machine) -> str:
    """Say how a board that is longer than the travel can be cut all the same."""
    if machine.carrier is None:
        return ", or move the board on a carrier with dowels, [carrier] pitch = 50 in the profile"
    return f", or a pitch shorter than {machine.carrier.pitch_mm:g} mm in [carrier]"


def span_mm(toolpath: Toolpath) -> tuple[float, float, float]:
    """Give the span of all motion of a setup in X, Y and Z, mm; arcs where they swing farthest.

    Where the tip waits while hands are near it (``park``) counts too.
    """
    motion = toolpath.machine.motion
    parked = [] if motion.park_mm is None else [TraversePlane(*motion.park_mm)]
    moves = [move for path in toolpath.paths for cut in path.cuts for move in cut.moves]
    low, high = reach_mm([TraverseHeight(motion.clearance_mm), *parked, *moves])
    x, y, z = (high - low).tolist()
    return x, y, z
