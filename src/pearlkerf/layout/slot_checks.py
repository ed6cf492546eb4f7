"""Cross-checks of fret slots: wood between them, under them and beside them."""

import math
from collections.abc import Iterator
from itertools import pairwise

from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, at_least, at_most, down, one_of, up, weigh, wood
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import FLOOR, LEVEL_FLOOR_MM, ROUNDING_MM, SHORTEST_SLOT_WIDTHS, WALL
from pearlkerf.layout.slots import deepest_mm, length_in_core_mm


def check_wood_between_slots(laid: Laid) -> Iterator[Remark]:
    """Neighbouring slots leave wood between them; by the formula the last two lie nearest to each other."""
    slots, numbers = laid.board.fret_slots, laid.slotted
    if slots is None or len(numbers) < 2:
        return
    gaps = [laid.line(one).apart_mm(laid.line(other)) for one, other in pairwise(numbers)]
    width, least = 2 * laid.half_slot_mm, min(gaps)
    near_to = gaps.index(least)
    one, other = numbers[near_to : near_to + 2]

    def near(limit_mm: float) -> Problem:
        fits = next(n for n, gap in zip(numbers, gaps, strict=False) if gap < width + limit_mm)
        as_steps = laid.board.scale.steps or laid.board.scale.cents
        fewer = f"leave fret {one} out, in scale.left_out" if as_steps else f"use at most {fits} frets"
        return Problem(
            key="fret_slots.width",
            found=f"{wood(least - width)} stays between the slots of frets {one} and {other}",
            allowed=at_least(WALL),
            hint=one_of(at_most(least - limit_mm - slots.fit_mm, "a width"), fewer),
        )

    yield from weigh(least - width, WALL, near)


def check_wood_under_slots(laid: Laid) -> Iterator[Remark]:
    """Slots that are cut here leave wood under their lowest point within the finished outline."""
    board, slots = laid.board, laid.board.fret_slots
    if slots is None or not laid.to_cut:
        return
    worst = max(laid.to_cut, key=lambda slot: deepest_mm(laid, slot))
    deepest = deepest_mm(laid, worst)
    left = board.thickness_mm - deepest

    def thin(limit_mm: float) -> Problem:
        return Problem(
            key="fret_slots.depth",
            found=f"{wood(left)} stays under {worst.name}, whose slot ends {deepest:.2f} mm below the top of the blank",
            allowed=at_least(FLOOR),
            hint=one_of(
                at_most(slots.depth_mm - (limit_mm - left), "a depth"),
                f"use a blank of at least {up(board.thickness_mm + limit_mm - left)} mm",
            ),
        )

    yield from weigh(left, FLOOR, thin)


def check_waste_of_blank(laid: Laid) -> Iterator[Remark]:
    """A floor that follows the radius falls on beyond the outline, and must not saw the blank into strips."""
    board = laid.board
    if board.blank is None or board.fret_slots is None or not laid.to_cut:
        return
    through = [slot for slot in laid.to_cut if slot.through and slot.floor.crown is not None]
    if not through:
        return
    lowest = [max(-float(slot.floor.z_mm(*end)) for end in slot.ends) for slot in through]
    worst = through[lowest.index(max(lowest))]
    left = board.thickness_mm - max(lowest)

    def falls_apart(limit_mm: float) -> Problem:
        room = board.thickness_mm - limit_mm - board.crown_allowance_mm - board.fret_slots.depth_mm  # type: ignore[union-attr]
        radius = float(laid.surface.radius_mm([x for slot in through for x, _ in slot.ends]).min())
        width = 2 * math.sqrt(max(room * (2 * radius - room), 0.0))
        return Problem(
            key="blank.width",
            found=f"{wood(left)} stays under {worst.name} at the edge of the blank, so that it falls apart",
            allowed=at_least(WALL),
            hint=one_of(
                f"cut the blank to at most {down(width)} mm first" if width > laid.edges.finished.width_mm(0.0) else "",
                'use fret_slots.ends = "stopped"',
            ),
        )

    yield from weigh(left, WALL, falls_apart)


