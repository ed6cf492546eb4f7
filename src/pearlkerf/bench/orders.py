"""What is to be made of a board: a job or a piece on scrap, as a page orders it and as a command line says it.

page ─JSON─> Order ─┬─ plan_order ─> Job      the same way as the commands
                    └─ command ─> "pearlkerf cut wren.toml -m benchtop-arcs -o wren-job"
"""

import shlex
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal, cast

from pearlkerf import way
from pearlkerf.bench.shelf import ENDING, INLAY_COUPON, JOB, OWN, PIECES, Shelf, own_profile
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pieces import Kind as Piece
from pearlkerf.jobs.pieces import Wish, usual_steps
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.setups.asked import asked_apart_mm, asked_length_mm, asked_mark, asked_scrap, asked_steps
from pearlkerf.setups.drilling_strip import OPTION as STRIP_OPTION
from pearlkerf.setups.piece_setups import USUAL_APART_MM
from pearlkerf.setups.scrap import OPTION as SCRAP_OPTION
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.tries import SEVERAL, OfOneInlay, Several

Kind = Literal["cut", "pieces", "strip", "coupon", "inlay", "calibration", "nest"]
FOLDERS: Final[Mapping[Kind, str]] = {
    "cut": JOB, "pieces": PIECES, "strip": "-strip", "coupon": "-coupon", "inlay": INLAY_COUPON,
    "calibration": "-calibration",
    "nest": "-nest",  # nothing is saved there: what is found is proposed
}  # fmt: skip
ON_SCRAP: Final[Mapping[Kind, Piece]] = {
    "coupon": "fits", "inlay": "inlay", "calibration": "calibration", "strip": "strip",
}  # fmt: skip
STEPS: Final = ("smallest", "largest", "step")
LONGEST: Final = 200  # characters of anything that is asked for in words
MOST_WORDS: Final = 200  # marks, or pieces that are asked for
MOST_SPARES: Final = 9
USUAL_SECONDS: Final = 10
MOST_SECONDS: Final = 600  # of looking for a closer packing
SPARES_OPTION: Final = "--spares"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order for a board of the folder; words as people typed them, "" for what they did not say."""

    name: str
    kind: Kind = "cut"
    machine: str
    start: str = ""
    only: tuple[str, ...] = ()
    at: tuple[str, ...] = ()
    pointing: bool = False
    point_height: str = ""
    carrier: bool = False
    spares: str = ""
    apart: str = ""
    scrap: str = ""
    steps: tuple[str, str, str] = ("", "", "")
    of: str = ""
    several: str = ""
    cutter: int | None = None
    seconds: int = USUAL_SECONDS

    @property
    def folder(self) -> str:
        """Give the name of the folder that it is saved in."""
        return f"{self.name}{FOLDERS[self.kind]}"


def order_of(asked: Mapping[str, Any], shelf: Shelf) -> Order:
    """Take an order as a page sends it; raises CannotBe for one that is none, or for a machine that is not there."""
    order = Order(
        name=_word(asked, "name"),
        kind=cast(Kind, _word(asked, "kind") or "cut"),
        machine=_word(asked, "machine"),
        start=_word(asked, "start"),
        only=_words(asked, "only"),
        at=_words(asked, "at"),
        pointing=asked.get("pointing") is True,
        point_height=_word(asked, "point_height"),
        carrier=asked.get("carrier") is True,
        spares=_word(asked, "spares"),
        apart=_word(asked, "apart"),
        scrap=_word(asked, "scrap"),
        steps=cast(tuple[str, str, str], tuple(_word(asked, name) for name in STEPS)),
        of=_word(asked, "of"),
        several=_word(asked, "several"),
        cutter=asked.get("cutter") if isinstance(asked.get("cutter"), int) else None,
        seconds=_seconds(asked),
    )
    shelf.path(order.name)
    if order.kind not in FOLDERS:
        raise CannotBe("That is nothing that can be made.")
    if order.several not in ("", *SEVERAL) or (order.kind == "inlay" and order.only):
        raise CannotBe("That is nothing that can be tried.")
    if order.machine not in machines_of(shelf):
        raise CannotBe("There is no such machine: choose one.", 422)
    return order


def _seconds(asked: Mapping[str, Any]) -> int:
    seconds = asked.get("seconds", USUAL_SECONDS)
    if isinstance(seconds, bool) or not isinstance(seconds, int) or not 1 <= seconds <= MOST_SECONDS:
        raise CannotBe(f"A closer packing is looked for during 1 to {MOST_SECONDS} seconds.", 422)
    return seconds


def _word(asked: Mapping[str, Any], name: str) -> str:
    value = asked.get(name, "")
    if not isinstance(value, str) or len(value) > LONGEST:
        raise CannotBe(f"{name} is no text, or a very long one.")
    return value.strip()


def _words(asked: Mapping[str, Any], name: str) -> tuple[str, ...]:
    value = asked.get(name, [])
    if not isinstance(value, list) or len(value) > MOST_WORDS:
        raise CannotBe(f"{name} is no list, or a very long one.")
    return tuple(_word({name: each}, name) for each in value)


def machines_of(shelf: Shelf) -> dict[str, Path | None]:
    """Give the machines that there are, as a command names them: those of the folder, with their files, then others."""
    own = {f"{OWN}{path.name}": path for path in sorted(shelf.folder.glob(f"*{ENDING}")) if shelf.is_profile(path.stem)}
    return {**own, **dict.fromkeys(profile_names())}


def plan_order(folder: Path, order: Order, tell: way.Tell = way.tell_nobody) -> tuple[way.Look, Job]:
    """Plan an order by the way of the commands; raises Refusal with everything that is wrong, OSError."""
    if order.kind == "nest":
        raise CannotBe("A closer packing is only proposed: nothing is planned of it.")
    tell("reading and laying out")
    look = way.look_at(folder / f"{order.name}{ENDING}")
    look.right()
    look = way.as_measured(look, tuple(asked_mark(text, look.unit) for text in order.at))
    machine = read_machine(machine_path(folder, order.machine))
    tell("planning")
    if order.kind == "pieces":
        return look, way.plan_pieces(look, machine, pieces_wish(order, look), pointing=order.pointing)
    if order.kind != "cut":
        return look, way.plan_on_scrap(look, machine, _wish(order, look))
    height = asked_length_mm(order.point_height, "--point-height", look.unit) if order.point_height else None
    choice = Choice(order.start or None, order.only)
    return look, way.plan(look, machine, way.Order(choice, order.carrier, order.pointing, height))


def pieces_wish(order: Order, look: way.Look) -> PiecesWish:
    """Give which pieces an order asks for; raises Refusal."""
    if order.spares and (not order.spares.isdecimal() or int(order.spares) > MOST_SPARES):
        raise Refusal([Problem(f"{shown(order.spares)} spares", f"0 to {MOST_SPARES} more of each", key=SPARES_OPTION)])
    apart_mm = asked_apart_mm(order.apart, look.unit) if order.apart else USUAL_APART_MM
    return PiecesWish(order.only, int(order.spares or 0), apart_mm)


def _wish(order: Order, look: way.Look) -> Wish:
    option = STRIP_OPTION if order.kind == "strip" else SCRAP_OPTION
    scrap = asked_scrap(order.scrap, look.unit, option) if order.scrap else None
    smallest, largest, step = (text or None for text in order.steps)
    kind = ON_SCRAP[order.kind]
    steps = asked_steps((smallest, largest, step), look.unit, usual_steps(kind))
    one = OfOneInlay(order.of, several=cast(Several, order.several or "pockets"))
    return Wish(kind, scrap, steps, order.cutter, order.only, one)


def machine_path(folder: Path, machine: str) -> str:
    """Give a machine's name, or the path to a profile of the folder."""
    return machine if own_profile(machine) is None else str(folder / machine)


