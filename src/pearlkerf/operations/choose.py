"""Which cutter takes a feature, and by which strategy."""

from collections.abc import Callable, Iterable, Mapping
from typing import Final, NamedTuple

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.channels import Channel
from pearlkerf.layout.features import Feature, Hole, Pocket, Slot
from pearlkerf.layout.groups import GROUPS
from pearlkerf.machine.cutting import is_known_wood
from pearlkerf.machine.model import Cutter, CutterKind
from pearlkerf.machine.woods import leads_astray
from pearlkerf.operations.model import Strategy
from pearlkerf.operations.pocket_cutters import reaches_all
from pearlkerf.operations.saws import cone_mm, slants, why_not_sawn
from pearlkerf.operations.sooner import rounded_up_mm
from pearlkerf.operations.tolerances import (
    A_HAIR_MM,
    HOLE_CUTTER_MATCH_MM,
    LEAST_ORBIT_MM,
    MILL_CONE_MM,
    MILL_SLANT_MM,
    ROOMY_BORE,
    ROUNDING_MM,
    SLOT_CUTTER_MATCH_MM,
    WOOD_LEFT_MM,
)
from pearlkerf.setups.model import Setup


class Chosen(NamedTuple):
    """The cutter that takes a feature, and its strategy."""

    cutter: Cutter
    strategy: Strategy


# kinds whose point comes first, and slides to the softer side where the grain leads it astray
POINTED: tuple[CutterKind, ...] = ("brad point", "twist drill")


def choose(feature: Feature, setup: Setup, cutters: Iterable[Cutter]) -> Chosen | Problem:
    """Give the cutter and strategy for a feature, or the problem that none serves, or not the one that must."""
    depth = feature.depth_below_top_mm(setup.stock)
    able = tuple(cutter for cutter in cutters if feature.cutter in (None, cutter.number))
    return CHOOSING[type(feature)](feature, depth, setup, able)


def _choose_for_slot(slot: Slot, depth_mm: float, setup: Setup, cutters: tuple[Cutter, ...]) -> Chosen | Problem:
    saws = {c: why_not_sawn(slot, depth_mm, setup, c) for c in cutters if c.kind == "saw"}
    able = [c for c, why in saws.items() if not why]
    if able:
        return Chosen(min(able, key=lambda c: (abs(c.width_mm - slot.width_mm), c.number)), "sawn")
    mills = _mills(cutters, depth_mm)
    width = slot.width_mm

    def off(cutter: Cutter) -> float:
        return abs(cutter.diameter_mm - width)

    equal = [c for c in mills if off(c) <= SLOT_CUTTER_MATCH_MM + ROUNDING_MM]
    narrower = [c for c in mills if c.diameter_mm < width]
    if (equal or narrower) and cone_mm(slot, width) > _most_uneven_mm(slot):
        return _too_uneven(slot, cone_mm(slot, width))
    if equal:
        return Chosen(min(equal, key=lambda c: (off(c), c.number)), "full width")
    if narrower:
        return Chosen(max(narrower, key=lambda c: (c.diameter_mm, -c.number)), "side passes")
    unable = "".join(f"; the saw, cutter {c.number}, does not serve: {why}" for c, why in saws.items())
    return _none_serves(slot, f"{slot.in_words(depth_mm)}{unable}", depth_mm, cutters)


def _most_uneven_mm(slot: Slot) -> float:
    """Give by how much a slot's floor may differ from wall to wall for a flat cutter, which cuts it level."""
    return MILL_SLANT_MM if slants(slot) else MILL_CONE_MM


def _too_uneven(slot: Slot, cone_mm: float) -> Problem:
    hint = "use larger radii" if slants(slot) else "bring the two radii nearer to each other"
    return Problem(
        key="board.radius",
        found=f"{slot.name}: the floor lies {cone_mm:.3f} mm deeper at one wall of the slot than at the other",
        allowed=f"at most {_most_uneven_mm(slot):.3f} mm for a flat cutter, which cuts level from wall to wall",
        hint=f'{hint}, make the slots narrower, or write floor = "level"',
    )


