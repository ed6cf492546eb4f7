"""A pointing run: spindle off, the tip above every centre and both ends of every slot, one stop at each.

         o  clearance: every move in X and Y
         |
   ------v-----------  a stated height above the highest wood under the cutter: the stop
________________________ wood
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature
from pearlkerf.layout.lines import Point
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.words import POINTING, shown
from pearlkerf.operations.model import Workplan
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.moves import Cut, CutterPath, Feed, Toolpath, TraverseHeight, TraversePlane, lay_moves

OPTION: Final = "--point-height"
# how high the tip stops: near enough to see a pencil line under it, higher than a blank is out of flat
POINT_HEIGHT_MM: Final = 1.0
LEAST_HEIGHT_MM: Final = 0.2
# the tip goes down so slowly that a hand on the stop is in time (common practice, no source)
DOWN_MM_MIN: Final = 200.0
# every place is come to from this far short of it, as cuts are from farther: backlash lies on the same side
SHORT_OF_MM: Final = 0.5
# the wood under a cutter is looked for this much beyond its rim, which is more than rounding moves it
BEYOND_RIM_MM: Final = 0.05


@dataclass(frozen=True, slots=True)
class Place:
    """A place to show: its name, and where it lies on the board."""

    name: str
    feature: Feature
    point: Point


def point_out(workplan: Workplan, height_mm: float = POINT_HEIGHT_MM) -> Toolpath:
    """Give the pointing run of a setup, before it is cut, with the first of its cutters in the spindle.

    Places come from the nut end on.  Raises Refusal where the height is out of bounds, or where the
    machine has no cutter that stands upright.
    """
    machine, setup = workplan.machine, replace(workplan.setup, purpose="point")
    cutter = _pointer(workplan)
    problems = [*_out_of_bounds(height_mm, machine)]
    if cutter is None:
        problems.append(Problem(key="--pointing", found=f"{machine.name} has no cutter that could point downward",
                                hint="give the profile an end mill or a bit"))  # fmt: skip
    if problems or cutter is None:
        raise Refusal(problems)
    figures = cutting_figures(machine, cutter, setup.wood)
    cuts = tuple(_show(place, cutter, setup, machine, height_mm) for place in places(setup))
    return Toolpath(setup, machine, (CutterPath(cutter, figures, cuts, POINTING, height_mm),))


def places(setup: Setup) -> tuple[Place, ...]:
    """Give the places of a setup from the nut end on: middles of holes and pockets, both ends of slots."""
    found = [place for feature in setup.features for place in _places(feature, setup)]
    return tuple(sorted(found, key=lambda place: place.point))


def _places(feature: Feature, setup: Setup) -> Iterator[Place]:
    low, high = feature.ends
    if feature.kind != "slot":
        yield Place(feature.name, feature, feature.anchor)
        return
    yield Place(f"{feature.name}, {setup.low_side}", feature, low)
    yield Place(f"{feature.name}, {setup.high_side}", feature, high)


def _pointer(workplan: Workplan) -> Cutter | None:
    """Give the first cutter of the setup, which stands in the spindle next; a saw cannot point."""
    upright = [cutter for cutter in (*(stage.cutter for stage in workplan.stages), *workplan.machine.cutters)
               if cutter.kind != "saw"]  # fmt: skip
    return next(iter(upright), None)


def _out_of_bounds(height_mm: float, machine: Machine) -> Iterator[Problem]:
    if not LEAST_HEIGHT_MM <= height_mm < machine.motion.clearance_mm:
        yield Problem(
            key=OPTION,
            found=f"a height of {height_mm:g} mm",
            allowed=f"at least {LEAST_HEIGHT_MM:g} mm, less than the clearance of {machine.motion.clearance_mm:g} mm",
            hint=f"leave {OPTION} out for {POINT_HEIGHT_MM:g} mm",
        )


def _show(place: Place, cutter: Cutter, setup: Setup, machine: Machine, height_mm: float) -> Cut:
    x, y = place.point
    plunge = cutting_figures(machine, cutter, setup.wood).plunge_feed_mm_min
    z = _top_under_mm(setup.stock, place.point, cutter.radius_mm) + height_mm
    moves = (
        TraverseHeight(machine.motion.clearance_mm),
        TraversePlane(x - SHORT_OF_MM, y - SHORT_OF_MM),
        TraversePlane(x, y),
        Feed(x, y, z, min(DOWN_MM_MIN, plunge)),
    )
    laid = lay_moves(moves, setup.placement)
    return Cut(place.name, place.feature.group, place.feature.number, laid, shown(place.name, height_mm))


def _top_under_mm(stock: Stock, point: Point, radius_mm: float) -> float:
    """Give the highest raw top under a cutter: nearest to the crown line, and where the crown's radius is greatest."""
    x, y = point
    around = radius_mm + BEYOND_RIM_MM
    nearest = max(abs(y) - around, 0.0)
    return max(float(stock.top_mm(x - around, nearest)), float(stock.top_mm(x + around, nearest)))
