"""A setup cut in several positions along X, because the machine's travel is shorter than the board.

With a carrier the board moves to the left by whole pitches, and X and Y are zeroed once:

    bed, dowels        o       o
    carrier   . . . .  .   .   .   .   .        face-1: dowels in holes 1 and 3
    carrier   . . . .  .   .   .   .   .  <--   face-2: dowels in holes 5 and 7

Without one the board is moved along a fence by hand, and X is zeroed again in the middle of a slot
that is there already.  Every position is a Setup of its own; its features are the board's, and its
placement says where the board lies.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pearlkerf.layout.binding import slots_show_in_edge
from pearlkerf.layout.features import Feature
from pearlkerf.layout.model import Layout
from pearlkerf.machine.carriers import dowels_apart
from pearlkerf.machine.model import Carrier
from pearlkerf.setups.after_gluing import slots_after_gluing
from pearlkerf.setups.lying import Datum, Dowels, Lying, OnGlueFace
from pearlkerf.setups.model import Placement, Position, Setup
from pearlkerf.setups.windows import Mark, Reach, Window, windows_by_marks, windows_by_pitch


@dataclass(frozen=True, slots=True)
class ZeroMark:
    """A place on the board where X can be zeroed.

    ``cut_by`` is the setup's feature (an index) that makes it, None where it is there before the setup.
    """

    datum: Datum
    cut_by: int | None = None


def zero_marks(layout: Layout, setup: Setup) -> tuple[ZeroMark, ...]:
    """Give the marks of a setup from the nut end on: the nut end, then every slot that can be found in it.

    On the edge slots show where they run through it.
    """
    if setup.kind in ("edge", "treble"):
        edge = layout.edges.bass if setup.kind == "edge" else layout.edges.treble
        opened = [slot for slot in layout.slots if slot.through and slots_show_in_edge(layout.board)]
        places = [(edge.along_mm(edge.crossing(slot.line)[0]), 0.0) for slot in opened]
        return (ZeroMark(setup.lying.zero), *(
            ZeroMark(Datum("slot in the edge", place, slot.name)) for slot, place in zip(opened, places, strict=True)
        ))  # fmt: skip
    later = slots_after_gluing(layout)
    numbers = {feature.identity: number for number, feature in enumerate(setup.features)}
    face = [ZeroMark(Datum("slot", (slot.line.x_mm(), 0.0), slot.name), numbers.get(slot.identity))
            for slot in layout.slots if slot.identity not in later]  # fmt: skip
    return (ZeroMark(setup.lying.zero), *face)


def on_carrier(setup: Setup, reaches: Sequence[Reach], travel_mm: float, carrier: Carrier) -> tuple[Setup, ...]:
    """Give the fewest positions on a carrier, none where its pitch allows none; reaches as its features."""
    windows = windows_by_pitch(reaches, travel_mm, carrier.pitch_mm)
    apart, unmoved = dowels_apart(carrier.pitch_mm, carrier.dowel_mm, travel_mm), setup.placement
    return tuple(
        replace(
            _position(setup, number, windows),
            placement=replace(unmoved, x_mm=unmoved.x_mm - window.steps * carrier.pitch_mm),
            lying=_on_dowels(setup.lying, dowels_at(window.steps, apart, carrier.pitch_mm)),
            zero=setup.name,
            raised_mm=setup.raised_mm + carrier.thickness_mm,
        )
        for number, window in enumerate(windows, 1)
    )


def by_marks(setup: Setup, reaches: Sequence[Reach], travel_mm: float, marks: Sequence[ZeroMark]) -> tuple[Setup, ...]:
    """Give the fewest positions with X zeroed again on slots, none where there is no slot to zero on."""
    places = [setup.placement.to_machine(mark.datum.at).tolist() for mark in marks]
    windows = windows_by_marks(
        reaches, travel_mm, [Mark(x, mark.cut_by) for (x, _), mark in zip(places, marks, strict=True)]
    )
    positions = []
    for number, window in enumerate(windows, 1):
        x, y = places[window.mark]
        position = _position(setup, number, windows)
        positions.append(
            replace(
                position,
                placement=Placement(setup.placement.angle_deg, setup.placement.x_mm - x, setup.placement.y_mm - y),
                lying=replace(setup.lying, zero=marks[window.mark].datum),
                zero=position.name,
            )
        )
    return tuple(positions)


def _position(setup: Setup, number: int, windows: Sequence[Window]) -> Setup:
    """Give one position's setup, its features those of its window; what earlier windows cut is known as cut."""
    before = [member for window in windows[: number - 1] for member in window.members]
    return replace(
        setup,
        position=Position(number, len(windows)),
        features=_some(setup, windows[number - 1].members),
        cut_before=(*setup.cut_before, *_some(setup, before)),
    )


def _some(setup: Setup, members: Sequence[int]) -> tuple[Feature, ...]:
    return tuple(setup.features[member] for member in sorted(members))


def dowels_at(steps: int, apart: int, pitch_mm: float) -> Dowels:
    """Give the bed's dowels, ``apart`` holes from each other, after the wood has moved to the left by whole pitches."""
    return Dowels((1 + steps, 1 + steps + apart), (1, 1 + apart), steps * pitch_mm)


def _on_dowels(lying: Lying, dowels: Dowels) -> Lying:
    rests = OnGlueFace("carrier") if isinstance(lying.rests, OnGlueFace) else lying.rests
    return replace(lying, dowels=dowels, rests=rests)
