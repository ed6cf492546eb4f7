"""A drilling strip: a flat bar with the side dots' holes, clamped on the bass edge to drill through by hand.

    board and strip stand on one flat bench:

          | playing face             strip, seen from the player's side
    board |-----------+            +----------------------------------+
          |           |=== strip   | m   o      o    o  o      oo     |   m: a dimple at the nut end
    bench +===========+============+==================================+
          the strip's lower edge is the glue face, its left end the nut end

The machine sees the strip as it will see nothing else of the edge: outer side up, its axes those of the
edge setup, X from the nut end along the edge, Y from the glue face.
"""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Hole
from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.layout.model import Layout
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.lying import STRIP_END, Lying, OnWaste
from pearlkerf.setups.model import Setup
from pearlkerf.setups.scrap import Scrap

OPTION: Final = "--strip"
# less guides a thin drill too badly: a 2 mm hole wanders (common practice, no source)
LEAST_THICKNESS_MM: Final = 8.0
USUAL_WIDTH_MM: Final = 25.0
USUAL_STEP_MM: Final = 5.0
# bar that stays beyond the last hole, and above the holes, to clamp it by (common practice, no source)
BEYOND_MM: Final = 15.0
ABOVE_MM: Final = 8.0
# bar below a hole that is too weak to guide a drill (common practice, no source)
BELOW_MM: Final = 0.8
# holes go on into the waste board, so that they are open to the full diameter
THROUGH_MM: Final = 0.5
WASTE_MM: Final = 3.0
# the dimple that says which end is the nut's and which side is outward
MARK_DEPTH_MM: Final = 0.8
MARK_FROM_END_MM: Final = 8.0
# a hard, even wood; bars of hard plastic or brass are harder on a cutter
WOOD: Final = "maple"
# how far the stop at the nut stands out toward the board
STOP_OUT_MM: Final = 2.0


@dataclass(frozen=True, slots=True)
class DrillingStrip:
    """A drilling strip: its setup, its size, the holes in the order along the edge."""

    setup: Setup
    scrap: Scrap
    holes: tuple[Hole, ...]


def guide_of(layout: Layout) -> Hole:
    """Give the first guide hole, in a strip of least thickness; raises Refusal where there are no dots."""
    if not layout.bass_dots:
        raise Refusal([Problem(found="the board has no side dots: a drilling strip has nothing to guide",
                               allowed="at least one", hint="add [side_dots] to the board")])  # fmt: skip
    return _guide(layout.bass_dots[0], LEAST_THICKNESS_MM)


def setup_of(layout: Layout, scrap: Scrap, features: tuple[Hole, ...]) -> Setup:
    """Give the setup of a strip of some size on its waste board."""
    right = layout.board.hand == "right"
    low, high = (0.0, scrap.width_mm) if right else (-scrap.width_mm, 0.0)
    outline = np.array([[0.0, low], [scrap.length_mm, low], [scrap.length_mm, high], [0.0, high]])
    outline.setflags(write=False)
    return Setup(
        kind="strip",
        wood=WOOD,
        stock=Stock(outline, scrap.thickness_mm + WASTE_MM),
        features=features,
        lying=Lying(STRIP_END, rests=OnWaste(scrap.thickness_mm, WASTE_MM, STOP_OUT_MM)),
        scrap=scrap,
        low_side="glue face" if right else "playing face",
        up="its outer side up",
    )


def lay_out_strip(layout: Layout, cutter: Cutter, scrap: Scrap | None) -> DrillingStrip:
    """Set out a drilling strip for a board's side dots, as long as they need or of a given size.

    Raises Refusal where it is too thin, too short or too narrow, or a dot lies too low to be guided.
    """
    dots = layout.bass_dots
    strip = scrap or _usual(layout)
    problems = [*_too_small(layout, strip), *_too_low(layout), *_no_nut_end(layout)]
    if problems:
        raise Refusal(problems)
    holes = tuple(_guide(dot, strip.thickness_mm) for dot in dots)
    inward = math.copysign(strip.width_mm - MARK_FROM_END_MM, dots[0].centre[1])
    mark = Hole(
        group="marks", number=1, name="mark at the nut end", centre=(MARK_FROM_END_MM, inward),
        diameter_mm=cutter.diameter_mm, floor_mm=-MARK_DEPTH_MM, shallowest_mm=-MARK_DEPTH_MM,
        deepest_mm=-MARK_DEPTH_MM, cutter=cutter.number,
    )  # fmt: skip
    return DrillingStrip(setup_of(layout, strip, (*holes, mark)), strip, holes)


def _guide(dot: Hole, thickness_mm: float) -> Hole:
    floor = -thickness_mm - THROUGH_MM
    name = dot.name.replace("side dot", "guide hole")
    return replace(dot, group="guide holes", name=name, floor_mm=floor, shallowest_mm=floor, deepest_mm=floor)


def _reach_mm(layout: Layout) -> tuple[float, float]:
    """Give how far along and how high the holes' walls reach."""
    along = max(dot.centre[0] + dot.diameter_mm / 2 for dot in layout.bass_dots)
    return along, max(abs(dot.centre[1]) + dot.diameter_mm / 2 for dot in layout.bass_dots)


def _needed_mm(layout: Layout) -> tuple[float, float, float]:
    along, high = _reach_mm(layout)
    return along + BEYOND_MM, high + ABOVE_MM, LEAST_THICKNESS_MM


def _usual(layout: Layout) -> Scrap:
    length, width, thickness = _needed_mm(layout)
    return Scrap(math.ceil(length / USUAL_STEP_MM) * USUAL_STEP_MM, max(USUAL_WIDTH_MM, math.ceil(width)), thickness)


def _too_small(layout: Layout, strip: Scrap) -> list[Problem]:
    sides = (strip.length_mm, strip.width_mm, strip.thickness_mm)
    why = ("long", "the last dot, and a hold beyond it"), ("wide", "the dots, and a hold above them"), (
        "thick", "a drill that does not wander")  # fmt: skip
    return [
        Problem(
            key=OPTION,
            found=f"a strip {has:.1f} mm {word} is too small for {reason}",
            allowed=f"at least {math.ceil(needed * 10 - ROUNDING_MM) / 10:.1f} mm {word}",
            hint="use such a strip",
        )
        for has, needed, (word, reason) in zip(sides, _needed_mm(layout), why, strict=True)
        if has < needed - ROUNDING_MM
    ]


def _no_nut_end(layout: Layout) -> list[Problem]:
    """The strip lies with its end at the nut end, where an edge that steps out has no straight run."""
    if layout.edges.begins_at_nut(layout.edges.bass):
        return []
    return [Problem(key="board.widths", found="the bass edge bends between the nut end and its side dots: no strip "
                    "that begins at the nut end lies along it", allowed="an edge that is straight from the nut end on",
                    hint="cut the side dots on the machine, whose zero is where the straight run begins")]  # fmt: skip


def _too_low(layout: Layout) -> list[Problem]:
    lowest = min(abs(dot.centre[1]) - dot.diameter_mm / 2 for dot in layout.bass_dots)
    if lowest >= BELOW_MM - ROUNDING_MM:
        return []
    dot = layout.bass_dots[0]
    return [Problem(key="side_dots.height", found=f"{lowest:.2f} mm of the strip would stay below its holes",
                    allowed=f"at least {BELOW_MM:.2f} mm",
                    hint=f"use a height of at least {BELOW_MM + dot.diameter_mm / 2:.2f} mm")]  # fmt: skip
