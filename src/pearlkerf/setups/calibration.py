"""A calibration piece: what a machine does, cut where a calliper can measure it.

     ||                                 E    (from high Y)
    =||====||=
     ||    ||      square               D
     || S  ||      between grooves
    =||====||=                          A    B    C   (C from high X, all others from low X and Y)
     ||    ||
    |'  |  |  |||  ===                 |
    1  <- D ->                          2   two slots at a known distance, a notch at the zero corner;
                                            between them what shows Z (calibration_heights.py)

Walls on the same side are measured from each other, so that the cutter's width drops out.  A hole that
is approached from the other side lies off by the axis' backlash: it is not bored but drilled in one
plunge, for a round would take up the backlash by itself.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import Unit, as_written
from pearlkerf.layout.features import Feature, Hole, Slot
from pearlkerf.layout.limits import FLOOR, ROUNDING_MM
from pearlkerf.layout.lines import Line, Point
from pearlkerf.layout.model import Layout
from pearlkerf.layout.surfaces import Floor
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.calibration_heights import Depths, Measured, height_measures, row, row_mm
from pearlkerf.setups.coupons import stock_of
from pearlkerf.setups.lying import SCRAP_CORNER, CornerNotch, HeldScrap, Lying
from pearlkerf.setups.model import Setup
from pearlkerf.setups.notches import NOTCH_APART_MM, NOTCH_DEPTH_MM, SHORT_MM
from pearlkerf.setups.scrap import BETWEEN_MM, EDGE_MM, OPTION, Scrap, too_thin

# a square of 40 mm shows 0.1 mm of skew in 57 mm; smaller ones serve smaller scrap
SQUARES_MM: Final[Mapping[Unit, tuple[float, ...]]] = {
    "mm": (40.0, 35.0, 30.0, 25.0, 20.0, 15.0), "in": (38.1, 31.75, 25.4, 19.05, 15.875),
}  # fmt: skip
# grooves run past the square's corners by their own width and this much
PAST_MM: Final = 1.0
# slots stand apart by a multiple of this: a figure to remember
DISTANCE_STEP_MM: Final[Mapping[Unit, float]] = {"mm": 10.0, "in": 6.35}
SLOT_MM: Final = 12.0
# deep enough for the jaws of a calliper, if the cutter and the scrap allow; shallower than the least, nothing holds
DEPTH_MM: Final = 2.0
LEAST_DEPTH_MM: Final = 0.8
USUAL_LENGTH_MM: Final = 140.0
USUAL_WIDTH_MM: Final = 80.0


@dataclass(frozen=True, slots=True)
class Calibration:
    """A calibration piece on its scrap, and what to measure on it."""

    setup: Setup
    scrap: Scrap
    cutter: Cutter
    measures: tuple[Measured, ...]
    remarks: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the piece's parts lie: the square's middle and side, the corner hole A, holes apart, slots apart."""

    square_mm: float
    middle: Point
    corner: Point
    apart_mm: float
    distance_mm: float
    depth_mm: float


def lay_out_calibration(layout: Layout, cutter: Cutter, scrap: Scrap | None) -> Calibration:
    """Set out a calibration piece that one cutter cuts, as large as the scrap allows.

    Grooves need an end mill, holes a cutter that plunges; what cannot be cut is left out and said.
    Raises Refusal where the scrap is too small or too thin.
    """
    piece = scrap or Scrap(USUAL_LENGTH_MM, USUAL_WIDTH_MM, layout.board.thickness_mm)
    deep = min(DEPTH_MM, cutter.reach_mm - cutter.point_length_mm)
    depth = max(LEAST_DEPTH_MM, min(deep, piece.thickness_mm - FLOOR.least_mm - cutter.point_length_mm))
    problems = too_thin(piece, depth + cutter.point_length_mm)
    unit = layout.board.unit
    plan = _planned(piece, cutter, depth, unit)
    if plan is None:
        problems.append(_too_small(piece, cutter, unit))
    if problems or plan is None:
        raise Refusal(problems)
    depths = Depths.of(cutter, piece, unit)
    features = tuple(_features(plan, cutter, depths))
    setup = Setup(
        kind="calibration",
        wood=layout.board.wood,
        stock=stock_of(piece),
        features=features,
        lying=Lying(SCRAP_CORNER, rests=HeldScrap(at_ends=False), to_mind=(CornerNotch(),)),
        scrap=piece,
        low_side="near edge",
        ends=("left", "right"),
        up="the scrap's better face up",
    )
    measures, remarks = _measures(plan, cutter, depths), _remarks(cutter, depths)
    return Calibration(setup, piece, cutter, tuple(measures), tuple(remarks))


