"""The box that a setup's motion needs, held against the machine's travel."""

import math
from collections.abc import Iterable, Iterator

from pearlkerf.errors import Problem
from pearlkerf.machine.model import Machine
from pearlkerf.toolpath.moves import Arc, Drill, Move, Toolpath, TraverseHeight, TraversePlane
from pearlkerf.toolpath.tolerances import ROUNDING_MM

# what in the board makes a setup long (X), wide (Y) or deep (Z)
KEYS = {"face": ("board.length", "board.end_width", "fret_slots.depth"),
        "edge": ("board.length", "board.thickness", "side_dots.depth"),
        "carrier": ("carrier.pitch", "board.end_width", "carrier.thickness"),
        "coupon": ("--scrap", "--scrap", "fret_slots.depth"),
        "calibration": ("--scrap", "--scrap", "--cutter")}  # fmt: skip


def beyond_travel(toolpath: Toolpath) -> Iterator[Problem]:
    """Give a problem for each axis whose travel is shorter than the span of a setup's motion."""
    travel = toolpath.machine.travel
    keys = KEYS.get(toolpath.setup.kind, KEYS["face"])
    for axis, key, needed, has in zip("xyz", keys, span_mm(toolpath), (travel.x_mm, travel.y_mm, travel.z_mm),
                                      strict=True):  # fmt: skip
        if needed > has + ROUNDING_MM:
            yield Problem(
                key=key,
                found=f"the {toolpath.setup.name} setup needs {needed:.1f} mm of travel in {axis.upper()}",
                allowed=f"at most {has:.1f} mm, travel.{axis} of {toolpath.machine.name}",
                hint=("use smaller scrap, or " if key == "--scrap" else "use ")
                + f"a machine with at least {math.ceil(needed)} mm in {axis.upper()}"
                + (_by_dowels(toolpath.machine) if key == "board.length" else ""),
            )


def _by_dowels(machine: Machine) -> str:
    """Say how a board that is longer than the travel can be cut all the same."""
    if machine.carrier is None:
        return ", or move the board on a carrier with dowels, [carrier] pitch = 50 in the profile"
    return f", or a pitch shorter than {machine.carrier.pitch_mm:g} mm in [carrier]"


def span_mm(toolpath: Toolpath) -> tuple[float, float, float]:
    """Give the span of all motion of a setup in X, Y and Z, mm; arcs count with their whole circle."""
    xs: list[float] = []
    ys: list[float] = []
    zs = [toolpath.machine.motion.clearance_mm]
    for path in toolpath.paths:
        for cut in path.cuts:
            for move in cut.moves:
                _reach(move, xs, ys, zs)
    return _extent(xs), _extent(ys), _extent(zs)


def reach_x_mm(moves: Iterable[Move]) -> tuple[float, float]:
    """Give the lowest and the highest X of some moves, mm; arcs count with their whole circle."""
    xs: list[float] = []
    for move in moves:
        _reach(move, xs, [], [])
    return min(xs), max(xs)


def _extent(places: list[float]) -> float:
    return max(places) - min(places) if places else 0.0


def _reach(move: Move, xs: list[float], ys: list[float], zs: list[float]) -> None:
    """Add the places that a move reaches in each axis."""
    if isinstance(move, TraverseHeight):
        zs.append(move.z_mm)
        return
    radius = 0.0
    x, y = move.x_mm, move.y_mm
    if isinstance(move, Arc):
        x, y = move.centre_x_mm, move.centre_y_mm
        radius = math.hypot(move.x_mm - x, move.y_mm - y)
    xs += (x - radius, x + radius)
    ys += (y - radius, y + radius)
    if isinstance(move, Drill):
        zs += (move.bottom_mm, move.above_mm)
    elif not isinstance(move, TraversePlane):
        zs.append(move.z_mm)