def phone_command(folder: str, machine: str) -> str:
    """Give the command that makes a job's folder one file for the phone, by the times of a machine, "" for none.

    >>> phone_command("wren-job", "benchtop-arcs")
    'pearlkerf phone wren-job -m benchtop-arcs'
    """
    return shlex.join(["pearlkerf", "phone", folder, *(["-m", machine] if machine else [])])


def template_command(name: str) -> str:
    """Give the command that draws the paper template of a board."""
    return shlex.join(["pearlkerf", "paper", f"{name}{ENDING}", "-o", f"{name}-template.pdf"])


def check_command(order: Order) -> str:
    """Give the command that says which cutter takes what.

    >>> check_command(Order(name="wren", machine="./my router.toml"))
    "pearlkerf check wren.toml -m './my router.toml'"
    """
    return shlex.join(["pearlkerf", "check", f"{order.name}{ENDING}", "-m", order.machine])


def command(order: Order) -> str:
    """Give the command that does the same, in the folder of the board.

    >>> command(Order(name="wren", machine="benchtop-arcs", only=("frets",), pointing=True))
    'pearlkerf cut wren.toml -m benchtop-arcs --only frets --pointing -o wren-job'
    """
    file = f"{order.name}{ENDING}"
    if order.kind == "nest":
        return shlex.join(["pearlkerf", "nest", file, "-m", order.machine, "--seconds", str(order.seconds)])
    word = {"cut": "cut", "pieces": "pieces", "strip": "drill-strip"}.get(order.kind, "coupon")
    kind = ["--kind", order.kind] if order.kind in ("inlay", "calibration") else []
    options = {"--from": order.start, "--point-height": order.point_height if order.pointing else "",
               SPARES_OPTION: order.spares, "--apart": order.apart,
               "--strip" if order.kind == "strip" else "--scrap": order.scrap,
               **{f"--{name}": text for name, text in zip(STEPS, order.steps, strict=True)},
               "--of": order.of, "--steps-of": order.several,
               "--cutter": "" if order.cutter is None else str(order.cutter)}  # fmt: skip
    said = [part for name, text in options.items() if text for part in (name, text)]
    asked = [("--only", each) for each in order.only] + [("--at", each) for each in order.at]
    lists = [part for pair in asked for part in pair]
    flags = [name for name, on in (("--pointing", order.pointing), ("--carrier", order.carrier)) if on]
    return shlex.join(["pearlkerf", word, file, "-m", order.machine, *kind, *said, *lists, *flags, "-o", order.folder])
