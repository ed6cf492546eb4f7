"""How blanks lie from which pieces are cut, in sentences, with what the programs claim of them."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from pearlkerf.machine.materials import SHELL_DUST, kind_of
from pearlkerf.machine.words import ZERO_IN
from pearlkerf.setups.blank_rows import BlankRow, RowBlank
from pearlkerf.setups.topics import Claim, Topics, about

# the backing board is at least so thick, and the cut goes so far into it, mm (common practice, no source)
BACKING_MM: Final = 6.0
INTO_BACKING_MM: Final = 0.2


def of_row(row: BlankRow) -> Topics:
    """Say how a row of blanks lies, is held and minded."""
    count = len(row.blanks)
    of = f"blank{'s' * (count > 1)}"
    apart = f", {row.apart_mm:.2f} mm apart along X, their low edges on one line" if count > 1 else ""
    thick = f"{row.thinnest_mm:.2f}"
    thick += f" to {row.thickest_mm:.2f}" if row.thickest_mm > row.thinnest_mm else ""
    yield "wood", f"{count} {of} on one backing board{apart}, the side that shows up"
    yield from about("wood", _sizes(row.blanks, thick))
    if count > 1:
        ends = ", ".join(f"X {blank.x_mm:.2f} mm" for blank in row.blanks)
        yield "wood", f"the left ends of the blanks at {ends}, whatever their lengths"
    yield from about("wood", _figure(row))
    corner = "the first blank" if count > 1 else "the blank"
    top = "the highest of them" if count > 1 else "it"
    yield "zero", f"X0 Y0 at the low left corner of {corner}, Z0 on top of {top}"
    yield "zero", ZERO_IN
    yield from about("held", _held(row))
    if kind_of(row.material) == "shell":
        yield from about("mind", SHELL_DUST)
    yield "wood", Claim("row", row.claimed)
    yield from about("wood", (Claim("place", piece.claimed) for piece in row.pieces))


def _sizes(blanks: tuple[RowBlank, ...], thick: str) -> Iterator[str]:
    for (length, width), each in groupby(blanks, key=lambda blank: (blank.length_mm, blank.width_mm)):
        numbers = [blank.number for blank in each]
        which = f"blank {numbers[0]}" if len(numbers) == 1 else f"blanks {numbers[0]} to {numbers[-1]}"
        yield f"{which}, {length:.2f} mm along X, {width:.2f} mm along Y, {thick} mm thick"


def _figure(row: BlankRow) -> Iterator[str]:
    if row.figure == "lengthwise":
        yield "the figure of each blank along X"
    if row.figure == "one way":
        yield "the figure of each blank along X, its nut end at the left"


def _held(row: BlankRow) -> Iterator[str]:
    if row.hold == "skin":
        yield f"glued or stuck down all over on a flat backing board at least {BACKING_MM:.1f} mm thick"
        yield "a skin stays under every piece, it is sanded off their backs"
        return
    yield (
        f"stuck down all over with {row.tape_mm:.2f} mm of tape or glue on a flat backing board at least "
        f"{BACKING_MM:.1f} mm thick, the cut goes {INTO_BACKING_MM:.1f} mm into it"
    )
    if row.hold == "tabs":
        yield "tabs stay between the pieces and the blank, saw them through, do not break them"
    else:
        yield "pieces and cores stay on the tape, take them off with the solvent of its glue, do not pry"
