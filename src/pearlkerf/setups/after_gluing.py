"""Slots that are cut once the pieces of inlays are glued in: a part of the job of their own, at the second visit.

first visit     pockets, dots, and every slot that crosses no such inlay
the bench       pieces glued in, the glue hard and scraped off, nothing levelled
second visit    the slots that cross them, by the slower material's figures, Z zeroed again on the wood
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Feature, Identity
from pearlkerf.layout.model import Layout
from pearlkerf.layout.names import in_ranges
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Machine
from pearlkerf.setups.lying import PartOfJob
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.selection import EVERYTHING, Choice, choose_part


def slots_after_gluing(layout: Layout) -> frozenset[Identity]:
    """Give the slots that cross inlays whose pieces are glued in before."""
    inlays = [part for part in layout.inlays if part.inlay.slots == "after"]
    if not inlays:
        return frozenset()
    from pearlkerf.layout.inlay_walls import crossed_by

    return frozenset(slot.identity for part in inlays for slot in crossed_by(part, layout.to_cut))


def at_this_visit(clampings: Clampings, machine: Machine, choice: Choice) -> Clampings:
    """Give the clampings of the visit that a choice is for: the second, where it names only slots that wait for it.

    Else the first, with a word on what is left for the second.
    """
    later = slots_after_gluing(clampings.layout)
    if not later:
        return clampings
    part = None if choice == EVERYTHING else choose_part(clampings, _orders(clampings), choice)
    if part is not None and all(feature.identity in later for feature in _features(part)):
        return replace(clampings, setups=tuple(_second(setup, later, clampings, machine) for setup in clampings.setups))
    setups = tuple(first for setup in clampings.setups if (first := _first(setup, later)).features)
    return replace(clampings, setups=setups, warnings=(*clampings.warnings, _left(clampings, later)))


def _orders(clampings: Clampings) -> list[Sequence[Feature]]:
    return [setup.features for setup in clampings.setups]


def _features(clampings: Clampings) -> list[Feature]:
    return [feature for setup in clampings.setups for feature in setup.features]


def _first(setup: Setup, later: frozenset[Identity]) -> Setup:
    return replace(setup, features=tuple(each for each in setup.features if each.identity not in later))


def _second(setup: Setup, later: frozenset[Identity], clampings: Clampings, machine: Machine) -> Setup:
    """Give a setup at the second visit: with those slots alone, all else is there."""
    kept = tuple(each for each in setup.features if each.identity in later)
    if not kept:
        return setup
    there = tuple(each for each in setup.features if each.identity not in later)
    materials = {part.inlay.material for part in clampings.layout.inlays if part.inlay.slots == "after"}
    part = replace(setup.lying.part or PartOfJob((), ""), glued=True)
    return replace(
        setup,
        wood=slowest([setup.wood, *sorted(each for each in materials if each)], machine),
        features=kept,
        cut_before=(*setup.cut_before, *there),
        lying=replace(setup.lying, part=part),
    )


def slowest(materials: Sequence[str], machine: Machine) -> str:
    """Give the material that the thinnest end mill clears most slowly, by feed and bite; the first of equals."""
    mills = [cutter for cutter in machine.cutters if cutter.kind == "end mill"] or list(machine.cutters)
    thin = min(mills, key=lambda cutter: (cutter.diameter_mm, cutter.number))
    figures = {each: cutting_figures(machine, thin, each) for each in materials}
    return min(materials, key=lambda each: figures[each].feed_mm_min * figures[each].bite_mm)


def _left(clampings: Clampings, later: Iterable[Identity]) -> Problem:
    """Tell which slots are left, and how they are made."""
    named = " ".join(in_ranges(sorted(each.number for each in later)))
    inlay = next(part.inlay for part in clampings.layout.inlays if part.inlay.slots == "after")
    return Problem(
        key=inlay.key("slots"),
        found=f"the slots of frets {named} cross inlays and are left: they are cut once the pieces are glued in",
        hint=f'then make them as a part of the job, --only "frets {named}"',
    )
