"""Fret slots: where they run and how deep.

crown_allowance    ______-------______     raw top, flat
                  |  .---------------. |   finished surface, s(y) below the crown
depth             | '                 '|
                  |  .---------------. |   floor that follows: crown_allowance + s(y) + depth
"level" -----------'-----------------'--   level floor: the largest s of the slot

       ___-------___            a level floor comes out of a radiused blank where its raw top falls below it:
    .-'             '-.         there the slot ends, though the blank goes on
  .'-------------------'. floor
"""

from collections.abc import Sequence

from pearlkerf.board.model import FretSlots, Partial
from pearlkerf.layout.features import Slot
from pearlkerf.layout.frets import fret_line
from pearlkerf.layout.ground import Ground
from pearlkerf.layout.lines import Line, Point
from pearlkerf.layout.surfaces import Crown, Floor


def fret_slots(ground: Ground) -> tuple[Slot, ...]:
    """Give all slots, fret 1 first; none where the board has no table of them."""
    slots = ground.board.fret_slots
    if slots is None:
        return ()
    return tuple(_slot(ground, slots, number) for number in ground.slotted)


def _slot(ground: Ground, slots: FretSlots, number: int) -> Slot:
    """Through slots leave the wood on the machine at both ends; stopped ones end inside the outline and its binding."""
    line, through = ground.line(number), slots.ends == "through"
    partial = next((each for each in ground.board.partial if each.fret == number), None)
    through = through and partial is None
    inside = _shorter(ground.edges.core.across(line), 0.0 if through else slots.margin_mm)
    if partial is not None:
        inside = _under_strings(ground, partial, inside)
    crown_z = -(ground.board.crown_allowance_mm + slots.depth_mm)
    if slots.floor == "follow":
        floor = Floor(crown_z, ground.surface)
    else:
        ends = _within(line, (inside,))
        floor = Floor(crown_z - max(float(ground.surface.fall_mm(x, y)) for x, y in ends))
    reach = _in_the_wood(ground, ground.edges.wood.across(line), floor) if through else inside
    return Slot(
        group="frets",
        number=number,
        name=f"fret {number}",
        start=reach.start,
        end=reach.end,
        width_mm=slots.width_mm + slots.fit_mm,
        floor=floor,
        through=through,
    )


def _in_the_wood(ground: Ground, across: Line, floor: Floor) -> Line:
    """Give how far a through slot goes across the wood: to its edges, or to where its floor comes out of the top."""
    if ground.board.state == "flat" or floor.crown is not None:
        return across
    middle = across.x_mm(0.0), 0.0
    return Line(*(_last_deep(ground.surface, floor, Line(middle, end)) for end in (across.start, across.end)))


def _last_deep(raw: Crown, floor: Floor, way: Line) -> Point:
    """Give the last point of a way out from the crown line at which the raw top is not below a level floor."""

    def at(share: float) -> Point:
        (x, y), (end_x, end_y) = way.start, way.end
        return x + share * (end_x - x), y + share * (end_y - y)

    def is_deep(point: Point) -> bool:
        return -float(raw.fall_mm(*point)) >= floor.crown_z_mm

    low, high = 0.0, 1.0
    if is_deep(way.end):
        return way.end
    while at((low + high) / 2) not in (at(low), at(high)):
        middle = (low + high) / 2
        low, high = (middle, high) if is_deep(at(middle)) else (low, middle)
    return at(low)


def _under_strings(ground: Ground, partial: Partial, room: Line) -> Line:
    """Give a partial fret's line: half a string's distance beyond its outer strings, or as far as there is room."""
    board = ground.board
    count = 1 if board.strings is None else board.strings.count
    line = fret_line(board, partial.fret, ground.line(partial.fret).x_mm())
    first, last = partial.strings
    treble, bass = ((count - first + 0.5) / (count - 1), (count - last - 0.5) / (count - 1))  # from the bass string
    low, high = (bass, treble) if ground.edges.bass.side < 0 else (1 - treble, 1 - bass)
    (_, y), (_, far_y) = line.start, line.end
    low_y, high_y = (y + (far_y - y) * share for share in (low, high))
    low_y, high_y = max(low_y, room.start[1]), min(high_y, room.end[1])
    return Line((line.x_mm(low_y), low_y), (line.x_mm(high_y), high_y))


def _shorter(line: Line, by_mm: float) -> Line:
    """Give a line without so much of it at either end."""
    (x, y), (end_x, end_y), (along_x, along_y) = line.start, line.end, line.along
    off_x, off_y = by_mm * along_x, by_mm * along_y
    return Line((x + off_x, y + off_y), (end_x - off_x, end_y - off_y))


def _within(line: Line, parts: Sequence[Line]) -> tuple[Point, Point]:
    """Give the ends of what parts of a line have in common, low Y first; on the centre line where that is nothing."""
    low = min(max(part.start[1] for part in parts), 0.0)
    high = max(min(part.end[1] for part in parts), 0.0)
    return (line.x_mm(low), low), (line.x_mm(high), high)


def length_in_core_mm(ground: Ground, slot: Slot) -> float:
    """Give how long a stopped slot is, its line within the core less a margin at either end; below 0 there is none."""
    if any(each.fret == slot.number for each in ground.board.partial):
        return slot.line.length_mm
    slots = ground.board.fret_slots
    margin = slots.margin_mm if slots is not None else 0.0
    return ground.edges.core.across(ground.line(slot.number)).length_mm - 2 * margin


def deepest_mm(ground: Ground, slot: Slot) -> float:
    """Give the lowest point of a slot's floor inside outline and binding, mm below the blank's top at the crown."""
    line = ground.line(slot.number)
    ends = _within(line, (ground.edges.core.across(line), slot.line))
    return max(-float(slot.floor.z_mm(x, y)) for x, y in ends)
