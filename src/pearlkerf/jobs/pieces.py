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
from pearlkerf.reading.header import ROWS, read_scrap_claim
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.calibration import lay_out_calibration
from pearlkerf.setups.coupons import lay_out_coupon, on_scrap
from pearlkerf.setups.drilling_strip import LEAST_THICKNESS_MM, DrillingStrip, guide_of, lay_out_strip, setup_of
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import USUAL_GAPS, Steps
from pearlkerf.setups.tries import APART, THE_SMALLEST, OfOneInlay, claimed_inlay, groups_named

Kind = Literal["fits", "inlay", "calibration", "strip"]
SETUPS: Final[dict[str, Kind]] = {"coupon": "fits", "calibration": "calibration", "strip": "strip"}
CALLED: Final[dict[Kind, str]] = {
    "fits": "fit coupon", "inlay": "fit coupon of an inlay", "calibration": "calibration piece",
    "strip": "drilling strip",
}  # fmt: skip


def usual_steps(kind: Kind) -> Steps:
    """Give the steps of size of a coupon for which nobody says others."""
    return USUAL_GAPS if kind == "inlay" else Steps()


@dataclass(frozen=True, slots=True)
class Wish:
    """A piece as it is asked for; what is None is as usual.

    Of a fit coupon ``only`` names groups, none for all; of one inlay ``one`` says which, and what is in steps.
    """

    kind: Kind
    scrap: Scrap | None = None
    steps: Steps | None = None
    cutter: int | None = None
    only: tuple[str, ...] = ()
    one: OfOneInlay = THE_SMALLEST


def lay_out_piece(clampings: Clampings, machine: Machine, wish: Wish) -> Piece:
    """Set out a piece, with what is left out of it.

    Raises Refusal where it cannot be cut, or the scrap does not hold it.
    """
    if wish.kind == "calibration":
        piece = lay_out_calibration(clampings.layout, calibration_cutter(clampings, machine, wish.cutter), wish.scrap)
        return Piece(piece, piece.remarks)
    if wish.kind == "strip":
        return Piece(_strip(clampings.layout, machine, wish.scrap), ())
    return _inlay(clampings, machine, wish) if wish.kind == "inlay" else _fits(clampings, machine, wish)


def _fits(clampings: Clampings, machine: Machine, wish: Wish) -> Piece:
    """Set out a fit coupon; inlays are fitted only where they are tried."""
    steps, only = wish.steps or usual_steps("fits"), groups_named(wish.only, clampings)
    if not only or INLAYS in only:
        clampings = with_fits(clampings, machine)
    tried, left_out = trials(clampings, machine, steps, only or TRIED)
    return Piece(lay_out_coupon(clampings.layout, tried, steps, wish.scrap, APART.join(only)), left_out)


def _inlay(clampings: Clampings, machine: Machine, wish: Wish) -> Piece:
    """Set out a coupon of one inlay, its pockets on scrap and its pieces on a blank."""
    from pearlkerf.jobs.from_blanks import pieces_there, stating  # only inlays wait for the geometry of outlines
    from pearlkerf.setups.inlay_coupons import lay_out_inlay_coupon
    from pearlkerf.setups.piece_setups import unknown_material

    fitted = with_fits(clampings, machine)
    sizes, own = (wish.steps or usual_steps("inlay"), wish.scrap), pieces_there(fitted, machine)
    coupon, left_out = lay_out_inlay_coupon(fitted, wish.one, sizes, own)
    problems = unknown_material(coupon.pieces, stating(coupon.pieces, machine))
    if problems:
        raise Refusal(problems)
    return Piece(coupon, left_out)


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
    job = plan_job(on_scrap(clampings.layout, piece.setups, CALLED[kind]), machine)
    asked = {"piece": piece.of.setup.name, "scrap": str(piece.of.scrap)}
    tries = piece.of.setup.tries
    return replace(job, piece=piece, asked={**asked, **({"tries": tries} if tries else {})})


def pieces_of(
    programs: Iterable[ProgramText], clampings: Clampings, machine: Machine, given: Wish | None
) -> tuple[Setup, ...]:
    """Give the setups of the pieces that programs say they cut, or that are wished for.

    Their heads say scrap, steps, cutter and what is tried; what is wished for goes before.  Raises Refusal where two
    programs say different ones for one kind of piece.
    """
    wishes: dict[str, Wish] = {} if given is None else {_place(given): given}
    said: dict[str, tuple[Wish, str]] = {}
    for program in programs:
        wish = _said(program.text)
        if wish is None:
            continue
        before, file = said.get(_place(wish), (wish, program.file))
        both = _together(before, wish)
        if both is None:
            raise Refusal([Problem(found=f"{program.file} is for another piece of scrap, or other steps, than {file}",
                                   allowed="programs of one piece", hint="prove each piece by itself")])  # fmt: skip
        said[_place(wish)] = both, file
    for place, (wish, _) in said.items():
        wishes[place] = _as_wished(wishes.get(place), wish)
    return tuple(setup for wish in wishes.values() for setup in lay_out_piece(clampings, machine, wish).setups)


def _place(wish: Wish) -> str:
    """Give the setup of a wish: pieces of one kind, and both kinds of coupons, are proved one at a time."""
    return next(setup for setup, kind in SETUPS.items() if kind == wish.kind or {kind, wish.kind} == {"fits", "inlay"})


def _together(first: Wish, second: Wish) -> Wish | None:
    """Give what two programs of one piece say of it; None where they are not of one.

    Which cutter each has does not count.  Programs of an inlay's pieces know nothing of the scrap with its pockets.
    """
    scraps = {first.scrap, second.scrap} - ({None} if first.kind == "inlay" else set())
    alike = replace(second, scrap=first.scrap, cutter=first.cutter) == first and len(scraps) <= 1
    return replace(first, scrap=first.scrap or second.scrap) if alike else None


def _as_wished(given: Wish | None, said: Wish) -> Wish:
    """Give a piece as it is wished for, and as its programs say it in all that is not."""
    if given is None:
        return said
    if given.kind != said.kind:
        return given
    return Wish(said.kind, given.scrap or said.scrap, given.steps or said.steps, given.cutter or said.cutter,
                given.only or said.only, said.one if given.one == THE_SMALLEST else given.one)  # fmt: skip


def tried_in(setup: str, tries: str) -> Wish | None:
    """Give the piece that is cut in a setup and tries what is claimed; None where that is no setup of a piece.

    >>> tried_in("pieces", "inlay 3/pieces").kind, tried_in("coupon", "face dots/frets").only
    ('inlay', ('face dots', 'frets'))
    """
    one = claimed_inlay(tries)
    if one is not None and setup in ("coupon", ROWS):
        return Wish("inlay", one=one)
    if setup not in SETUPS:
        return None
    return Wish(SETUPS[setup], only=tuple(tries.split(APART)) if tries else ())


def _said(text: bytes) -> Wish | None:
    """Give the piece that a program's head says it is for; None for the programs of a board."""
    claim = read_scrap_claim(text)
    if claim is None:
        return None
    wish = tried_in(claim.setup, claim.tries)
    if wish is None:
        return None
    scrap = None if claim.sides_mm is None else Scrap(*claim.sides_mm)
    steps = None if claim.steps_mm is None else Steps(*claim.steps_mm)
    return replace(wish, scrap=scrap, steps=steps, cutter=claim.cutter)
