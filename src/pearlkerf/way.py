"""The whole way, for every front door: from the text of a board file to proved programs and their pages, saved.

    text ─look─> Look ─plan─> Job ─make─> Made ─prove─> Verdict ─draw─> pages
                  │                        └──────── save: all three, and moved in only if proved
                  └─ what is right and what is wrong, each with its place

Text in, values out; nothing is printed, asked or ended here.  What is refused is raised as a Refusal
whose problems have their places in the board file.  ``tell`` is called with what is begun, such as
"drawing the pages".

The rooms further down are opened inside the functions, when the way comes to them: whoever only
looks at a board waits for no clamping, no toolpath, no proof and no page.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pearlkerf.board.model import Board
from pearlkerf.board.reader import BoardFile, read_board, read_board_text
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files import saving
from pearlkerf.files.beside import FilesBeside, nothing_beside
from pearlkerf.files.inches import problem_in, problem_in_both, problems_in
from pearlkerf.files.lengths import Unit
from pearlkerf.layout.drawings import Drawings
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.lay_out import NO_FILES, lay_out, lay_out_to_look_at
from pearlkerf.layout.model import Layout
from pearlkerf.version import MAKER

if TYPE_CHECKING:
    from pearlkerf.jobs.from_blanks import PiecesWish
    from pearlkerf.jobs.model import Job, Made
    from pearlkerf.jobs.nests import Nested
    from pearlkerf.jobs.pieces import Wish
    from pearlkerf.machine.model import Machine
    from pearlkerf.proof.identity import Assumed
    from pearlkerf.proof.measures import Measure
    from pearlkerf.proof.verdict import Verdict
    from pearlkerf.reading.motions import Finding, ProgramText
    from pearlkerf.setups.lying import Mark
    from pearlkerf.setups.model import Clampings
    from pearlkerf.setups.selection import Choice

Tell = Callable[[str], None]
# keys of a refusal that stand in the machine's profile; "holding" alone is one of its boxes
OF_THE_PROFILE: Final = ("cutter.", "spindle.")
# keys that stand in no file: options, and what a profile would have to say of a carrier
OF_NO_FILE: Final = ("--", "carrier")


def tell_nobody(doing: str) -> None:
    """Keep to oneself what is begun."""


@dataclass(frozen=True, slots=True)
class Look:
    """What is right and what is wrong with a board: as much of it as there is, and every problem, placed.

    ``layout`` says where everything goes; None where it cannot be laid out.  A board with problems may
    have one, to be drawn, but is never cut.  ``marks`` say how it was measured to lie; ``turned`` are
    its clampings, turned to them.  ``drawings`` are those that are known by then.
    """

    read: BoardFile
    layout: Layout | None
    problems: tuple[Problem, ...]
    marks: "tuple[Mark, ...]" = ()
    turned: "Clampings | None" = None
    drawings: Drawings = field(default_factory=Drawings, compare=False, repr=False)

    @property
    def board(self) -> Board | None:
        """The board, as much of it as could be read."""
        return self.read.board

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What is doubtful, placed: unusual figures, and what comes close to what is refused."""
        return (*self.read.doubtful, *self.placed(self.layout.warnings if self.layout else ()))

    def warnings_of(self, job: "Job") -> tuple[Problem, ...]:
        """Give what is doubtful in a job for this board, placed: the board's own first."""
        return (*self.read.doubtful, *self.placed(job.warnings, job.machine))

    @property
    def unit(self) -> Unit:
        """The unit of bare numbers."""
        return self.read.unit or "mm"

    def right(self) -> Layout:
        """Give the layout of a board with nothing wrong; raises Refusal with every problem."""
        if self.problems or self.layout is None:
            raise Refusal(self.problems)
        return self.layout

    def clamped(self) -> "Clampings":
        """Give the clampings of a board with nothing wrong, as it was measured to lie; raises Refusal."""
        from pearlkerf.setups.set_up import set_up

        layout = self.right()
        return self.turned or set_up(layout)

    def placed(self, problems: Sequence[Problem], machine: "Machine | None" = None) -> tuple[Problem, ...]:
        """Give problems with their places, in the board file or in the machine's profile; an option has none."""
        return tuple(self._placed(problem, machine) for problem in problems)

    def _placed(self, problem: Problem, machine: "Machine | None") -> Problem:
        if machine and (problem.key == "holding" or problem.key.startswith(OF_THE_PROFILE)):
            told = problem_in_both(problem) if self.unit == "in" else problem  # its bare numbers are mm
            return told.at(f"{machine.name}.toml")
        problem = problem_in(problem, self.unit)
        return problem if problem.key.startswith(OF_NO_FILE) else self.read.places.put(problem)


