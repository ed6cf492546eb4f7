"""Slots that are cut once the pieces of inlays are glued in: a part of the job of their own, at the second visit.

first visit     pockets, dots, and every slot that crosses no such inlay
the bench       pieces glued in, the glue hard and scraped off, nothing levelled
second visit    the slots that cross them, by the slower material's figures, Z zeroed again on the wood

The second visit is a setup of its own, "glued": its stock is as high as the pieces stand, and what is told of it is
more than of the first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import shown
from pearlkerf.layout.features import Feature, Identity, Slot
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.model import Layout
from pearlkerf.layout.names import in_ranges
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.materials import kind_of
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.setups.lying import GluedIn
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.selection import EVERYTHING, Choice, choose_part


def slots_after_gluing(layout: Layout) -> frozenset[Identity]:
    """Give the slots that cross inlays whose pieces are glued in before."""
    return frozenset(slot.identity for _, slot in _crossed(layout))


def _crossed(layout: Layout) -> list[tuple[InlayPart, Slot]]:
    inlays = [part for part in layout.inlays if part.inlay.slots == "after"]
    if not inlays:
        return []
    from pearlkerf.layout.inlay_walls import crossed_by

    slots = [each for each in layout.to_cut if isinstance(each, Slot)]
    return [(part, slot) for part in inlays for slot in crossed_by(part, slots)]


def at_this_visit(clampings: Clampings, machine: Machine, choice: Choice) -> Clampings:
    """Give the clampings of the visit that a choice is for: the second, where it names only slots that wait for it.

    Else the first, with a word on what is left for the second.
    """
    later = slots_after_gluing(clampings.layout)
    if not later:
        return clampings
    part = None if choice == EVERYTHING else choose_part(clampings, _orders(clampings), choice)
    if part is not None and all(feature.identity in later for feature in _features(part)):
        return second_visit(clampings, machine)
    first = first_visit(clampings)
    return replace(first, warnings=(*first.warnings, _left(clampings, later)))


def _orders(clampings: Clampings) -> list[Sequence[Feature]]:
    return [setup.features for setup in clampings.setups]


def _features(clampings: Clampings) -> list[Feature]:
    return [feature for setup in clampings.setups for feature in setup.features]


def first_visit(clampings: Clampings) -> Clampings:
    """Give the clampings without what is cut at the second visit."""
    later = slots_after_gluing(clampings.layout)
    setups = (_first(setup, later) for setup in clampings.setups)
    return replace(clampings, setups=tuple(setup for setup in setups if setup.features))


def _first(setup: Setup, later: frozenset[Identity]) -> Setup:
    return replace(setup, features=tuple(each for each in setup.features if each.identity not in later))


def second_visit(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings of the second visit; none where nothing is cut at one."""
    crossed = _crossed(clampings.layout)
    if not crossed:
        return replace(clampings, setups=())
    setups = (_second(setup, crossed, clampings.layout, machine) for setup in clampings.setups)
    return replace(clampings, setups=tuple(setup for setup in setups if setup.features))


def _second(setup: Setup, crossed: Sequence[tuple[InlayPart, Slot]], layout: Layout, machine: Machine) -> Setup:
    """Give a setup at the second visit: with those slots alone, all else is there, and so are the pieces."""
    from pearlkerf.layout.inlay_walls import stands_mm

    later = {slot.identity for _, slot in crossed}
    kept = tuple(each for each in setup.features if each.identity in later)
    there = tuple(each for each in setup.features if each.identity not in later)
    materials = tuple(dict.fromkeys(piece.inlay.material for part, _ in crossed for piece in part.pieces))
    stands = max(0.0, *(stands_mm(layout, part) for part, _ in crossed))
    pockets = tuple((part.pocket.number, part.inlay.material) for part in layout.inlays)
    glued = GluedIn(materials, stands, setup.wood, pockets)
    looked_at = _looked_at(kept, there)
    if looked_at is not None:
        glued = replace(glued, slot=looked_at.name, at=(looked_at.line.x_mm(), 0.0))
    return replace(
        setup,
        wood=slowest([setup.wood, *materials], machine),
        stock=replace(setup.stock, glued_mm=stands),
        features=kept,
        cut_before=(*setup.cut_before, *there),
        lying=replace(setup.lying, glued=glued),
    )


def _looked_at(kept: Sequence[Feature], there: Sequence[Feature]) -> Slot | None:
    """Give the slot of the first visit that lies nearest to those of the second; None where there is none."""
    if not kept:
        return None
    slots = [each for each in there if isinstance(each, Slot) and each.group == "frets"]
    return min(slots, key=lambda slot: (abs(slot.anchor[0] - kept[0].anchor[0]), slot.number), default=None)


def slowest(materials: Sequence[str], machine: Machine) -> str:
    """Give the material that the thinnest end mill clears most slowly, by feed and bite; the first of equals."""
    mills = [cutter for cutter in machine.cutters if cutter.kind == "end mill"] or list(machine.cutters)
    thin = min(mills, key=lambda cutter: (cutter.diameter_mm, cutter.number))
    figures = {each: cutting_figures(machine, thin, each) for each in materials}
    return min(materials, key=lambda each: figures[each].feed_mm_min * figures[each].bite_mm)


def without_figures(setup: Setup, cutters: Iterable[Cutter]) -> list[Problem]:
    """Refuse to cut through pieces of which no table knows figures, with a cutter that does not state its own."""
    if setup.lying.glued is None:
        return []
    through = [(each, material) for each in cutters for material in setup.lying.glued.materials]
    return [
        Problem(
            key=f"cutter.{cutter.number}",
            found=f"how {shown(material)} is cut with this {cutter.kind} no table knows, and cutter {cutter.number} "
            "states no figures",
            allowed="a material that is known, or a cutter with its own figures",
            hint=f"give cutter {cutter.number} speed, feed, plunge_feed and bite, from its maker's sheet, or write "
            'slots = "by hand" for the inlay',
        )
        for cutter, material in through if not (cutter.states_its_figures or _is_known(material, cutter))
    ]  # fmt: skip


def _is_known(material: str, cutter: Cutter) -> bool:
    """Say whether the tables know a material for a cutter: of saws in shell they know nothing."""
    return kind_of(material) in (("wood",) if cutter.kind == "saw" else ("wood", "shell"))


def _left(clampings: Clampings, later: Iterable[Identity]) -> Problem:
    """Tell which slots are left, and how they are made."""
    named = " ".join(in_ranges(sorted(each.number for each in later)))
    inlay = next(part.inlay for part in clampings.layout.inlays if part.inlay.slots == "after")
    return Problem(
        key=inlay.key("slots"),
        found=f"the slots of frets {named} cross inlays and are left: they are cut once the pieces are glued in",
        hint=f'then make them as a part of the job, --only "frets {named}"',
    )
