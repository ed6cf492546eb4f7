"""How the wood of a setup lies, in sentences: for the heads of programs, the card and the page.

All of it is made here from the setup's fields; how far cuts run out says ``run_out_words.py``.  What people wrote,
the names of boxes, passes ``name`` on its way: a head keeps it from being read as anything else, the
card shows it as it is.
"""

from collections.abc import Callable, Iterator
from typing import Final

from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit, as_written
from pearlkerf.machine.materials import SHELL_DUST, kind_of
from pearlkerf.machine.words import ZERO_IN
from pearlkerf.setups.lying import (
    OPTION,
    AsMeasured,
    BelowRaw,
    BindingFirst,
    BindingIsOn,
    BindingToCome,
    CornerNotch,
    Dowels,
    GluedIn,
    InBlank,
    IntoBinding,
    Lying,
    NutLine,
    OnGlueFace,
    OnOtherEdge,
    Outlined,
    OutlineFirst,
    Packing,
    PartOfJob,
    Rests,
    Top,
    TrimIsEnd,
)
from pearlkerf.setups.model import Box, Setup
from pearlkerf.setups.nut_words import in_blank, nut_line
from pearlkerf.setups.piece_words import holes_named, of_carrier, of_coupon, of_drilling_strip, of_scrap
from pearlkerf.setups.row_words import of_row
from pearlkerf.setups.run_outs import leaves_wood
from pearlkerf.setups.topics import Claim, Reason, Said, Topics, about

# where X0 lies on a board; scrap and strips have sentences of their own
_AT: Final = {
    "nut end": "at the nut end of the finished board",
    "nut line": "where the line of the nut crosses the centre line of the board",
    "zero fret": "where the zero fret crosses the centre line of the board",
    "nut corner": "at the nut corner of the edge",
    "run corner": "where the straight run of the edge with its dots begins, at its corner toward the nut",
    "slot": "in the middle of the slot of {slot}",
    "slot in the edge": "in the middle of the slot of {slot} where it opens in the edge",
}


def sentences(setup: Setup, name: Callable[[str], str] = str, unit: Unit = "mm") -> tuple[str, ...]:
    """Give the sentences on how a setup lies, in the order in which people act on them; lengths in ``unit``."""
    return tuple(str(each) for each in told(setup, name, unit) if not isinstance(each, Claim))


AFTER_GLUING: Final = (
    "only once the pieces of inlays are glued in, the glue hard and scraped off, nothing levelled, and Z0 touched off "
    "again on the wood beside them"
)
# what is cut as wood or metal is; everything else counts as shell, whose dust is the worst of them
_NO_SHELL: Final = ("wood", "metal")


def told(setup: Setup, name: Callable[[str], str] = str, unit: Unit = "mm") -> Iterator[Said]:
    """Give the sentences with the claims and the reasons that stand among them in the head of a program."""
    return (said for _, said in by_topic(setup, name, unit))


def by_topic(setup: Setup, name: Callable[[str], str] = str, unit: Unit = "mm") -> Topics:
    """Give the same, each with what it is about, in the same order."""
    for topic, said in _in_mm(setup):
        match said:
            case Claim():
                yield topic, said
            case Reason(words):
                yield topic, Reason(in_unit(words, unit))
            case _:
                yield topic, in_unit(said, unit)
    yield from about("held", (f"{name(box.name)} {in_unit(_stands(box), unit)}" for box in setup.holding))
    if setup.row is not None:
        yield "wood", f"the blanks are of {name(setup.row.material)}"


def _in_mm(setup: Setup) -> Topics:
    """Give all but the boxes, and what blanks are of, which people named."""
    lying = setup.lying
    if lying.part is not None:
        yield from about("part", _part(lying.part))
    yield from about("zero", _position(setup))
    if lying.measured is not None:
        yield from about("zero", _measured(lying.measured))
    if setup.kind == "carrier":
        yield from of_carrier(setup)
    elif setup.kind == "strip" and setup.scrap is not None:
        yield from of_drilling_strip(setup, setup.scrap)
    elif setup.row is not None:
        yield from of_row(setup.row)
        yield from of_coupon(setup)
    elif setup.scrap is not None:
        yield from of_scrap(setup, setup.scrap)
    else:
        yield from _board(setup)
    yield from about("wood", (Claim("fits", each.claimed) for each in setup.fits))


def _part(part: PartOfJob) -> Iterator[str]:
    if part.only:
        yield f"only a part of the job, {', '.join(part.only)}"
    if part.start:
        yield f"only the rest of the job, from {part.start} on, what comes before it is left out as cut"