def look(
    text: bytes | str, beside: FilesBeside = nothing_beside, file: str = "board.toml", drawings: Drawings | None = None
) -> Look:
    """Look at the text of a board file, whose files lie ``beside`` it; ``drawings`` may be kept from look to look."""
    data = text.encode("utf-8", errors="surrogatepass") if isinstance(text, str) else text
    return _looked(read_board_text(data, file, beside), drawings or Drawings())


def look_at(path: Path) -> Look:
    """Look at a board file; raises OSError where it cannot be read."""
    return _looked(read_board(path), Drawings())


def _looked(read: BoardFile, drawings: Drawings) -> Look:
    unit = read.unit or "mm"
    read = replace(read, problems=problems_in(read.problems, unit), doubtful=problems_in(read.doubtful, unit))
    problems, layout = list(read.problems), None
    if read.board is not None:
        try:
            layout = lay_out(read.board, read.files, drawings)
        except Refusal as refusal:
            problems += [read.places.put(problem_in(problem, unit)) for problem in refusal.problems]
    ordered = sorted(dict.fromkeys(problems), key=lambda problem: (problem.line or 0, problem.column or 0))
    return Look(read, layout, tuple(ordered), drawings=drawings)


def to_look_at(look: Look) -> Laid | None:
    """Give what of a board can be drawn, wrong as it may be; None where that is nothing."""
    if look.layout is not None or look.board is None:
        return look.layout
    try:
        return lay_out_to_look_at(look.board, look.read.files, look.drawings)
    except Refusal:
        return None


def as_measured(look: Look, marks: "Sequence[Mark]") -> Look:
    """Give a board that lies as marks on it were measured; raises Refusal where it is wrong, or they are."""
    from pearlkerf.setups.marks import turn_to_marks

    clampings = look.clamped()
    with _places_of(look):
        return replace(look, marks=tuple(marks), turned=turn_to_marks(clampings, marks))


@dataclass(frozen=True, slots=True)
class Order:
    """What is wanted of a board: all of it, a ``choice`` of it, or its carrier; with pointing runs, or without."""

    choice: "Choice | None" = None
    carrier: bool = False
    pointing: bool = False
    point_height_mm: float | None = None


def plan(look: Look, machine: "Machine", order: Order = Order()) -> "Job":
    """Plan what is wanted of a board on a machine; raises Refusal with every problem of board, order and machine."""
    from pearlkerf.jobs.making import plan_carrier, plan_job, with_pointing
    from pearlkerf.setups.marks import asked_of
    from pearlkerf.setups.selection import EVERYTHING

    clampings, choice = look.clamped(), order.choice or EVERYTHING
    with _places_of(look, machine):
        job = plan_carrier(clampings, machine) if order.carrier else plan_job(clampings, machine, choice)
        job = replace(job, asked={**job.asked, **asked_of(clampings, look.marks)})
        return with_pointing(job, order.point_height_mm) if order.pointing else job


def plan_on_scrap(look: Look, machine: "Machine", wish: "Wish") -> "Job":
    """Plan a coupon or a calibration piece for a board's cuts; raises Refusal where it cannot be made."""
    from pearlkerf.jobs.pieces import lay_out_piece, plan_piece

    clampings = look.clamped()
    with _places_of(look, machine):
        piece = lay_out_piece(clampings, machine, wish)
        return plan_piece(piece, clampings, machine, wish.kind)


def plan_pieces(look: Look, machine: "Machine", wish: "PiecesWish", *, pointing: bool = False) -> "Job":
    """Plan the pieces of a board's inlays, cut from their blanks; raises Refusal where they cannot be."""
    from pearlkerf.jobs.from_blanks import plan_pieces
    from pearlkerf.jobs.making import with_pointing

    clampings = look.clamped()
    with _places_of(look, machine):
        job = plan_pieces(clampings, machine, wish)
        return with_pointing(job) if pointing else job


def nest(look: Look, machine: "Machine", seconds: int) -> "tuple[Nested, ...]":
    """Look for a closer packing of the pieces of a board's inlays, for so many seconds; raises Refusal."""
    from pearlkerf.jobs.nests import look_closer

    clampings = look.clamped()
    with _places_of(look, machine):
        return look_closer(clampings, machine, seconds)


@contextmanager
def _places_of(look: Look, machine: "Machine | None" = None) -> Iterator[None]:
    """Give what is refused its places in a board's file; what the profile says has its, options and carriers none."""
    try:
        yield
    except Refusal as refusal:
        raise Refusal(look.placed(refusal.problems, machine)) from None


