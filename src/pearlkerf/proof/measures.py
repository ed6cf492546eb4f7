"""What the cuts read back from programs open, measured as with a calliper: diameters and widths."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Hole
from pearlkerf.machine.model import Machine
from pearlkerf.proof.identity import Assumed, identify
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.runs import Run
from pearlkerf.proof.shapes import HoleShape, SlotShape
from pearlkerf.proof.tolerances import CUT_MM, SIZE_MM
from pearlkerf.proof.verdict import Proved
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]
# directions in which a hole is measured across, and places along a slot
DIRECTIONS = 90
STATIONS = 25
# points on a path lie so close that the scallops between their discs are no deeper than this, mm
SCALLOP_MM = 0.0002
# pairs of a point and a direction that are looked at together: what a small machine's memory holds
PAIRS_AT_ONCE = 2_000_000


@dataclass(frozen=True, slots=True)
class Measure:
    """One hole's diameter, or one slot's width: as demanded, and the least and the greatest that is cut, mm.

    The least counts on the floor, the greatest at any depth; nan where nothing is cut.
    """

    name: str
    stated_mm: float
    least_mm: float
    greatest_mm: float

    @property
    def off_mm(self) -> float:
        """How far the farther of the two lies from what is demanded."""
        return max(abs(self.least_mm - self.stated_mm), abs(self.greatest_mm - self.stated_mm))

    @property
    def holds(self) -> bool:
        """Whether both lie within SIZE_MM of what is demanded."""
        return self.off_mm <= SIZE_MM


def measure(programs: Sequence[Proved], setup: Setup, machine: Machine) -> tuple[Measure, ...]:
    """Measure every feature of a setup, in its order, as its programs together cut it.

    Holes are measured across their middle in DIRECTIONS directions, slots square to their centre line
    at STATIONS places where they are at full width; slots must have level floors.  A saw cuts its kerf,
    across the machine's X.  Each figure is within 0.001 mm: arcs are followed along chords within
    0.0005 mm, and points on a path stand for its sweep within SCALLOP_MM.
    """
    runs = []
    for each in programs:
        if each.setup == setup.name and each.reading is not None:
            assumed = Assumed(setup.name, each.cutters)
            identity = identify(each.reading, each.program.file, [setup], machine, assumed)
            runs.append(prepare(each.reading, each.program.file, identity, setup, machine))
    return tuple(_measures(runs))


def _measures(runs: Sequence[Run]) -> Iterator[Measure]:
    shapes = runs[0].shapes if runs else ()
    for number, shape in enumerate(shapes):
        feature = shape.feature
        stated = feature.diameter_mm if isinstance(feature, Hole) else feature.width_mm
        floor = feature.floor_mm if isinstance(feature, Hole) else feature.floor.crown_z_mm
        if isinstance(shape, SlotShape) and any(len(run.sawn.of(number)) for run in runs):
            yield Measure(feature.name, stated, *_sawn(runs, number))
            continue
        points, radii, heights = _discs(runs, number)
        low = heights <= floor + CUT_MM
        across = _diameters if isinstance(shape, HoleShape) else _widths
        least, greatest = across(shape, points[low], radii[low]), across(shape, points, radii)
        yield Measure(
            feature.name,
            stated,
            float(least.min()) if len(least) else math.nan,
            float(greatest.max()) if len(greatest) else math.nan,
        )


def _sawn(runs: Sequence[Run], feature: int) -> tuple[float, float]:
    """Give the least and the greatest width of a slot that blades have cut, from one piece alone and from all."""
    blades = [run.sawn.blades.some(run.sawn.of(feature)) for run in runs]
    low, high = (np.concatenate(edges) for edges in zip(*(each.x_mm() for each in blades), strict=True))
    left, right = (np.concatenate(edges) for edges in zip(*(each.always_x_mm() for each in blades), strict=True))
    return float((right - left).max()), float(high.max() - low.min())


def _discs(runs: Sequence[Run], feature: int) -> tuple[Floats, Floats, Floats]:
    """Give (m, 2) local centres, (m,) radii and (m,) heights of the lips of discs that stand for a feature's cuts."""
    parts = []
    for run in runs:
        cuts = run.cuts
        rows = cuts.of(feature)
        away = cuts.end[rows] - cuts.start[rows]
        steps = np.ceil(np.linalg.norm(away[:, :2], axis=1) / np.sqrt(8 * cuts.radius[rows] * SCALLOP_MM))
        steps = np.maximum(steps, 1).astype(np.int64)
        row = np.repeat(np.arange(len(rows)), steps + 1)
        share = (np.arange(len(row)) - np.repeat(np.cumsum(steps + 1) - steps - 1, steps + 1)) / steps[row]
        at = cuts.start[rows][row] + away[row] * share[:, None]
        parts.append((run.shapes[feature].local(at[:, :2]), cuts.radius[rows][row], at[:, 2] + cuts.point[rows][row]))
    points, radii, heights = (np.concatenate(column) for column in zip(*parts, strict=True))
    return points, radii, heights


def _diameters(shape: HoleShape | SlotShape, points: Floats, radii: Floats) -> Floats:  # noqa: ARG001
    """Give the hole's diameter in every direction through its centre, (DIRECTIONS,) mm."""
    angles = np.arange(2 * DIRECTIONS) * (np.pi / DIRECTIONS)
    reach = np.full(2 * DIRECTIONS, -np.inf)
    for some in _shares(len(points), 2 * DIRECTIONS):
        along = points[some] @ np.stack([np.cos(angles), np.sin(angles)])
        beside = points[some] @ np.stack([-np.sin(angles), np.cos(angles)])
        reach = np.maximum(reach, _reach(along, beside, radii[some]).max(axis=0))
    return reach[:DIRECTIONS] + reach[DIRECTIONS:] if len(points) else np.zeros(0)


def _widths(shape: HoleShape | SlotShape, points: Floats, radii: Floats) -> Floats:
    """Give the slot's width at every station, (STATIONS,) mm."""
    assert isinstance(shape, SlotShape)
    inset = 0.0 if shape.feature.through else shape.feature.width_mm / 2
    stations = np.linspace(inset, shape.length - inset, STATIONS)
    right, left = np.full(STATIONS, -np.inf), np.full(STATIONS, -np.inf)
    for some in _shares(len(points), STATIONS):
        beside = points[some, 1][:, None] - stations
        across = np.broadcast_to(points[some, 0][:, None], beside.shape)
        right = np.maximum(right, _reach(across, beside, radii[some]).max(axis=0))
        left = np.maximum(left, _reach(-across, beside, radii[some]).max(axis=0))
    return right + left if len(points) else np.zeros(0)


def _reach(along: Floats, beside: Floats, radii: Floats) -> Floats:
    """Give how far discs reach along lines that pass them ``beside`` their centres; -inf where they are not met."""
    inside = radii[:, None] ** 2 - beside**2
    return np.where(inside >= 0, along + np.sqrt(np.maximum(inside, 0.0)), -np.inf)


def _shares(count: int, lines: int) -> Iterator[slice]:
    step = max(1, PAIRS_AT_ONCE // lines)
    return (slice(first, first + step) for first in range(0, count, step))
