"""Blanks that were cut: what their programs took of them is gone, and said in the board file, by the programs' word."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pearlkerf.bench.asked import Asked, text_of
from pearlkerf.bench.orders import machine_path
from pearlkerf.bench.photographs import Blank, blank_of
from pearlkerf.bench.placing import Change, edits_of_places, edits_of_used
from pearlkerf.bench.shelf import PIECES, Shelf, made_of
from pearlkerf.bench.shell import Seen, Shell
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.errors import Refusal
from pearlkerf.files.moves import digest
from pearlkerf.files.saving import MadeFrom, recorded
from pearlkerf.files.whole import read_program_file
from pearlkerf.jobs.from_blanks import rows_of
from pearlkerf.jobs.saved import NOT_PROGRAMS
from pearlkerf.machine.reader import read_machine, read_profile_bytes
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.model import Setup
from pearlkerf.setups.used_places import gone

NOT_MADE: Final = (
    "No programs of its pieces are made of this board as it stands: what they would have cut is not known."
)
ANOTHER_MACHINE: Final = "The programs of its pieces were made for another machine: choose that one first."


@dataclass(frozen=True, slots=True)
class CutAway:
    """What the programs of a board's pieces have taken of its blanks, over one folder."""

    shelf: Shelf
    shell: Shell

    def take(self, asked: Asked) -> dict[str, Any]:
        """Say in a board's text what is gone of the blanks that were cut, and give all that is shown of it.

        The pieces that were cut from them lose their places there.  Raises CannotBe where no programs of this very
        board and machine say what was cut.
        """
        text = text_of(asked)
        seen, wanted = self.shell.seen(asked, text), _blanks(asked)
        if self.shelf.read(seen.order.name).text != text:
            raise CannotBe(NOT_MADE, 409)
        rows, unit = self._rows(seen), seen.look.unit
        used = [(blank.of, box) for setup in rows for blank, box in gone(setup, unit) if blank.of in wanted]
        names = [name for of, name in _pieces(rows) if of in wanted]
        places = edits_of_places(text, [Change(name, None) for name in names], unit)
        return {**self.shell.edit(asked, [*edits_of_used(used, unit), *places]), "cut": names}

    def by_programs(self, asked: Asked) -> dict[str, Any]:
        """Say which blanks the programs of a board's pieces cut, and which pieces on each; or why that is not known."""
        try:
            rows = self._rows(self.shell.seen(asked, text_of(asked)))
        except CannotBe as fault:
            return {"blanks": [], "why": fault.words}
        found: dict[Blank, list[str]] = {}
        for of, name in _pieces(rows):
            found.setdefault(of, []).append(name)
        return {"blanks": [{"blank": list(of), "pieces": names} for of, names in found.items()], "why": ""}

    def _rows(self, seen: Seen) -> tuple[Setup, ...]:
        """Give the rows of blanks that programs cut; raises CannotBe where they are not of this board and machine."""
        order, folder = seen.order, self.shelf.folder_of(seen.order.name, PIECES)
        record = recorded(folder)
        if record is None or made_of(record, self.shelf.bytes_of(order.name)) != "made":
            raise CannotBe(NOT_MADE, 409)
        path = machine_path(self.shelf.folder, order.machine)
        if digest(read_profile_bytes(path)) != record.machine_sha256:
            raise CannotBe(ANOTHER_MACHINE, 409)
        machine = read_machine(path)
        try:
            return rows_of(_programs(folder, record), self.shell.fitted(seen.look, machine), machine)
        except Refusal:
            raise CannotBe(NOT_MADE, 409) from None


def _programs(folder: Path, record: MadeFrom) -> list[ProgramText]:
    programs = []
    for name, sha256 in record.files.items():
        if Path(name).suffix.lower() not in NOT_PROGRAMS:
            text = read_program_file(folder / Path(name).name)
            if digest(text) != sha256:
                raise CannotBe(f"{name} was changed since it was made: make the pieces again.", 409)
            programs.append(ProgramText(name, text))
    return programs


def _pieces(rows: tuple[Setup, ...]) -> list[tuple[Blank, str]]:
    """Give each piece of some rows with its blank, as the file knows it."""
    own = [setup.row for setup in rows if setup.row is not None]
    return [(blank.of, piece.name) for row in own for piece in row.pieces
            for blank in row.blanks if blank.number == piece.blank]  # fmt: skip


def _blanks(asked: Asked) -> set[Blank]:
    wanted = asked.get("blanks")
    if not isinstance(wanted, list):
        raise CannotBe("No blanks were named.")
    return {blank_of({"blank": each}) for each in wanted}
