"""How wood lies that is no board, in sentences: scrap, the strip of a carrier, a drilling strip."""

from pearlkerf.machine.words import ZERO_IN
from pearlkerf.setups.lying import CornerNotch, HeldScrap, OnWaste, Strip
from pearlkerf.setups.model import Setup
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.topics import Claim, Topics, about


def holes_named(holes: tuple[int, int]) -> str:
    """Name two holes of a carrier.

    >>> holes_named((1, 5))
    'holes 1 and 5'
    """
    return "holes {} and {}".format(*holes)


def of_scrap(setup: Setup, scrap: Scrap) -> Topics:
    """Say how a piece of scrap lies that is cut in place of a board."""
    size = (
        f"the scrap is {scrap.length_mm:.2f} mm along X, {scrap.width_mm:.2f} mm along Y, "
        f"{scrap.thickness_mm:.2f} mm thick"
    )
    yield "wood", "scrap of the wood of the board, its grain along X as on the board"
    yield "zero", "X0 at the left end of the scrap, Y0 on its edge toward the operator, Z0 on top of it"
    yield "zero", ZERO_IN
    yield "wood", size
    yield "wood", "its top is flat within 0.1 mm, touch it off at four corners"
    yield "wood", Claim("scrap", str(scrap))
    if isinstance(setup.lying.rests, HeldScrap):
        yield "held", _held(setup.lying.rests)
    if CornerNotch() in setup.lying.to_mind:
        yield "mind", "a notch beside slot 1 marks the zero corner"
    yield from of_coupon(setup)


def of_coupon(setup: Setup) -> Topics:
    """Say in which sizes a fit coupon tries what."""
    if setup.steps is not None:
        yield "wood", Claim("steps", str(setup.steps))
    if setup.tries:
        yield "wood", Claim("tries", setup.tries)


def _held(scrap: HeldScrap) -> str:
    if scrap.at_ends:
        return "hold it at its ends only, slots run out over both long edges"
    return "hold it where nothing is cut, every cut stays clear of the edges"


def of_carrier(setup: Setup) -> Topics:
    """Say how a carrier's strip lies while its holes are drilled."""
    strip, dowels = setup.lying.rests, setup.lying.dowels
    assert isinstance(strip, Strip) and dowels is not None
    if dowels.moved_mm:
        moved = "X, Y and the bed as before, the strip moved to the left on its own holes and clamped again"
        yield from about("zero", (f"{moved}, Z0 on its top", ZERO_IN))
        return
    (left, low), (right, high) = setup.stock.outline.min(axis=0).tolist(), setup.stock.outline.max(axis=0).tolist()
    size = f"{strip.thickness_mm:.1f} mm thick, at least {right - left:.0f} mm long and {high - low:.0f} mm wide"
    yield "wood", f"a flat strip of plywood {size}"
    yield "lies", f"below it a board at least {strip.board_mm:.1f} mm thick that stays fixed to the bed"
    along = f"X0 Y0 {-left:.1f} mm right of its left end, on its middle line, Z0 on its top"
    yield from about("zero", (f"the strip clamped along X, {along}", ZERO_IN))
    yield (
        "mind",
        f"{strip.holes} holes {strip.pitch_mm:.2f} mm apart, {holes_named(dowels.first)} go on into the bed, "
        f"for two dowels {strip.dowel_mm:.2f} mm thick and {strip.thickness_mm + strip.into_bed_mm:.1f} mm long",
    )
    later = "for every board the two dowels stand in the bed, and the strip lies on them, the board fixed on top of it"
    yield "mind", later


def of_drilling_strip(setup: Setup, strip: Scrap) -> Topics:
    """Say how a drilling strip lies while it is drilled."""
    rests = setup.lying.rests
    assert isinstance(rests, OnWaste)
    yield (
        "wood",
        f"a flat strip of hard wood or hard plastic {strip.length_mm:.2f} mm along X, {strip.width_mm:.2f} mm along Y, "
        f"{strip.thickness_mm:.2f} mm thick, its long edges straight, its left end square to them",
    )
    side = "toward" if setup.low_side == "glue face" else "away from"
    lower = f"Y0 on its edge {side} the operator, the lower one later, which stands on the bench as the glue face does"
    yield from about("zero", ("X0 at its left end, which is the nut end, Z0 on top of it", lower, ZERO_IN))
    yield "lies", "the side that is up here looks outward later, the dimple on it stands at the nut end"
    waste = f"fixed on a waste board at least {rests.waste_mm:.1f} mm thick, held where nothing is drilled"
    yield "held", waste
    yield "wood", Claim("scrap", str(strip))
    yield (
        "mind",
        f"afterwards a flat stop goes on its nut end, standing out {rests.stop_mm:.1f} mm toward the board, "
        "no more, for the nut end is not square to the edge",
    )
