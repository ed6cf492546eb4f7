"""Coupons and calibration pieces: what is asked for on the command line, or said in a program's head."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import click

if TYPE_CHECKING:
    from pearlkerf.board.reader import BoardFile
    from pearlkerf.errors import Problem
    from pearlkerf.files.lengths import Unit
    from pearlkerf.machine.model import Machine
    from pearlkerf.reading.motions import ProgramText
    from pearlkerf.setups.calibration import Calibration
    from pearlkerf.setups.coupons import Coupon, Steps
    from pearlkerf.setups.model import Clampings, Setup
    from pearlkerf.setups.scrap import Scrap

Kind = Literal["fits", "calibration"]
KINDS: tuple[Kind, ...] = ("fits", "calibration")
SETUPS: dict[str, Kind] = {"coupon": "fits", "calibration": "calibration"}
STEP_OPTIONS = ("--smallest", "--largest", "--step")
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
    from pearlkerf.files.lengths import LengthError, parse_length_mm

    bare = re.fullmatch(r"\s*[+-]?[0-9]*\.?[0-9]+\s*", text, re.ASCII)
    try:
        return parse_length_mm(float(text) if bare else text, unit)
    except LengthError as wrong:
        allowed = f" ({wrong.allowed})" if wrong.allowed else ""
        raise click.UsageError(f"{option}: {wrong.found}{allowed}") from None


def scrap_option(text: str, unit: "Unit") -> "Scrap":
    """Give the scrap from LENGTHxWIDTHxTHICKNESS."""
    from pearlkerf.setups.scrap import Scrap

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


def steps_option(texts: tuple[str | None, str | None, str | None], unit: "Unit") -> "Steps | None":
    """Give the steps of size from three options, the usual where one is left out; None where all are."""
    from dataclasses import astuple

    from pearlkerf.setups.coupons import Steps

    if texts == (None, None, None):
        return None
    figures = [
        usual if text is None else round(length_option(text, option, unit), STEP_DECIMALS)
        for text, option, usual in zip(texts, STEP_OPTIONS, astuple(Steps()), strict=True)
    ]
    return Steps(*figures)


def wish_option(
    setup: str | None,
    texts: "tuple[str | None, tuple[str | None, str | None, str | None]]",
    cutters: tuple[int, ...],
    unit: "Unit",
) -> Wish | None:
    """Give the piece that the options of ``prove`` name: its setup, its scrap and steps; None where they name none."""
    scrap, steps = texts
    kind = SETUPS.get(setup or "")
    if kind is None:
        if scrap is not None or steps != (None, None, None):
            raise click.UsageError(f"--scrap and sizes go with --setup {' or --setup '.join(SETUPS)}")
        return None
    size = None if scrap is None else scrap_option(scrap, unit)
    return Wish(kind, size, steps_option(steps, unit), cutters[0] if cutters else None)


def lay_out_piece(
    clampings: "Clampings", machine: "Machine", wish: Wish
) -> "tuple[Coupon | Calibration, tuple[Problem, ...]]":
    """Set out a piece, with what is left out of it.

    Raises Refusal where it cannot be cut, or the scrap does not hold it.
    """
    from pearlkerf.operations.trials import calibration_cutter, trials
    from pearlkerf.setups.calibration import lay_out_calibration
    from pearlkerf.setups.coupons import Steps, lay_out_coupon

    if wish.kind == "calibration":
        piece = lay_out_calibration(clampings.layout, calibration_cutter(clampings, machine, wish.cutter), wish.scrap)
        return piece, piece.remarks
    steps = wish.steps or Steps()
    tried, left_out = trials(clampings, machine, steps)
    return lay_out_coupon(clampings.layout, tried, steps, wish.scrap), left_out


def pieces_of(
    programs: "Iterable[ProgramText]", clampings: "Clampings", machine: "Machine", given: Wish | None
) -> "tuple[Setup, ...]":
    """Give the setups of the pieces that programs say they cut, or that the command line names.

    Their heads say scrap, steps and cutter; what the command line says goes before.  Raises Refusal
    where two programs say different scrap or steps for one kind of piece.
    """
    from pearlkerf.errors import Problem, Refusal

    wishes: dict[Kind, Wish] = {} if given is None else {given.kind: given}
    said: dict[Kind, tuple[Wish, str]] = {}
    for program in programs:
        wish = _said(program.text)
        if wish is None:
            continue
        before, file = said.setdefault(wish.kind, (wish, program.file))
        if (before.scrap, before.steps) != (wish.scrap, wish.steps):
            raise Refusal([Problem(found=f"{program.file} is for another piece of scrap, or other steps, than {file}",
                                   allowed="programs of one piece", hint="prove each piece by itself")])  # fmt: skip
    for kind, (wish, _) in said.items():
        asked = wishes.get(kind, Wish(kind))
        wishes[kind] = Wish(kind, asked.scrap or wish.scrap, asked.steps or wish.steps, asked.cutter or wish.cutter)
    return tuple(lay_out_piece(clampings, machine, wish)[0].setup for wish in wishes.values())


def _said(text: bytes) -> Wish | None:
    """Give the piece that a program's head says it is for; None for the programs of a board."""
    from pearlkerf.setups.coupons import Steps
    from pearlkerf.setups.scrap import Scrap

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