def cuts_grooves(cutter: Cutter) -> bool:
    """Say whether a cutter can cut the square and the slots."""
    return cutter.kind == "end mill"


def _needed_mm(square: float, cutter: Cutter, unit: Unit) -> tuple[float, float]:
    """Give length and width that a piece with this square needs, margins included."""
    diameter = cutter.diameter_mm
    around = square + 2 * (diameter + PAST_MM)
    length = around + BETWEEN_MM + square + diameter
    if cuts_grooves(cutter):
        step = DISTANCE_STEP_MM[unit]
        row = math.ceil(row_mm(cutter, SLOT_MM) / step - ROUNDING_MM) * step
        length = max(length, row + diameter)
    return 2 * EDGE_MM + length, 2 * EDGE_MM + SLOT_MM + BETWEEN_MM + around


def _planned(scrap: Scrap, cutter: Cutter, depth: float, unit: Unit) -> _Plan | None:
    diameter = cutter.diameter_mm
    for square in SQUARES_MM[unit]:
        length, width = _needed_mm(square, cutter, unit)
        if length <= scrap.length_mm + ROUNDING_MM and width <= scrap.width_mm + ROUNDING_MM:
            break
    else:
        return None
    around = square / 2 + diameter + PAST_MM
    low = EDGE_MM + SLOT_MM + BETWEEN_MM
    step = DISTANCE_STEP_MM[unit]
    distance = math.floor((scrap.length_mm - 2 * EDGE_MM - diameter) / step + ROUNDING_MM) * step
    return _Plan(
        square_mm=square,
        middle=(EDGE_MM + around, low + around),
        corner=(EDGE_MM + 2 * around + BETWEEN_MM + diameter / 2, low + diameter / 2),
        apart_mm=square / 2,
        distance_mm=distance,
        depth_mm=depth,
    )


def _too_small(scrap: Scrap, cutter: Cutter, unit: Unit) -> Problem:
    length, width = (math.ceil(side - ROUNDING_MM) for side in _needed_mm(SQUARES_MM[unit][-1], cutter, unit))
    return Problem(
        key=OPTION,
        found=f"scrap {scrap.length_mm:.1f} mm long and {scrap.width_mm:.1f} mm wide does not hold a calibration "
        f"piece, {EDGE_MM:.1f} mm clear of its edges",
        allowed=f"at least {length} mm long and {width} mm wide",
        hint="use such scrap; larger is better, for a longer way shows a smaller fault",
    )


def _features(plan: _Plan, cutter: Cutter, depths: Depths) -> Iterator[Feature]:
    width, (x, y) = cutter.diameter_mm, plan.middle
    if cutter.plunges:
        yield from _holes(plan, cutter)
    if cuts_grooves(cutter):
        off, run = (plan.square_mm + width) / 2, plan.square_mm / 2 + width + PAST_MM
        sides = (
            ("left", (x - off, y - run), (x - off, y + run)),
            ("right", (x + off, y - run), (x + off, y + run)),
            ("near", (x - run, y - off), (x + run, y - off)),
            ("far", (x - run, y + off), (x + run, y + off)),
        )
        for number, (side, start, end) in enumerate(sides, 6):
            yield _groove(number, f"square, {side} groove", Line(start, end), plan.depth_mm, cutter)
        first = EDGE_MM + width / 2
        for number, at in ((10, first), (11, first + plan.distance_mm)):
            line = Line((at, EDGE_MM), (at, EDGE_MM + SLOT_MM))
            yield _groove(number, f"slot {number - 9}", line, plan.depth_mm, cutter)
        at = first + width + NOTCH_APART_MM
        line = Line((at, EDGE_MM), (at, EDGE_MM + SHORT_MM + width))
        yield _groove(12, "notch at the zero corner", line, NOTCH_DEPTH_MM, cutter)
        for number, groove in enumerate(row(cutter, depths, first, SLOT_MM), 13):
            yield _groove(number, groove.name, groove.line, groove.depth_mm, cutter)


def _groove(number: int, name: str, line: Line, depth: float, cutter: Cutter) -> Slot:
    return Slot(
        group="marks", number=number, name=name, start=line.start, end=line.end, width_mm=cutter.diameter_mm,
        floor=Floor(-depth), through=False, cutter=cutter.number,
    )  # fmt: skip