def _glued_in(glued: GluedIn) -> Iterator[str]:
    """Say what is there before the second visit, and how high it may stand."""
    yield AFTER_GLUING
    if glued.stands_mm > 0:
        yield f"pieces may stand up to {glued.stands_mm:.2f} mm above the wood, no more, cuts begin as high"


def _looked_at(setup: Setup, glued: GluedIn) -> Topics:
    """Say where zero is looked at before the second visit's cuts, and that shell is cut."""
    if glued.slot and not setup.lying.zero.slot:
        x, y = (setup.placement.to_machine(glued.at).round(3) + 0.0).tolist()
        yield (
            "zero",
            f"the middle of the slot of {glued.slot}, cut already, lies at X {x:.2f} Y {y:.2f}, look first",
        )
    if any(kind_of(each) not in _NO_SHELL for each in glued.materials):
        yield from about("mind", SHELL_DUST)


def _position(setup: Setup) -> Iterator[str]:
    position, dowels, zero = setup.position, setup.lying.dowels, setup.lying.zero
    if position is None:
        return
    head = f"position {position.number} of {position.count} along X"
    if setup.kind == "carrier" and dowels is not None:
        stand = f", the dowels of the bed in {holes_named(dowels.holes)}, none of them higher than the strip"
        yield head + (stand if dowels.moved_mm else "")
    elif dowels is not None:
        yield f"{head}, the dowels of the bed in {holes_named(dowels.holes)} of the carrier"
        if dowels.moved_mm:
            yield f"the board has then moved {dowels.moved_mm:.2f} mm to the left"
        yield f"X and Y are zeroed once, with the dowels in {holes_named(dowels.first)}, and kept for every position"
    elif zero.slot:
        yield f"{head}, zeroed again on the slot of {zero.slot}, which must be cut already"
        yield "the board moved to the left, the nut end beyond the travel"
        yield "find the middle of the slot with a snug pin or feeler"
        yield _check_line(setup)
    else:
        yield f"{head}, zeroed at the nut"


def _check_line(setup: Setup) -> str:
    """Say where to look whether a board that was moved by hand lies as its position is cut."""
    if setup.kind == "edge":
        return "check Y0 at both ends of what is cut here"
    along = [0.0, *(setup.placement.to_machine(each.anchor)[0] for each in setup.features)]
    zero = setup.lying.zero.at[0]
    ends = setup.placement.to_machine([(zero + x, 0.0) for x in (min(along), max(along))]).round(3) + 0.0
    places = " and ".join(f"X {x:.1f} Y {y:.2f}" for x, y in ends.tolist())
    lies = "lay it straight" if setup.lying.measured is None else "it lies as it was measured here"
    return f"{lies}, check that its centre line passes {places}"


def _measured(measured: AsMeasured) -> Iterator[str]:
    """Say how the board lies, what was measured from its zero, and how the programs are proved again."""
    angle = measured.angle_deg
    way = "counter-clockwise" if angle > 0 else "clockwise"
    lies = f"turned {abs(angle):.4f} degrees {way} about zero, seen from above" if angle else "straight"
    yield f"the board lies {lies}, as measured"
    for mark, along_mm in measured.marks:
        x, y = mark.measured
        yield (
            f"its centre line at {mark.named} was measured at X {x:.3f} Y {y:.3f}, {mark.distance_mm:.2f} mm "
            f"from zero, in the layout {abs(along_mm):.2f} mm"
        )
    options = " ".join(f"{OPTION} {mark.written}" for mark, _ in measured.marks)
    yield f"made for the board as it lies now, clamped anew it is measured anew, said by {options}"


def _board(setup: Setup) -> Topics:
    lying = setup.lying
    if lying.glued is not None:
        yield from about("first", _glued_in(lying.glued))
    yield from about("first", _first(lying))
    yield from about("zero", (_zero(setup), ZERO_IN))
    yield "lies", _lies(setup)
    yield from about("lies", _rests(lying.rests))
    for wood in lying.wood:
        yield from _wood(wood, lying)
    if leaves_wood(setup):
        yield from about("held", _held_without_clamps(setup))
    for each in lying.to_mind:
        yield from about("mind", _to_mind(each))
    if lying.glued is not None:
        yield from _looked_at(setup, lying.glued)


def _first(lying: Lying) -> Iterator[str]:
    for first in lying.first:
        match first:
            case OutlineFirst():
                yield "cut the board to its outline first, before this setup"
            case BindingFirst():
                yield "glue the binding on and scrape it flush first, before this setup"
            case IntoBinding(thickness):
                yield f"side dots go into the binding, {as_written(thickness)} thick, from its outer edge"


