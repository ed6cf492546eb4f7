"""Pieces of inlays as a job: those of a board, or some of them, cut from their blanks by one machine."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.jobs.making import plan_job, with_fits
from pearlkerf.jobs.model import Job
from pearlkerf.layout.features import Hole
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.operations.choose import choose
from pearlkerf.operations.strategies import STRATEGIES
from pearlkerf.operations.tolerances import ROUNDING_MM
from pearlkerf.reading.header import read_row_claim
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.coupons import piece_title
from pearlkerf.setups.fit import fits_told
from pearlkerf.setups.fit_claims import fitted_for
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.inlay_pieces import DOTS, InlayPiece, chosen, dots_as_pieces, pieces_of_inlays
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.piece_setups import (
    USUAL_APART_MM,
    Cutting,
    check_places,
    piece_setups,
    unknown_material,
)

# what the programs of pieces are called beside the board's title
CALLED: Final = "pieces of its inlays"
# round a dot a mill no wider than this is taken, the widest: wider ones waste shell (common practice, no source)
WIDEST_FOR_DOTS_MM: Final = 2.0


@dataclass(frozen=True, slots=True)
class PiecesWish:
    """The pieces that are wanted: all of the inlays' or ``only`` some, ``spares`` more of each, blanks so far apart."""

    only: tuple[str, ...] = ()
    spares: int = 0
    apart_mm: float = USUAL_APART_MM
    numbers: frozenset[int] | None = None  # in place of ``only``, as programs say it


def every_piece(clampings: Clampings, machine: Machine, only: Sequence[str] = ()) -> list[InlayPiece]:
    """Give all pieces of a board that is fitted: of its inlays, and dots where they can be, or are asked for.

    Raises Refusal where what is asked for cannot be.
    """
    layout = clampings.layout
    found = pieces_of_inlays(clampings.fits)
    dots = layout.board.face_dots
    asked = any(word in (DOTS, *(hole.name for hole in layout.face_dots)) for word in only)
    if dots is not None and (asked or (dots.material and dots.fit_mm > 0)):
        holes = [_as_cut(hole, clampings, machine) for hole in layout.face_dots]
        found += dots_as_pieces(holes, layout, _for_dots(machine, dots.thickest_mm), len(found) + 1)
    return found


def _as_cut(hole: Hole, clampings: Clampings, machine: Machine) -> Hole:
    """Give a hole as wide as it comes out: where a cutter goes straight down, as wide as that."""
    face = next(setup for setup in clampings.setups if hole in setup.features)
    taken = choose(hole, face, machine.cutters)
    if isinstance(taken, Problem):
        raise Refusal([taken])
    return hole.resized(taken.cutter.width_mm) if STRATEGIES[taken.strategy].own_width else hole


def _for_dots(machine: Machine, deep_mm: float) -> list[Cutter]:
    """Give the mills that serve round dots, the best first; raises Refusal where none does."""
    mills = [each for each in machine.cutters if each.kind == "end mill" and each.reach_mm >= deep_mm - ROUNDING_MM]
    if not mills:
        raise Refusal([
            Problem(key="face_dots.material", found=f"no end mill of the machine profile reaches {deep_mm:.2f} mm deep",
                    allowed="one that does", hint='add a [[cutter]] of kind "end mill" to the profile'),
        ])  # fmt: skip
    thin = [each for each in mills if each.diameter_mm <= WIDEST_FOR_DOTS_MM]
    return sorted(thin, key=lambda each: (-each.diameter_mm, each.number)) or sorted(
        mills, key=lambda each: (each.diameter_mm, each.number)
    )


def lay_out_pieces(
    every: Sequence[InlayPiece], clampings: Clampings, machine: Machine, wish: PiecesWish
) -> tuple[tuple[Setup, ...], Cutting]:
    """Give the setups in which the wanted of all pieces are cut, and how; the clampings are fitted for the machine.

    Raises Refusal with every problem: of the choice, of blanks and places, of materials without figures.
    """
    blanks = clampings.layout.board.inlay_blanks
    check_places(every, blanks)
    wanted = _wanted(every, wish)
    if not wanted:
        raise Refusal([Problem("there is nothing to cut from blanks: the board has no inlay whose pieces are cut",
                               "an [[inlay]] of a material",
                               'add one, or ask for dots with --only "face dots"')])  # fmt: skip
    cutting = cutting_of(every, wanted, wish)
    setups = piece_setups(wanted, blanks, cutting)
    problems = [problem for setup in setups for problem in unknown_material(setup, stating(setup, machine))]
    if problems:
        raise Refusal(problems)
    return tuple(replace(setup, fits=fitted_for(_own_fits(clampings.fits, [setup]))) for setup in setups), cutting


def pieces_there(fitted: Clampings, machine: Machine) -> tuple[InlayPiece, ...]:
    """Give all pieces of a board, none where they cannot all be cut; raises Refusal then if the file lays some."""
    blanks = fitted.layout.board.inlay_blanks
    try:
        every = every_piece(fitted, machine)
        check_places(every, blanks)
    except Refusal:
        if any(blank.place for blank in blanks):
            raise
        return ()
    return tuple(every)


