"""What a fretwire asks of its slot: as wide as the bare tang and a hair more, deeper than the tang by a little.

All figures are common practice, no source.
"""

from collections.abc import Iterator
from typing import Final

from pearlkerf.board.model import Board, FretSlots
from pearlkerf.board.usual import ROUNDING_MM, Bounds, Doubts, meant
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit
from pearlkerf.files.toml_values import mm_text
from pearlkerf.machine.woods import find_wood

HARDEST_N: Final = 13000  # Janka: ebony and woods as hard give least
OVER_TANG_MM: Final[dict[str, Bounds]] = {
    "hardest": (0.06, 0.09),
    "dense": (0.05, 0.07),
    "banded": (0.05, 0.07),
    "hard": (0.03, 0.06),
    "unknown": (0.03, 0.09),
}
STAINLESS_MM: Final = 0.02  # more than that for wire that does not give
BITE_OF_BARBS_MM: Final = 0.08  # that the barbs must stand beyond both walls together
BELOW_TANG_MM: Final[Bounds] = (0.3, 0.5)


def over_tang_mm(wood: str) -> Bounds:
    """Give how much wider than the bare tang a slot is in a wood, least and most, mm.

    >>> over_tang_mm("ebony"), over_tang_mm("rosewood"), over_tang_mm("flamed maple"), over_tang_mm("")
    ((0.06, 0.09), (0.05, 0.07), (0.03, 0.06), (0.03, 0.09))
    """
    found = find_wood(wood)
    if found is None:
        return OVER_TANG_MM["unknown"]
    return OVER_TANG_MM["hardest" if found.of == "dense" and found.hardness_n >= HARDEST_N else found.of]


def fretwire_doubts(board: Board, unit: Unit | None) -> Doubts:
    """Hold the slots against the fretwire that was measured; nothing is asked of a wire that was not."""
    slots = board.fret_slots
    if slots is None:
        return Doubts()
    refused = [*_wire_itself(slots, unit)]
    if "fret_slots.width" not in board.unusual:
        refused += _width_refused(slots, unit)
    if "fret_slots.depth" not in board.unusual:
        refused += _depth_refused(slots, unit)
    keys = {each.key for each in refused} | set(board.unusual)
    doubtful = (each for each in (*_width_doubted(board, slots, unit), *_depth_doubted(slots, unit)))
    return Doubts(tuple(refused), tuple(each for each in doubtful if each.key not in keys))


def _wire_itself(slots: FretSlots, unit: Unit | None) -> Iterator[Problem]:
    tang, barbs = slots.tang_mm, slots.barbs_mm
    if tang is not None and barbs is not None and barbs < tang:
        yield Problem(key="fret_slots.barbs", found=f"over its barbs the tang is {mm_text(barbs, unit)} wide, bare "
                      f"{mm_text(tang, unit)}", allowed="at least the bare tang's width",
                      hint="look whether tang and barbs are changed about")  # fmt: skip


def _width_refused(slots: FretSlots, unit: Unit | None) -> Iterator[Problem]:
    width = slots.width_mm + slots.fit_mm
    if slots.tang_mm is not None and width < slots.tang_mm - ROUNDING_MM:
        yield _width(slots, unit, f"is narrower than the bare tang of {mm_text(slots.tang_mm, unit)}: it spreads the "
                     "wood, and bends the neck back", f"at least {mm_text(slots.tang_mm, unit)}")  # fmt: skip
    if slots.barbs_mm is not None and width > (most := slots.barbs_mm - BITE_OF_BARBS_MM) + ROUNDING_MM:
        yield _width(slots, unit, f"lets go of barbs that are {mm_text(slots.barbs_mm, unit)} wide: the fret lifts",
                     f"at most {mm_text(round(most, 4), unit)}")  # fmt: skip


def _width_doubted(board: Board, slots: FretSlots, unit: Unit | None) -> Iterator[Problem]:
    tang, width = slots.tang_mm, slots.width_mm + slots.fit_mm
    if tang is None:
        return
    low, high = (tang + over for over in over_tang_mm(board.wood))
    if not low - ROUNDING_MM <= width <= high + STAINLESS_MM + ROUNDING_MM:
        way = ("is tight for" if width < low else "is loose for") + f" a bare tang of {mm_text(tang, unit)}"
        wood = board.wood or "a wood without a name"
        asked = f"in {wood} {mm_text(round(low, 4), unit)} to {mm_text(round(high, 4), unit)}"
        yield _width(slots, unit, way, f"{asked}, {STAINLESS_MM:g} mm more for stainless wire")


def _width(slots: FretSlots, unit: Unit | None, found: str, allowed: str) -> Problem:
    width = mm_text(round(slots.width_mm + slots.fit_mm, 4), unit)
    return Problem(key="fret_slots.width", found=f"a slot of {width} {found}", allowed=allowed,
                   hint=f"cut a coupon and press the wire in; {meant('fret_slots.width')}")  # fmt: skip


def _depth_refused(slots: FretSlots, unit: Unit | None) -> Iterator[Problem]:
    tang = slots.tang_depth_mm
    if tang is not None and slots.depth_mm < tang - ROUNDING_MM:
        yield _depth(slots, unit, f"holds no tang that is {mm_text(tang, unit)} deep: the crown is never seated")


def _depth_doubted(slots: FretSlots, unit: Unit | None) -> Iterator[Problem]:
    tang = slots.tang_depth_mm
    if tang is not None and not (
        tang + BELOW_TANG_MM[0] - ROUNDING_MM <= slots.depth_mm <= tang + BELOW_TANG_MM[1] + ROUNDING_MM
    ):
        left = mm_text(round(slots.depth_mm - tang, 4), unit)
        yield _depth(slots, unit, f"leaves {left} below a tang that is {mm_text(tang, unit)} deep")


def _depth(slots: FretSlots, unit: Unit | None, found: str) -> Problem:
    low, high = (mm_text(round((slots.tang_depth_mm or 0.0) + below, 4), unit) for below in BELOW_TANG_MM)
    return Problem(key="fret_slots.depth", found=f"a slot {mm_text(slots.depth_mm, unit)} deep {found}",
                   allowed=f"usual {low} to {high}", hint=meant("fret_slots.depth"))  # fmt: skip
