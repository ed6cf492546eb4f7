"""Pieces on scrap, as they are asked for: which, of what size, cut by what; set out, and planned like a board."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

from pearlkerf.errors import Problem, Refusal
from pearlkerf.jobs.making import plan_job, with_fits
from pearlkerf.jobs.model import Job, Piece
from pearlkerf.layout.groups import INLAYS, TRIED
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Machine
from pearlkerf.operations.choose import choose
from pearlkerf.operations.trials import calibration_cutter, trials
from pearlkerf.reading.header import read_scrap_claim
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.calibration import lay_out_calibration
from pearlkerf.setups.coupons import lay_out_coupon, on_scrap
from pearlkerf.setups.drilling_strip import LEAST_THICKNESS_MM, DrillingStrip, guide_of, lay_out_strip, setup_of
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps
from pearlkerf.setups.tries import APART, groups_named

Kind = Literal["fits", "calibration", "strip"]
SETUPS: Final[dict[str, Kind]] = {"coupon": "fits", "calibration": "calibration", "strip": "strip"}
CALLED: Final[dict[Kind, str]] = {"fits": "fit coupon", "calibration": "calibration piece", "strip": "drilling strip"}


@dataclass(frozen=True, slots=True)
class Wish:
    """A piece as it is asked for; what is None is as usual.  Of a fit coupon ``only`` names groups, none for all."""

    kind: Kind
    scrap: Scrap | None = None
    steps: Steps | None = None
    cutter: int | None = None
    only: tuple[str, ...] = ()


def lay_out_piece(clampings: Clampings, machine: Machine, wish: Wish) -> Piece:
    """Set out a piece, with what is left out of it.

    Raises Refusal where it cannot be cut, or the scrap does not hold it.
    """
    if wish.kind == "calibration":
        piece = lay_out_calibration(clampings.layout, calibration_cutter(clampings, machine, wish.cutter), wish.scrap)
        return Piece(piece, piece.remarks)
    if wish.kind == "strip":
        return Piece(_strip(clampings.layout, machine, wish.scrap), ())
    return _fits(clampings, machine, wish)


def _fits(clampings: Clampings, machine: Machine, wish: Wish) -> Piece:
    """Set out a fit coupon; inlays are fitted only where they are tried."""
    steps, only = wish.steps or Steps(), groups_named(wish.only, clampings)
    if not only or INLAYS in only:
        clampings = with_fits(clampings, machine)
    tried, left_out = trials(clampings, machine, steps, only or TRIED)
    return Piece(lay_out_coupon(clampings.layout, tried, steps, wish.scrap, APART.join(only)), left_out)


def _strip(layout: Layout, machine: Machine, scrap: Scrap | None) -> DrillingStrip:
    """Set out a drilling strip; the cutter of its holes makes the dimple too."""
    guide = guide_of(layout)
    size = scrap or Scrap(guide.centre[0], guide.diameter_mm, LEAST_THICKNESS_MM)
    deep = replace(guide, floor_mm=guide.floor_mm + LEAST_THICKNESS_MM - size.thickness_mm)
    chosen = choose(deep, setup_of(layout, size, (deep,)), machine.cutters)
    if isinstance(chosen, Problem):
        raise Refusal([chosen])
    return lay_out_strip(layout, chosen.cutter, scrap)


def plan_piece(piece: Piece, clampings: Clampings, machine: Machine, kind: Kind) -> Job:
    """Plan a piece in the place of the board's setups; raises Refusal as ``plan_job`` does."""
    job = plan_job(on_scrap(clampings.layout, piece.of.setup, CALLED[kind]), machine)
    asked = {"piece": piece.of.setup.name, "scrap": str(piece.of.scrap)}
    tries = piece.of.setup.tries
    return replace(job, piece=piece, asked={**asked, **({"tries": tries} if tries else {})})


def pieces_of(
    programs: Iterable[ProgramText], clampings: Clampings, machine: Machine, given: Wish | None
) -> tuple[Setup, ...]:
    """Give the setups of the pieces that programs say they cut, or that are wished for.

    Their heads say scrap, steps and cutter; what is wished for goes before.  Raises Refusal where two
    programs say different scrap or steps for one kind of piece.
    """
    wishes: dict[Kind, Wish] = {} if given is None else {given.kind: given}
    said: dict[Kind, tuple[Wish, str]] = {}
    for program in programs:
        wish = _said(program.text)
        if wish is None:
            continue
        before, file = said.setdefault(wish.kind, (wish, program.file))
        if (before.scrap, before.steps, before.only) != (wish.scrap, wish.steps, wish.only):
            raise Refusal([Problem(found=f"{program.file} is for another piece of scrap, or other steps, than {file}",
                                   allowed="programs of one piece", hint="prove each piece by itself")])  # fmt: skip
    for kind, (wish, _) in said.items():
        asked = wishes.get(kind, Wish(kind))
        wishes[kind] = Wish(kind, asked.scrap or wish.scrap, asked.steps or wish.steps, asked.cutter or wish.cutter,
                            asked.only or wish.only)  # fmt: skip
    return tuple(lay_out_piece(clampings, machine, wish).of.setup for wish in wishes.values())


def _said(text: bytes) -> Wish | None:
    """Give the piece that a program's head says it is for; None for the programs of a board."""
    claim = read_scrap_claim(text)
    if claim is None or claim.setup not in SETUPS:
        return None
    scrap = None if claim.sides_mm is None else Scrap(*claim.sides_mm)
    steps = None if claim.steps_mm is None else Steps(*claim.steps_mm)
    return Wish(SETUPS[claim.setup], scrap, steps, claim.cutter, tuple(filter(None, claim.tries.split(APART))))