def _wanted(every: Sequence[InlayPiece], wish: PiecesWish) -> tuple[InlayPiece, ...]:
    if wish.numbers is None:
        return chosen(every, wish.only)
    return tuple(piece for piece in every if piece.number in wish.numbers)


def cutting_of(every: Sequence[InlayPiece], wanted: Sequence[InlayPiece], wish: PiecesWish) -> Cutting:
    """Give how wanted pieces are cut, of all that there are."""
    return Cutting(tuple(every), wish.apart_mm, wish.spares, _others(every, wanted))


def _laid_again(setups: Sequence[Setup], layout: Layout) -> Iterator[Problem]:
    """Tell of a part of the pieces which of them are cut where the file lays them, with no word on what is used."""
    blanks = layout.board.inlay_blanks
    told = {each.material for each in blanks if each.used}
    names = {piece.name for each in setups if each.row is not None for piece in each.row.pieces}
    for entry, blank in enumerate(blanks):
        for index, place in enumerate(blank.place):
            if place.piece in names and blank.material not in told:
                yield Problem(
                    key=f"inlay_blank.{entry}.place.{index}",
                    found=f"{shown(place.piece)} is cut where the file lays it",
                    allowed="a place where it was not cut before",
                    hint="if it was, say in used what is gone, and move its place or take it out",
                )


def _others(every: Sequence[InlayPiece], wanted: Sequence[InlayPiece]) -> tuple[tuple[InlayPiece, ...], ...]:
    """Give the whole jobs of which the wanted pieces are no more than a part, of each material by itself.

    All of the inlays', then the dots'.  They may have been cut before, and one of them broke.
    """
    materials = dict.fromkeys(piece.material for piece in wanted)
    return tuple(whole for material in materials
                 for whole in _others_of([each for each in every if each.material == material], wanted))  # fmt: skip


def _others_of(every: Sequence[InlayPiece], wanted: Sequence[InlayPiece]) -> list[tuple[InlayPiece, ...]]:
    inlays = tuple(piece for piece in every if DOTS not in piece.of)
    dots = tuple(piece for piece in every if DOTS in piece.of)
    asked = {piece.number for piece in wanted}
    parts = [whole for whole in (inlays, dots) if any(piece.number not in asked for piece in whole)]
    # whoever cuts all of the inlays' pieces has cut no dots before: these leave the places of the inlays alone
    return [] if parts == [dots] and inlays else parts


def _own_fits(fits: Sequence[Fitted], setups: Sequence[Setup]) -> list[Fitted]:
    """Give the fits of the pockets for which pieces are cut in these setups."""
    places = {(piece.place.group, piece.place.number) for setup in setups if setup.row for piece in setup.row.pieces}
    return [fit for fit in fits if (fit.part.pocket.group, fit.part.pocket.number) in places]


def stating(setup: Setup, machine: Machine) -> list[tuple[int, bool]]:
    """Give the cutters of a setup's features, and whether each states all its own figures."""
    used = {feature.cutter for feature in setup.features}
    return [(each.number, each.states_its_figures) for each in machine.cutters if each.number in used]


def plan_pieces(clampings: Clampings, machine: Machine, wish: PiecesWish) -> Job:
    """Plan the pieces of a board's inlays; raises Refusal as ``lay_out_pieces`` and ``plan_job`` do."""
    fitted = with_fits(clampings, machine)
    setups, cutting = lay_out_pieces(every_piece(fitted, machine, wish.only), fitted, machine, wish)
    board = replace(fitted.layout.board, title=piece_title(fitted.layout.board.title, CALLED))
    told = tuple(_laid_again(setups, fitted.layout)) if cutting.others else ()
    told += tuple(fits_told(_own_fits(fitted.fits, setups)))
    only = Clampings(replace(fitted.layout, board=board, warnings=()), setups, told, fitted.fits)
    asked: dict[str, object] = {"pieces": list(wish.only) or "all", "spares": wish.spares, "apart_mm": wish.apart_mm}
    return replace(plan_job(only, machine), asked=asked)


def rows_of(programs: Iterable[ProgramText], fitted: Clampings, machine: Machine) -> tuple[Setup, ...]:
    """Give the setups of the pieces that programs say they cut: which, how far apart their blanks, how many spares.

    Raises Refusal where these cannot be laid out.
    """
    claims = dict.fromkeys(claim for program in programs if (claim := read_row_claim(program.text)) is not None)
    found: dict[str, Setup] = {}
    every = every_piece(fitted, machine) if claims else []
    for claim in claims:
        numbers = frozenset(number for number in claim.numbers if number <= len(every)) or None
        wish = PiecesWish(apart_mm=claim.apart_mm, spares=claim.spares, numbers=numbers)
        for setup in lay_out_pieces(every, fitted, machine, wish)[0]:
            if setup.name == claim.setup:
                found.setdefault(setup.name, setup)
    return tuple(found.values())
