"""A closer packing of a board's pieces, looked for by the clock, and written into its file as places."""

from collections.abc import Sequence
from dataclasses import dataclass

from pearlkerf.board.reader import BoardFile, read_board_text
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.places import Place, with_places
from pearlkerf.jobs.from_blanks import every_piece
from pearlkerf.jobs.making import with_fits
from pearlkerf.machine.model import Machine
from pearlkerf.setups.blanks import Laid
from pearlkerf.setups.closer import closer
from pearlkerf.setups.inlay_pieces import chosen
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.nesting import Nest, misplaced, pack, too_large
from pearlkerf.setups.piece_setups import check_places, nests_of


@dataclass(frozen=True, slots=True)
class Nested:
    """The pieces of a material on its blanks: as boxes, and closer, where that was found."""

    asked: Nest
    boxes: tuple[Laid, ...]
    closer: tuple[Laid, ...] | None

    @property
    def added(self) -> tuple[Laid, ...]:
        """Give the places that the file does not have."""
        return tuple(each for each in self.closer or () if each not in self.asked.kept)


def look_closer(clampings: Clampings, machine: Machine, seconds: int) -> tuple[Nested, ...]:
    """Look for a closer packing of all pieces of a board's inlays, for so many seconds in all.

    Raises Refusal as ``lay_out_pieces`` does; but where boxes find no place on the blanks, closer outlines may.
    """
    fitted = with_fits(clampings, machine)
    every, blanks = every_piece(fitted, machine), fitted.layout.board.inlay_blanks
    check_places(every, blanks)
    nests = nests_of(chosen(every, ()), blanks)
    each_s = max(1, seconds // max(1, len(nests)))
    found = []
    for asked in nests:
        problems = [*too_large(asked), *misplaced(asked)]
        if problems:
            raise Refusal(problems)
        boxes = (*asked.kept, *pack(asked))
        found.append(Nested(asked, boxes, closer(asked, each_s, boxes)))
    return tuple(found)


def nested_text(read: BoardFile, found: Sequence[Nested]) -> str:
    """Give the text of a board file with the places that a closer packing gives, as it reads back.

    Raises Refusal where the file is written so that they cannot be added.
    """
    places: dict[int, list[Place]] = {}
    for laid in (each for nested in found for each in nested.added):
        places.setdefault(laid.blank[0], []).append((laid.piece, laid.blank[1], laid.at, laid.turn_deg))
    try:
        text = with_places(read.text.decode("utf-8"), places, read.unit or "mm")
    except (ValueError, KeyError, TypeError, AttributeError) as fault:
        raise Refusal([Problem(f"places cannot be added: {fault}", hint="write [[inlay_blank]] as a table of its own",
                               file=read.file)]) from None  # fmt: skip
    again = read_board_text(text.encode("utf-8"), read.file, read.beside)
    if again.problems:
        raise Refusal(again.problems)
    return text
