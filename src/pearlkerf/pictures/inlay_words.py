"""What is told of inlays on page and card: their cutters and gap, where the drawing gave, what a chisel has to do."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.board.inlays import Inlay
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.lines import Point
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.fits import Fitted

MOST_TOLD: Final = 10  # places where the drawing gave
# what gives less than this gives nothing that could be seen, mm
SEEN_MM: Final = 0.01


@dataclass(frozen=True, slots=True)
class InlayTold:
    """One inlay: what it is called, and what is to be known of it, in sentences."""

    name: str
    told: tuple[str, ...]


def inlays_told(fits: Sequence[Fitted]) -> tuple[InlayTold, ...]:
    """Give what is told of every inlay, in the order of the board file."""
    every = [inlay for fit in fits for inlay, _ in fit.given_by]
    inlays = sorted(dict.fromkeys(every), key=lambda inlay: inlay.index)
    of_each = [(inlay, [fit for fit in fits if inlay in dict(fit.given_by)]) for inlay in inlays]
    return tuple(InlayTold(inlay.called, tuple(_told(inlay, own))) for inlay, own in of_each)


def _told(inlay: Inlay, own: Sequence[Fitted]) -> Iterator[str]:
    if inlay.set_in:
        yield from _set_in(inlay, own)
    else:
        yield from _of_pockets(inlay, own)
    yield from _given(inlay, own)
    if not inlay.set_in:
        yield from _of_whole(own)


def _set_in(inlay: Inlay, own: Sequence[Fitted]) -> Iterator[str]:
    """Tell where the pieces of an inlay lie that has no pockets of its own, and by what they are cut."""
    names = ", ".join(dict.fromkeys(_name(fit) for fit in own))
    yield f"It is set in {inlay.set_in}, and shares its pockets ({names}). {_cut_with(own[0].pair.piece_of(inlay))}."
    yield f"Between it and what lies beside it there {_gap(own[0].part.inlay)}."


def _of_pockets(inlay: Inlay, own: Sequence[Fitted]) -> Iterator[str]:
    pair = own[0].pair
    count = sum(len(fit.pockets) for fit in own)
    yield (
        f"{'1 pocket, its' if count == 1 else f'{count} pockets, their'} walls cut with cutter {pair.pocket.number}, "
        f"{pair.pocket.diameter_mm:.2f} mm. {_cut_with(pair.piece)}. Between them {_gap(inlay)}."
    )


def _cut_with(cutter: Cutter | None) -> str:
    if cutter is None:
        return "Pieces are cut by hand"
    return f"Pieces are to be cut with cutter {cutter.number}, {cutter.diameter_mm:.2f} mm"


def _gap(inlay: Inlay) -> str:
    return f"{as_written(inlay.gap_mm)} a side, {as_written(2 * inlay.gap_mm)} in all"


def _of_whole(own: Sequence[Fitted]) -> Iterator[str]:
    """Tell what is to be known of whole pockets."""
    lost = [(fit, each) for fit in own for each in fit.lost]
    if lost:
        places = [f"a {each.what} {each.width_mm:.2f} mm wide {_at(each.place)} ({_name(fit)})" for fit, each in lost]
        yield f"Its cutters cannot make {'; '.join(places)}."
    corners = [(fit, each) for fit in own for each in fit.corners]
    if corners:
        places = [f"{each.length_mm:.2f} mm {_at(each.tip)} ({_name(fit)})" for fit, each in corners]
        yield f"For the chisel, so much wood before the tip of each corner: {'; '.join(places)}."
    yield from _through_slots(own)


def _given(inlay: Inlay, own: Sequence[Fitted]) -> Iterator[str]:
    given = [(fit, each) for fit in own for each in dict(fit.given_by)[inlay] if each.by_mm >= SEEN_MM]
    if not given:
        yield "The drawing gives nothing that could be seen."
        return
    worst = sorted(given, key=lambda one: (-one[1].by_mm, one[1].place))[:MOST_TOLD]
    places = [f"{each.by_mm:.2f} mm {_at(each.place)} ({_name(fit)})" for fit, each in worst]
    yield f"Where the drawing gives most to the cutters: {'; '.join(places)}."


def _at(place: Point) -> str:
    return f"at X {place[0]:.2f} Y {place[1]:.2f}"


def _name(fit: Fitted) -> str:
    return fit.part.pocket.name


def _through_slots(own: Sequence[Fitted]) -> Iterator[str]:
    how = own[0].part.inlay.slots
    if how == "after":
        yield (
            "The slots that run through it wait: glue the pieces in, let the glue harden and scrape it off, level "
            "nothing, fill slots that are there with wax. Then cut them as a part of the job, with Z zeroed again on "
            "the wood. File the barbs off the tang where it crosses shell, press and glue it there, never hammer."
        )
    if how == "by hand":
        yield (
            "Where a slot runs through it: fill the slot with wax before gluing, and once the glue is hard saw it "
            "again from its ends. File the barbs off the tang where it crosses shell, press and glue it there, never "
            "hammer."
        )
