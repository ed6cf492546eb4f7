"""Coupons and calibration pieces: what is asked for on the command line, or said in a program's head."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import click

if TYPE_CHECKING:
    from pearlkerf.board.reader import BoardFile
    from pearlkerf.errors import Problem
    from pearlkerf.layout.calibration import Calibration
    from pearlkerf.layout.coupons import Coupon, Steps
    from pearlkerf.layout.model import Layout
    from pearlkerf.layout.scrap import Scrap
    from pearlkerf.lengths import Unit
    from pearlkerf.machine.model import Machine
    from pearlkerf.proof.motions import ProgramText

Kind = Literal["fits", "calibration"]
KINDS: tuple[Kind, ...] = ("fits", "calibration")
SETUPS: dict[str, Kind] = {"coupon": "fits", "calibration": "calibration"}
SIDES = ("length", "width", "thickness")
# what the head of a program on scrap says of itself, as the layout writes it
_SCRAP = re.compile(r"\( *scrap=([0-9.x]+) *\)")
_STEPS = re.compile(r"\( *steps=([0-9./-]+) *\)")
_SETUP = re.compile(r"\( *setup=([a-z]+) cutter=([0-9]+)")
# programs keep sizes of scrap and steps to these decimals of a millimetre, and so is what the options say
SCRAP_DECIMALS, STEP_DECIMALS = 3, 4


@dataclass(frozen=True, slots=True)
class Wish:
    """A piece as it is asked for; what is None is as usual."""

    kind: Kind
    scrap: "Scrap | None" = None
    steps: "Steps | None" = None
    cutter: int | None = None


def unit_of(board: "BoardFile") -> "Unit":
    """Give the unit of bare numbers in a board file that was read."""
    import tomllib

    return "in" if tomllib.loads(board.text.decode("utf-8-sig")).get("unit") == "in" else "mm"


def length_option(text: str, option: str, unit: "Unit") -> float:
    """Give a length from an option, mm; a bare number is in the board file's unit."""
    from pearlkerf.lengths import LengthError, parse_length_mm

    bare = re.fullmatch(r"\s*[+-]?[0-9]*\.?[0-9]+\s*", text, re.ASCII)
    try:
        return parse_length_mm(float(text) if bare else text, unit)
    except LengthError as wrong:
        allowed = f" ({wrong.allowed})" if wrong.allowed else ""
        raise click.UsageError(f"{option}: {wrong.found}{allowed}") from None


def scrap_option(text: str, unit: "Unit") -> "Scrap":
    """Give the scrap from LENGTHxWIDTHxTHICKNESS."""
    from pearlkerf.layout.scrap import Scrap

    sides = re.split(r"[xX×]", text)
    if len(sides) != len(SIDES):
        raise click.UsageError(
            f'--scrap: "{text}" is not LENGTHxWIDTHxTHICKNESS, such as 200x40x6 or "8 in x 2 in x 6 mm"'
        )
    found = [round(length_option(side, f"--scrap, {name}", unit), SCRAP_DECIMALS)
             for side, name in zip(sides, SIDES, strict=True)]  # fmt: skip
    for side, name in zip(found, SIDES, strict=True):
        if side <= 0:
            raise click.UsageError(f"--scrap: the {name} is {side:g} mm (more than 0)")
    return Scrap(*found)


def steps_option(first: str, last: str, by: str, unit: "Unit") -> "Steps":
    """Give the steps of size from three options."""
    from pearlkerf.layout.coupons import Steps

    texts = ((first, "--smallest"), (last, "--largest"), (by, "--step"))
    return Steps(*(round(length_option(text, option, unit), STEP_DECIMALS) for text, option in texts))


def lay_out_piece(
    layout: "Layout", machine: "Machine", wish: Wish
) -> "tuple[Coupon | Calibration, tuple[Problem, ...]]":
    """Set out a piece, with what is left out of it.

    Raises Refusal where it cannot be cut, or the scrap does not hold it.
    """
    from pearlkerf.layout.calibration import lay_out_calibration
    from pearlkerf.layout.coupons import Steps, lay_out_coupon
    from pearlkerf.operations.trials import calibration_cutter, trials

    if wish.kind == "calibration":
        piece = lay_out_calibration(layout, calibration_cutter(layout, machine, wish.cutter), wish.scrap)
        return piece, piece.remarks
    steps = wish.steps or Steps()
    tried, left_out = trials(layout, machine, steps)
    return lay_out_coupon(layout, tried, steps, wish.scrap), left_out


def pieces_of(programs: "Iterable[ProgramText]", layout: "Layout", machine: "Machine", named: Wish | None) -> "Layout":
    """Give a layout with the setups of the pieces that programs say they cut, or that the command line names.

    Their heads say scrap, steps and cutter; what the command line says of a piece goes before.  Raises Refusal where
    two programs say different scrap for one kind of piece.
    """
    from dataclasses import replace

    from pearlkerf.errors import Problem, Refusal

    wishes: dict[Kind, Wish] = {} if named is None else {named.kind: named}
    said: dict[Kind, tuple[Wish, str]] = {}
    for program in programs:
        wish = _said(program.text)
        if wish is None:
            continue
        before, file = said.setdefault(wish.kind, (wish, program.file))
        if (before.scrap, before.steps) != (wish.scrap, wish.steps):
            raise Refusal([Problem(found=f"{program.file} is for scrap of {wish.scrap}, {file} for {before.scrap}",
                                   allowed="programs of one piece", hint="prove each piece by itself")])  # fmt: skip
    for kind, (wish, _) in said.items():
        given = wishes.get(kind, Wish(kind))
        wishes[kind] = Wish(kind, given.scrap or wish.scrap, given.steps or wish.steps, given.cutter or wish.cutter)
    setups = [lay_out_piece(layout, machine, wish)[0].setup for wish in wishes.values()]
    return replace(layout, setups=(*layout.setups, *setups))


def _said(text: bytes) -> Wish | None:
    """Give the piece that a program's head says it is for; None for the programs of a board."""
    from pearlkerf.layout.coupons import Steps
    from pearlkerf.layout.scrap import Scrap

    head = text.decode("ascii", errors="replace")
    setup = _SETUP.search(head)
    if setup is None or setup[1] not in SETUPS:
        return None
    scrap = _figures(_SCRAP.search(head), "x", len(SIDES))
    steps = _figures(_STEPS.search(head), "/", len(SIDES))
    return Wish(SETUPS[setup[1]], Scrap(*scrap) if scrap else None, Steps(*steps) if steps else None, int(setup[2]))


def _figures(found: re.Match[str] | None, between: str, count: int) -> tuple[float, ...] | None:
    try:
        figures = tuple(float(part) for part in found[1].split(between)) if found else ()
    except ValueError:
        return None
    return figures if len(figures) == count else None
