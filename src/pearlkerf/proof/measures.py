"""What the cuts read back from programs open, measured as with a calliper: diameters and widths."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.machine.model import Machine
from pearlkerf.proof.blade import Blades
from pearlkerf.proof.counting import spread_points
from pearlkerf.proof.identity import Assumed, identify
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.runs import Run
from pearlkerf.proof.spoken import NOTHING_SAID
from pearlkerf.proof.tolerances import CUT_MM, SIZE_MM
from pearlkerf.proof.verdict import Proved
from pearlkerf.setups.model import Setup

Floats = NDArray[np.float64]
# points on a path lie so close that the scallops between their discs are no deeper than this, mm
SCALLOP_MM = 0.0002


@dataclass(frozen=True, slots=True)
class Measure:
    """One hole's diameter, or one slot's width: as demanded, and the least and the greatest that is cut, mm.

    The least counts on the floor, the greatest at any depth; nan where nothing is cut.
    """

    name: str
    stated_mm: float
    least_mm: float
    greatest_mm: float
    within_mm: float = SIZE_MM  # how far from what is demanded it may be

    @property
    def off_mm(self) -> float:
        """How far the farther of the two lies from what is demanded."""
        return max(abs(self.least_mm - self.stated_mm), abs(self.greatest_mm - self.stated_mm))

    @property
    def holds(self) -> bool:
        """Whether both lie as near to what is demanded as they must."""
        return self.off_mm <= self.within_mm


def measure(programs: Sequence[Proved], setup: Setup, machine: Machine) -> tuple[Measure, ...]:
    """Measure every feature of a setup, in its order, as its programs together cut it.

    Holes are measured across their middle in all directions, slots square to their centre line at many
    places where they are at full width; slots must have level floors.  A saw cuts its kerf, across the
    machine's X.  Each figure is within 0.001 mm: arcs are followed along chords within
    0.0005 mm, and points on a path stand for its sweep within SCALLOP_MM.
    """
    runs = []
    for each in programs:
        if each.setup == setup.name and each.reading is not None:
            assumed = Assumed(setup.name, each.cutters)
            identity = identify(each.reading, each.program.file, [setup], machine, assumed)
            runs.append(prepare(each.reading, each.program.file, identity, machine, NOTHING_SAID))
    return tuple(_measures(runs))


def _measures(runs: Sequence[Run]) -> Iterator[Measure]:
    shapes = runs[0].shapes if runs else ()
    for number, shape in enumerate(shapes):
        blades = [run.sawn.blades.some(run.sawn.of(number)) for run in runs]
        if any(len(each.motion) for each in blades):
            yield Measure(shape.feature.name, shape.feature.width_mm, *_sawn(blades))
            continue
        points, radii, heights = _discs(runs, number)
        low = heights <= shape.feature.floor_at_crown_mm + CUT_MM
        least, greatest = shape.across_mm(points[low], radii[low]), shape.across_mm(points, radii)
        yield Measure(
            shape.feature.name,
            shape.feature.width_mm,
            float(least.min()) if len(least) else math.nan,
            float(greatest.max()) if len(greatest) else math.nan,
            shape.may_differ_mm,
        )


def _sawn(blades: Sequence[Blades]) -> tuple[float, float]:
    """Give the least and the greatest width of a slot that blades have cut, from one piece alone and from all."""
    low, high = (np.concatenate(edges) for edges in zip(*(each.x_mm() for each in blades), strict=True))
    left, right = (np.concatenate(edges) for edges in zip(*(each.always_x_mm() for each in blades), strict=True))
    return float((right - left).max()), float(high.max() - low.min())


def _discs(runs: Sequence[Run], feature: int) -> tuple[Floats, Floats, Floats]:
    """Give (m, 2) local centres, (m,) radii and (m,) heights of the lips of discs that stand for a feature's cuts."""
    parts = []
    for run in runs:
        cuts = run.cuts
        rows = cuts.of(feature)
        start, end, radius = cuts.start[rows], cuts.end[rows], cuts.radius[rows]
        row, share = spread_points(start, end, np.sqrt(8 * radius * SCALLOP_MM))
        at = start[row] + (end - start)[row] * share[:, None]
        parts.append((run.shapes[feature].local(at[:, :2]), radius[row], at[:, 2] + cuts.point[rows][row]))
    points, radii, heights = (np.concatenate(column) for column in zip(*parts, strict=True))
    return points, radii, heights
