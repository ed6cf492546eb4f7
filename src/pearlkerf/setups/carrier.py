"""The carrier: the programs that drill its row of dowel holes, and the two in the bed that its dowels stand in.

    strip     | o   O   o   O   o   o |      holes through it, a pitch apart, numbered from the left
    bed           |       |                  holes 1 and 1 + apart go on into the bed: there the dowels stand

A strip longer than the travel is drilled in positions too, each with the strip moved to the left on
holes that are there already.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Hole
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.carriers import dowels_apart, holes_at_once
from pearlkerf.machine.model import Carrier, Machine
from pearlkerf.setups.lying import FIRST_HOLE, Lying, Strip
from pearlkerf.setups.model import Clampings, Placement, Position, Setup
from pearlkerf.setups.positions import dowels_at

# the strip goes on so many dowels' diameters beyond its outermost holes (common practice, no source)
BEYOND: Final = 2.0
# holes go through the strip by this much, so that its underside is open to the full diameter
THROUGH_MM: Final = 0.5
# what must stay of the bed below its dowel holes (common practice, no source)
BED_LEFT_MM: Final = 3.0
# what speeds and feeds are taken for: plywood of birch, or wood as hard
WOOD: Final = "birch"


@dataclass(frozen=True, slots=True)
class Row:
    """The row of holes: how many in all, how many at once, and how many pitches the bed's dowels stand apart."""

    count: int
    at_once: int
    apart: int

    @property
    def steps_each(self) -> int:
        """By how many pitches the strip can move on: its dowels must find holes that are drilled already."""
        return self.at_once - self.apart - 1


def carrier_title(title: str) -> str:
    """Give what a board's carrier is called: "Carrier for a small board"."""
    return f"Carrier for {title}"


def with_carrier(clampings: Clampings, placed: Clampings, machine: Machine) -> Clampings:
    """Give the clampings of the carrier on which a board is cut in positions; ``placed`` is the board in positions.

    Raises Refusal where the profile has no carrier, or the board needs none.
    """
    carrier, steps = machine.carrier, most_steps(clampings.setups, placed.setups, machine)
    if carrier is None:
        raise Refusal([Problem(key="carrier", found=f"the profile {machine.name} has no carrier", allowed="[carrier]",
                               hint="write [carrier] and pitch = 50 into the profile")])  # fmt: skip
    if steps is None:
        raise Refusal([Problem(key="carrier", found=f"no setup of this board moves on a carrier on {machine.name}",
                               allowed="a board that is longer than the travel in X",
                               hint="cut it without --carrier")])  # fmt: skip
    layout = clampings.layout
    plain = replace(layout.board, fret_slots=None, face_dots=None, side_dots=None, inlays=(), wood=WOOD)
    bare = replace(
        layout,
        board=replace(plain, title=carrier_title(layout.board.title)),
        slots=(),
        face_dots=(),
        side_dots=(),
        inlays=(),
        inlay_rows=(),
        fret_rows=(),
        face_dot_rows=(),
        side_dot_rows=(),
        warnings=(),
    )
    return Clampings(bare, carrier_setups(clampings.setups, steps, carrier, machine.travel.x_mm))


def most_steps(whole: Sequence[Setup], placed: Sequence[Setup], machine: Machine) -> int | None:
    """Give by how many pitches the board moves at most; None where no setup moves on a carrier."""
    if machine.carrier is None:
        return None
    origin = {setup.name: setup.placement.x_mm for setup in whole}
    moved = [origin[each.kind] - each.placement.x_mm for each in placed if each.name not in origin]
    return max((round(each / machine.carrier.pitch_mm) for each in moved), default=None)


def carrier_setups(whole: Sequence[Setup], steps: int, carrier: Carrier, travel_mm: float) -> tuple[Setup, ...]:
    """Give the setups that drill a carrier for a board that moves by up to ``steps`` pitches."""
    apart = dowels_apart(carrier.pitch_mm, carrier.dowel_mm, travel_mm)
    row = Row(steps + apart + 1, holes_at_once(carrier.pitch_mm, carrier.dowel_mm, travel_mm), apart)
    holes = tuple(_hole(number, row, carrier) for number in range(1, row.count + 1))
    width = max(float(np.ptp(setup.stock.outline[:, 1])) for setup in whole)
    stock = _stock(row, carrier, max(width, 2 * BEYOND * carrier.dowel_mm))
    board_mm = carrier.into_bed_mm + BED_LEFT_MM
    strip = Strip(row.count, carrier.pitch_mm, carrier.dowel_mm, carrier.thickness_mm, carrier.into_bed_mm, board_mm)
    later = max(0, row.count - row.at_once)
    count = 1 + math.ceil(later / row.steps_each)
    setups = []
    for number in range(count):
        moved = min(number * row.steps_each, later)
        first, last = row.at_once + (number - 1) * row.steps_each if number else 0, row.at_once + moved
        setups.append(
            Setup(
                kind="carrier",
                wood=WOOD,
                stock=stock,
                features=holes[first:last],
                position=None if count == 1 else Position(number + 1, count),
                lying=Lying(FIRST_HOLE, rests=strip, dowels=dowels_at(moved, row.apart, carrier.pitch_mm)),
                low_side="near side",
                up="its flat side up",
                ends=("hole 1", f"hole {row.count}"),
                placement=Placement(x_mm=-moved * carrier.pitch_mm),
                cut_before=holes[:first],
                zero="carrier",
            )
        )
    return tuple(setups)


def _hole(number: int, row: Row, carrier: Carrier) -> Hole:
    into_bed = number in (1, 1 + row.apart)
    floor = -carrier.thickness_mm - (carrier.into_bed_mm if into_bed else THROUGH_MM)
    return Hole(
        group="dowels",
        number=number,
        name=f"dowel hole {number}",
        centre=((number - 1) * carrier.pitch_mm, 0.0),
        diameter_mm=carrier.dowel_mm,
        floor_mm=floor,
        shallowest_mm=floor,
        deepest_mm=floor,
    )


def _stock(row: Row, carrier: Carrier, width_mm: float) -> Stock:
    """Give the strip on the bed, as one piece of wood."""
    beyond = BEYOND * carrier.dowel_mm
    left, right, half = -beyond, (row.count - 1) * carrier.pitch_mm + beyond, width_mm / 2
    outline = np.array([[left, -half], [right, -half], [right, half], [left, half]])
    outline.setflags(write=False)
    return Stock(outline, carrier.thickness_mm + carrier.into_bed_mm + BED_LEFT_MM)
