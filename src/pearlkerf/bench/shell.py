"""The shell: pieces on photographs of the maker's own blanks, laid by hand, told what is wrong, marked once cut.

    text ─way.look─> board ─with_fits─> pieces ─nests_of─> kept where the file lays them, the rest packed
                        └── remembered: what cutters leave of a drawing takes longest, and no place changes it

What is said of a place is said by the rule of ``pieces`` itself (``setups/nesting.py``), and by no other.
"""

import threading
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING, Any, Final

from pearlkerf import way
from pearlkerf.bench.asked import Asked, text_of
from pearlkerf.bench.editing import Edit, edited
from pearlkerf.bench.orders import Order, command, machine_path, order_of, pieces_wish
from pearlkerf.bench.photographs import Photographs
from pearlkerf.bench.placing import changes_of, edits_of_places
from pearlkerf.bench.sheets import blank_data, laid_data, looked, piece_data
from pearlkerf.bench.shelf import Shelf
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import MM_PER_UNIT, Unit
from pearlkerf.jobs.from_blanks import cutting_of, every_piece
from pearlkerf.jobs.making import with_fits
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.inlay_pieces import InlayPiece, chosen
from pearlkerf.setups.nesting import Nest, at_odds, pack, too_few, too_large
from pearlkerf.setups.piece_setups import check_places, nests_beside

if TYPE_CHECKING:
    from pearlkerf.setups.model import Clampings

DECIMALS: Final[dict[Unit, int]] = {"mm": 2, "in": 3}  # of places, as they are shown
MOST_REMEMBERED: Final = 4  # boards whose fits are: nobody has more of them in hand at once


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of a board's shell: its pieces, what is to be laid of each material, and what keeps it from that."""

    order: Order
    look: way.Look
    every: tuple[InlayPiece, ...]
    nests: tuple[Nest, ...]
    problems: tuple[Problem, ...]