def make(job: "Job", board: bytes, profile: bytes, files: Mapping[str, bytes] = NO_FILES) -> "Made":
    """Write the programs of a job, made from a board's and a profile's text, and the ``files`` that the board names.

    Raises Refusal where the profile cannot express them.
    """
    from pearlkerf.jobs.making import make_programs
    from pearlkerf.jobs.model import Made

    return Made(job, make_programs(job, MAKER), board, profile, files)


@dataclass(frozen=True, slots=True)
class Saved:
    """What was saved: the verdict, the files' names, a piece's sizes as read back; and what became of other files.

    ``stale`` ones of an earlier job were removed; ``kept`` ones are no part of this one.
    """

    verdict: "Verdict"
    files: tuple[str, ...]
    stale: tuple[str, ...]
    kept: tuple[str, ...]
    sizes: "tuple[Measure, ...]"


class NotProved(Exception):
    """The programs were held against the board, and something was found; nothing is saved."""

    def __init__(self, verdict: "Verdict") -> None:
        self.verdict = verdict
        super().__init__("\n".join(map(str, verdict.findings)))


class SizesOff(Exception):
    """What a piece on scrap would show is not what its card would say; nothing is saved."""

    def __init__(self, off: "Sequence[Measure]") -> None:
        self.off = tuple(off)
        super().__init__("\n".join(map(str, self.off)))


def save(made: "Made", folder: Path, *, force: bool = False, tell: Tell = tell_nobody) -> Saved:
    """Save a job that is proved, as it is read back from the disk, with its pages and its record.

    Else raises NotProved, SizesOff, InTheWay (files of the folder that are nobody's) or OSError, with the
    folder as it was; a run that is killed among its moves is put right by the next one.
    """
    from pearlkerf.jobs.pages import draw_job
    from pearlkerf.jobs.proving import prove_programs, said_in, sizes_of

    job = made.job
    with saving.staged(folder) as stage:
        texts = saving.write_and_read_back(stage, {program.file: program.text for program in made.programs})
        tell("reading back and proving")
        verdict = said_in(prove_programs(job, texts), job.unit)
        if not verdict.proved:
            raise NotProved(verdict)
        sizes = sizes_of(job, verdict)
        if off := [each for each in sizes if not each.holds]:
            raise SizesOff(off)
        tell("drawing the pages")
        files = {**texts, **draw_job(job, verdict, sizes)}
        record = saving.job_record(
            made.board, made.profile, files, MAKER, {**saving.named_files(made.beside), **job.asked}
        )
        added = {name: data for name, data in files.items() if name not in texts}
        saving.write_and_read_back(stage, {**added, saving.JOB_FILE: record})
        moved = saving.move_in(stage, folder, files=files, programs=texts, force=force)
    return Saved(verdict, tuple(files), moved.removed, moved.kept, sizes)


@dataclass(frozen=True, slots=True)
class Held:
    """Programs from anywhere, held against all that they may be for."""

    clampings: "Clampings"
    machine: "Machine"
    verdict: "Verdict"


def prove(
    look: Look, machine: "Machine", programs: "Sequence[ProgramText]", said: "Assumed", wish: "Wish | None" = None
) -> Held:
    """Hold any programs against a board; what they do not say of themselves is ``said``, or wished for of a piece.

    Raises Refusal where board or piece are wrong, SetupUnknown where nobody says what a program is for.
    """
    from pearlkerf.jobs.proving import all_to_prove, prove_any, said_in

    right = look.clamped()
    with _places_of(look, machine):
        clampings = all_to_prove(right, machine, programs, wish)
        verdict = prove_any(programs, clampings, machine, said)
    return Held(clampings, machine, said_in(verdict, look.unit))


def read_twice(held: Held, programs: "Sequence[ProgramText]") -> Held:
    """Have programs read by the second reader too; where it differs is a finding.

    Raises Refusal where the second reader is not installed.
    """
    from pearlkerf.jobs.proving import with_second_reading

    return replace(held, verdict=with_second_reading(held.verdict, programs))


def draw_held(held: Held) -> bytes:
    """Draw the dry-run page of programs from anywhere, proved or not."""
    from pearlkerf.jobs.pages import draw_dry_run

    return draw_dry_run(held.clampings, held.machine, held.verdict)


def phone(folder: Path, machine: "Machine | None") -> bytes:
    """Give the job of a folder as one file for the phone at the machine; raises Refusal where it is none, OSError."""
    from pearlkerf.jobs.phone import phone_of

    return phone_of(folder, machine)


def show(program: "ProgramText", machine: "Machine | None") -> "tuple[bytes, tuple[Finding, ...]]":
    """Draw the dry-run page of any program, with what keeps it from being read; no board is held against it."""
    from pearlkerf.jobs.pages import draw_alone

    return draw_alone(program, machine)