def _held_without_clamps(setup: Setup) -> Iterator[Reason]:
    """Say what holds a board whose slots run out over its edges, and what else may (common practice, no source)."""
    yield Reason("slots run out over both long edges, clamps stay away from there")
    if any(isinstance(each, InBlank) for each in setup.lying.wood):
        yield Reason("tape under all of the glue face, or screws in the waste, can hold it without clamps")
    else:
        yield Reason("tape under all of the glue face can hold it without clamps")


def _lies(setup: Setup) -> str:
    if setup.kind in ("edge", "treble"):
        toward = "toward" if setup.low_side == "playing face" else "away from"
        return f"{setup.up} and level, {setup.ends[0]} end at the left, playing face {toward} the operator"
    toward = "toward" if setup.low_side == "bass side" else "away from"
    return f"{setup.up}, {setup.ends[0]} end at the left, bass edge {toward} the operator"


def _zero(setup: Setup) -> str:
    """Say where X0, Y0 and Z0 are; what is kept from another place of the dowels says with which it was taken."""
    zero = setup.lying.zero
    x0 = f"{_with_dowels(setup.lying.dowels)}X0 {_AT[zero.on].format(slot=zero.slot)}"
    if setup.kind in ("edge", "treble"):
        below = ", the dots lie at negative Y" if setup.low_side == "playing face" else ""
        return f"{x0}, Y0 on the glue face, Z0 on the edge{below}"
    centre = "on its centre line" if zero.at_nut else "on the centre line of the board"
    return f"{x0}, Y0 {centre}, Z0 on top of the wood at the centre line"


def _with_dowels(dowels: Dowels | None) -> str:
    return f"with the dowels in {holes_named(dowels.first)}, " if dowels is not None and dowels.moved_mm else ""


def _wood(wood: InBlank | Outlined | Top, lying: Lying) -> Topics:
    match wood:
        case InBlank(width, beyond_nut, middle):
            yield "wood", in_blank(width, middle)
            if lying.zero.at_nut:
                yield (
                    "zero",
                    f"{_with_dowels(lying.dowels)}X0 lies {beyond_nut:.2f} mm right of the left end of the blank",
                )
        case Outlined(what):
            yield "wood", f"the {what} is cut to its outline"
        case Top("radiused"):
            yield "wood", "the playing face is already radiused"
        case Top():
            yield "wood", "the top of the blank is flat within 0.1 mm, touch it off at five places"


def _rests(rests: Rests) -> Iterator[str]:
    match rests:
        case OnGlueFace(on):
            yield f"the glue face lies flat on the {on}, clamped so that it cannot move"
        case OnOtherEdge(tall, packing, edge):
            yield from _packed(packing, edge)
            yield "the places of the first and of the last dot touch off within 0.1 mm of each other"
            yield f"the board stands {tall:.1f} mm tall, hold it against a square fence"


def _packed(packing: Packing | None, edge: str) -> Iterator[str]:
    if packing is None:
        yield "both ends are equally wide, no packing is needed"
        return
    yield f"standing on its {edge} edge the board is packed up {packing.up_mm:.2f} mm at the {packing.narrow}"
    yield f"the {packing.wide} is so much wider, unpacked the edge would lean by {packing.lean_deg:.2f} degrees"


def _to_mind(
    each: BindingIsOn | BindingToCome | BelowRaw | NutLine | TrimIsEnd | CornerNotch,
) -> Iterator[str | Reason]:
    match each:
        case BindingIsOn(thickness):
            yield f"the binding, {as_written(thickness)} thick, is on both edges, the slots stop inside it"
        case BindingToCome(thickness, (at_nut, at_bridge), (core_at_nut, core_at_bridge)):
            yield (
                f"the binding, {as_written(thickness)} thick, is not on yet, widths with it are "
                f"{at_nut:.2f} mm at the nut end and {at_bridge:.2f} mm at the bridge end"
            )
            yield (
                f"the core inside it is {core_at_nut:.2f} mm wide at the nut end and "
                f"{core_at_bridge:.2f} mm at the bridge end"
            )
        case BelowRaw(deepest):
            yield Reason(f"face dots may lie up to {deepest:.2f} mm below the raw face, which is right")
            yield Reason("radiusing brings the face down to them")
        case NutLine():
            yield from nut_line(each)
        case TrimIsEnd(trim):
            yield f"{trim}, its wall toward the board is the end of the board, saw it off along there later"


def _stands(box: Box) -> str:
    (west, south), (east, north) = box.corners[0], box.corners[2]
    high = f"{abs(box.top_mm):.1f} mm {'above' if box.top_mm >= 0 else 'below'} Z0"
    return f"stands at X {west:.1f} to {east:.1f}, Y {south:.1f} to {north:.1f}, up to {high}"