def check_slots_leave_over_the_long_sides(laid: Laid) -> Iterator[Remark]:
    """A slanted through slot leaves the wood over its long sides, not over an end of a blank."""
    blank = laid.board.blank
    through = [slot for slot in (*laid.to_cut, *laid.trims) if slot.through]
    if blank is None or not through or not laid.board.scale.slanted:
        return
    (near, _), (far, _) = laid.edges.wood.box_mm
    half = laid.half_slot_mm
    left = [(x - near - half, "nut", slot) for slot in through for x, _ in slot.ends]
    left += [(far - x - half, "end", slot) for slot in through for x, _ in slot.ends]
    least, end, slot = min(left, key=lambda each: each[0])

    def runs_out(limit_mm: float) -> Problem:
        has = blank.beyond_nut_mm if end == "nut" else blank.beyond_end_mm
        return Problem(
            key=f"blank.beyond_{end}",
            found=f"{wood(least)} stays between the slot of {slot.name} and the end of the blank, beside the board",
            allowed=at_least(WALL),
            hint=f"use a blank with at least {up(has + limit_mm - least)} mm there, or a narrower one",
        )

    yield from weigh(least, WALL, runs_out)


def check_stopped_slots(laid: Laid) -> Iterator[Remark]:
    """Stopped slots leave wood beyond their tips, and are long enough to be slots."""
    board, slots = laid.board, laid.board.fret_slots
    if slots is None or slots.ends != "stopped" or not laid.to_cut:
        return

    bound = board.binding is not None and board.binding.put_on == "before"
    opened = "" if bound else 'use ends = "through"'
    behind = 0.0 if board.binding is None else board.binding.thickness_mm

    def splits(limit_mm: float) -> Problem:
        return Problem(
            key="fret_slots.margin",
            found=f"{wood(slots.margin_mm + behind)} stays between the stopped slots and the edge",
            allowed=at_least(WALL),
            hint=one_of(f"use a margin of at least {up(limit_mm - behind)} mm", opened),
        )

    yield from weigh(slots.margin_mm + behind, WALL, splits)
    shortest = min(laid.to_cut, key=lambda slot: length_in_core_mm(laid, slot))
    length, least = length_in_core_mm(laid, shortest), SHORTEST_SLOT_WIDTHS * shortest.width_mm
    if length < least - ROUNDING_MM:
        widest = slots.margin_mm + (length - least) / 2
        yield Remark("refused", Problem(
            key="fret_slots.margin",
            found=f"the stopped slot of {shortest.name} would be {max(length, 0.0):.2f} mm long",
            allowed=f"at least {up(least)} mm, four widths",
            hint=one_of(at_most(widest, "a margin"), opened),
        ))  # fmt: skip


def note_level_floor(laid: Laid) -> Iterator[Remark]:
    """A level floor under a radius is deeper in the middle than was asked for; say by how much."""
    board, slots = laid.board, laid.board.fret_slots
    if slots is None or slots.floor != "level" or not laid.to_cut or "fret_slots.floor" in board.unusual:
        return
    deepest = max(laid.to_cut, key=lambda slot: deepest_mm(laid, slot))
    depth = deepest_mm(laid, deepest) - board.crown_allowance_mm
    if depth - slots.depth_mm > LEVEL_FLOOR_MM:
        yield Remark("doubtful", Problem(
            key="fret_slots.floor",
            found=f"a level floor under the radius lies up to {depth:.2f} mm below the finished surface on the centre "
            f"line ({deepest.name}), {depth - slots.depth_mm:.2f} mm more than the depth asked for",
            allowed="that is what a level floor means",
            hint='use floor = "follow" to keep the depth the same all along the slot; if it is meant so, write '
            'unusual = ["fret_slots.floor"] at the top of the file',
        ))  # fmt: skip


SLOT_CHECKS = (
    check_wood_between_slots,
    check_wood_under_slots,
    check_waste_of_blank,
    check_slots_leave_over_the_long_sides,
    check_stopped_slots,
    note_level_floor,
)