class Shell:
    """The shell of a folder's boards; what cutters leave of the latest ones is remembered."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._fitted: dict[object, Clampings] = {}
        self._lock = threading.Lock()

    def view(self, asked: Asked) -> dict[str, Any]:
        """Give all that the page shows of a text."""
        text = text_of(asked)
        return self._data(text, self.seen(asked, text))

    def place(self, asked: Asked) -> dict[str, Any]:
        """Put pieces in places, or leave them to be packed, and give all that is shown of the new text."""
        text = text_of(asked)
        unit = way.look(text).unit
        return self.edit(asked, edits_of_places(text, changes_of(asked, unit), unit))

    def edit(self, asked: Asked, edits: list[Edit]) -> dict[str, Any]:
        """Make edits of a text, and give all that is shown of the new one."""
        text = edited(text_of(asked), edits)
        return self._data(text, self.seen(asked, text))

    def where(self, asked: Asked) -> dict[str, Any]:
        """Say of one piece what would be wrong with a place, "" where nothing is; nothing is changed."""
        text = text_of(asked)
        seen = self.seen(asked, text)
        (change,) = changes_of(asked, seen.look.unit)[:1]
        for nest in seen.nests:
            if change.laid is not None and change.piece in {each.name for each in nest.pieces}:
                if change.laid.blank not in {each.identity for each in nest.blanks}:
                    return {"wrong": f"it is of {nest.material}, and that blank is not"}
                others = (each for each in nest.kept if each.blank == change.laid.blank and each.piece != change.piece)
                tried = replace(nest, kept=(*others, change.laid))
                wrong = next((words for place, words in at_odds(tried) if place == change.laid), "")
                return {"wrong": in_unit(wrong, seen.look.unit)}
        return {"wrong": ""}

    def seen(self, asked: Asked, text: str) -> Seen:
        """Look at a board and its pieces on a machine, as far as there are any."""
        order = order_of({**asked, "kind": "pieces"}, self._shelf)
        look = self._shelf.look(text, order.name)
        machine = None
        try:
            look.right()
            machine = read_machine(machine_path(self._shelf.folder, order.machine))
            every = tuple(every_piece(self.fitted(look, machine), machine, order.only))
            blanks = look.right().board.inlay_blanks
            problems = _refused(lambda: check_places(every, blanks))
            wanted = () if asked.get("none") is True else chosen(every, order.only)
            nests = nests_beside(wanted, blanks, cutting_of(every, wanted, pieces_wish(order, look)))
        except Refusal as refusal:
            return Seen(order, look, (), (), look.placed(refusal.problems, machine))
        return Seen(order, look, every, nests, look.placed(problems, machine))

    def fitted(self, look: way.Look, machine: Machine) -> "Clampings":
        """Give the clampings of a board with what its cutters leave of its inlays, wherever pieces lie; as remembered.

        Raises Refusal.
        """
        board = look.right().board
        bare = tuple(replace(blank, place=(), used=()) for blank in board.inlay_blanks)
        known_by = (replace(board, inlay_blanks=bare), frozenset(look.read.files.items()), machine)
        with self._lock:
            found = self._fitted.pop(known_by, None)
        found = with_fits(look.clamped(), machine) if found is None else found
        with self._lock:
            self._fitted[known_by] = found
            while len(self._fitted) > MOST_REMEMBERED:
                del self._fitted[next(iter(self._fitted))]
        return found

    def _data(self, text: str, seen: Seen) -> dict[str, Any]:
        board, by_name = seen.look.board, {each.name: each for each in seen.every}
        laid, left, problems = [], [], [asdict(each) for each in seen.problems]
        for nest in seen.nests:
            wrong = {place.piece: in_unit(words, seen.look.unit) for place, words in at_odds(nest)}
            packed = pack(nest)
            laid += [laid_data(each, wrong, nest.kept) for each in (*nest.kept, *packed)]
            without = {each.name for each in nest.to_pack} - {each.piece for each in packed}
            left += [each.name for each in nest.pieces if each.name in without]
            told = list(too_large(nest)) or ([too_few(nest, len(packed))] if without else [])
            problems += [asdict(each) for each in seen.look.placed(told)]
        pieces = [piece_data(nest, each, _of(each.name, by_name)) for nest in seen.nests for each in nest.pieces]
        return {
            "text": text,
            "title": seen.order.name if board is None else board.title,
            "unit": seen.look.unit,
            "mm_a_unit": float(MM_PER_UNIT[seen.look.unit]),
            "decimals": DECIMALS[seen.look.unit],
            "wrong": len(problems) + sum(bool(each["wrong"]) for each in laid),
            "doubtful": 0,
            "blanks": list(self._blanks(seen)),
            "pieces": sorted(pieces, key=lambda each: (each["spare"], each["number"])),
            "every": [{"name": each.name, "of": list(each.of)} for each in seen.every],
            "laid": laid,
            "left": left,
            "problems": problems,
            "lost": _lost(seen),
            "command": command(seen.order),
            "nest": command(replace(seen.order, kind="nest")).partition(" --seconds")[0],
        }

    def _blanks(self, seen: Seen) -> Iterator[dict[str, Any]]:
        """Give all blanks of a board that have a size, as far as it can be read."""
        board, name = seen.look.board, seen.order.name
        photographs, taken = Photographs(self._shelf), _taken(seen)
        there = set(photographs.of(name))
        for entry, blank in enumerate(board.inlay_blanks if board is not None else ()):
            if blank.length_mm is None or blank.width_mm is None:
                continue
            for number in range(1, blank.count + 1):
                at = (entry, number)
                photograph = looked(photographs, name, at) if at in there else None
                yield {**blank_data(entry, blank, number, photograph), "others": taken.get(at, [])}


def _taken(seen: Seen) -> dict[tuple[int, int], list[list[float]]]:
    """Give the boxes of blanks that other jobs may have taken: those that are used, though the file does not say so."""
    board = seen.look.board
    said = [] if board is None else [used.box_mm for blank in board.inlay_blanks for used in blank.used]
    return {
        blank.identity: [list(box) for box in blank.used if tuple(box) not in said]
        for nest in seen.nests for blank in nest.blanks
    }  # fmt: skip


def _lost(seen: Seen) -> dict[str, str]:
    """Give the pieces that a file lays, by the keys of their places."""
    blanks = () if seen.look.board is None else seen.look.board.inlay_blanks
    return {
        f"inlay_blank.{entry}.place.{index}": place.piece
        for entry, blank in enumerate(blanks) for index, place in enumerate(blank.place)
    }  # fmt: skip


def _of(name: str, by_name: dict[str, InlayPiece]) -> InlayPiece:
    """Give the piece that a name is of, a spare's too."""
    return by_name.get(name) or by_name[name.rpartition(" spare")[0]]


def _refused(check: Callable[[], None]) -> tuple[Problem, ...]:
    """Give what a check refuses."""
    try:
        check()
    except Refusal as refusal:
        return refusal.problems
    return ()
