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
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.machine.carriers import dowels_apart
from pearlkerf.machine.model import Carrier
from pearlkerf.setups.model import Placement, Setup
from pearlkerf.setups.windows import Mark, Reach, Window, windows_by_marks, windows_by_pitch


@dataclass(frozen=True, slots=True)
class ZeroMark:
    """A place on the board where X can be zeroed, in words and in board axes.

    ``cut_by`` is the setup's feature (an index) that makes it, None where it is there before the setup.
    """

    words: str
    place: Point
    slot: str = ""  # its name, "" for the nut end
    cut_by: int | None = None


def zero_marks(layout: Layout, setup: Setup) -> tuple[ZeroMark, ...]:
    """Give the marks of a setup from the nut end on: the nut end, then every slot that can be found in it.

    On the edge slots show where they run through it.
    """
    if setup.kind == "edge":
        edge = layout.edges.bass
        nut = ZeroMark("at the nut corner of the edge", (0.0, 0.0))
        opened = [slot for slot in layout.slots if slot.through and slots_show_in_edge(layout.board)]
        places = [(edge.along_mm(edge.crossing(slot.line)[0]), 0.0) for slot in opened]
        return (nut, *(
            ZeroMark(f"in the middle of the slot of {slot.name} where it opens in the edge", place, slot.name)
            for slot, place in zip(opened, places, strict=True)
        ))  # fmt: skip
    numbers = {feature.identity: number for number, feature in enumerate(setup.features)}
    nut = ZeroMark("at the nut end of the finished board", (0.0, 0.0))
    return (nut, *(ZeroMark(f"in the middle of the slot of {slot.name}", (slot.line.x_mm(), 0.0), slot.name,
                            numbers.get(slot.identity)) for slot in layout.slots))  # fmt: skip


def on_carrier(setup: Setup, reaches: Sequence[Reach], travel_mm: float, carrier: Carrier) -> tuple[Setup, ...]:
    """Give the fewest positions on a carrier, none where its pitch allows none; reaches as its features."""
    windows = windows_by_pitch(reaches, travel_mm, carrier.pitch_mm)
    lying = setup.placement
    return tuple(
        replace(
            _position(setup, number, windows),
            placement=replace(lying, x_mm=lying.x_mm - window.steps * carrier.pitch_mm),
            lying=_lying_on_carrier(setup, (number, len(windows)), window.steps, Dowels.of(carrier, travel_mm)),
            zero=setup.name,
            raised_mm=setup.raised_mm + carrier.thickness_mm,
        )
        for number, window in enumerate(windows, 1)
    )


def by_marks(setup: Setup, reaches: Sequence[Reach], travel_mm: float, marks: Sequence[ZeroMark]) -> tuple[Setup, ...]:
    """Give the fewest positions with X zeroed again on slots, none where there is no slot to zero on."""
    places = [setup.placement.to_machine(mark.place).tolist() for mark in marks]
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
                lying=_lying_by_mark(setup, (number, len(windows)), marks[window.mark]),
                zero=position.name,
            )
        )
    return tuple(positions)


def _position(setup: Setup, number: int, windows: Sequence[Window]) -> Setup:
    """Give one position's setup, its features those of its window; what earlier windows cut is known as cut."""
    before = [member for window in windows[: number - 1] for member in window.members]
    return replace(
        setup,
        name=f"{setup.name}-{number}",
        features=_some(setup, windows[number - 1].members),
        cut_before=(*setup.cut_before, *_some(setup, before)),
    )


def _some(setup: Setup, members: Sequence[int]) -> tuple[Feature, ...]:
    return tuple(setup.features[member] for member in sorted(members))


@dataclass(frozen=True, slots=True)
class Dowels:
    """The bed's two dowels, ``apart`` pitches from each other, in a carrier's holes, numbered from 1."""

    apart: int
    pitch_mm: float

    @classmethod
    def of(cls, carrier: Carrier, travel_mm: float) -> "Dowels":
        """Give the dowels of a machine."""
        return cls(dowels_apart(carrier.pitch_mm, carrier.dowel_mm, travel_mm), carrier.pitch_mm)

    def holes(self, steps: int) -> str:
        """Name the holes that they are in after the board has moved by whole pitches."""
        return f"holes {1 + steps} and {1 + steps + self.apart}"


def _lying_on_carrier(setup: Setup, place: tuple[int, int], steps: int, dowels: Dowels) -> tuple[str, ...]:
    said = setup.lying if not steps else _zeroed(setup.lying, f"with the dowels in {dowels.holes(0)}, ")
    moved = (f"the board has then moved {steps * dowels.pitch_mm:.2f} mm to the left",) if steps else ()
    return (
        "position {} of {} along X, ".format(*place) + f"the dowels of the bed in {dowels.holes(steps)} of the carrier",
        *moved,
        f"X and Y are zeroed once, with the dowels in {dowels.holes(0)}, and kept for every position",
        *(sentence.replace("flat on the bed", "flat on the carrier") for sentence in said),
    )


def _lying_by_mark(setup: Setup, place: tuple[int, int], mark: ZeroMark) -> tuple[str, ...]:
    head = "position {} of {} along X".format(*place)
    if not mark.slot:
        return (f"{head}, zeroed at the nut", *setup.lying)
    return (
        f"{head}, zeroed again on the slot of {mark.slot}, which must be cut already",
        "the board moved to the left without turning, the nut end beyond the travel",
        "check Y0 at both ends of what is cut here, find the middle of the slot with a snug pin or feeler",
        *_zeroed(setup.lying, "", mark.words),
    )


def _zeroed(lying: Sequence[str], before: str, at: str = "") -> tuple[str, ...]:
    """Give the sentences with those of X0 told anew: ``before`` them when they hold, or X0 ``at`` another place."""
    told = []
    for sentence in lying:
        if not sentence.startswith("X0 "):
            told.append(sentence)
        elif not at:
            told.append(before + sentence)
        elif ", " in sentence:  # the others say where X0 lies in the blank
            rest = sentence.partition(", ")[2].replace("on its centre line", "on the centre line of the board")
            told.append(f"X0 {at}, {rest}")
    return tuple(told)