def _holes(plan: _Plan, cutter: Cutter) -> Iterator[Hole]:
    (x, y), apart = plan.corner, plan.apart_mm
    for number, (letter, centre, approach) in enumerate(
        (
            ("A", (x, y), (-1.0, -1.0)),
            ("B", (x + apart, y), (-1.0, -1.0)),
            ("C", (x + 2 * apart, y), (1.0, -1.0)),
            ("D", (x, y + apart), (-1.0, -1.0)),
            ("E", (x, y + 2 * apart), (-1.0, 1.0)),
        ),
        1,
    ):
        yield Hole(
            group="marks", number=number, name=f"hole {letter}", centre=centre, diameter_mm=cutter.diameter_mm,
            floor_mm=-plan.depth_mm, shallowest_mm=-plan.depth_mm, deepest_mm=-plan.depth_mm,
            cutter=cutter.number, approach=approach,
        )  # fmt: skip


def _measures(plan: _Plan, cutter: Cutter, depths: Depths) -> Iterator[Measured]:
    if cuts_grooves(cutter):
        yield from _groove_measures(plan, cutter)
        yield from height_measures(cutter, depths, SLOT_MM)
    if cutter.plunges:
        for axis, holes, side in (("X", ("A", "B", "C"), "right"), ("Y", ("A", "D", "E"), "far side")):
            yield from _hole_measures(plan.apart_mm, axis, holes, side)
        yield Measured(
            "holes A to E",
            "diameter, by drill shanks or pins",
            cutter.diameter_mm,
            "wider: the cutter's runout, as in the slots; a hole longer one way: the axis shakes or the cutter bends",
        )


def _groove_measures(plan: _Plan, cutter: Cutter) -> Iterator[Measured]:
    square, width, distance = plan.square_mm, cutter.diameter_mm, plan.distance_mm
    yield Measured(
        "slot 1 to slot 2",
        "from the left wall of one to the left wall of the other",
        distance,
        f"X runs too far or too short: multiply its steps by {as_written(distance)} / what you measure",
    )
    yield Measured(
        "slots 1 and 2",
        "width, by feeler gauge or pins",
        width,
        f"wider: runout. Write the excess as runout of cutter {cutter.number}, or what you measure as its diameter, "
        "in the profile; narrower: the cutter is worn or is not the one that the profile names",
    )
    for side, axis in (("left to right", "X"), ("near to far", "Y")):
        yield Measured(
            f"square, {side}",
            "over the wood that stands between the grooves",
            square,
            f"less by as much as the slots are wider: runout only. Otherwise multiply the steps of {axis} by "
            f"{as_written(square + width)} / (what you measure and the width of a slot)",
        )
    skew = 1000 * 0.1 / (math.sqrt(2) * square)
    yield Measured(
        "square, both diagonals",
        "from corner to corner of the wood that stands",
        square * math.sqrt(2),
        f"unequal: X and Y are not square to each other; a difference of 0.10 mm is {skew:.1f} in 1000. A longer "
        "one from the near left corner: Y leans to the right",
    )


def _hole_measures(apart: float, axis: str, holes: tuple[str, str, str], side: str) -> Iterator[Measured]:
    first, second, third = holes
    wall = "left wall to left wall" if axis == "X" else "near wall to near wall"
    yield Measured(
        f"hole {first} to hole {second}",
        wall,
        apart,
        f"both approached from the same side: wrong only by the steps of {axis}",
    )
    yield Measured(
        f"hole {second} to hole {third}",
        wall,
        apart,
        f"hole {third} was approached from the {side}: what this is more than {first} to {second} is the backlash "
        f"of {axis}",
    )


def _remarks(cutter: Cutter, depths: Depths) -> Iterator[Problem]:
    named = f"cutter {cutter.number}, {cutter.kind} {cutter.diameter_mm:.3f} mm"
    if not cuts_grooves(cutter):
        yield Problem(
            key="--cutter",
            found=f"the square and the slots are left out: {named}, cuts no grooves; the holes are cut",
            hint="choose an end mill with --cutter",
        )
    elif depths.deep_mm is None:
        yield Problem(
            key=OPTION,
            found="the depths that show the steps of Z are left out: too little scrap, or reach of the cutter",
            hint="use thicker scrap",
        )
    if not cutter.plunges:
        yield Problem(
            key="--cutter",
            found=f"the holes that show backlash are left out: {named}, does not plunge",
            hint="choose a cutter that plunges with --cutter",
        )