def _choose_for_hole(hole: Hole, depth_mm: float, setup: Setup, cutters: tuple[Cutter, ...]) -> Chosen | Problem:
    wanted, kinds = hole.diameter_mm, GROUPS[hole.group].drills
    room_mm = setup.stock.thickness_mm + hole.floor_mm - WOOD_LEFT_MM
    drills = [
        c
        for c in cutters
        if c.kind in kinds
        and c.plunges
        and abs(c.diameter_mm - wanted) <= HOLE_CUTTER_MATCH_MM + ROUNDING_MM
        and c.reach_mm >= depth_mm + c.point_length_mm - ROUNDING_MM
        and c.point_length_mm <= room_mm + ROUNDING_MM
    ]
    drill = min(drills, key=lambda c: (kinds.index(c.kind), abs(c.diameter_mm - wanted), c.number), default=None)
    wanders = drill is not None and drill.kind in POINTED and leads_astray(setup.wood)
    if drill is not None and not wanders:
        return Chosen(drill, "plunge")
    largest = wanted - 2 * LEAST_ORBIT_MM
    mills = [c for c in _mills(cutters, depth_mm) if c.diameter_mm <= largest]
    roomy = [c for c in mills if c.diameter_mm <= ROOMY_BORE * wanted]
    if drill is not None and not (roomy and is_known_wood(setup.wood)):
        return Chosen(drill, "spotted plunge")
    if mills:
        return Chosen(max(roomy or mills, key=lambda c: (c.diameter_mm, -c.number)), "bore")
    return _none_serves(hole, hole.in_words(depth_mm), depth_mm, cutters)


def _choose_for_pocket(pocket: Pocket, depth_mm: float, setup: Setup, cutters: tuple[Cutter, ...]) -> Chosen | Problem:  # noqa: ARG001
    mills = _mills(cutters, depth_mm)
    able = [c for c in mills if reaches_all(pocket, c)]
    if able:
        return Chosen(max(able, key=lambda c: (c.diameter_mm, -c.number)), "ring by ring")
    deep, listed = rounded_up_mm(depth_mm), _listed(cutters)
    return Problem(
        key=GROUPS[pocket.group].size_key,
        found=f"no cutter of the machine profile comes into all of {pocket.name}, {pocket.in_words(depth_mm)}",
        allowed=f"an end mill with a reach of at least {deep:g} mm, thinner than its narrowest place; it has {listed}",
        hint=f'add a thinner [[cutter]] of kind "end mill" to the profile, reach {deep:g} or more',
    )


def _choose_for_channel(
    channel: Channel,
    depth_mm: float,
    setup: Setup,  # noqa: ARG001
    cutters: tuple[Cutter, ...],
) -> Chosen | Problem:
    """Give the cutter for which a channel is laid out; its width is that cutter's."""
    able = _mills(cutters, depth_mm)
    return Chosen(able[0], "round it") if able else _none_serves(channel, channel.in_words(depth_mm), depth_mm, cutters)


def _mills(cutters: tuple[Cutter, ...], depth_mm: float) -> list[Cutter]:
    """Give the mills that reach so deep."""
    return [c for c in cutters if c.kind == "end mill" and c.reach_mm >= depth_mm - ROUNDING_MM]


def _listed(cutters: tuple[Cutter, ...]) -> str:
    return ", ".join(f"{c.number}: {c.kind} {c.diameter_mm:g} mm, reach {c.reach_mm:g} mm" for c in cutters)


def _none_serves(feature: Feature, what: str, depth_mm: float, cutters: tuple[Cutter, ...]) -> Problem:
    wanted = feature.width_mm
    deep, listed = rounded_up_mm(depth_mm), _listed(cutters)
    return Problem(
        key=GROUPS[feature.group].size_key,
        found=f"no cutter of the machine profile cuts {feature.name}, {what}",
        allowed=f"an end mill of at most {wanted:.3f} mm with a reach of at least {deep:g} mm; it has {listed}",
        hint=f'add a [[cutter]] of kind "end mill" to the profile, with a diameter of {wanted:.3f} mm or less and a '
        f"reach of {deep:g} mm or more{_or_as_wide(feature, depth_mm, cutters)}",
    )


def _or_as_wide(feature: Feature, depth_mm: float, cutters: tuple[Cutter, ...]) -> str:
    """Give what would do besides: a fret's slot as wide as a mill that is a hair too wide for it."""
    near = [c for c in _mills(cutters, depth_mm) if 0 < c.diameter_mm - feature.width_mm <= A_HAIR_MM]
    mill = min(near, key=lambda c: c.diameter_mm, default=None)
    if mill is None or feature.group != "frets":
        return ""
    as_wide = as_written(mill.diameter_mm, 3)
    return f"; or make the slots {as_wide} wide, as cutter {mill.number} is, if a coupon shows that the wire holds"


# how each kind of feature comes by its cutter
CHOOSING: Final[Mapping[type[Feature], Callable[..., Chosen | Problem]]] = {
    Slot: _choose_for_slot,
    Hole: _choose_for_hole,
    Pocket: _choose_for_pocket,
    Channel: _choose_for_channel,
}
